//! A cut that is being placed: what both its sides would be, fast enough for every frame of a drag.

mod exact;
mod outline;
mod prepare;
mod reach;
mod rest;
mod sides;
mod verdict;

pub(crate) use outline::LEAST_GRAZING_MM;
pub use outline::{GRAZING_DEG, PRINT_LINE_MM, Sliver};
pub use rest::AtRest;

use std::collections::BTreeSet;
use std::sync::Arc;

use rayon::prelude::*;
use seamwright_geometry::{
    Bed, Bounds, Cancelled, CutSurface, Graze, Plane, SectionLoop, SectionSupport, Side, Solid, ThinWall, Verdict,
    surface_outline,
};

use crate::evaluate::Stop;
use crate::outcome::Failure;
use crate::recipe::PieceId;
use prepare::Weighed;
pub use verdict::PlacedSide;
use verdict::{badness, best_bed, fit_on, worse};

/// The pieces as all other cuts leave them, prepared for one cut to move through them.
#[derive(Clone, Debug)]
pub struct Placing {
    pieces: Vec<PlacingPiece>,
    beds: Vec<Bed>,
}

/// A piece that the moving cut may cross.
#[derive(Clone, Debug)]
pub struct PlacingPiece {
    /// Its identity without the moving cut.
    pub id: PieceId,
    /// Its faces.
    pub solid: Arc<Solid>,
    /// Whether the cut's scope lets it at this piece.
    pub in_scope: bool,
    bounds: Bounds,
    support: Arc<Weighed>,
    /// What finds its outline; none where the cut is kept from it.
    section: Option<Arc<SectionSupport>>,
    /// What each side, below and above, is parted into by cuts that are limited to it; none where it is left whole.
    parts: [Vec<SidePart>; 2],
}

/// A part of one side.
#[derive(Clone, Debug)]
struct SidePart {
    id: PieceId,
    support: Arc<Weighed>,
}

/// What the moving cut would do where it is now.
#[derive(Clone, Debug, Default)]
pub struct Placement {
    /// Both sides of every piece that it crosses; empty where they are not known.
    pub sides: Vec<PlacedSide>,
    /// Whether the sides are known before the cut is made: they are for a cut along all of a plane.
    pub sides_known: bool,
    /// The outline that it draws on them.
    pub outline: Vec<SectionLoop>,
    /// Area of its caps, mm².
    pub area_mm2: f64,
    /// Where it grazes the surface, within [`GRAZING_DEG`].
    pub grazes: Vec<Graze>,
    /// The thinnest wall of its section, where that is found within a frame.
    pub thinnest_wall: Option<ThinWall>,
}

/// Why there is nothing to place a cut in.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlacingError {
    /// The work was cancelled.
    #[error("cancelled")]
    Cancelled,
    /// A stage before the cuts failed.
    #[error("{}", .0.text)]
    Failed(Failure),
    /// The recipe has no stock yet.
    #[error("there is no model yet: open one first")]
    NoStock,
}

impl From<Cancelled> for PlacingError {
    fn from(_: Cancelled) -> Self {
        PlacingError::Cancelled
    }
}

impl From<Stop> for PlacingError {
    fn from(stop: Stop) -> Self {
        match stop {
            Stop::Cancelled => PlacingError::Cancelled,
            Stop::Failed(failure) => PlacingError::Failed(failure),
        }
    }
}

impl Placing {
    /// The pieces as the other cuts leave them.
    pub fn pieces(&self) -> &[PlacingPiece] {
        &self.pieces
    }

    /// The identities of the pieces that a cut may be limited to here.
    pub fn names(&self) -> BTreeSet<PieceId> {
        self.pieces.iter().map(|piece| piece.id.clone()).collect()
    }

    /// What a cut along `surface` would do now. Of another one than a plane without end only the lines that it draws are
    /// worked out, and those not on pieces of more than a million faces: which pieces it makes shows when it is made.
    pub fn at_surface(&self, surface: &CutSurface) -> Placement {
        if let CutSurface::Plane(plane) = surface {
            return self.at(plane);
        }
        let in_scope = self.pieces.iter().filter(|piece| piece.in_scope && piece.shows_lines_of(surface));
        let outline = in_scope.flat_map(|piece| surface_outline(&piece.solid, surface)).collect();
        Placement { outline, ..Placement::default() }
    }

    /// What a cut along `plane` would do now. Made anew for every frame of a drag.
    pub fn at(&self, plane: &Plane) -> Placement {
        let met: Vec<(Vec<PlacedSide>, Vec<SectionLoop>, Vec<Graze>)> = self
            .pieces
            .par_iter()
            .filter(|piece| piece.in_scope)
            .map(|piece| {
                let sides = piece.sides(plane, &self.beds);
                let (outline, grazes) = if sides.is_empty() { Default::default() } else { piece.told_outline(plane) };
                (sides, outline, grazes)
            })
            .collect();
        let mut placement = Placement { sides_known: true, ..Placement::default() };
        for (sides, outline, grazes) in met {
            placement.sides.extend(sides);
            placement.area_mm2 += outline.iter().map(|line| line.area_mm2).sum::<f64>();
            placement.outline.extend(outline);
            placement.grazes.extend(grazes);
        }
        placement.thinnest_wall = placement.quick_thinnest_wall(plane);
        placement
    }
}

/// The lines of a surface that is no plane are looked for among all faces: 18 ms for a million of them
/// (`examples/profile_speed.rs` of the geometry crate). With more, a drag would stutter, and they are left out.
const MOST_FACES: usize = 1_000_000;

impl PlacingPiece {
    /// The box around it, mm.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Whether a cut along `surface` reaches it, by its scope or not: of another one than a plane without end, whether it
    /// may.
    pub fn is_reached_by(&self, surface: &CutSurface) -> bool {
        match surface {
            CutSurface::Plane(plane) => {
                let halves = self.support.support.split(plane);
                Side::BOTH.iter().all(|side| halves.bounds(*side).is_some())
            }
            _ => surface.side_of_box(&self.bounds, self.solid.resolution.on_plane_mm).is_none(),
        }
    }

    /// Whether `surface` may draw lines on it, and they are found within a frame.
    fn shows_lines_of(&self, surface: &CutSurface) -> bool {
        let clear = surface.side_of_box(&self.bounds, self.solid.resolution.on_plane_mm).is_some();
        !clear && self.solid.mesh.triangles.len() <= MOST_FACES
    }

    /// The lines that `plane` draws on it.
    fn outline(&self, plane: &Plane) -> Vec<SectionLoop> {
        self.section.as_ref().map_or_else(Vec::new, |section| section.section(&self.solid, plane).loops)
    }

    /// Both sides under `plane`, part by part; nothing where it misses the piece.
    fn sides(&self, plane: &Plane, beds: &[Bed]) -> Vec<PlacedSide> {
        let halves = self.support.support.split(plane);
        if Side::BOTH.iter().any(|side| halves.bounds(*side).is_none()) {
            return Vec::new();
        }
        let placed = |part: &PieceId, side: Side, fit| PlacedSide::of(&self.id, part, side, fit);
        let of_side = |side: Side| -> Vec<PlacedSide> {
            match self.parts[side as usize].as_slice() {
                [] => fit_on(&halves, side, beds).map(|fit| placed(&self.id, side, fit)).into_iter().collect(),
                parts => {
                    let fit = |part: &SidePart| fit_on(&part.support.support.split(plane), side, beds);
                    parts.iter().filter_map(|part| Some(placed(&part.id, side, fit(part)?))).collect()
                }
            }
        };
        let (mut below, above) = rayon::join(|| of_side(Side::Below), || of_side(Side::Above));
        below.extend(above);
        below
    }
}

impl Placement {
    /// The side that is worst off on each side of the cut, for colouring: (below, above). *Too big*, which is proven,
    /// is worse than *undecided*.
    pub fn worst(&self) -> (Option<Verdict>, Option<Verdict>) {
        let on = |side: Side| self.sides.iter().filter(move |s| s.side == side).map(|s| s.verdict);
        let worst = |side: Side| on(side).max_by_key(|verdict| badness(*verdict));
        (worst(Side::Below), worst(Side::Above))
    }
}
