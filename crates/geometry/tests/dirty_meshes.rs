//! Real meshes, sound and dirty, each cut by twenty planes: nothing panics or hangs, what was closed stays closed, and
//! what was open is told.

mod common;

use seamwright_geometry::{
    CutOutcome, EdgeTable, Mesh, Parted, Plane, Progress, Shells, Solid, Vector, cut, edge_report, inspect_with_shells,
};

const PLANES: usize = 20;

#[test]
fn every_real_mesh_is_cut_by_twenty_planes() {
    let Some(meshes) = common::real_meshes() else { return };
    let mut cut_files = 0;
    println!("{:<36} {:>8} {:>7} {:>7} {:>7} {:>9}", "mesh", "faces", "closed", "parted", "sound", "told open");
    for (name, mesh) in meshes {
        cut_files += 1;
        let (report, shells) = inspect_with_shells(&mesh);
        let (mut sound, mut told) = (0, 0);
        let partings = planes(&mesh).filter_map(|plane| parted(&mesh, &plane)).collect::<Vec<_>>();
        for parting in &partings {
            let closed = [&parting.below, &parting.above].iter().all(|side| edge_report(&side.mesh).closed());
            sound += usize::from(closed);
            told += usize::from(!parting.left_open.is_empty());
            assert!(closed || !report.closed, "{name}: closed before the cut, open after it");
            if report.closed {
                let volume = parting.below.mesh.volume_mm3() + parting.above.mesh.volume_mm3();
                let scale = report.bounds.map_or(0.0, |bounds| bounds.diagonal().powi(3));
                assert!(
                    (volume - report.volume_mm3).abs() <= 1e-9 * scale,
                    "{name}: {volume} is not {}",
                    report.volume_mm3
                );
            }
        }
        check_closed_shells(&mesh, &shells, &name);
        println!(
            "{name:<36} {:>8} {:>7} {:>7} {sound:>7} {told:>9}",
            report.triangles,
            if report.closed { "yes" } else { "no" },
            partings.len(),
        );
    }
    assert!(cut_files > 30, "only {cut_files} readable files");
}

/// One bad shell never spoils the others: every closed shell of an open model is closed after a cut of the whole.
fn check_closed_shells(mesh: &Mesh, shells: &Shells, name: &str) {
    let reports = shells.reports(mesh, &EdgeTable::new(mesh));
    for plane in planes(mesh).take(5) {
        let Some(parting) = parted(mesh, &plane) else { continue };
        for side in [&parting.below, &parting.above] {
            for edge in EdgeTable::new(&side.mesh).edges().filter(|edge| edge.balance() != 0) {
                for face in edge.faces().filter_map(|(t, _)| side.origins[t as usize].stock_face()) {
                    let closed_before = reports[shells.of_triangle[face as usize] as usize].closed;
                    assert!(!closed_before, "{name}: a closed shell was opened by {plane:?} at face {face}");
                }
            }
        }
    }
}

fn parted(mesh: &Mesh, plane: &Plane) -> Option<Parted> {
    match cut(&Solid::from_stock(mesh.clone()), plane, 1, &Progress::new()).ok()? {
        CutOutcome::Parted(parted) => Some(*parted),
        _ => None,
    }
}

/// Directions spread over the sphere by the golden angle, offsets through the middle half of the model; every fourth
/// plane goes through a vertex.
fn planes(mesh: &Mesh) -> impl Iterator<Item = Plane> + '_ {
    let golden = std::f64::consts::PI * (3.0 - 5f64.sqrt());
    (0..PLANES).filter_map(move |i| {
        let bounds = mesh.bounds()?;
        let z = 1.0 - 2.0 * (i as f64 + 0.5) / PLANES as f64;
        let (sin, cos) = (golden * i as f64).sin_cos();
        let normal = Vector::new((1.0 - z * z).sqrt() * cos, (1.0 - z * z).sqrt() * sin, z);
        let at = match i % 4 {
            0 => mesh.vertices[i * 7919 % mesh.vertices.len()],
            k => bounds.centre() + bounds.size() * (0.25 * (k as f64 - 2.0)),
        };
        Plane::through(at, normal).ok()
    })
}
