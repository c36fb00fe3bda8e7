//! The answer to *will it fit?* and the reason given with it.

use crate::{BedError, Motion};

/// What is said of a piece and a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// It fits in its present attitude; only moved.
    AsItStands,
    /// It fits once turned about the vertical.
    Turned,
    /// It fits once tilted.
    Tilted,
    /// No pose *of those asked for* fits, and that is proven.
    TooBig,
    /// Neither a pose nor a proof was found; the reason states how narrow the gap is.
    Undecided,
}

impl Verdict {
    /// The word for machines: `as-it-stands`, `turned`, `tilted`, `too-big` or `undecided`.
    pub fn as_str(self) -> &'static str {
        match self {
            Verdict::AsItStands => "as-it-stands",
            Verdict::Turned => "turned",
            Verdict::Tilted => "tilted",
            Verdict::TooBig => "too-big",
            Verdict::Undecided => "undecided",
        }
    }

    /// Whether a pose inside the bed is known.
    pub fn fits(self) -> bool {
        matches!(self, Verdict::AsItStands | Verdict::Turned | Verdict::Tilted)
    }
}

impl std::fmt::Display for Verdict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.as_str())
    }
}

/// How far to look for a pose. Each level includes the ones before it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Search {
    /// Only moved, never turned.
    AsItStands,
    /// Turned about the vertical by any angle.
    #[default]
    Turned,
    /// Any rotation.
    AnyPose,
}

/// The verdict for one piece on one bed, with its evidence.
///
/// Frames: *piece* is the frame of the points that were given; *bed* is that of [`Bed`](crate::Bed), margins included,
/// z = 0 on the surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The answer.
    pub verdict: Verdict,
    /// `bed_from_piece`, present exactly when the verdict says that it fits: the piece is where it has most room (on a
    /// plain rectangle its box is in the middle) and its lowest point lies on top of the raft, at z = `bed.raft_mm`.
    pub pose: Option<Motion>,
    /// Spare room of the best pose found, mm: the smallest of room minus size over the three axes; on a bed that is no
    /// plain rectangle, twice what is left to the nearest wall or zone takes the place of width and depth. Negative when
    /// the piece sticks out; then it is minus [`Excess::mm`].
    pub slack_mm: f64,
    /// How it sticks out in the pose in which it sticks out least; absent when it fits.
    pub excess: Option<Excess>,
    /// Width, depth and height in the best pose found, mm.
    pub sizes_mm: [f64; 3],
    /// Why.
    pub reason: Reason,
}

/// How much too big a piece is, in the pose in which it sticks out least among those looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Excess {
    /// The axis of the bed along which it sticks out most.
    pub axis: Axis,
    /// By how much, mm, both ends together.
    pub mm: f64,
    /// `bed_from_piece` of that pose, centred like [`Fit::pose`].
    pub pose: Motion,
}

/// An axis of the bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Axis {
    /// Along x.
    Width,
    /// Along y.
    Depth,
    /// Along z.
    Height,
    /// Sideways, on a bed that is no plain rectangle: at the wall or zone where it sticks out most.
    Across,
}

impl Axis {
    /// The three axes, in the order of coordinates.
    pub const ALL: [Axis; 3] = [Axis::Width, Axis::Depth, Axis::Height];

    /// `width`, `depth`, `height` or `across`.
    pub fn as_str(self) -> &'static str {
        match self {
            Axis::Width => "width",
            Axis::Depth => "depth",
            Axis::Height => "height",
            Axis::Across => "across",
        }
    }
}

impl std::fmt::Display for Axis {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.as_str())
    }
}

/// Why a verdict was given. Its `Display` is a phrase for people.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Reason {
    /// Its upright box is within the room.
    #[error("fits as it stands")]
    Stands,
    /// Turned by `turn_deg` about the vertical, counter-clockwise seen from above.
    #[error("fits turned by {turn_deg:.1}°")]
    Turns {
        /// The turn, −90 < `turn_deg` ≤ 90.
        turn_deg: f64,
    },
    /// It stands on the face asked for, then turned.
    #[error("fits standing on the face asked for")]
    StandsOnGiven {
        /// Which of the directions given.
        index: usize,
    },
    /// It stands on a flat of its hull.
    #[error("fits standing on a flat of {:.1} cm²", .area_mm2 / 100.0)]
    StandsOnFlat {
        /// Area of that face of the hull, mm².
        area_mm2: f64,
    },
    /// It fits only in a free tilt, with no flat on the bed.
    #[error("fits tilted freely, with no flat on the bed")]
    TiltsFreely,
    /// Its upright box is larger than the room; turning and tilting were not asked for.
    #[error("too big as it stands; turning and tilting were not tried")]
    NotAsItStands,
    /// No turn about the vertical fits, which is exact; tilting was not asked for.
    #[error("too big at every turn about the vertical; tilting was not tried")]
    NoTurn,
    /// Two of its points are farther apart than any two points of the room.
    #[error("too long: {length_mm:.1} mm from end to end, and the room's diagonal is {diagonal_mm:.1} mm")]
    TooLong {
        /// Largest distance between two of its points, mm.
        length_mm: f64,
        /// Space diagonal of the room, mm.
        diagonal_mm: f64,
    },
    /// It is thicker in every direction than the room's smallest side.
    #[error("too thick: at least {width_mm:.1} mm in every direction, and the room's smallest side is {side_mm:.1} mm")]
    TooThick {
        /// Smallest width of its hull over all directions, mm.
        width_mm: f64,
        /// Smallest side of the room, mm.
        side_mm: f64,
    },
    /// A measure that can only grow with a convex body is larger than the room's.
    #[error("too big: the {measure} of its hull is {hull:.4e} {unit}, that of the room {room:.4e} {unit}")]
    TooMuch {
        /// Which measure: `volume`, `surface` or `mean width`.
        measure: &'static str,
        /// The hull's.
        hull: f64,
        /// The room's.
        room: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// Every cell of the space of rotations was excluded.
    #[error("too big: no rotation fits (all excluded after looking at {looked_at})")]
    NoRotation {
        /// How many directions were looked at.
        looked_at: usize,
    },
    /// The search ran out: the best pose that exists has a slack between `slack_mm` of the [`Fit`] and `at_most_mm`.
    #[error("undecided after looking at {looked_at} directions: no pose has more than {at_most_mm:.2} mm to spare")]
    OutOfPatience {
        /// How many directions were looked at.
        looked_at: usize,
        /// No pose has more slack than this, mm.
        at_most_mm: f64,
    },
    /// There are no points.
    #[error("there is nothing to place")]
    Nothing,
    /// A coordinate is NaN or infinite.
    #[error("a coordinate is not a finite number")]
    NotFinite,
    /// The bed holds nothing.
    #[error("{0}")]
    Bed(#[from] BedError),
}
