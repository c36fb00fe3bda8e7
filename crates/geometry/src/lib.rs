//! Solids, cuts, caps and fit: the geometry beneath the Seamwright workbench.
//!
//! Lengths are millimetres, angles degrees where a name says `_deg` and radians where it says `_rad`, volumes cubic
//! millimetres. Coordinates are right-handed with z up, the frame of the 3MF core specification.
//!
//! What is absent: this crate knows no project, no window and no file of ours. Only [`exchange`] touches bytes of
//! mesh files, and it only turns them into meshes and back.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod bore;
pub mod exchange;
pub mod solids;

mod bed;
mod best_plane;
mod bodies;
mod booleans;
mod boxes;
mod closest;
mod cut;
mod detail;
mod distance;
mod fit;
mod gauge;
mod halves;
mod health;
mod hull;
mod inside;
mod lay;
pub mod mend;
mod merge;
mod mesh;
mod nesting;
mod parts;
mod plane;
mod predicates;
pub mod profile_line;
mod progress;
mod relief;
mod rim;
mod section;
mod shells;
mod solid;
mod surface;
mod topology;
mod tree;

pub use bed::{Bed, BedError, KeepOut, Outline, OutlineError};
pub use best_plane::{BestPlane, best_plane};
pub use bodies::{PROBES, bodies, bodies_with, count_bodies, count_bodies_of_sides};
pub use cut::{cut, cut_parallel, part};
pub use detail::{Detail, DetailKind, Pull, details, drawn_to};
pub use fit::{Axis, Excess, Fit, ROUNDING_MM, Reason, Search, Verdict, fit, fit_preferring, sticks_out_mm};
pub use gauge::{Girth, far_side, nearest_face};
pub use halves::{
    HalfFit, HalfSupport, Halves, LIVE_TOLERANCE_MM, LastPiece, MOVE_MM, Nearby, Slab, StepOff, StepOffError, Steps,
    Stretch, nearest_offset, place_nearby,
};
pub use health::{
    Crossings, DEBRIS_SHARE, DEPTH_SAMPLES, Defects, Depth, Duplicate, FINE_SHARE, FacePair, Gap, MOST_PAIRS,
    MOST_TAPER_DEG, Meeting, OpenLoop, Report, ShellPair, THIN_SAMPLES, ThinPlace, ThinWalls, crossing_depths,
    crossings, defects, gaps, inspect, inspect_with_shells, open_loops, thin_walls,
};
pub use hull::{Flat, Hull};
pub use lay::lay_on;
pub use merge::{Facet, Merged, TooManyVertices, drop_unused_vertices, merge_exact};
pub use mesh::{Bounds, Mesh, Motion, Point, Vector};
pub use nesting::{Nesting, nesting};
pub use plane::{Plane, PlaneError, Side};
pub use progress::{Cancelled, Progress};
pub use relief::{
    ROOM_SHARE, ReliefError, ReliefReport, Relieved, Which, relieve, relieve_among, solid_with, taken_out,
};
pub use rim::{ThinRim, thin_rim};
pub use section::{
    ClearSection, FACING_DEG, Graze, Lip, OPENING_DEG, Passage, STEP_MM, Section, SectionLoop, SectionSupport,
    ThinWall, clear_section, narrowest_below, section, surface_outline,
};
pub use shells::{ShellReport, Shells};
pub use solid::{CutOutcome, FaceOrigin, Parted, Resolution, Solid};
pub use surface::{CutSurface, FinitePlane, Profile, SurfaceError, Track};
pub use topology::{Edge, EdgePlace, EdgeReport, EdgeTable, edge_report};
