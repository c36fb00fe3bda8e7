//! The size of the model, and how it was arrived at.

use seamwright_geometry::exchange::Unit;

use crate::cut_plane::Axis;

/// How the numbers of the file become millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// The unit that the file was modelled in.
    pub unit: Unit,
    /// What the model is enlarged by after that.
    pub factor: f64,
}

impl Default for Size {
    fn default() -> Self {
        Size { unit: Unit::Millimetre, factor: 1.0 }
    }
}

impl Size {
    /// Millimetres per unit of the file, everything included.
    pub fn scale(&self) -> f64 {
        self.unit.mm() * self.factor
    }

    /// Whether a model can have it: a scale above nothing that is a number.
    pub(crate) fn is_usable(&self) -> bool {
        let scale = self.scale();
        scale > 0.0 && scale.is_finite()
    }
}

/// How a size was arrived at: told beside its numbers, and taken up again when it is changed.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum SizedBy {
    /// The model is as large as its file says.
    #[default]
    AsMade,
    /// The factor was typed.
    Factor,
    /// The whole is to measure so much along an axis.
    Dimension {
        /// Which axis.
        axis: Axis,
        /// How much, mm.
        mm: f64,
    },
    /// Two points lie so far apart on the real thing.
    Distance {
        /// How far, mm.
        mm: f64,
    },
    /// It is to fit a wearer.
    Wearer {
        /// What was measured on the wearer ("head circumference").
        measure: String,
        /// How much it is on the wearer, mm.
        wearer_mm: f64,
        /// Padding to be added all round, mm thick.
        gap_mm: f64,
    },
}
