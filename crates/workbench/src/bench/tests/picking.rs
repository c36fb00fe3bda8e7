use std::sync::Arc;

use seamwright_geometry::{Bounds, Mesh, Point, Vector};

use super::{close, cube, cube_scene, drawn, random};
use crate::bench::pick::{PickTree, Ray, axis_across, pick, prepare};
use crate::bench::{Body, Drawn, Emphasis, MeshId, Scene};

fn down_at(x: f64, y: f64) -> Ray {
    Ray { origin: Point::new(x, y, 500.0), direction: -Vector::z() }
}

fn prepared(scene: Scene) -> Scene {
    prepare(&scene, || {});
    scene
}

#[test]
fn a_ray_onto_the_cube_meets_its_top() {
    let hit = pick(&prepared(cube_scene()), &down_at(12.0, -7.0), false).expect("hit");
    assert_eq!(hit.id, MeshId(7));
    assert!(close(&hit.point, &Point::new(12.0, -7.0, 50.0), 1e-9));
    assert!((hit.normal - Vector::z()).norm() < 1e-12);
    assert!((hit.distance_mm - 450.0).abs() < 1e-9);
}

#[test]
fn a_ray_beside_the_cube_meets_nothing() {
    assert_eq!(pick(&prepared(cube_scene()), &down_at(50.5, 0.0), false), None);
    assert_eq!(pick(&Scene::default(), &down_at(0.0, 0.0), true), None);
}

#[test]
fn the_nearest_of_two_meshes_is_met_where_it_is_drawn_and_told_where_it_is() {
    let mut raised = drawn(8, cube());
    raised.offset = Vector::new(0.0, 0.0, 130.0);
    let mut scene = cube_scene();
    scene.drawn.push(raised);
    let hit = pick(&prepared(scene), &down_at(1.0, 2.0), false).expect("hit");
    assert_eq!(hit.id, MeshId(8));
    assert!(close(&hit.point, &Point::new(1.0, 2.0, 50.0), 1e-9), "without the offset: {:?}", hit.point);
    assert!((hit.distance_mm - 320.0).abs() < 1e-9);
}

#[test]
fn hidden_and_ghostly_meshes_are_not_in_the_way() {
    for emphasis in [Emphasis::Hidden, Emphasis::Ghost] {
        let mut scene = cube_scene();
        scene.drawn[0].emphasis = emphasis;
        assert_eq!(pick(&prepared(scene), &down_at(0.0, 0.0), true), None);
    }
}

#[test]
fn the_normal_of_an_inside_face_points_at_the_viewer() {
    let mut inward = cube();
    inward.triangles.iter_mut().for_each(|t| t.swap(0, 1));
    let scene = prepared(Scene { drawn: vec![drawn(1, inward)], ..Default::default() });
    let hit = pick(&scene, &down_at(0.0, 3.0), false).expect("hit");
    assert!((hit.normal - Vector::z()).norm() < 1e-12);
}

#[test]
fn before_its_tree_is_there_a_mesh_is_met_only_with_patience() {
    let scene = cube_scene();
    assert_eq!(pick(&scene, &down_at(3.0, 4.0), false), None);
    let patient = pick(&scene, &down_at(3.0, 4.0), true).expect("hit");
    prepare(&scene, || {});
    let quick = pick(&scene, &down_at(3.0, 4.0), false).expect("hit");
    assert!(close(&patient.point, &quick.point, 1e-12));
}

#[test]
fn the_tree_finds_what_a_search_through_all_faces_finds() {
    // A crumpled sheet of 20 000 faces.
    let mut r = random(11);
    let n = 100_u32;
    let vertices = (0..=n)
        .flat_map(|i| (0..=n).map(move |j| (f64::from(i), f64::from(j))))
        .map(|(x, y)| Point::new(x + 0.4 * r(), y + 0.4 * r(), 6.0 * r()))
        .collect();
    let id = |i: u32, j: u32| i * (n + 1) + j;
    let triangles = (0..n)
        .flat_map(|i| (0..n).map(move |j| (i, j)))
        .flat_map(|(i, j)| {
            let (a, b, c, d) = (id(i, j), id(i + 1, j), id(i + 1, j + 1), id(i, j + 1));
            [[a, b, c], [a, c, d]]
        })
        .collect();
    let mesh = Arc::new(Mesh { vertices, triangles });
    let scene = |body: Body| Scene { drawn: vec![Drawn::new(MeshId(0), Arc::new(body))], ..Default::default() };
    let (bare, treed) = (scene(Body::new(mesh.clone())), scene(Body::new(mesh.clone())));
    treed.drawn[0].body.tree();
    let mut r = random(12);
    let mut met = 0;
    for _ in 0..300 {
        let target = Point::new(50.0 + 60.0 * r(), 50.0 + 60.0 * r(), 0.0);
        let origin = target + Vector::new(80.0 * r(), 80.0 * r(), 120.0);
        let ray = Ray { origin, direction: (target - origin).normalize() };
        let (slow, quick) = (pick(&bare, &ray, true), pick(&treed, &ray, false));
        met += usize::from(slow.is_some());
        assert_eq!(slow.map(|h| h.face), quick.map(|h| h.face));
    }
    assert!((100..300).contains(&met), "the rays should meet and miss: {met}");
}

#[test]
fn faces_with_broken_corners_are_passed_over() {
    let mut mesh = cube();
    mesh.vertices.push(Point::new(f64::NAN, 0.0, 0.0));
    mesh.triangles.push([0, 1, 8]);
    mesh.triangles.push([2, 2, 2]);
    let tree = PickTree::of(&mesh);
    let (face, distance) = tree.first_hit(&mesh, &down_at(10.0, 10.0)).expect("hit");
    assert!(face < 12 && (distance - 450.0).abs() < 1e-9);
    assert!(PickTree::of(&Mesh::default()).first_hit(&Mesh::default(), &down_at(0.0, 0.0)).is_none());
}

#[test]
fn a_cut_by_a_click_is_square_to_the_longest_side_that_the_surface_runs_along() {
    let blade = Bounds { min: Point::origin(), max: Point::new(60.0, 10.0, 900.0) };
    assert_eq!(axis_across(&Vector::new(0.1, -0.9, 0.3), &blade), 2, "on its flat: across the blade");
    assert_eq!(
        axis_across(&Vector::z(), &blade),
        0,
        "on its tip: along the blade, which a cut to that face would graze"
    );
}
