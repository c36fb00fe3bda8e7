//! A piece or a model as it stands, held against the room of a bed: which ways it is too long, and by how much.

use std::fmt;

use seamwright_geometry::{Bed, Bounds, ROUNDING_MM};

/// A thing as it stands, and the room that a bed leaves for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stands {
    /// Its width, depth and height, mm.
    pub sizes_mm: [f64; 3],
    /// The room for a piece, mm: of a bed that is no rectangle, that of the box around it.
    pub room_mm: [f64; 3],
}

impl Stands {
    /// Of what lies in `bounds`, mm.
    pub fn on(bed: &Bed, bounds: &Bounds) -> Stands {
        Stands { sizes_mm: bounds.size().into(), room_mm: bed.room_mm() }
    }

    /// By how much it is too wide, too deep and too tall, mm; 0 where it is not.
    pub fn over_mm(&self) -> [f64; 3] {
        [0, 1, 2].map(|axis| self.sizes_mm[axis] - self.room_mm[axis]).map(|over| {
            // As the verdicts have it: what is over by rounding fits.
            if over > ROUNDING_MM { over } else { 0.0 }
        })
    }
}

/// `80.0 mm too wide and 12.0 mm too deep`; of what is within the room on every side, that.
impl fmt::Display for Stands {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let over = self.over_mm().into_iter().zip(["wide", "deep", "tall"]).filter(|(over, _)| *over > 0.0);
        let told: Vec<String> = over.map(|(over, way)| format!("{} too {way}", tenths(over))).collect();
        match told.as_slice() {
            [] => f.write_str("no side is longer than the room"),
            [one] => f.write_str(one),
            [first @ .., last] => write!(f, "{} and {last}", first.join(", ")),
        }
    }
}

/// What is less than half a tenth is not told as nothing.
fn tenths(over_mm: f64) -> String {
    if over_mm < 0.05 { "less than 0.1 mm".into() } else { format!("{over_mm:.1} mm") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::Point;

    fn told(sizes_mm: [f64; 3]) -> String {
        let bounds = Bounds { min: Point::origin(), max: sizes_mm.into() };
        Stands::on(&Bed::rectangle(220.0, 210.0, 250.0), &bounds).to_string()
    }

    #[test]
    fn every_way_that_is_too_long_is_told_with_how_much() {
        assert_eq!(told([300.0, 200.0, 180.0]), "80.0 mm too wide");
        assert_eq!(told([300.0, 222.25, 180.0]), "80.0 mm too wide and 12.2 mm too deep");
        assert_eq!(told([221.0, 212.0, 253.0]), "1.0 mm too wide, 2.0 mm too deep and 3.0 mm too tall");
        assert_eq!(told([219.0, 210.0, 250.02]), "less than 0.1 mm too tall");
        assert_eq!(told([220.0, 210.0, 250.0]), "no side is longer than the room");
    }
}
