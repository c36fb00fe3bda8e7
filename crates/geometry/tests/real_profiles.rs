//! Real meshes, sound and dirty, each cut along profiles: nothing panics or hangs, what was closed stays closed and whole,
//! and one bad shell spoils no other.

mod common;

use seamwright_geometry::{
    CutOutcome, CutSurface, EdgeTable, Mesh, Parted, Profile, Progress, Shells, Solid, Vector, edge_report, inspect,
    part, profile_line,
};

#[test]
fn every_real_mesh_is_cut_along_profiles() {
    let Some(meshes) = common::real_meshes() else { return };
    let mut cut_files = 0;
    println!("{:<36} {:>8} {:>7} {:>7} {:>7} {:>9}", "mesh", "faces", "closed", "parted", "sound", "told open");
    for (name, mesh) in meshes {
        cut_files += 1;
        let report = inspect(&mesh);
        let (mut parted, mut sound, mut told) = (0, 0, 0);
        for profile in profiles(&mesh) {
            let solid = Solid::from_stock(mesh.clone());
            let surface = CutSurface::Profile(profile);
            let CutOutcome::Parted(parting) = part(&solid, &surface, 0.0, 1, &Progress::new()).unwrap() else {
                continue;
            };
            let closed = [&parting.below, &parting.above].iter().all(|side| edge_report(&side.mesh).closed());
            parted += 1;
            sound += usize::from(closed);
            told += usize::from(!parting.left_open.is_empty());
            assert!(closed || !report.closed, "{name}: closed before the cut, open after it along {surface:?}");
            if report.closed {
                let volume = parting.below.mesh.volume_mm3() + parting.above.mesh.volume_mm3();
                let scale = report.bounds.map_or(0.0, |bounds| bounds.diagonal().powi(3));
                let off = (volume - report.volume_mm3).abs();
                assert!(off <= 1e-9 * scale, "{name}: {volume} is not {}", report.volume_mm3);
            }
            check_closed_shells(&mesh, &parting, &name);
        }
        let closed = if report.closed { "yes" } else { "no" };
        println!("{name:<36} {:>8} {closed:>7} {parted:>7} {sound:>7} {told:>9}", report.triangles);
    }
    assert!(cut_files > 30, "only {cut_files} readable files");
}

/// Every closed shell of an open model is closed after a cut of the whole.
fn check_closed_shells(mesh: &Mesh, parting: &Parted, name: &str) {
    let edges = EdgeTable::new(mesh);
    let shells = Shells::of_edges(&edges);
    let reports = shells.reports(mesh, &edges);
    for side in [&parting.below, &parting.above] {
        for edge in EdgeTable::new(&side.mesh).edges().filter(|edge| edge.balance() != 0) {
            for face in edge.faces().filter_map(|(t, _)| side.origins[t as usize].stock_face()) {
                let closed_before = reports[shells.of_triangle[face as usize] as usize].closed;
                assert!(!closed_before, "{name}: a closed shell was opened at face {face}");
            }
        }
    }
}

/// Lines of every kind, a third of the model wide, across it in three directions and through its corners.
fn profiles(mesh: &Mesh) -> Vec<Profile> {
    let Some(bounds) = mesh.bounds() else { return Vec::new() };
    let size = bounds.diagonal() / 3.0;
    let lines = [
        profile_line::step(size / 8.0),
        profile_line::zigzag(size / 4.0, size / 6.0, 4),
        profile_line::wave(size / 3.0, size / 8.0, 3),
        profile_line::dovetail(size / 2.0, size / 6.0, 2, 12.0),
    ];
    let frames = [
        (Vector::x(), Vector::z()),
        (Vector::y(), Vector::new(0.4, 0.1, -0.9)),
        (Vector::new(0.3, 1.0, 0.2), Vector::new(1.0, 0.1, 0.4)),
    ];
    let mut profiles = Vec::new();
    for line in lines.into_iter().flatten() {
        for (i, (along, out)) in frames.iter().enumerate() {
            let corner = mesh.vertices[(mesh.vertices.len() - 1) * (i + 1) / 4];
            for origin in [bounds.centre(), corner] {
                profiles.extend(Profile::new(origin, *along, *out, line.clone()));
            }
        }
    }
    profiles
}
