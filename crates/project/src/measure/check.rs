//! Which numbers of a measure make sense.

use seamwright_geometry::Vector;

use super::Measured;

/// Why numbers are no measure.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum MeasureTrouble {
    /// A number is NaN or infinite.
    #[error("a measure needs finite numbers; this one has {0}")]
    NotFinite(f64),
    /// Both places are the same.
    #[error("the two places of a measure are the same; pick another")]
    SamePlace,
    /// A face, or a section, looks nowhere.
    #[error("a direction of this measure has no length")]
    NoDirection,
    /// A length round the model is none.
    #[error("a girth is a length above 0 mm, not {0} mm")]
    NoLength(f64),
}

impl Measured {
    /// Whether it is a measure that can be taken.
    pub(crate) fn check(&self) -> Result<(), MeasureTrouble> {
        self.check_kept()?;
        match self {
            Measured::Distance { from_mm, to_mm } | Measured::Thickness { from_mm, to_mm } if from_mm == to_mm => {
                Err(MeasureTrouble::SamePlace)
            }
            Measured::Girth { along_mm, taut_mm, .. } if along_mm.min(*taut_mm) <= 0.0 => {
                Err(MeasureTrouble::NoLength(along_mm.min(*taut_mm)))
            }
            _ => Ok(()),
        }
    }

    /// Whether it can be kept: on a model that is made very small, lengths may come to nothing.
    pub(crate) fn check_kept(&self) -> Result<(), MeasureTrouble> {
        let (directions, lengths): (&[[f64; 3]], [f64; 2]) = match self {
            Measured::Distance { .. } | Measured::Thickness { .. } => (&[], [0.0; 2]),
            Measured::Angle { normals, .. } => (normals, [0.0; 2]),
            Measured::Girth { normal, along_mm, taut_mm, .. } => (std::slice::from_ref(normal), [*along_mm, *taut_mm]),
        };
        let places = self.places();
        let numbers = places.iter().flat_map(|p| p.coords.as_slice()).chain(directions.as_flattened()).chain(&lengths);
        if let Some(bad) = numbers.copied().find(|x| !x.is_finite()) {
            return Err(MeasureTrouble::NotFinite(bad));
        }
        if directions.iter().any(|d| Vector::from(*d).norm() == 0.0) {
            return Err(MeasureTrouble::NoDirection);
        }
        Ok(())
    }
}
