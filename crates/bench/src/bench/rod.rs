//! The rods: one that is bored for, through the middle of the model, square to the normal of the planes, so that it pierces
//! both sides (`tests/reference/speed/by_manifold3d.py` makes the same polyhedron), and one along the glaive.

use seamwright_geometry::bore::{Channel, End, SectionShape};
use seamwright_geometry::{Point, Solid, Vector};

use super::job::Job;
use xtask::steps::StepError;

/// The clearance hole of M8 in the fine series (ISO 273: 8.4 mm).
const DIAMETER_MM: f64 = 8.4;
/// Its polygon stands off by 5 thousandths of a millimetre at most.
const SIDES: u32 = 64;

/// The channel, from side to side of the model.
pub fn channel(job: &Job, solid: &Solid) -> Result<Channel, StepError> {
    let bounds = solid.mesh.bounds().ok_or("no model to bore")?;
    let across = Vector::from(job.normal).cross(&Vector::x()).normalize() * bounds.diagonal();
    let line = vec![bounds.centre() - across, bounds.centre() + across];
    let shape = SectionShape::Round { diameter_mm: DIAMETER_MM, sides: SIDES };
    Channel::new(line, shape, [End::At, End::At]).map_err(|error| error.to_string())
}

/// Line of the spine of the demo glaive, mm: a bent rod, from its foot into its blade.
const SPINE_MM: [[f64; 3]; 3] = [[0.0, 0.0, 12.0], [3.0, 0.0, 1340.0], [30.0, 0.0, 1620.0]];
/// The clearance hole of M6 in the medium series (ISO 273: 6.6 mm).
const SPINE_DIAMETER_MM: f64 = 6.6;

/// The channel along the glaive.
pub fn spine() -> Result<Channel, StepError> {
    let shape = SectionShape::Round { diameter_mm: SPINE_DIAMETER_MM, sides: SIDES };
    let line = SPINE_MM.map(Point::from).to_vec();
    Channel::new(line, shape, [End::Open, End::At]).map_err(|error| error.to_string())
}
