//! Random solids for tests.

use proptest::prelude::*;
use seamwright_geometry::{Mesh, Point, Vector, merge_exact, solids};

/// Balls, rings, boxes of a grid and hollow balls, of any size and fineness.
pub fn solid() -> impl Strategy<Value = Mesh> {
    let centre = prop::array::uniform3(-20.0..20.0f64).prop_map(Point::from);
    prop_oneof![
        (centre.clone(), 5.0..30.0f64, 2..10u32).prop_map(|(c, r, n)| solids::sphere(c, r, n)),
        (centre.clone(), 10.0..30.0f64, 2.0..9.0f64, 3..24u32, 3..16u32)
            .prop_map(|(c, ring, tube, a, b)| solids::torus(c, ring, tube, a, b)),
        (prop::array::uniform3(1..5u32), 1..20i32).prop_map(|(cells, size)| {
            let size = f64::from(size);
            solids::grid_box(Point::new(-size, -size, -size), Point::new(size, size, size), cells)
        }),
        (centre, 10.0..30.0f64, 0.5..0.98f64, 2..8u32)
            .prop_map(|(c, r, k, n)| { solids::hollow(&solids::sphere(c, r, n), &solids::sphere(c, r * k * 0.8, n)) }),
    ]
}

/// The same, and two balls that may cross.
#[allow(dead_code, reason = "not every test of several is for shells that cross")]
pub fn one_or_two() -> impl Strategy<Value = Mesh> {
    let centre = prop::array::uniform3(-20.0..20.0f64).prop_map(Point::from);
    let two = (centre, 5.0..25.0f64, 2..7u32, prop::array::uniform3(-10.0..10.0f64)).prop_map(|(c, r, n, shift)| {
        solids::joined(&[&solids::sphere(c, r, n), &solids::sphere(c + Vector::from(shift), r, n)])
    });
    // Each kind as often as the others.
    prop_oneof![4 => solid(), 1 => two]
}

/// Solids made of unit cells of a small lattice: faces, edges and vertices lie exactly on many planes. Where corners are
/// merged, as reading a file does, cells that touch or coincide share vertices and edges.
pub fn lattice() -> impl Strategy<Value = Mesh> {
    (prop::collection::vec((0..3i32, 0..3i32, 0..3i32), 1..9), any::<bool>()).prop_map(|(cells, merged)| {
        let cubes: Vec<Mesh> = cells
            .iter()
            .map(|&(x, y, z)| {
                let low = Point::new(f64::from(x), f64::from(y), f64::from(z));
                solids::cuboid(low, low + Vector::new(1.0, 1.0, 1.0))
            })
            .collect();
        let joined = solids::joined(&cubes.iter().collect::<Vec<_>>());
        if merged { merge(&joined) } else { joined }
    })
}

/// Small whole numbers are exact in single precision.
fn merge(mesh: &Mesh) -> Mesh {
    let single = |p: Point| [p.x as f32, p.y as f32, p.z as f32];
    let facets: Vec<_> = (0..mesh.triangles.len()).map(|t| mesh.corners(t).map(single)).collect();
    merge_exact(&facets).unwrap().mesh
}
