use super::*;
use crate::{Mesh, Progress, Resolution, Vector, solids};
use proptest::prelude::*;

/// All that a section says, so that equal means equal to the last bit, and NaN equal to itself.
fn bits(section: &Section) -> Vec<(bool, u64, u64, Vec<[u64; 3]>)> {
    let line = |l: &SectionLoop| {
        let points = l.points.iter().map(|p| [p.x, p.y, p.z].map(f64::to_bits)).collect();
        (l.closed, l.length_mm.to_bits(), l.area_mm2.to_bits(), points)
    };
    section.loops.iter().map(line).collect()
}

/// The law: with the tree or without, the same section.
fn assert_same(solid: &Solid, plane: &Plane) -> Section {
    let support = SectionSupport::build(solid, &Progress::new()).unwrap();
    let found = support.section(solid, plane);
    assert_eq!(bits(&found), bits(&section(solid, plane)), "{plane:?}");
    found
}

fn plane(normal: [f64; 3], offset: f64) -> Plane {
    Plane::new(Vector::from(normal), offset).unwrap()
}

/// The plane through three vertices, where they span one.
fn through(mesh: &Mesh, picks: [prop::sample::Index; 3]) -> Option<Plane> {
    let [a, b, c] = picks.map(|pick| mesh.vertices[pick.index(mesh.vertices.len())]);
    Plane::through(a, (b - a).cross(&(c - a))).ok()
}

fn closed_solid() -> impl Strategy<Value = Mesh> {
    let at = |x: f64| Point::new(x, 0.3 * x, -x);
    prop_oneof![
        (1..6_u32, -9.0..9.0).prop_map(move |(divisions, x)| solids::sphere(at(x), 10.0, divisions)),
        (8..60_u32, 8..40_u32).prop_map(|(around, across)| solids::torus(Point::origin(), 20.0, 7.0, around, across)),
        [1..9_u32, 1..9_u32, 1..9_u32].prop_map(|cells| solids::grid_box(
            Point::origin(),
            Point::from(cells.map(f64::from)),
            cells
        )),
        (8..40_u32).prop_map(|steps| {
            let shell = |tube| solids::torus(Point::origin(), 20.0, tube, 2 * steps, steps);
            solids::hollow(&shell(7.0), &shell(5.5))
        }),
        (1..5_u32, 5.0..25.0).prop_map(move |(divisions, x)| {
            solids::joined(&[&solids::sphere(at(0.0), 10.0, divisions), &solids::sphere(at(x), 10.0, divisions)])
        }),
    ]
}

/// Faces between lattice points: open, crossing themselves, twice there, without area.
fn soup() -> impl Strategy<Value = Mesh> {
    let corner = [0..4_i8, 0..4_i8, 0..4_i8].prop_map(|c| Point::from(c.map(f64::from)));
    (prop::collection::vec(corner, 3..40), prop::collection::vec([any::<u32>(), any::<u32>(), any::<u32>()], 0..200))
        .prop_map(|(vertices, faces)| {
            let count = vertices.len() as u32;
            Mesh { triangles: faces.into_iter().map(|face| face.map(|v| v % count)).collect(), vertices }
        })
}

fn slanted() -> impl Strategy<Value = Plane> {
    ([-1.0..1.0, -1.0..1.0, -1.0..1.0_f64], -20.0..20.0)
        .prop_filter_map("a direction", |(normal, offset)| Plane::new(Vector::from(normal), offset).ok())
}

/// Planes along lattice planes and their diagonals.
fn lattice_plane() -> impl Strategy<Value = Plane> {
    ([-1..2_i8, -1..2_i8, -1..2_i8], -6..7_i8).prop_filter_map("a direction", |(normal, offset)| {
        Plane::new(Vector::from(normal.map(f64::from)), f64::from(offset)).ok()
    })
}

proptest! {
    #[test]
    fn the_tree_changes_no_section_of_a_closed_solid_and_its_loops_close(
        mesh in closed_solid(), slanted in slanted(), straight in lattice_plane(),
        picks: [prop::sample::Index; 3], face: prop::sample::Index,
    ) {
        let corners = mesh.corners(face.index(mesh.triangles.len()));
        let in_face = Plane::through(corners[0], (corners[1] - corners[0]).cross(&(corners[2] - corners[0]))).ok();
        let planes = [Some(slanted), Some(straight), through(&mesh, picks), in_face];
        let solid = Solid::from_stock(mesh);
        for plane in planes.into_iter().flatten() {
            let found = assert_same(&solid, &plane);
            prop_assert!(found.loops.iter().all(|line| line.closed));
        }
    }

    #[test]
    fn the_tree_changes_no_section_of_a_soup_of_faces(
        mesh in soup(), straight in lattice_plane(), slanted in slanted(), picks: [prop::sample::Index; 3],
        band_mm in prop_oneof![Just(None), Just(Some(0.0)), (0.0..1.0_f64).prop_map(Some)],
    ) {
        let planes = [Some(straight), Some(slanted), through(&mesh, picks)];
        let mut solid = Solid::from_stock(mesh);
        if let Some(on_plane_mm) = band_mm {
            solid.resolution = Resolution { on_plane_mm };
        }
        for plane in planes.into_iter().flatten() {
            assert_same(&solid, &plane);
        }
    }

    #[test]
    fn the_tree_changes_no_section_of_an_open_solid_in_any_order_of_faces(
        mesh in closed_solid(), kept: u64, plane in slanted(),
    ) {
        let mut mesh = mesh;
        // Faces in an order of no meaning, some left out.
        let scattered = |face: &[u32; 3]| face.iter().fold(kept | 1, |h, &v| (h ^ u64::from(v)).wrapping_mul(kept | 1));
        mesh.triangles.sort_by_key(scattered);
        mesh.triangles.truncate(mesh.triangles.len() * 9 / 10);
        assert_same(&Solid::from_stock(mesh), &plane);
    }

    #[test]
    fn numbers_that_are_no_places_do_no_harm(
        mesh in prop_oneof![soup(), closed_solid()], plane in prop_oneof![slanted(), lattice_plane()],
        spoilt in prop::collection::vec((any::<prop::sample::Index>(), 0..3_usize, prop::sample::select(vec![
            f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN, 1e39, 1e-310, -0.0,
        ])), 1..5),
    ) {
        let mut mesh = mesh;
        let resolution = Resolution::of(&mesh);
        for (pick, axis, number) in spoilt {
            let v = pick.index(mesh.vertices.len());
            mesh.vertices[v][axis] = number;
        }
        let mut solid = Solid::from_stock(mesh);
        assert_same(&solid, &plane);
        solid.resolution = resolution;
        assert_same(&solid, &plane);
    }
}

#[test]
fn nothing_has_no_section() {
    let nothing = Solid::from_stock(Mesh::default());
    assert_eq!(assert_same(&nothing, &plane([0.0, 0.0, 1.0], 0.0)), Section::default());
    let support = SectionSupport::default();
    assert_eq!(support.section(&nothing, &plane([0.0, 0.0, 1.0], 0.0)), Section::default());
}

#[test]
fn faces_with_missing_vertices_are_left_out() {
    let mut mesh = solids::cuboid(Point::origin(), Point::new(1.0, 1.0, 1.0));
    let whole = Solid::from_stock(mesh.clone());
    mesh.triangles.insert(3, [0, 1, 99]);
    let torn = Solid::from_stock(mesh);
    let at = plane([0.1, 0.2, 0.9], 0.5);
    let support = SectionSupport::build(&torn, &Progress::new()).unwrap();
    assert_eq!(support.section(&torn, &at).area_mm2(), section(&whole, &at).area_mm2());
}

#[test]
fn a_tree_of_another_solid_does_no_harm() {
    let [small, large] = [1, 4].map(|divisions| Solid::from_stock(solids::sphere(Point::origin(), 5.0, divisions)));
    let support = SectionSupport::build(&large, &Progress::new()).unwrap();
    support.section(&small, &plane([0.1, 0.2, 0.9], 0.5));
}

#[test]
fn a_vertex_within_the_resolution_of_the_plane_is_found_from_outside_its_box() {
    let mesh = solids::grid_box(Point::origin(), Point::new(8.0, 8.0, 8.0), [8, 8, 8]);
    let mut solid = Solid::from_stock(mesh);
    solid.resolution = Resolution { on_plane_mm: 0.25 };
    // All boxes lie above or below this plane, by less than what counts as on it.
    let found = assert_same(&solid, &plane([0.0, 0.0, 1.0], 3.8));
    assert!(found.loops.iter().all(|line| line.points.iter().all(|p| p.z == 4.0)));
    assert_eq!(found.area_mm2(), 64.0);
    // The bottom rests on this one: touched, not cut.
    assert_eq!(assert_same(&solid, &plane([0.0, 0.0, 1.0], -0.2)), Section::default());
}

#[test]
fn a_section_of_a_shell_has_its_outline_and_its_hole() {
    let shell = |radius_mm| solids::sphere(Point::origin(), radius_mm, 24);
    let solid = Solid::from_stock(solids::hollow(&shell(10.0), &shell(8.0)));
    let found = assert_same(&solid, &plane([0.2, 0.3, 0.9], 1.0));
    let [holes, outlines]: [Vec<&SectionLoop>; 2] =
        [true, false].map(|hole| found.loops.iter().filter(|line| line.is_hole() == hole).collect());
    assert_eq!((holes.len(), outlines.len()), (1, 1));
    // Circles of radius √(r² − 1²/0.94), since the plane passes the middle at 1/√0.94.
    let radius = |r: f64| (r * r - 1.0 / 0.94).sqrt();
    let length_mm = 2.0 * std::f64::consts::PI * (radius(10.0) + radius(8.0));
    assert!((found.length_mm() / length_mm - 1.0).abs() < 0.01, "{} for {length_mm}", found.length_mm());
    assert!(holes[0].length_mm < outlines[0].length_mm && -holes[0].area_mm2 < outlines[0].area_mm2);
}

#[test]
fn a_tree_takes_less_memory_than_the_mesh() {
    let solid = Solid::from_stock(solids::torus(Point::origin(), 20.0, 7.0, 400, 200));
    let support = SectionSupport::build(&solid, &Progress::new()).unwrap();
    let mesh_bytes = size_of_val(solid.mesh.triangles.as_slice()) + size_of_val(solid.mesh.vertices.as_slice());
    // The boxes of single faces take about half of it.
    assert!(support.bytes() * 5 < mesh_bytes * 3, "{} for {mesh_bytes}", support.bytes());
}

#[test]
fn preparing_can_be_cancelled() {
    let progress = Progress::new();
    progress.cancel();
    let solid = Solid::from_stock(solids::sphere(Point::origin(), 5.0, 3));
    assert!(SectionSupport::build(&solid, &progress).is_err());
}
