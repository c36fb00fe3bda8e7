//! Holes cut into known surfaces and filled: the patch goes on as the surface did, with faces as large as those around it.

use seamwright_geometry::mend::{MendStep, Mended, NEW_FACE};
use seamwright_geometry::{Meeting, Mesh, Point, Progress, Vector, crossings, inspect, solids};

fn filled(mesh: &Mesh) -> Mended {
    let step = MendStep::FillHoles { most_edges: 400, curved: true };
    let mended = step.apply(mesh, &Progress::new()).unwrap();
    let report = inspect(&mended.mesh);
    assert!(report.closed && mended.report.left == 0, "{:?}", mended.report);
    assert_eq!((report.over_used_edges, report.zero_area_faces, report.duplicate_faces), (0, 0, 0));
    let met = crossings(&mended.mesh, &Progress::new()).unwrap();
    assert!(met.pairs.iter().all(|pair| pair.meeting == Meeting::Touching), "{:?}", met.pairs.first());
    let again = step.apply(&mended.mesh, &Progress::new()).unwrap();
    assert!(again.report.did_nothing());
    mended
}

fn without(mesh: &Mesh, gone: impl Fn(&Point) -> bool) -> Mesh {
    let mut open = mesh.clone();
    open.triangles.retain(|t| {
        let middle = t.iter().map(|v| mesh.vertices[*v as usize].coords).sum::<Vector>() / 3.0;
        !gone(&Point::from(middle))
    });
    seamwright_geometry::drop_unused_vertices(&mut open);
    assert!(open.triangles.len() + 20 < mesh.triangles.len());
    open
}

/// How far the vertices and middles of the patch are off the surface at most.
fn farthest(open: &Mesh, mended: &Mended, off: impl Fn(&Point) -> f64) -> f64 {
    let new = mended.mesh.vertices[open.vertices.len()..].iter().map(&off).fold(0.0, f64::max);
    let faces = mended.mesh.triangles.iter().zip(&mended.came_from).filter(|(_, from)| **from == NEW_FACE);
    let middle =
        |t: &[u32; 3]| Point::from(t.iter().map(|v| mended.mesh.vertices[*v as usize].coords).sum::<Vector>() / 3.0);
    // A flat face on a curved surface is as far off it as any other face of the mesh.
    let sagitta = open.triangles.iter().map(middle).map(|p| off(&p)).fold(0.0, f64::max);
    faces.map(|(t, _)| off(&middle(t)) - 2.0 * sagitta).fold(new, f64::max)
}

/// Edges of the patch are as long as those around it, to within this factor.
const LIKE: f64 = 2.5;

fn assert_like_around(open: &Mesh, mended: &Mended) {
    let length = |mesh: &Mesh, t: &[u32; 3], k: usize| {
        nalgebra::distance(&mesh.vertices[t[k] as usize], &mesh.vertices[t[(k + 1) % 3] as usize])
    };
    let mean = open.triangles.iter().map(|t| length(open, t, 0)).sum::<f64>() / open.triangles.len() as f64;
    let new = mended.mesh.triangles.iter().zip(&mended.came_from).filter(|(_, from)| **from == NEW_FACE);
    for (t, _) in new {
        for k in 0..3 {
            let edge = length(&mended.mesh, t, k);
            assert!(edge < LIKE * mean, "{edge} beside {mean}");
        }
    }
}

#[test]
fn a_cap_cut_off_a_ball_comes_back_round() {
    let radius = 10.0;
    let ball = solids::sphere(Point::origin(), radius, 24);
    for (half_deg, most) in [(15.0_f64, 0.002), (30.0, 0.005), (60.0, 0.02)] {
        let height = radius * half_deg.to_radians().cos();
        let open = without(&ball, |p| p.z > height);
        let mended = filled(&open);
        let off = farthest(&open, &mended, |p| (p.coords.norm() - radius).abs());
        println!("cap of {half_deg}°: {off:.4} mm off a ball of {radius} mm, {:?}", mended.report);
        assert!(off <= most * radius, "{half_deg}°: {off}");
        assert_like_around(&open, &mended);
    }
}

#[test]
fn a_window_in_a_ring_is_closed_along_it() {
    let (ring, tube) = (20.0, 6.0);
    let whole = solids::torus(Point::origin(), ring, tube, 120, 48);
    // On the outside it is a dome, on the inside a saddle.
    for (x, most) in [(ring + tube, 0.02), (ring - tube, 0.02)] {
        let open = without(&whole, |p| (p - Point::new(x, 0.0, 0.0)).norm() < 4.0);
        let mended = filled(&open);
        let off = farthest(&open, &mended, |p| ((p.x.hypot(p.y) - ring).hypot(p.z) - tube).abs());
        println!("window at {x}: {off:.4} mm off a tube of {tube} mm, {:?}", mended.report);
        assert!(off <= most * tube, "{x}: {off}");
        assert_like_around(&open, &mended);
    }
}

/// A cylinder about z, of squares parted in two, with flat ends.
fn cylinder(radius: f64, around: u32, height: f64, along: u32) -> Mesh {
    let mut mesh = Mesh::default();
    for j in 0..=along {
        for i in 0..around {
            let angle = f64::from(i) / f64::from(around) * std::f64::consts::TAU;
            let z = f64::from(j) / f64::from(along) * height;
            mesh.vertices.push(Point::new(radius * angle.cos(), radius * angle.sin(), z));
        }
    }
    for j in 0..along {
        for i in 0..around {
            let [a, b] = [i, (i + 1) % around].map(|i| j * around + i);
            let [c, d] = [a + around, b + around];
            mesh.triangles.extend([[a, b, d], [a, d, c]]);
        }
    }
    for (z, first) in [(0.0, 0), (height, along * around)] {
        let middle = mesh.vertices.len() as u32;
        mesh.vertices.push(Point::new(0.0, 0.0, z));
        for i in 0..around {
            let [a, b] = [first + i, first + (i + 1) % around];
            mesh.triangles.push(if z == 0.0 { [b, a, middle] } else { [a, b, middle] });
        }
    }
    mesh
}

#[test]
fn a_hole_in_the_side_of_a_cylinder_is_closed_round() {
    let radius = 10.0;
    let whole = cylinder(radius, 80, 40.0, 50);
    let open = without(&whole, |p| (p - Point::new(radius, 0.0, 20.0)).norm() < 6.0);
    let mended = filled(&open);
    let off = farthest(&open, &mended, |p| (p.x.hypot(p.y) - radius).abs());
    println!("cylinder: {off:.4} mm off, {:?}", mended.report);
    assert!(off <= 0.02 * radius, "{off}");
    assert_like_around(&open, &mended);
}

#[test]
fn a_flat_hole_stays_flat_and_needs_no_new_vertices() {
    let whole = solids::grid_box(Point::origin(), Point::new(20.0, 20.0, 5.0), [20, 20, 5]);
    let open = without(&whole, |p| p.z > 4.9 && (p - Point::new(10.0, 10.0, 5.0)).norm() < 6.0);
    let mended = filled(&open);
    assert_eq!(mended.report.vertices_added, 0);
    assert!((mended.mesh.volume_mm3() / whole.volume_mm3() - 1.0).abs() < 1e-12);
}
