use super::*;
use crate::{Motion, Vector, solids};
use proptest::prelude::*;

fn points(coordinates: &[[f64; 3]]) -> Vec<Point> {
    coordinates.iter().map(|&c| Point::from(c)).collect()
}

/// The law of every hull with faces: closed, and no point beyond any face.
fn assert_encloses(hull: &Hull, points: &[Point], tolerance_mm: f64) {
    let mut edges = std::collections::HashMap::new();
    for &[a, b, c] in &hull.faces {
        for (p, q) in [(a, b), (b, c), (c, a)] {
            *edges.entry((p, q)).or_insert(0) += 1;
        }
    }
    for (&(p, q), &count) in &edges {
        assert_eq!(edges.get(&(q, p)), Some(&count), "edge {p}-{q} has no partner");
    }
    for &[a, b, c] in &hull.faces {
        let [a, b, c] = [a, b, c].map(|i| hull.vertices[i as usize]);
        let normal = (b - a).cross(&(c - a)).normalize();
        for p in points {
            let height = normal.dot(&(p - a));
            assert!(height <= tolerance_mm, "{p} is {height} mm beyond a face");
        }
    }
    for v in &hull.vertices {
        assert!(points.contains(v), "{v} was not given");
    }
}

#[test]
fn nothing_has_an_empty_hull() {
    assert_eq!(Hull::of(&[]), Hull::default());
    assert_eq!(Hull::of(&[Point::new(f64::NAN, 0.0, 0.0)]), Hull::default());
}

#[test]
fn copies_of_one_point_have_that_point() {
    let p = Point::new(1.0, 2.0, 3.0);
    assert_eq!(Hull::of(&[p; 9]).vertices, [p]);
}

#[test]
fn points_on_a_line_have_two_ends() {
    let line: Vec<Point> =
        (0..9).map(|i| Point::new(1.0, 2.0, 3.0) + Vector::new(1.0, 2.0, -4.0) * f64::from(i)).collect();
    let hull = Hull::of(&line);
    assert_eq!(hull.vertices, [line[8], line[0]]);
    assert!(hull.faces.is_empty());
}

#[test]
fn points_in_a_plane_have_an_outline_with_two_sides() {
    let mut flat = points(&[[0., 0., 5.], [4., 0., 5.], [4., 3., 5.], [0., 3., 5.]]);
    flat.extend(points(&[[1., 1., 5.], [2., 0., 5.], [2., 2., 5.]]));
    let hull = Hull::of(&flat);
    assert_eq!(hull.vertices.len(), 4);
    assert_eq!(hull.area_mm2(), 24.0);
    assert_eq!(hull.volume_mm3(), 0.0);
    assert_eq!(hull.flats().len(), 2);
    assert_encloses(&hull, &flat, 0.0);
}

#[test]
fn a_box_with_a_grid_on_its_sides_has_the_measures_of_a_box() {
    let grid = solids::grid_box(Point::new(-1.0, 0.0, 2.0), Point::new(9.0, 20.0, 32.0), [5, 4, 3]);
    let hull = Hull::of(&grid.vertices);
    assert_encloses(&hull, &grid.vertices, 0.0);
    assert!((hull.volume_mm3() - 6000.0).abs() < 1e-9);
    assert!((hull.area_mm2() - 2200.0).abs() < 1e-9);
    assert!((hull.mean_width_mm().unwrap() - 30.0).abs() < 1e-9);
    assert!((hull.diameter_mm() - 1400.0_f64.sqrt()).abs() < 1e-9);
    assert!((hull.least_width_mm(0.0).unwrap() - 10.0).abs() < 1e-9);
    let flats = hull.flats();
    assert_eq!(
        flats.iter().map(|f| f.area_mm2.round()).collect::<Vec<_>>(),
        [600.0, 600.0, 300.0, 300.0, 200.0, 200.0]
    );
}

#[test]
fn the_least_width_of_a_regular_tetrahedron_is_between_edges() {
    // Edge √2·s, and the least width is that edge over √2 (opposite edges).
    let tetrahedron = points(&[[0., 0., 0.], [10., 10., 0.], [10., 0., 10.], [0., 10., 10.]]);
    let width = Hull::of(&tetrahedron).least_width_mm(0.0).unwrap();
    assert!((width - 10.0).abs() < 1e-12, "{width}");
}

#[test]
fn a_sphere_keeps_every_vertex_and_has_its_measures() {
    let sphere = solids::sphere(Point::new(5.0, 6.0, 7.0), 50.0, 20);
    let hull = Hull::of(&sphere.vertices);
    assert_eq!(hull.vertices.len(), sphere.vertices.len());
    assert_encloses(&hull, &sphere.vertices, 1e-9);
    assert!((hull.volume_mm3() - sphere.volume_mm3()).abs() < 1e-4 * sphere.volume_mm3());
    let mean = hull.mean_width_mm().unwrap();
    assert!(mean < 100.0 && mean > 99.5, "{mean}");
}

#[test]
fn a_tolerant_hull_keeps_few_corners_and_loses_no_more_than_it_may() {
    let sphere = solids::sphere(Point::origin(), 50.0, 40);
    let hull = Hull::within(&sphere.vertices, 0.1);
    assert!(hull.vertices.len() < sphere.vertices.len() / 4, "{}", hull.vertices.len());
    for p in &sphere.vertices {
        let direction = p.coords.normalize();
        let reach = hull.vertices.iter().map(|v| direction.dot(&v.coords)).fold(0.0, f64::max);
        assert!(reach >= direction.dot(&p.coords) - 0.1);
    }
}

#[test]
fn chunks_give_the_same_hull_as_the_whole() {
    let mut many = Vec::new();
    for k in 0..6_u32 {
        many.extend(solids::sphere(Point::new(f64::from(k), 0.0, 0.0), 10.0 + f64::from(k), 20).vertices);
    }
    assert!(many.len() > 2 * CHUNK);
    let (chunked, direct) = (Hull::of(&many), whole(&many, 0.0));
    assert_eq!(chunked.vertices, direct.vertices);
}

#[test]
fn coordinates_beyond_reckoning_are_all_kept() {
    let far = points(&[[1e200, 0., 0.], [0., 1e200, 0.], [0., 0., 1e200], [-1e200, 0., 0.], [1., 1., 1.]]);
    assert_eq!(Hull::of(&far).vertices, far);
}

/// Small integers make duplicates, lines and planes ordinary.
fn lattice() -> impl Strategy<Value = Vec<Point>> {
    prop::collection::vec([-4_i32..4, -4_i32..4, -2_i32..2], 1..80)
        .prop_map(|all| all.iter().map(|c| Point::from(c.map(f64::from))).collect())
}

fn cloud() -> impl Strategy<Value = Vec<Point>> {
    prop::collection::vec([-90.0_f64..90.0, -90.0_f64..90.0, -90.0_f64..90.0], 1..200)
        .prop_map(|all| all.into_iter().map(Point::from).collect())
}

proptest! {
    #[test]
    fn a_hull_of_lattice_points_encloses_them(points in lattice()) {
        assert_encloses(&Hull::of(&points), &points, 1e-12);
    }

    #[test]
    fn a_hull_of_a_nearly_flat_turned_lattice_encloses_it(points in lattice(), turn in [-3.0..3.0, -3.0..3.0, -3.0..3.0]) {
        let turn = Motion::rotation(Vector::from(turn));
        let points: Vec<Point> = points.iter().map(|p| turn * Point::new(p.x, p.y, 0.0)).collect();
        let hull = Hull::of(&points);
        // Faces of rounding noise have normals of rounding noise: heights are asked of faces with some area only.
        let sound = Hull {
            faces: hull.faces.iter().copied().filter(|f| {
                let [a, b, c] = f.map(|i| hull.vertices[i as usize]);
                (b - a).cross(&(c - a)).norm() > 1e-3
            }).collect(),
            ..hull
        };
        for f in &sound.faces {
            let [a, b, c] = f.map(|i| sound.vertices[i as usize]);
            let normal = (b - a).cross(&(c - a)).normalize();
            for p in &points {
                prop_assert!(normal.dot(&(p - a)) < 1e-11);
            }
        }
    }

    #[test]
    fn volume_and_corners_agree_with_an_independent_hull(points in cloud()) {
        let ours = Hull::of(&points);
        assert_encloses(&ours, &points, 1e-9);
        if points.len() < 5 {
            return Ok(());
        }
        let raw: Vec<_> = points.iter().map(|p| parry3d::math::Vector::new(p.x, p.y, p.z)).collect();
        let Ok((vertices, faces)) = parry3d::transformation::try_convex_hull(&raw) else { return Ok(()) };
        let theirs = Hull { vertices: vertices.iter().map(|v| Point::new(v.x, v.y, v.z)).collect(), faces };
        prop_assert!((ours.volume_mm3() - theirs.volume_mm3()).abs() <= 1e-9 * theirs.volume_mm3().max(1.0));
        prop_assert!((ours.diameter_mm() - theirs.diameter_mm()).abs() < 1e-9);
    }
}
