//! The rod that is bored for: through the middle of the model, square to the normal of the planes, so that it pierces both
//! sides. `tests/reference/speed/by_manifold3d.py` makes the same polyhedron.

use seamwright_geometry::bore::{Channel, End, SectionShape};
use seamwright_geometry::{Solid, Vector};

use super::job::Job;
use crate::steps::StepError;

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
