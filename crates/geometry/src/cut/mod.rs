//! Parting a solid by a plane into two closed, capped solids.
//!
//! 1. Every vertex is classed once: below, on, above ([`side_of_plane`](crate::predicates::side_of_plane)). The class
//!    of a vertex is all that decides topology, so faces that share it cannot disagree.
//! 2. Faces that no edge crosses go to their side whole. Faces in the plane go to the side that they face away from.
//! 3. Crossing faces are split. The point where an edge crosses is made once, from its ends in an order that depends
//!    on their places only, and shared by both sides.
//! 4. The directed edges that the walls below leave without a partner are the *outline*. Its caps are triangulated
//!    once and given to both sides, turned round for the upper one: the seam is the same to the last bit.
//!
//! Where the outline is not closed because the solid is open there, loose ends are joined where the pairing is beyond
//! doubt; elsewhere that part is left open and its place reported. Nothing here panics on any input.
//!
//! [`cut_parallel`] does the same for many parallel planes at once, where every step surely gives what one plane after
//! another would give.

mod arrange;
mod assemble;
mod cap;
mod constrained;
mod delaunay;
mod drill;
mod finite;
mod levels;
mod marks;
mod outline;
mod parallel;
mod part;
mod profile;
mod walls;

use rayon::prelude::*;

use crate::predicates::{Where, side_of_plane};
use crate::{Cancelled, CutOutcome, Parted, Plane, Point, Progress, Solid};

use marks::Marks;

pub(crate) use drill::{Drilled, subtract};
pub(crate) use finite::outline_of as outline_of_finite;
pub(crate) use outline::OutlineEdge;
pub use parallel::cut_parallel;
pub use part::part;
pub(crate) use profile::outline_of as outline_of_profile;

/// Fills what directed edges between places of a plane go round with triangles, as a cap is; `None` where they meet elsewhere
/// than in common places or do not close.
pub(crate) fn fill_flat(places: &[[f64; 2]], edges: &[[u32; 2]]) -> Option<Vec<[u32; 3]>> {
    let bounds: Vec<_> = edges.iter().map(|&[from, to]| constrained::Bound { from, to, count: 1 }).collect();
    constrained::fill(places, &bounds).map(|filled| filled.triangles)
}

/// Parts `solid` by `plane`. Faces of the cap get the origin [`FaceOrigin::cap`](crate::FaceOrigin::cap) with `label`.
///
/// For a closed solid both sides are closed, and their volumes add up to its volume within rounding. Vertices within
/// the solid's [`Resolution`](crate::Resolution) of the plane count as lying on it and stay where they are.
pub fn cut(solid: &Solid, plane: &Plane, label: u32, progress: &Progress) -> Result<CutOutcome, Cancelled> {
    // The threads that share the work are entered once, not with every step.
    rayon::scope(|_| cut_within(solid, plane, label, progress))
}

fn cut_within(solid: &Solid, plane: &Plane, label: u32, progress: &Progress) -> Result<CutOutcome, Cancelled> {
    progress.check()?;
    let class = classify(solid, plane);
    let walls = match walls::split(solid, plane, &class, walls::Wanted::Walls) {
        walls::Split::Missed(side) => return Ok(CutOutcome::Missed(side)),
        walls::Split::Crossed(walls) => *walls,
    };
    progress.check()?;
    let vertices = Marks::counted(class);
    let (cap, wholes) = rayon::join(|| cap::close(solid, plane, &walls), || assemble::wholes(solid, &vertices, &walls));
    progress.check()?;
    let (below, above) = assemble::sides(solid, &vertices.marks, &walls, &cap, wholes, label);
    Ok(CutOutcome::Parted(Box::new(Parted {
        below,
        above,
        around: None,
        cap_area_mm2: cap.area_mm2,
        removed_mm3: 0.0,
        ended_inside: Vec::new(),
        left_open: cap.left_open,
    })))
}

/// The edges that the caps of a cut would close, and the points where edges cross the plane, numbered after the
/// vertices of the solid.
pub(crate) fn outline_of(solid: &Solid, plane: &Plane) -> (Vec<OutlineEdge>, Vec<Point>) {
    let class = classify(solid, plane);
    outline_in(walls::split(solid, plane, &class, walls::Wanted::Outline))
}

/// The same from the faces that the plane crosses or touches alone: `special`, rising, each with three vertices that
/// exist. `clear` says whether there are other faces below and above.
pub(crate) fn outline_among(
    solid: &Solid,
    plane: &Plane,
    special: &[u32],
    clear: [bool; 2],
) -> (Vec<OutlineEdge>, Vec<Point>) {
    let on_plane_mm = solid.resolution.on_plane_mm;
    let class = |v: u32| side_of_plane(plane, &solid.mesh.vertices[v as usize], on_plane_mm);
    outline_in(walls::split_among(solid, plane, special, class, clear, walls::Wanted::Outline))
}

fn outline_in(split: walls::Split) -> (Vec<OutlineEdge>, Vec<Point>) {
    match split {
        walls::Split::Missed(_) => (Vec::new(), Vec::new()),
        walls::Split::Crossed(walls) => (walls.outline.edges(), walls.points),
    }
}

fn classify(solid: &Solid, plane: &Plane) -> Vec<Where> {
    let on_plane_mm = solid.resolution.on_plane_mm;
    solid.mesh.vertices.par_iter().with_min_len(BLOCK).map(|p| side_of_plane(plane, p, on_plane_mm)).collect()
}

/// Vertices or faces that one task works through: large enough that handing out tasks costs nothing beside the work.
const BLOCK: usize = 1 << 14;
