//! Laws of the cut that need a second look: Euler's characteristic, and that nothing depends on where the model stands.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use seamwright_geometry::{
    CutOutcome, Mesh, Motion, Parted, Plane, Point, Progress, Solid, Vector, cut, edge_report, solids,
};

const LABEL: u32 = 7;

fn parted(mesh: &Mesh, plane: &Plane) -> Option<Parted> {
    match cut(&Solid::from_stock(mesh.clone()), plane, LABEL, &Progress::new()).unwrap() {
        CutOutcome::Parted(parted) => Some(*parted),
        _ => None,
    }
}

/// Vertices less edges plus faces of some faces of a mesh.
fn euler<'a>(faces: impl Iterator<Item = &'a [u32; 3]>) -> i64 {
    let (mut vertices, mut edges, mut count) = (BTreeSet::new(), BTreeSet::new(), 0);
    for face in faces {
        count += 1;
        for i in 0..3 {
            let (a, b) = (face[i], face[(i + 1) % 3]);
            vertices.insert(a);
            edges.insert((a.min(b), a.max(b)));
        }
    }
    vertices.len() as i64 - edges.len() as i64 + count
}

fn cap_faces(solid: &Solid) -> Vec<[u32; 3]> {
    let faces = solid.mesh.triangles.iter().zip(&solid.origins);
    faces.filter(|(_, origin)| origin.cap_label() == Some(LABEL)).map(|(face, _)| *face).collect()
}

/// Characteristic of the outline: 0 for simple rings, less where rings share vertices.
fn outline_euler(cap: &[[u32; 3]]) -> i64 {
    let mut uses: BTreeMap<(u32, u32), i64> = BTreeMap::new();
    for face in cap {
        for i in 0..3 {
            let (a, b) = (face[i], face[(i + 1) % 3]);
            *uses.entry((a.min(b), a.max(b))).or_default() += if a < b { 1 } else { -1 };
        }
    }
    let border: Vec<(u32, u32)> = uses.into_iter().filter(|(_, n)| *n != 0).map(|(edge, _)| edge).collect();
    let vertices: BTreeSet<u32> = border.iter().flat_map(|&(a, b)| [a, b]).collect();
    vertices.len() as i64 - border.len() as i64
}

/// A ball with a rough surface: its vertices moved along their radius by up to `depth` of it.
fn rough_ball(divisions: u32, depth: f64, seed: u64) -> Mesh {
    let mut ball = solids::sphere(Point::origin(), 30.0, divisions);
    let mut state = seed | 1;
    for p in &mut ball.vertices {
        // Multiplier from Knuth's MMIX generator; the noise need only look random.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        *p *= 1.0 - depth * ((state >> 11) as f64 / (1u64 << 53) as f64);
    }
    ball
}

fn mesh() -> impl Strategy<Value = Mesh> {
    prop_oneof![
        (1..9u32, 0.0..0.6f64, any::<u64>()).prop_map(|(n, depth, seed)| rough_ball(n, depth, seed)),
        (10.0..30.0f64, 2.0..9.0f64, 3..24u32, 3..16u32).prop_map(|(ring, tube, a, b)| solids::torus(
            Point::origin(),
            ring,
            tube,
            a,
            b
        )),
        (2..8u32, 0.0..0.05f64, any::<u64>()).prop_map(|(n, depth, seed)| {
            let outer = rough_ball(n, depth, seed);
            let inner = solids::sphere(Point::origin(), 26.0, n);
            solids::hollow(&outer, &Mesh { vertices: inner.vertices.iter().map(|p| p * 0.6).collect(), ..inner })
        }),
    ]
}

fn unit() -> impl Strategy<Value = Vector> {
    prop::array::uniform3(-1.0..1.0f64)
        .prop_map(Vector::from)
        .prop_filter("a direction", |v| v.norm() > 0.1)
        .prop_map(|v| v.normalize())
}

fn cases() -> u32 {
    std::env::var("SEAMWRIGHT_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(300)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(cases()) })]

    #[test]
    fn euler_characteristics_add_up(mesh in mesh(), normal in unit(), offset in -25.0..25.0f64) {
        let plane = Plane::new(normal, offset).unwrap();
        let Some(parted) = parted(&mesh, &plane) else { return Ok(()) };
        // A plane in general position: every vertex is off it, so that the sides share the outline and nothing else.
        prop_assume!(mesh.vertices.iter().all(|p| plane.distance_mm(p).abs() > 1e-3));
        let cap = cap_faces(&parted.below);
        prop_assert_eq!(
            euler(parted.below.mesh.triangles.iter()) + euler(parted.above.mesh.triangles.iter()),
            euler(mesh.triangles.iter()) + 2 * euler(cap.iter()) - outline_euler(&cap)
        );
    }

    #[test]
    fn a_model_moved_with_its_plane_is_parted_alike(
        mesh in mesh(), normal in unit(), offset in -25.0..25.0f64, axis in unit(), angle in -3.0..3.0f64,
        shift in prop::array::uniform3(-200.0..200.0f64),
    ) {
        let plane = Plane::new(normal, offset).unwrap();
        prop_assume!(mesh.vertices.iter().all(|p| plane.distance_mm(p).abs() > 1e-3));
        let motion = Motion::new(Vector::from(shift), axis * angle);
        let moved_plane = Plane::through(motion * (Point::origin() + normal * offset), motion * normal).unwrap();
        match (parted(&mesh, &plane), parted(&mesh.transformed(&motion), &moved_plane)) {
            (Some(here), Some(there)) => {
                for (a, b) in [(&here.below, &there.below), (&here.above, &there.above)] {
                    prop_assert!((a.mesh.volume_mm3() - b.mesh.volume_mm3()).abs() < 1e-7 * mesh.volume_mm3().abs());
                    prop_assert_eq!(a.mesh.triangles.len(), b.mesh.triangles.len());
                    prop_assert!(edge_report(&b.mesh).closed());
                }
                prop_assert!((here.cap_area_mm2 - there.cap_area_mm2).abs() < 1e-7 * mesh.area_mm2());
            }
            (None, None) => {}
            _ => prop_assert!(false, "one is parted, the other is not"),
        }
    }

    #[test]
    fn flipping_the_plane_exchanges_the_sides(mesh in mesh(), normal in unit(), offset in -25.0..25.0f64) {
        let plane = Plane::new(normal, offset).unwrap();
        match (parted(&mesh, &plane), parted(&mesh, &plane.flipped())) {
            (Some(one), Some(other)) => {
                // The same faces in another order: only the rounding of the sum may differ.
                let difference = one.below.mesh.volume_mm3() - other.above.mesh.volume_mm3();
                prop_assert!(difference.abs() <= 1e-12 * mesh.volume_mm3().abs(), "{}", difference);
                prop_assert_eq!(one.below.mesh.vertices.len(), other.above.mesh.vertices.len());
                prop_assert!((one.cap_area_mm2 - other.cap_area_mm2).abs() <= 1e-9 * one.cap_area_mm2.abs());
            }
            (None, None) => {}
            _ => prop_assert!(false, "one is parted, the other is not"),
        }
    }

    #[test]
    fn a_plane_through_a_vertex_that_only_touches_leaves_no_crumbs(mesh in mesh(), normal in unit()) {
        let height = |p: &Point| normal.dot(&p.coords);
        let top = mesh.vertices.iter().max_by(|a, b| height(a).total_cmp(&height(b))).unwrap();
        let tangent = Plane::through(*top, normal).unwrap();
        if let Some(parted) = parted(&mesh, &tangent) {
            // Rounding may leave the plane a hair below the vertex; what is above then is a closed sliver.
            prop_assert!(edge_report(&parted.above.mesh).closed());
            prop_assert!(parted.above.mesh.volume_mm3().abs() < 1e-6);
        }
    }
}
