//! What a solid can be parted by: planes, planes that end, and curves drawn in a frame and extruded.

mod beside;
mod finite;
mod profile;
mod simple;

pub use finite::FinitePlane;
pub use profile::{Profile, Track};

use crate::{Bounds, Plane, Side};

/// What parts a solid.
#[derive(Clone, Debug, PartialEq)]
pub enum CutSurface {
    /// A plane without end.
    Plane(Plane),
    /// A plane that parts only on one side of a line drawn in it.
    FinitePlane(FinitePlane),
    /// A curve drawn in a frame and extruded.
    Profile(Profile),
}

impl CutSurface {
    /// The side on which all of `bounds` lies, farther than `on_mm` from the surface; `None` where the surface may touch it.
    /// A cheap look before an exact one. For a finite plane, one that its whole plane may touch is on no side.
    pub fn side_of_box(&self, bounds: &Bounds, on_mm: f64) -> Option<Side> {
        match self {
            CutSurface::Plane(plane) => plane.side_of_box(bounds, on_mm),
            CutSurface::FinitePlane(finite) => finite.plane().side_of_box(bounds, on_mm),
            CutSurface::Profile(profile) => profile.side_of_box(bounds, on_mm),
        }
    }
}

impl From<Plane> for CutSurface {
    fn from(plane: Plane) -> CutSurface {
        CutSurface::Plane(plane)
    }
}

/// Why some numbers are no surface to cut along.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum SurfaceError {
    /// A number is NaN or infinite.
    #[error("a surface needs finite numbers; this one has {0}")]
    NotFinite(f64),
    /// The directions of a frame, or an edge within its plane, point nowhere or along one another.
    #[error("these directions span no frame: each must have a length, and not along the one before it")]
    NoDirection,
    /// A profile without points.
    #[error("a profile needs at least one point")]
    NoPoints,
    /// More points than a profile can have.
    #[error("a profile can have at most {most} points; this one has {count}")]
    TooManyPoints {
        /// How many there are.
        count: usize,
        /// How many there can be: [`Profile::MOST_POINTS`].
        most: usize,
    },
    /// The origin of a frame is so far away that places could not be told exactly.
    #[error("the origin of the profile is farther off than {} mm", Profile::FARTHEST_MM)]
    OriginTooFar,
    /// A point of a profile is so far away that its place could not be told exactly.
    #[error("point {index} of the profile is farther off than {} mm", Profile::FARTHEST_MM)]
    TooFar {
        /// Which point, from 0.
        index: usize,
    },
    /// Two consecutive points of a profile lie on the same spot.
    #[error("points {index} and {} of the profile both lie at {:.3}, {:.3} mm", .index + 1, at[0], at[1])]
    Repeated {
        /// The earlier one, from 0.
        index: usize,
        /// Where (u, v), mm.
        at: [f64; 2],
    },
    /// A profile touches or crosses itself.
    #[error("the profile meets itself at {:.3}, {:.3} mm: {first} and {second} must keep apart", at[0], at[1])]
    MeetsItself {
        /// The earlier part.
        first: Track,
        /// The later part.
        second: Track,
        /// About where (u, v), mm.
        at: [f64; 2],
    },
}
