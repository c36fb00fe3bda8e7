//! Holes with something in the way of what would fill them.

use seamwright_geometry::mend::{MendStep, Mended};
use seamwright_geometry::{Meeting, Mesh, Point, Progress, Vector, crossings, inspect, solids};

fn filled(mesh: &Mesh, curved: bool) -> Mended {
    let step = MendStep::FillHoles { most_edges: 200, curved };
    let mended = step.apply(mesh, &Progress::new()).unwrap();
    let again = step.apply(&mended.mesh, &Progress::new()).unwrap();
    assert!(again.report.did_nothing(), "a second time: {:?}", again.report);
    mended
}

fn crossing(mesh: &Mesh) -> usize {
    crossings(mesh, &Progress::new()).unwrap().count(Meeting::Crossing)
}

/// A box of 30 by 30 by 10 mm without its lid.
fn open_box() -> Mesh {
    let mut mesh = solids::grid_box(Point::origin(), Point::new(30.0, 30.0, 10.0), [3, 3, 1]);
    let places = mesh.vertices.clone();
    mesh.triangles.retain(|t| !t.iter().all(|v| places[*v as usize].z == 10.0));
    mesh
}

/// A pointed stake from z −`below` to `above`, 4 mm thick at its foot.
fn stake(x: f64, y: f64, below: f64, above: f64) -> Mesh {
    let foot = [(-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (-2.0, 2.0)].map(|(i, j)| Point::new(x + i, y + j, -below));
    let vertices = foot.into_iter().chain([Point::new(x, y, above)]).collect();
    Mesh { vertices, triangles: vec![[0, 2, 1], [0, 3, 2], [0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]] }
}

#[test]
fn a_hole_that_its_own_shell_sticks_out_of_is_left_and_told() {
    // The middle cell of the floor is drawn up to a point above the rim.
    let mut mesh = open_box();
    let places = mesh.vertices.clone();
    let middle = |t: &[u32; 3]| Point::from(t.iter().map(|v| places[*v as usize].coords).sum::<Vector>() / 3.0);
    let (floor, rest): (Vec<_>, Vec<_>) = mesh.triangles.iter().copied().partition(|t| {
        let at = middle(t);
        at.z == 0.0 && (at.x - 15.0).abs() < 5.0 && (at.y - 15.0).abs() < 5.0
    });
    assert_eq!(floor.len(), 2);
    let edges: Vec<[u32; 2]> = floor.iter().flat_map(|&[a, b, c]| [[a, b], [b, c], [c, a]]).collect();
    let tip = mesh.vertices.len() as u32;
    mesh.vertices.push(Point::new(15.0, 15.0, 20.0));
    mesh.triangles = rest;
    let rim = edges.iter().filter(|[a, b]| !edges.contains(&[*b, *a]));
    mesh.triangles.extend(rim.map(|&[a, b]| [a, b, tip]));
    assert_eq!(inspect(&mesh).shells.len(), 1);
    for curved in [false, true] {
        let mended = filled(&mesh, curved);
        assert_eq!((&mended.mesh, mended.report.left, mended.report.holes_filled), (&mesh, 1, 0));
    }
}

#[test]
fn a_hole_that_another_shell_sticks_out_of_is_filled_and_told() {
    let mesh = solids::joined(&[&open_box(), &stake(15.0, 15.0, -2.0, 20.0)]);
    for curved in [false, true] {
        let mended = filled(&mesh, curved);
        assert_eq!((mended.report.left, mended.report.holes_filled, mended.report.patches_passing), (0, 1, 1));
        assert!(inspect(&mended.mesh).closed && crossing(&mended.mesh) > 0);
        let united = MendStep::UniteCrossing.apply(&mended.mesh, &Progress::new()).unwrap();
        assert_eq!((inspect(&united.mesh).closed, crossing(&united.mesh)), (true, 0));
    }
}

#[test]
fn a_shell_that_stays_below_the_rim_is_in_nobodys_way() {
    let mesh = solids::joined(&[&open_box(), &stake(15.0, 15.0, -2.0, 9.0)]);
    let mended = filled(&mesh, false);
    assert_eq!((mended.report.holes_filled, mended.report.patches_passing, crossing(&mended.mesh)), (1, 0, 0));
}

#[test]
fn a_patch_is_led_round_what_is_in_its_way() {
    // Two opposite corners of the rim are higher: it is filled over a ridge or over a valley.
    let high = |x: f64, y: f64| if (x < 5.0) == (y < 5.0) { 6.0 } else { 0.0 };
    let mut cup = solids::cuboid(Point::new(0.0, 0.0, -10.0), Point::new(10.0, 10.0, 0.0));
    let places = cup.vertices.clone();
    cup.triangles.retain(|t| !t.iter().all(|v| places[*v as usize].z == 0.0));
    cup.vertices.iter_mut().filter(|p| p.z == 0.0).for_each(|p| p.z = high(p.x, p.y));
    for z in [0.0, 6.0] {
        let crumb = solids::sphere(Point::new(5.0, 5.0, z), 0.4, 2);
        let mesh = solids::joined(&[&cup, &crumb]);
        let mended = filled(&mesh, true);
        assert_eq!((mended.report.holes_filled, mended.report.patches_passing), (1, 0), "crumb at {z}");
        assert_eq!((inspect(&mended.mesh).closed, crossing(&mended.mesh)), (true, 0), "crumb at {z}");
    }
}
