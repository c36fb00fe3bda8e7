//! The bench by mouse and keyboard without GL, and its pictures with GL but no display.

mod beds;
mod camera;
mod details;
mod follow;
mod gestures;
pub(super) mod gl;
mod handles;
mod magnifier;
mod marks;
mod picking;
mod pictures;
mod pointed;
mod shadows;
mod words;

use std::sync::Arc;

use seamwright_geometry::{Bounds, Mesh, Point, Vector};

use super::{Body, Drawn, MeshId, Scene};

/// A closed box with outward faces.
fn cuboid(min: [f64; 3], max: [f64; 3]) -> Mesh {
    let b = Bounds { min: Point::from(min), max: Point::from(max) };
    let vertices = super::scene::corners(&b).to_vec();
    // Corner i has bit 0 for x, bit 1 for y, bit 2 for z.
    let quads = [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]];
    let triangles = quads.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect();
    Mesh { vertices, triangles }
}

/// 100 mm each way, about the origin.
fn cube() -> Mesh {
    cuboid([-50.0; 3], [50.0; 3])
}

fn drawn(id: u64, mesh: Mesh) -> Drawn {
    Drawn::new(MeshId(id), Arc::new(Body::new(Arc::new(mesh)).known_closed()))
}

fn cube_scene() -> Scene {
    Scene { drawn: vec![drawn(7, cube())], ..Default::default() }
}

fn close(a: &Point, b: &Point, within_mm: f64) -> bool {
    (a - b).norm() <= within_mm
}

/// Numbers between -1 and 1 that are the same in every run (the linear congruential generator of Knuth's MMIX).
fn random(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

#[test]
fn the_test_cube_is_closed_and_outward() {
    assert!((cube().volume_mm3() - 1.0e6).abs() < 1e-6);
    let normal_sum: Vector = (0..12)
        .map(|t| {
            let [a, b, c] = cube().corners(t);
            (b - a).cross(&(c - a))
        })
        .sum();
    assert!(normal_sum.norm() < 1e-9);
}
