//! Which ways the faces in the boxes of a tree face, and between which planes they lie.

use super::END_DEG;
use crate::tree::FaceTree;
use crate::{Mesh, Point, Vector};

/// For every box of a tree, see [`Facing`].
#[derive(Debug)]
pub(super) struct Facings {
    levels: Vec<Vec<Facing>>,
}

/// What faces near one another have in common: their normals lie in a cone, and their vertices between two planes square to
/// its axis. Where the surface is bent little, the planes are much closer than the sides of an upright box. In single
/// precision, rounded outwards.
#[derive(Clone, Copy, Debug)]
struct Facing {
    axis: [f32; 3],
    /// Half of the angle at the tip of the cone; infinite where nothing is known.
    half_rad: f32,
    /// Where the planes lie along the axis, mm.
    low_mm: f32,
    high_mm: f32,
}

/// Angles of unit vectors in single precision are off by less than this, rad: the square root of its rounding, 3.5e-4, and
/// some room.
const ROUNDING_RAD: f64 = 1e-3;
/// The same for lengths along them, as a share of the largest coordinate: a few steps of single precision, 1.2e-7 each.
const ROUNDING_SHARE: f64 = 1e-6;
/// In larger boxes the faces point all ways, and nothing is gained by knowing more (our own choice, no source).
const MOST_FACES: usize = 4096;

impl Facings {
    pub fn of(mesh: &Mesh, tree: &FaceTree) -> Facings {
        Facings { levels: tree.of_boxes(|faces| Facing::of(mesh, faces)) }
    }

    /// Whether all faces of a box look along a direction or against it, within [`END_DEG`].
    pub fn are_ends(&self, depth: usize, i: usize, along: &Vector) -> bool {
        let facing = &self.levels[depth][i];
        let off_rad = facing.axis().dot(along).abs().clamp(0.0, 1.0).acos();
        off_rad + f64::from(facing.half_rad) + ROUNDING_RAD < END_DEG.to_radians()
    }

    /// No face of a box is nearer than this to any place of a segment, mm; 0 where nothing is known.
    pub fn apart_mm(&self, depth: usize, i: usize, from: &Point, to: &Point) -> f64 {
        let facing = &self.levels[depth][i];
        let axis = facing.axis();
        let (a, b) = (axis.dot(&from.coords), axis.dot(&to.coords));
        let (low, high) = (f64::from(facing.low_mm), f64::from(facing.high_mm));
        (low - a.max(b)).max(a.min(b) - high).max(0.0)
    }
}

impl Facing {
    const ANY: Facing =
        Facing { axis: [0.0, 0.0, 1.0], half_rad: f32::INFINITY, low_mm: f32::NEG_INFINITY, high_mm: f32::INFINITY };

    fn axis(&self) -> Vector {
        Vector::from(self.axis.map(f64::from))
    }

    fn of(mesh: &Mesh, faces: &[u32]) -> Facing {
        if faces.len() > MOST_FACES {
            return Facing::ANY;
        }
        let corners = || faces.iter().map(|face| mesh.corners(*face as usize));
        let normal = |[a, b, c]: [Point; 3]| (b - a).cross(&(c - a)).try_normalize(f64::MIN_POSITIVE);
        // Faces without area look nowhere, and are no walls.
        let sum: Vector = corners().filter_map(normal).sum();
        let Some(unit) = sum.try_normalize(f64::MIN_POSITIVE) else { return Facing::ANY };
        let axis: [f32; 3] = unit.map(|x| x as f32).into();
        // As it is kept.
        let unit = Vector::from(axis.map(f64::from));
        let half_rad = corners().filter_map(normal).map(|normal| normal.angle(&unit)).fold(0.0, f64::max);
        let (mut low, mut high, mut largest) = (f64::INFINITY, f64::NEG_INFINITY, 0.0_f64);
        for p in corners().flatten() {
            let at = unit.dot(&p.coords);
            if !at.is_finite() {
                return Facing::ANY;
            }
            (low, high, largest) = (low.min(at), high.max(at), largest.max(p.coords.amax()));
        }
        let room = largest * ROUNDING_SHARE;
        Facing { axis, half_rad: half_rad as f32, low_mm: (low - room) as f32, high_mm: (high + room) as f32 }
    }
}
