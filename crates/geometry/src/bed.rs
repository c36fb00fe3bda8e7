//! The usable volume of a printer.

mod polygon;

pub use polygon::OutlineError;
pub(crate) use polygon::{convex_parts, pockets};

use crate::hull::Point2;

/// A printer's bed: the room that a piece may take, before its margins.
///
/// Frame: that of the outline (see [`Outline`]), z up from the surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// Shape of the surface.
    pub outline: Outline,
    /// Height above the surface, mm.
    pub height_mm: f64,
    /// The gap kept to the edge of the outline, mm.
    pub margin_mm: f64,
    /// Kept free around a piece, to the edge and to keep-out zones alike, mm: the width of a brim, the distance and
    /// width of a skirt, what a raft is wider than the piece.
    pub around_mm: f64,
    /// Height that a raft takes below the piece, mm; 0 without one.
    pub raft_mm: f64,
    /// Where nothing may be.
    pub keep_outs: Vec<KeepOut>,
}

/// The shape of a bed's surface, and with it the bed's frame.
#[derive(Clone, Debug, PartialEq)]
pub enum Outline {
    /// `x_mm` wide and `y_mm` deep, its lower left corner at the origin, x and y along its sides.
    Rectangle {
        /// Width along x, mm.
        x_mm: f64,
        /// Depth along y, mm.
        y_mm: f64,
    },
    /// A round bed, in the corner of the positive quarter: its centre is at half the diameter in x and in y.
    Circle {
        /// Diameter, mm.
        diameter_mm: f64,
    },
    /// Any polygon whose edges meet at its corners only, in coordinates of its own, in either sense.
    Polygon {
        /// The corners, mm.
        corners_mm: Vec<[f64; 2]>,
    },
}

/// A part of the bed that stays free: a clip, a purge area, a lamp overhead.
#[derive(Clone, Debug, PartialEq)]
pub struct KeepOut {
    /// Seen from above, in the bed's frame, mm: a polygon whose edges meet at its corners only, in either sense.
    pub corners_mm: Vec<[f64; 2]>,
    /// It begins at this height above the surface and goes up to the bed's height, mm; 0 for all of it.
    pub from_mm: f64,
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
    /// A length that no printer has.
    #[error(
        "the bed's {name} must be {LARGEST_MM} mm or less; it is {value}. Beds are told in millimetres: was it meant in another unit?"
    )]
    TooLarge {
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
    #[error(
        "margin and room around a piece take {margin_mm} mm on each side and leave nothing of a bed of {x_mm} × {y_mm} mm: make \
         them smaller, or the bed larger"
    )]
    NoRoom {
        /// The margin at each edge, with what is kept free around a piece.
        margin_mm: f64,
        /// Width of the bed.
        x_mm: f64,
        /// Depth of the bed.
        y_mm: f64,
    },
    /// The raft is as high as the bed.
    #[error("a raft of {raft_mm} mm leaves nothing of a height of {height_mm} mm: make it lower, or the bed higher")]
    NoHeight {
        /// Height of the raft.
        raft_mm: f64,
        /// Height of the bed.
        height_mm: f64,
    },
    /// The corners of the outline make no polygon.
    #[error("the bed's outline is no polygon: {0}")]
    Outline(OutlineError),
    /// The corners of a keep-out zone make no polygon.
    #[error("keep-out zone {number} is no polygon: {error}")]
    KeepOut {
        /// Which, from 1.
        number: usize,
        /// What is wrong with it.
        error: OutlineError,
    },
}

/// The longest side and the greatest height that a bed can have, mm. Machines of the trade stay below some metres; what is
/// larger was mistyped, and leaves a model too small to be seen beside it. Our own choice, no source.
pub const LARGEST_MM: f64 = 5000.0;

/// Sides of the polygon that is drawn for a round bed: its edge is then nowhere more than 0.03 % of the diameter off.
const ROUND_SIDES: u32 = 96;

impl Bed {
    /// A rectangular bed with no margins.
    pub fn rectangle(x_mm: f64, y_mm: f64, height_mm: f64) -> Bed {
        Bed::of(Outline::Rectangle { x_mm, y_mm }, height_mm)
    }

    /// A round bed with no margins.
    pub fn round(diameter_mm: f64, height_mm: f64) -> Bed {
        Bed::of(Outline::Circle { diameter_mm }, height_mm)
    }

    /// A bed of any outline with no margins and no keep-out zones.
    pub fn of(outline: Outline, height_mm: f64) -> Bed {
        Bed { outline, height_mm, margin_mm: 0.0, around_mm: 0.0, raft_mm: 0.0, keep_outs: Vec::new() }
    }

    /// Says what is wrong with the numbers, if anything is.
    pub fn check(&self) -> Result<(), BedError> {
        let mut lengths: Vec<(&'static str, f64)> = match &self.outline {
            Outline::Rectangle { x_mm, y_mm } => vec![("width", *x_mm), ("depth", *y_mm)],
            Outline::Circle { diameter_mm } => vec![("diameter", *diameter_mm)],
            Outline::Polygon { corners_mm } => {
                polygon::check(corners_mm).map_err(BedError::Outline)?;
                let [x_mm, y_mm] = self.size_mm();
                vec![("outline's width", x_mm), ("outline's depth", y_mm)]
            }
        };
        lengths.push(("height", self.height_mm));
        for &(name, value) in &lengths {
            if !(value > 0.0 && value.is_finite()) {
                return Err(BedError::NotPositive { name, value });
            }
        }
        let mut at_least_none =
            vec![("margin", self.margin_mm), ("room around a piece", self.around_mm), ("raft", self.raft_mm)];
        at_least_none.extend(self.keep_outs.iter().map(|zone| ("keep-out zone's height", zone.from_mm)));
        for (name, value) in at_least_none {
            if !(value >= 0.0 && value.is_finite()) {
                return Err(BedError::Negative { name, value });
            }
        }
        for (index, zone) in self.keep_outs.iter().enumerate() {
            polygon::check(&zone.corners_mm).map_err(|error| BedError::KeepOut { number: index + 1, error })?;
        }
        let [x_mm, y_mm] = self.size_mm();
        if self.kept_mm() * 2.0 >= x_mm.min(y_mm) || !crate::fit::has_room(self) {
            return Err(BedError::NoRoom { margin_mm: self.kept_mm(), x_mm, y_mm });
        }
        if self.raft_mm >= self.height_mm {
            return Err(BedError::NoHeight { raft_mm: self.raft_mm, height_mm: self.height_mm });
        }
        // Last: a bed that is only too large makes sense in all else.
        match lengths.into_iter().find(|(_, value)| *value > LARGEST_MM) {
            Some((name, value)) => Err(BedError::TooLarge { name, value }),
            None => Ok(()),
        }
    }

    /// What stays free at every edge, mm: the margin, and what is kept free around a piece.
    pub fn kept_mm(&self) -> f64 {
        self.margin_mm + self.around_mm
    }

    /// Width, depth and height left for a piece after margins and raft, mm; of a bed that is no rectangle, of the
    /// upright box around that room.
    pub fn room_mm(&self) -> [f64; 3] {
        let [x_mm, y_mm] = self.size_mm();
        [x_mm - 2.0 * self.kept_mm(), y_mm - 2.0 * self.kept_mm(), self.height_mm - self.raft_mm]
    }

    /// Width and depth of the upright rectangle around the surface, mm.
    pub fn size_mm(&self) -> [f64; 2] {
        let [low, high] = self.extent_mm();
        [high[0] - low[0], high[1] - low[1]]
    }

    /// The lower left and the upper right corner of the upright rectangle around the surface, mm.
    pub fn extent_mm(&self) -> [[f64; 2]; 2] {
        match &self.outline {
            Outline::Rectangle { x_mm, y_mm } => [[0.0; 2], [*x_mm, *y_mm]],
            Outline::Circle { diameter_mm } => [[0.0; 2], [*diameter_mm; 2]],
            Outline::Polygon { corners_mm } => {
                let start = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
                corners_mm.iter().fold(start, |[low, high], p| {
                    [[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]]
                })
            }
        }
    }

    /// The surface as it is drawn: its corners, and for a round bed enough points of its edge.
    pub fn drawn_outline_mm(&self) -> Vec<[f64; 2]> {
        match &self.outline {
            Outline::Rectangle { x_mm, y_mm } => vec![[0.0, 0.0], [*x_mm, 0.0], [*x_mm, *y_mm], [0.0, *y_mm]],
            Outline::Circle { diameter_mm } => {
                let radius = diameter_mm / 2.0;
                let point = |k: u32| {
                    let (s, c) = (f64::from(k) * std::f64::consts::TAU / f64::from(ROUND_SIDES)).sin_cos();
                    [radius + radius * c, radius + radius * s]
                };
                (0..ROUND_SIDES).map(point).collect()
            }
            Outline::Polygon { corners_mm } => corners_mm.clone(),
        }
    }

    /// Whether it is a rectangle with nothing in the way, so that only width and depth matter.
    pub fn is_plain(&self) -> bool {
        matches!(self.outline, Outline::Rectangle { .. }) && self.keep_outs.is_empty()
    }
}

pub(crate) fn points2(corners_mm: &[[f64; 2]]) -> Vec<Point2> {
    corners_mm.iter().map(|&[x, y]| Point2::new(x, y)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn l_shape() -> Vec<[f64; 2]> {
        vec![[0.0, 0.0], [200.0, 0.0], [200.0, 80.0], [80.0, 80.0], [80.0, 200.0], [0.0, 200.0]]
    }

    #[test]
    fn what_is_wrong_with_a_bed_is_said() {
        let says = |bed: Bed, words: &str| {
            let error = bed.check().unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
        };
        says(Bed::round(0.0, 100.0), "diameter must be more than 0");
        says(Bed::rectangle(999_999_999.0, 220.0, 250.0), "width must be 5000 mm or less; it is 999999999");
        says(Bed::rectangle(220.0, 220.0, 5001.0), "height must be 5000 mm or less; it is 5001");
        let far = vec![[-3000.0, 0.0], [3000.0, 0.0], [0.0, 100.0]];
        says(Bed::of(Outline::Polygon { corners_mm: far }, 9.0), "outline's width must be 5000 mm or less; it is 6000");
        assert_eq!(Bed::rectangle(LARGEST_MM, LARGEST_MM, LARGEST_MM).check(), Ok(()));
        says(Bed { around_mm: f64::NAN, ..Bed::round(100.0, 100.0) }, "room around a piece");
        says(Bed { margin_mm: 30.0, around_mm: 20.0, ..Bed::round(100.0, 100.0) }, "take 50 mm on each side");
        says(Bed::of(Outline::Polygon { corners_mm: vec![[0.0, 0.0], [9.0, 0.0]] }, 9.0), "outline is no polygon");
        // Wider than twice the margin, yet nowhere as wide as that inside.
        let thin = vec![[0.0, 0.0], [100.0, 90.0], [100.0, 100.0]];
        says(Bed { margin_mm: 5.0, ..Bed::of(Outline::Polygon { corners_mm: thin }, 9.0) }, "take 5 mm on each side");
        let zone = |corners_mm: Vec<[f64; 2]>, from_mm| Bed {
            keep_outs: vec![KeepOut { corners_mm: l_shape(), from_mm: 1.0 }, KeepOut { corners_mm, from_mm }],
            ..Bed::rectangle(300.0, 300.0, 9.0)
        };
        says(zone(vec![[0.0, 0.0], [9.0, 9.0], [9.0, 0.0], [0.0, 9.0]], 0.0), "keep-out zone 2 is no polygon");
        says(zone(l_shape(), -1.0), "keep-out zone's height");
        assert_eq!(zone(l_shape(), 2.0).check(), Ok(()));
    }

    #[test]
    fn sizes_and_outline_are_those_of_the_surface() {
        let bed = Bed { margin_mm: 2.0, around_mm: 5.0, raft_mm: 1.0, ..Bed::round(200.0, 150.0) };
        assert_eq!((bed.size_mm(), bed.room_mm()), ([200.0; 2], [186.0, 186.0, 149.0]));
        assert!(bed.drawn_outline_mm().iter().all(|[x, y]| ((x - 100.0).hypot(y - 100.0) - 100.0).abs() < 1e-9));
        let corners_mm: Vec<[f64; 2]> = l_shape().iter().map(|[x, y]| [x - 50.0, y + 10.0]).collect();
        let polygon = Bed::of(Outline::Polygon { corners_mm }, 90.0);
        assert_eq!(polygon.extent_mm(), [[-50.0, 10.0], [150.0, 210.0]]);
        assert!(Bed::rectangle(1.0, 1.0, 1.0).is_plain() && !bed.is_plain());
    }
}
