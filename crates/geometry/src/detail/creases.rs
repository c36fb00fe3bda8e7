//! Planes along which sharp edges and grooves run.
//!
//! An edge counts where the surface turns there by [`SHARP_DEG`], or, on fine meshes, bends about it more tightly than a
//! [share](TIGHT_SHARE) of the model's size. Planes through them are found by trying many and counting what lies along each
//! (Fischler and Bolles, "Random sample consensus", 1981); the edges of the best are taken out, and so on. Branching lines,
//! gaps and bands of edges then matter little.

use nalgebra::Unit;

use super::{Detail, DetailKind, OF_A_KIND};
use crate::best_plane::best_plane;
use crate::{Bounds, Cancelled, EdgeTable, Mesh, Plane, Point, Progress, Vector};

/// A turn at an edge that is meant, and not the facets of something round. Our own choice, no source.
const SHARP_DEG: f64 = 28.0;
/// Radius of a groove or a rounded edge, as a share of the model's diagonal. Our own choice, no source.
const TIGHT_SHARE: f64 = 0.004;
/// Less is the noise of scanned surfaces. Our own choice, no source.
const LEAST_TURN_DEG: f64 = 4.0;
/// Edges that are looked at; of more, every so many is taken, so that trying planes takes as long for every mesh. Our own
/// choice, no source.
const SAMPLES: usize = 4000;
/// Planes tried for each that is found: one along which a tenth of the edges lie is missed once in three million times
/// (0.99 to this power). Our own choice, no source.
const TRIALS: usize = 1500;
/// Distance from a plane up to which edges lie along it, as a share of the model's diagonal: a maker's eye sees no less on the
/// whole model. Our own choice, no source.
const OFF_SHARE: f64 = 0.004;
/// How far an edge may run out of the plane: sine of ten degrees.
const OUT_OF_PLANE: f64 = 0.174;
/// Length of the lines along a plane that is offered, as a share of the model's diagonal. Our own choice, no source.
const LENGTH_SHARE: f64 = 0.35;

/// A sharp edge.
#[derive(Clone, Copy, Debug)]
struct Sharp {
    ends: [Point; 2],
    middle: Point,
    along: Vector,
    /// Its length, and that of those it stands for, mm.
    weight_mm: f64,
}

pub(super) fn find(
    mesh: &Mesh,
    edges: &EdgeTable,
    bounds: &Bounds,
    progress: &Progress,
) -> Result<Vec<Detail>, Cancelled> {
    let size = bounds.diagonal();
    let mut sharp = sampled(sharp_edges(mesh, edges, size * TIGHT_SHARE));
    let mut found = Vec::new();
    while found.len() < OF_A_KIND {
        progress.check()?;
        let Some(plane) = best_of_many(&sharp, size) else { break };
        // Once more with the plane nearest to what was found along it.
        let near = along(&sharp, &plane, size);
        let places: Vec<Point> = near.iter().flat_map(|i| sharp[*i].ends).collect();
        let Ok(best) = best_plane(&places) else { break };
        let near = along(&sharp, &best.plane, size);
        let length_mm: f64 = near.iter().map(|i| sharp[*i].weight_mm).sum();
        if near.is_empty() || length_mm < LENGTH_SHARE * size {
            break;
        }
        let places: Vec<Point> = near.iter().flat_map(|i| sharp[*i].ends).collect();
        let off_mm = places.iter().map(|p| best.plane.distance_mm(p).abs()).fold(0.0, f64::max);
        found.push(Detail { plane: best.plane, kind: DetailKind::Crease, off_mm, extent: length_mm, places });
        let mut taken = near.into_iter().peekable();
        let mut i = 0;
        sharp.retain(|_| {
            i += 1;
            taken.next_if_eq(&(i - 1)).is_none()
        });
    }
    Ok(found)
}

fn sharp_edges(mesh: &Mesh, edges: &EdgeTable, tight_mm: f64) -> Vec<Sharp> {
    let (sharp_rad, least_rad) = (SHARP_DEG.to_radians(), LEAST_TURN_DEG.to_radians());
    let mut found = Vec::new();
    for edge in edges.edges() {
        let mut faces = edge.faces();
        let (Some((one, _)), Some((other, _)), None) = (faces.next(), faces.next(), faces.next()) else { continue };
        let ends = [edge.low, edge.high].map(|v| mesh.vertices[v as usize]);
        let across = [one, other].map(|face| {
            let [a, b, c] = mesh.corners(face as usize);
            (b - a).cross(&(c - a))
        });
        let span = ends[1] - ends[0];
        let (length, areas) = (span.norm(), across.map(|n| n.norm()));
        if length <= 0.0 || areas.contains(&0.0) {
            continue;
        }
        let turn = across[0].angle(&across[1]);
        // The middles of both faces are a third of their heights from the edge: over that way the surface turns.
        let way = (areas[0] + areas[1]) / length / 3.0;
        if turn >= sharp_rad || (turn >= least_rad && turn * tight_mm >= way) {
            let middle = nalgebra::center(&ends[0], &ends[1]);
            found.push(Sharp { ends, middle, along: span / length, weight_mm: length });
        }
    }
    found
}

/// So many of them, spread evenly over their length.
fn sampled(all: Vec<Sharp>) -> Vec<Sharp> {
    if all.len() <= SAMPLES {
        return all;
    }
    let step = all.iter().map(|edge| edge.weight_mm).sum::<f64>() / SAMPLES as f64;
    let mut walked = 0.0;
    let mut kept = Vec::with_capacity(SAMPLES);
    for edge in all {
        let before = (walked / step).floor();
        walked += edge.weight_mm;
        let steps = (walked / step).floor() - before;
        if steps > 0.0 {
            kept.push(Sharp { weight_mm: step * steps, ..edge });
        }
    }
    kept
}

/// The edges along a plane, rising.
fn along(sharp: &[Sharp], plane: &Plane, size: f64) -> Vec<usize> {
    (0..sharp.len()).filter(|&i| is_along(&sharp[i], plane, size)).collect()
}

fn is_along(edge: &Sharp, plane: &Plane, size: f64) -> bool {
    plane.distance_mm(&edge.middle).abs() <= OFF_SHARE * size && edge.along.dot(&plane.normal()).abs() <= OUT_OF_PLANE
}

/// Of planes along one edge through the middle of another, that along which most lies.
fn best_of_many(sharp: &[Sharp], size: f64) -> Option<Plane> {
    if sharp.len() < 2 {
        return None;
    }
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let mut best: Option<(f64, Plane)> = None;
    for _ in 0..TRIALS {
        let (one, other) = (&sharp[dice.below(sharp.len())], &sharp[dice.below(sharp.len())]);
        let apart = other.middle - one.middle;
        let Some(normal) = Unit::try_new(one.along.cross(&apart), OFF_SHARE * size) else { continue };
        let Ok(plane) = Plane::through(one.middle, normal.into_inner()) else { continue };
        let length: f64 = sharp.iter().filter(|edge| is_along(edge, &plane, size)).map(|edge| edge.weight_mm).sum();
        if best.as_ref().is_none_or(|(most, _)| length > *most) {
            best = Some((length, plane));
        }
    }
    best.map(|(_, plane)| plane)
}

/// The same numbers every time (Marsaglia, "Xorshift RNGs", 2003).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n as u64) as usize
    }
}
