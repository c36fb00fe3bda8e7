//! Room made in one solid for another.

mod grow;
mod measure;
mod mitre;
mod part;
mod take;

use crate::booleans::Made;
use crate::mend::NEW_FACE;
use crate::{Cancelled, EdgeTable, Mesh, Progress, Resolution, Shells};
use measure::Measured;

pub use measure::ROOM_SHARE;
pub use part::{relieve_among, solid_with, taken_out};

/// A solid with room for another. See [`relieve`].
#[derive(Clone, Debug, PartialEq)]
pub struct Relieved {
    /// The solid.
    pub mesh: Mesh,
    /// For each face the one of the solid before that it is, or is a part of; [`NEW_FACE`](crate::mend::NEW_FACE) for those of
    /// the room.
    pub came_from: Vec<u32>,
    /// What was done.
    pub report: ReliefReport,
}

/// What [`relieve`] did, in numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ReliefReport {
    /// Volume taken away, mm³; 0 where there was room enough.
    pub removed_mm3: f64,
    /// The least distance of the two before, mm: 0 where they had a place in common.
    pub before_mm: f64,
    /// The least distance of the two now, mm; it may be less than told by [`ROOM_SHARE`] of it. Where nothing was taken away
    /// it is that of before.
    pub after_mm: f64,
    /// The greatest distance of a corner of the new faces from the other solid, mm; 0 without new faces. More than the
    /// clearance along edges and at tips of the other, where the room has mitres.
    pub farthest_mm: f64,
    /// Faces of the room.
    pub faces_added: usize,
    /// Outward shells that the solid consists of now; more than one where the room cuts it apart.
    pub bodies: usize,
}

/// One of the two solids.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The one that loses material.
    Relieved,
    /// The one that it makes room for.
    Other,
}

impl std::fmt::Display for Which {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Which::Relieved => "the shell to be relieved",
            Which::Other => "the shell that it makes room for",
        })
    }
}

/// Why room could not be made. Nothing was changed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ReliefError {
    /// Stopped.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
    /// A clearance that is none.
    #[error("a clearance is more than 0 mm, not {0} mm")]
    Clearance(f64),
    /// A solid without faces.
    #[error("{0} is not there: the file may have changed, choose shells anew")]
    Missing(Which),
    /// An open surface has no inside.
    #[error("{0} is open in {1} edges and has no inside: fill its holes first")]
    Open(Which, usize),
    /// Faces turned against each other.
    #[error("{0} has faces turned against each other: turn shells outwards first")]
    Misturned(Which),
    /// Edges with more than two faces.
    #[error("{0} has {1} edges with more than two faces: part them first")]
    OverUsed(Which, usize),
    /// All of it faces inwards.
    #[error("{0} is inside out: turn shells outwards first")]
    InsideOut(Which),
    /// All of it is in the way.
    #[error("nothing would be left of the shell to be relieved: make room in the other one instead, or choose less")]
    NothingLeft,
    /// The library that takes solids away from each other failed.
    #[error("the room could not be made: {0}; try a slightly different clearance")]
    Library(String),
    /// What came out is nearer than asked for.
    #[error(
        "the room came out {after_mm:.3} mm wide instead of {clearance_mm} mm: the other shell may be too rough there; \
         smooth it where it was made, or choose another clearance"
    )]
    TooNarrow {
        /// The least distance.
        after_mm: f64,
        /// What was asked for, mm.
        clearance_mm: f64,
    },
}

/// Takes away from `solid` what `other`, grown by `clearance_mm`, takes up. Both may have cavities, and several shells.
///
/// Every place of what is left is at least `clearance_mm` from `other` (measured on the result, to within [`ROOM_SHARE`], before
/// it is handed out). Where the faces of `other` turn by less than 22° around a vertex no more than 2 % too much goes, along
/// edges and at corners up to twice the clearance: there the room has mitres, like those of a thicker shell, no roundings.
/// Faces of `solid` that the room does not touch stay as they are to the last bit.
pub fn relieve(solid: &Mesh, other: &Mesh, clearance_mm: f64, progress: &Progress) -> Result<Relieved, ReliefError> {
    if !(clearance_mm > 0.0 && clearance_mm.is_finite()) {
        return Err(ReliefError::Clearance(clearance_mm));
    }
    check(solid, Which::Relieved)?;
    check(other, Which::Other)?;
    progress.stage("making room");
    let measured = Measured::new(other, progress)?;
    let before_mm = measured.least_from(solid, progress)?;
    if before_mm >= clearance_mm {
        let report = ReliefReport { before_mm, after_mm: before_mm, bodies: bodies(solid), ..ReliefReport::default() };
        return Ok(Relieved { mesh: solid.clone(), came_from: (0..solid.triangles.len() as u32).collect(), report });
    }
    // So much more that the distance is still kept when the result is written in single precision.
    let by_mm = clearance_mm + Resolution::of(solid).on_plane_mm.max(Resolution::of(other).on_plane_mm);
    let mut made = take::away(solid, &grow::grown(other, by_mm, progress)?, progress)?;
    let mut after_mm = measured.least_from(&made.mesh, progress)?;
    if after_mm < clearance_mm {
        after_mm = take_the_rest(&mut made, &measured, clearance_mm, by_mm, progress)?;
    }
    let report = ReliefReport {
        removed_mm3: (solid.volume_mm3() - made.mesh.volume_mm3()).max(0.0),
        before_mm,
        after_mm,
        farthest_mm: measured.farthest_new(&made, progress)?,
        faces_added: made.came_from.iter().filter(|from| **from == NEW_FACE).count(),
        bodies: bodies(&made.mesh),
    };
    Ok(Relieved { mesh: made.mesh, came_from: made.came_from, report })
}

/// Where the other is so rough that its grown surface folds through itself, something may be left standing too near. There its
/// faces are grown one by one, which cannot miss. Gives the least distance then.
fn take_the_rest(
    made: &mut Made,
    measured: &Measured<'_>,
    clearance_mm: f64,
    by_mm: f64,
    progress: &Progress,
) -> Result<f64, ReliefError> {
    let mut after_mm = 0.0;
    for _ in 0..PASSES {
        let near = measured.faces_near(&made.mesh, clearance_mm, progress)?;
        if near.len() > MOST_ONE_BY_ONE {
            break;
        }
        let next = take::away(&made.mesh, &take::grown_one_by_one(measured.mesh(), &near, by_mm), progress)?;
        let from = |face: &u32| made.came_from.get(*face as usize).copied().unwrap_or(NEW_FACE);
        *made = Made { came_from: next.came_from.iter().map(from).collect(), mesh: next.mesh };
        after_mm = measured.least_from(&made.mesh, progress)?;
        if after_mm >= clearance_mm {
            return Ok(after_mm);
        }
    }
    Err(ReliefError::TooNarrow { after_mm, clearance_mm })
}

/// Times that what is left too near is taken away: one does, and a second is for what rounding leaves.
const PASSES: usize = 2;
/// Faces grown one by one at most: some ten seconds' work. Our own choice, no source.
const MOST_ONE_BY_ONE: usize = 2000;

fn check(mesh: &Mesh, which: Which) -> Result<(), ReliefError> {
    if mesh.triangles.is_empty() {
        return Err(ReliefError::Missing(which));
    }
    let edges = EdgeTable::new(mesh);
    let report = edges.report(mesh);
    if report.open > 0 {
        return Err(ReliefError::Open(which, report.open));
    }
    if report.over_used > 0 {
        return Err(ReliefError::OverUsed(which, report.over_used));
    }
    if report.misturned > 0 {
        return Err(ReliefError::Misturned(which));
    }
    if bodies(mesh) == 0 {
        return Err(ReliefError::InsideOut(which));
    }
    Ok(())
}

/// Outward shells.
fn bodies(mesh: &Mesh) -> usize {
    let edges = EdgeTable::new(mesh);
    let shells = Shells::of_edges(&edges);
    shells.reports(mesh, &edges).iter().filter(|report| report.volume_mm3 > 0.0).count()
}
