//! Outlines of channels: convex polygons whose flats touch what they are drawn around, so that it passes.

/// What a channel looks like, cut square to its line. Flats touch the given measure: nothing of that size jams.
///
/// The frame of an outline has +y towards the channel's *up*; see [`Channel::with_up`](super::Channel::with_up).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SectionShape {
    /// A regular polygon around a circle, a flat towards each side of the frame where `sides` is a multiple of 4.
    Round {
        /// Diameter of the circle that clears the flats, mm.
        diameter_mm: f64,
        /// Sides of the polygon; [`sides_for`] gives them for an allowed deviation.
        sides: u32,
    },
    /// A circle with a roof of two flanks at 45° that meet in a point: prints lying without support.
    Teardrop {
        /// Diameter of the circle, mm.
        diameter_mm: f64,
        /// As many sides as a whole circle would have.
        sides: u32,
    },
    /// The same with the point cut off level with the top of the circle: a short bridge closes it.
    FlatRoof {
        /// Diameter of the circle, mm.
        diameter_mm: f64,
        /// As many sides as a whole circle would have.
        sides: u32,
    },
    /// A circle that is open upwards: the lower half and a slit of the full diameter, so that the rod is laid in from the
    /// side.
    Slit {
        /// Diameter of the circle, mm.
        diameter_mm: f64,
        /// As many sides as a whole circle would have.
        sides: u32,
        /// How far the slit reaches from the middle upwards, mm; at least half the diameter.
        reach_mm: f64,
    },
    /// A square with a flat up.
    Square {
        /// From flat to flat, mm.
        across_flats_mm: f64,
    },
    /// A regular hexagon with a corner up.
    Hexagon {
        /// From flat to flat, mm.
        across_flats_mm: f64,
    },
}

/// The fewest and the most sides of a round outline. Below 8 a polygon's corners stand off by more than 8 % of the radius;
/// above 256 its sides are shorter than a hundredth of a millimetre in any rod (our own choice, no source).
pub const SIDES: std::ops::RangeInclusive<u32> = 8..=256;

/// The fewest sides, a multiple of 4 within [`SIDES`], with which the corners of a polygon around a circle stand off from it
/// by at most `deviation_mm`: n ≥ π / arccos(r / (r + e)), from R = r / cos(π / n).
///
/// ```
/// use seamwright_geometry::bore::sides_for;
/// let sides = sides_for(8.4, 0.01);
/// let off = |n: f64| 4.2 / (std::f64::consts::PI / n).cos() - 4.2;
/// assert!(sides % 4 == 0 && off(f64::from(sides)) <= 0.01 && off(f64::from(sides - 4)) > 0.01);
/// ```
pub fn sides_for(diameter_mm: f64, deviation_mm: f64) -> u32 {
    let radius = diameter_mm / 2.0;
    let sides = std::f64::consts::PI / (radius / (radius + deviation_mm.max(0.0))).acos();
    // What is no number, or infinite, gets the most.
    let sides = if sides.is_finite() { sides.min(f64::from(*SIDES.end())) } else { f64::from(*SIDES.end()) };
    let fours = (sides / 4.0).ceil() as u32 * 4;
    fours.clamp(*SIDES.start(), *SIDES.end())
}

impl SectionShape {
    /// The measure that passes, mm: the diameter, or the width across flats.
    pub fn clears_mm(&self) -> f64 {
        match *self {
            SectionShape::Round { diameter_mm, .. }
            | SectionShape::Teardrop { diameter_mm, .. }
            | SectionShape::FlatRoof { diameter_mm, .. }
            | SectionShape::Slit { diameter_mm, .. } => diameter_mm,
            SectionShape::Square { across_flats_mm } | SectionShape::Hexagon { across_flats_mm } => across_flats_mm,
        }
    }

    /// Corners of the outline, counter-clockwise, mm; every side moved outwards by `grown_mm`.
    pub fn outline(&self, grown_mm: f64) -> Vec<[f64; 2]> {
        let flats: Vec<Flat> = self.flats().into_iter().map(|f| Flat { off_mm: f.off_mm + grown_mm, ..f }).collect();
        let corner = |i: usize| flats[i].meets(&flats[(i + 1) % flats.len()]);
        (0..flats.len()).map(corner).collect()
    }

    /// Its sides, by rising angle.
    fn flats(&self) -> Vec<Flat> {
        let at = |deg: f64, off_mm: f64| Flat { deg, off_mm };
        // Flats from one angle to another, no farther apart than those of a whole circle.
        let arc = |from: f64, to: f64, sides: u32, off_mm: f64| {
            let steps = ((to - from) * f64::from(sides) / 360.0).ceil().max(1.0);
            (0..=steps as u32).map(move |i| at(from + (to - from) * f64::from(i) / steps, off_mm))
        };
        match *self {
            SectionShape::Round { diameter_mm, sides } => {
                (0..sides).map(|i| at(360.0 * f64::from(i) / f64::from(sides), diameter_mm / 2.0)).collect()
            }
            SectionShape::Teardrop { diameter_mm, sides } => arc(135.0, 405.0, sides, diameter_mm / 2.0).collect(),
            SectionShape::FlatRoof { diameter_mm, sides } => {
                arc(135.0, 405.0, sides, diameter_mm / 2.0).chain([at(450.0, diameter_mm / 2.0)]).collect()
            }
            SectionShape::Slit { diameter_mm, sides, reach_mm } => {
                arc(180.0, 360.0, sides, diameter_mm / 2.0).chain([at(450.0, reach_mm)]).collect()
            }
            SectionShape::Square { across_flats_mm } => {
                (0..4).map(|i| at(90.0 * f64::from(i), across_flats_mm / 2.0)).collect()
            }
            SectionShape::Hexagon { across_flats_mm } => {
                (0..6).map(|i| at(60.0 * f64::from(i), across_flats_mm / 2.0)).collect()
            }
        }
    }
}

/// A side of an outline: the line at `off_mm` from the middle whose outward normal has this angle from +x.
#[derive(Clone, Copy)]
struct Flat {
    deg: f64,
    off_mm: f64,
}

impl Flat {
    fn normal(&self) -> [f64; 2] {
        // Quarter turns without rounding, so that squares are square.
        match self.deg.rem_euclid(360.0) {
            0.0 => [1.0, 0.0],
            90.0 => [0.0, 1.0],
            180.0 => [-1.0, 0.0],
            270.0 => [0.0, -1.0],
            deg => [deg.to_radians().cos(), deg.to_radians().sin()],
        }
    }

    /// Where two lines meet that are not parallel: Cramer's rule.
    fn meets(&self, other: &Flat) -> [f64; 2] {
        let (n, m) = (self.normal(), other.normal());
        let det = n[0] * m[1] - n[1] * m[0];
        [(self.off_mm * m[1] - other.off_mm * n[1]) / det, (n[0] * other.off_mm - m[0] * self.off_mm) / det]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Distance of the nearest side from the middle, and of the farthest corner.
    fn reach(shape: SectionShape) -> (f64, f64) {
        let corners = shape.outline(0.0);
        let sides = (0..corners.len()).map(|i| {
            let ([a, b], [c, d]) = (corners[i], corners[(i + 1) % corners.len()]);
            assert!(a * d - b * c > 0.0, "turns left about the middle");
            (a * d - b * c) / (c - a).hypot(d - b)
        });
        let near = sides.fold(f64::INFINITY, f64::min);
        (near, corners.iter().map(|p| p[0].hypot(p[1])).fold(0.0, f64::max))
    }

    #[test]
    fn flats_clear_what_is_asked_for() {
        for shape in [
            SectionShape::Round { diameter_mm: 8.4, sides: 32 },
            SectionShape::Round { diameter_mm: 8.4, sides: 9 },
            SectionShape::Teardrop { diameter_mm: 8.4, sides: 32 },
            SectionShape::FlatRoof { diameter_mm: 8.4, sides: 30 },
            SectionShape::Slit { diameter_mm: 8.4, sides: 32, reach_mm: 50.0 },
            SectionShape::Square { across_flats_mm: 8.4 },
            SectionShape::Hexagon { across_flats_mm: 8.4 },
        ] {
            let (near, _) = reach(shape);
            assert!((near - 4.2).abs() < 1e-12, "{shape:?}: {near}");
            let grown = shape.outline(0.5);
            let (a, b) = (grown[0], grown[1]);
            let off = (a[0] * b[1] - a[1] * b[0]) / (b[0] - a[0]).hypot(b[1] - a[1]);
            assert!((off - 4.7).abs() < 1e-9 || off > 4.7, "{shape:?}: {off}");
        }
    }

    #[test]
    fn roofs_stand_as_high_as_they_should() {
        let top = |shape: SectionShape| shape.outline(0.0).iter().map(|p| p[1]).fold(0.0, f64::max);
        assert!((top(SectionShape::Teardrop { diameter_mm: 10.0, sides: 32 }) - 5.0 * 2f64.sqrt()).abs() < 1e-12);
        assert!((top(SectionShape::FlatRoof { diameter_mm: 10.0, sides: 32 }) - 5.0).abs() < 1e-12);
        assert!((top(SectionShape::Slit { diameter_mm: 10.0, sides: 32, reach_mm: 70.0 }) - 70.0).abs() < 1e-12);
        assert!((top(SectionShape::Hexagon { across_flats_mm: 10.0 }) - 10.0 / 3f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn sides_follow_the_deviation_within_bounds() {
        assert_eq!([sides_for(8.0, 1e3), sides_for(8.0, 0.0), sides_for(8.0, f64::NAN)], [8, 256, 256]);
        let (near, far) = reach(SectionShape::Round { diameter_mm: 8.4, sides: sides_for(8.4, 0.05) });
        assert!(far - near <= 0.05 && far - near > 0.03);
    }
}
