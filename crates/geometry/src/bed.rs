//! The usable volume of a printer.

/// A printer's bed: the room that a piece may take, before its margins.
///
/// Frame: the bed's lower left corner at the origin, x and y along its sides, z up from the surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// Shape of the surface.
    pub outline: Outline,
    /// Height above the surface, mm.
    pub height_mm: f64,
    /// Kept free along every edge, mm: brim or raft overhang, skirt, and the gap to the edge.
    pub margin_mm: f64,
    /// Height that a raft takes below the piece, mm; 0 without one.
    pub raft_mm: f64,
}

/// The shape of a bed's surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outline {
    /// `x_mm` wide and `y_mm` deep.
    Rectangle {
        /// Width along x, mm.
        x_mm: f64,
        /// Depth along y, mm.
        y_mm: f64,
    },
}

/// Why a bed holds nothing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BedError {
    /// A length is not a positive number.
    #[error("the bed's {name} must be more than 0 mm; it is {value}")]
    NotPositive {
        /// Which length.
        name: &'static str,
        /// What was given.
        value: f64,
    },
    /// A margin is negative or not a number.
    #[error("the bed's {name} must be 0 mm or more; it is {value}")]
    Negative {
        /// Which length.
        name: &'static str,
        /// What was given.
        value: f64,
    },
    /// Margins leave no room.
    #[error("margins of {margin_mm} mm on each side leave nothing of a bed of {x_mm} × {y_mm} mm")]
    NoRoom {
        /// The margin.
        margin_mm: f64,
        /// Width of the bed.
        x_mm: f64,
        /// Depth of the bed.
        y_mm: f64,
    },
    /// The raft is as high as the bed.
    #[error("a raft of {raft_mm} mm leaves nothing of a height of {height_mm} mm")]
    NoHeight {
        /// Height of the raft.
        raft_mm: f64,
        /// Height of the bed.
        height_mm: f64,
    },
}

impl Bed {
    /// A rectangular bed with no margins.
    pub fn rectangle(x_mm: f64, y_mm: f64, height_mm: f64) -> Bed {
        Bed { outline: Outline::Rectangle { x_mm, y_mm }, height_mm, margin_mm: 0.0, raft_mm: 0.0 }
    }

    /// Says what is wrong with the numbers, if anything is.
    pub fn check(&self) -> Result<(), BedError> {
        let Outline::Rectangle { x_mm, y_mm } = self.outline;
        for (name, value) in [("width", x_mm), ("depth", y_mm), ("height", self.height_mm)] {
            if !(value > 0.0 && value.is_finite()) {
                return Err(BedError::NotPositive { name, value });
            }
        }
        for (name, value) in [("margin", self.margin_mm), ("raft", self.raft_mm)] {
            if !(value >= 0.0 && value.is_finite()) {
                return Err(BedError::Negative { name, value });
            }
        }
        if self.margin_mm * 2.0 >= x_mm.min(y_mm) {
            return Err(BedError::NoRoom { margin_mm: self.margin_mm, x_mm, y_mm });
        }
        if self.raft_mm >= self.height_mm {
            return Err(BedError::NoHeight { raft_mm: self.raft_mm, height_mm: self.height_mm });
        }
        Ok(())
    }

    /// Width, depth and height left for a piece after margins and raft, mm.
    pub fn room_mm(&self) -> [f64; 3] {
        let Outline::Rectangle { x_mm, y_mm } = self.outline;
        [x_mm - 2.0 * self.margin_mm, y_mm - 2.0 * self.margin_mm, self.height_mm - self.raft_mm]
    }
}
