//! Why there is no channel, or no bore.

use crate::{Cancelled, Point};

/// Why this is no channel.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ChannelError {
    /// A coordinate is NaN, infinite, or more than a thousand kilometres.
    #[error("a channel needs finite numbers within a thousand kilometres; this one has {0}")]
    NotFinite(f64),
    /// A line needs two points.
    #[error("a channel leads through at least two points; this one has {0}")]
    TooFewPoints(usize),
    /// Two points in a row are one.
    #[error("run {run} of the channel has no length: move its ends apart")]
    RunTooShort {
        /// Counted from 1.
        run: usize,
    },
    /// The mitres at the ends of a run need more than its length.
    #[error(
        "run {run} of the channel is shorter than its bends need ({needed_mm:.2} mm): make it longer, or the bends flatter"
    )]
    RunShorterThanBends {
        /// Counted from 1.
        run: usize,
        /// What they need, mm.
        needed_mm: f64,
    },
    /// See [`MOST_BEND_DEG`](super::MOST_BEND_DEG).
    #[error("the channel bends by {deg:.0}° at point {point}; up to 90° are possible: put a point between")]
    BendTooSharp {
        /// Counted from 0.
        point: usize,
        /// By how much, degrees.
        deg: f64,
    },
    /// It comes back to itself.
    #[error("runs {} and {} of the channel meet: make them two channels", runs[0], runs[1])]
    RunsMeet {
        /// Counted from 1.
        runs: [usize; 2],
    },
    /// A measure is not positive, or too large.
    #[error("the {what} cannot be {mm} mm")]
    BadMeasure {
        /// Which.
        what: &'static str,
        /// As given.
        mm: f64,
    },
    /// See [`SIDES`](super::SIDES).
    #[error("a round channel has 8 to 256 sides, not {0}")]
    BadSides(u32),
    /// Not between 1° and 179°.
    #[error("the flanks of a countersink stand at 1° to 179°, not {0}°")]
    BadAngle(f64),
    /// A direction without length.
    #[error("(0, 0, 0) points nowhere: say where the pocket goes")]
    NoDirection,
}

/// Why a shell is not closed, and what mends it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// Edges of one face only: [`FillHoles`](crate::mend::MendStep::FillHoles).
    Holes,
    /// Edges whose faces look opposite ways: [`TurnOutward`](crate::mend::MendStep::TurnOutward).
    Turned,
    /// Edges of more than two faces: [`SplitSheets`](crate::mend::MendStep::SplitSheets).
    Sheets,
}

impl Fault {
    fn words(self) -> &'static str {
        match self {
            Fault::Holes => "have a face on one side only",
            Fault::Turned => "have faces that look opposite ways",
            Fault::Sheets => "have more than two faces",
        }
    }

    fn way_out(self) -> &'static str {
        match self {
            Fault::Holes => {
                "First fill its holes (the mend \"fill holes\"; where faces only fail to meet, \"merge near vertices\" before it)"
            }
            Fault::Turned => "First turn its faces one way (the mend \"turn shells outwards\")",
            Fault::Sheets => "First part its sheets (the mend \"part edges with more than two faces\")",
        }
    }
}

/// Why nothing was bored. The solid is as it was.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BoreError {
    /// Stopped.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
    /// A shell that the channel passes is not closed, and the surface around the channel does not tell by itself where its
    /// material is.
    #[error(
        "the channel goes through a shell that is not closed: {faults} of its edges {}, the nearest {off_mm:.1} mm from \
         the channel's line at ({:.2}, {:.2}, {:.2}), so that nobody can tell where it has material. {}; then bore. Or bore \
         where the surface goes all round the channel",
        fault.words(), at.x, at.y, at.z, fault.way_out()
    )]
    Open {
        /// The fault nearest to the channel.
        at: Point,
        /// How far that is from the line of the channel, mm.
        off_mm: f64,
        /// How many edges of the shell are at fault.
        faults: usize,
        /// What is wrong with them.
        fault: Fault,
    },
    /// Neither our own way nor the library for booleans made something closed of it.
    #[error(
        "the channel could not be taken away at ({:.2}, {:.2}, {:.2}): {reason}; move it by a tenth of a millimetre, or unite shells that cross first",
        at.x, at.y, at.z
    )]
    Refused {
        /// Near where.
        at: Point,
        /// What stood in the way.
        reason: String,
    },
}

impl BoreError {
    /// Near where it is.
    pub fn place(&self) -> Option<Point> {
        match self {
            BoreError::Cancelled(_) => None,
            BoreError::Open { at, .. } | BoreError::Refused { at, .. } => Some(*at),
        }
    }
}
