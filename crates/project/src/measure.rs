//! Measures taken on the model, kept as notes on the project. They change nothing that is made.

mod check;

use seamwright_geometry::{Cancelled, Plane, Point, Progress, Solid, Vector, far_side, nearest_face, section};

use crate::cut_plane::Axis;
use crate::recipe::PartId;
use crate::stance::Turn;

pub use check::MeasureTrouble;

/// Identity of a measure within its recipe.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MeasureId(pub u32);

/// Something that was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// Identity, given when it was taken, and never used twice.
    pub id: MeasureId,
    /// The part that it was taken on.
    pub part: PartId,
    /// What was measured.
    pub what: Measured,
}

/// What was measured, where, in the frame of the model as it stands, mm. Places and lengths follow the model when it is
/// resized or turned.
#[derive(Clone, Debug, PartialEq)]
pub enum Measured {
    /// The straight way from one place to another.
    Distance {
        /// From where.
        from_mm: [f64; 3],
        /// To where.
        to_mm: [f64; 3],
    },
    /// Between two faces, as a bevel gauge shows it: 180° for one flat face, 0° for the two sides of a plate.
    Angle {
        /// A place on each.
        at_mm: [[f64; 3]; 2],
        /// Which way each looks.
        normals: [[f64; 3]; 2],
    },
    /// Of the material at a place, square to the surface there.
    Thickness {
        /// The place.
        from_mm: [f64; 3],
        /// Where the material ends.
        to_mm: [f64; 3],
    },
    /// Round the model, along its section through a place.
    Girth {
        /// The place.
        at_mm: [f64; 3],
        /// What the section is square to.
        normal: [f64; 3],
        /// Along the surface, mm.
        along_mm: f64,
        /// Taut over all hollows, mm.
        taut_mm: f64,
    },
}

/// Why there is nothing to measure.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MeasuringError {
    /// The work was cancelled.
    #[error("cancelled")]
    Cancelled,
    /// No material begins at the place.
    #[error("there is no far side to measure to from {}: the surface is open there, or the place is not on it", place(.0))]
    NoFarSide([f64; 3]),
    /// No face has an area.
    #[error("there is no face near {}", place(.0))]
    NoFace([f64; 3]),
    /// No line closes round the model there.
    #[error("no line closes round the model at {}: the section there is open or empty", place(.0))]
    NoGirth([f64; 3]),
}

impl From<Cancelled> for MeasuringError {
    fn from(_: Cancelled) -> Self {
        MeasuringError::Cancelled
    }
}

fn place([x, y, z]: &[f64; 3]) -> String {
    format!("({x:.1}, {y:.1}, {z:.1})")
}

impl Measured {
    /// The thickness of `solid` at a place on its surface where that looks along `outward`.
    pub fn thickness(
        solid: &Solid,
        at: &Point,
        outward: &Vector,
        progress: &Progress,
    ) -> Result<Measured, MeasuringError> {
        progress.check()?;
        let far = far_side(&solid.mesh, at, &-outward).ok_or(MeasuringError::NoFarSide(at.coords.into()))?;
        Ok(Measured::Thickness { from_mm: at.coords.into(), to_mm: far.coords.into() })
    }

    /// The angle between the faces of `solid` that are nearest to two places.
    pub fn angle(solid: &Solid, at: &[Point; 2], progress: &Progress) -> Result<Measured, MeasuringError> {
        progress.check()?;
        let face = |at: &Point| nearest_face(&solid.mesh, at).ok_or(MeasuringError::NoFace(at.coords.into()));
        let [(p, n), (q, m)] = [face(&at[0])?, face(&at[1])?];
        Ok(Measured::Angle { at_mm: [p.coords.into(), q.coords.into()], normals: [n.into(), m.into()] })
    }

    /// The girth of `solid` at a place, round `axis`.
    pub fn girth(solid: &Solid, at: &Point, axis: Axis, progress: &Progress) -> Result<Measured, MeasuringError> {
        progress.check()?;
        let none = || MeasuringError::NoGirth(at.coords.into());
        let plane = Plane::through(*at, axis.vector()).map_err(|_| none())?;
        let girth = section(solid, &plane).girth_at(&plane, at).ok_or_else(none)?;
        let (along_mm, taut_mm) = (girth.along_mm, girth.taut_mm);
        Ok(Measured::Girth { at_mm: at.coords.into(), normal: axis.vector().into(), along_mm, taut_mm })
    }

    /// What kind it is, in a word.
    pub fn kind(&self) -> &'static str {
        match self {
            Measured::Distance { .. } => "distance",
            Measured::Angle { .. } => "angle",
            Measured::Thickness { .. } => "thickness",
            Measured::Girth { .. } => "girth",
        }
    }

    /// The number: mm, of an angle degrees.
    pub fn value(&self) -> f64 {
        match self {
            Measured::Distance { from_mm, to_mm } | Measured::Thickness { from_mm, to_mm } => {
                (Vector::from(*to_mm) - Vector::from(*from_mm)).norm()
            }
            Measured::Angle { normals: [a, b], .. } => 180.0 - Vector::from(*a).angle(&Vector::from(*b)).to_degrees(),
            Measured::Girth { along_mm, .. } => *along_mm,
        }
    }

    /// The number with its unit.
    pub fn value_words(&self) -> String {
        match self {
            Measured::Angle { .. } => format!("{:.1}°", self.value()),
            _ => format!("{:.1} mm", self.value()),
        }
    }

    /// What more there is to tell; empty where there is nothing.
    pub fn details(&self) -> String {
        let minus = |text: String| text.replace('-', "−");
        match self {
            Measured::Distance { from_mm, to_mm } => {
                let [x, y, z] = [0, 1, 2].map(|k| minus(format!("{:.1}", to_mm[k] - from_mm[k])));
                format!("x {x} · y {y} · z {z}")
            }
            Measured::Angle { .. } | Measured::Thickness { .. } => String::new(),
            Measured::Girth { taut_mm, normal, .. } => {
                let axis =
                    Axis::ALL.into_iter().find(|axis| Vector::from(*normal).dot(&axis.vector()).abs() > ALONG_AXIS);
                let round = axis.map_or_else(String::new, |axis| format!("round {} · ", axis.name()));
                format!("{round}{taut_mm:.1} mm taut")
            }
        }
    }

    /// The places that it is between, or the one that it is at.
    pub fn places(&self) -> Vec<Point> {
        match self {
            Measured::Distance { from_mm, to_mm } | Measured::Thickness { from_mm, to_mm } => {
                vec![Point::from(*from_mm), Point::from(*to_mm)]
            }
            Measured::Angle { at_mm, .. } => at_mm.map(Point::from).to_vec(),
            Measured::Girth { at_mm, .. } => vec![Point::from(*at_mm)],
        }
    }

    /// It on the model made larger by `factor` about the origin.
    pub(crate) fn enlarged(&self, factor: f64) -> Measured {
        self.mapped(|p| p.map(|x| x * factor), |n| n, factor)
    }

    /// It on the model that goes from one turn to another.
    pub(crate) fn turned(&self, from: &Turn, to: &Turn) -> Measured {
        let carry = |v: [f64; 3]| -> [f64; 3] { to.direction(from.back(Vector::from(v))).into() };
        let place = |p: [f64; 3]| to.place(from.place_back(Point::from(p))).coords.into();
        self.mapped(place, carry, 1.0)
    }

    fn mapped(
        &self,
        place: impl Fn([f64; 3]) -> [f64; 3],
        direction: impl Fn([f64; 3]) -> [f64; 3],
        factor: f64,
    ) -> Measured {
        match self {
            Measured::Distance { from_mm, to_mm } => {
                Measured::Distance { from_mm: place(*from_mm), to_mm: place(*to_mm) }
            }
            Measured::Angle { at_mm, normals } => {
                Measured::Angle { at_mm: at_mm.map(place), normals: normals.map(direction) }
            }
            Measured::Thickness { from_mm, to_mm } => {
                Measured::Thickness { from_mm: place(*from_mm), to_mm: place(*to_mm) }
            }
            Measured::Girth { at_mm, normal, along_mm, taut_mm } => Measured::Girth {
                at_mm: place(*at_mm),
                normal: direction(*normal),
                along_mm: along_mm * factor,
                taut_mm: taut_mm * factor,
            },
        }
    }
}

/// A direction with a larger share than this along an axis is told by its name: a hundredth of a degree off.
const ALONG_AXIS: f64 = 1.0 - 1.6e-8;

#[cfg(test)]
mod tests {
    use seamwright_geometry::solids;

    use super::*;

    fn bar() -> Solid {
        Solid::from_stock(solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(30.0, 20.0, 100.0)))
    }

    #[test]
    fn a_distance_tells_its_parts_along_the_axes() {
        let measured = Measured::Distance { from_mm: [1.0, 2.0, 3.0], to_mm: [4.0, -2.0, 15.0] };
        assert_eq!(measured.value(), 13.0);
        assert_eq!((measured.value_words(), measured.details()), ("13.0 mm".into(), "x 3.0 · y −4.0 · z 12.0".into()));
    }

    #[test]
    fn angles_are_those_of_a_bevel_gauge() {
        let between = |a: [f64; 3], b: [f64; 3]| Measured::Angle { at_mm: [[0.0; 3]; 2], normals: [a, b] }.value();
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6, "{a} is not {b}");
        near(between([0.0, 0.0, 1.0], [0.0, 0.0, 2.0]), 180.0);
        near(between([0.0, 0.0, 1.0], [0.0, 0.0, -1.0]), 0.0);
        near(between([0.0, 0.0, 1.0], [1.0, 0.0, 0.0]), 90.0);
        // Two sides of a hexagon.
        near(between([1.0, 0.0, 0.0], [0.5, 0.75_f64.sqrt(), 0.0]), 120.0);
    }

    #[test]
    fn thickness_and_girth_are_taken_on_the_model() {
        let at = Point::new(30.0, 10.0, 50.0);
        let thick = Measured::thickness(&bar(), &at, &Vector::x(), &Progress::new()).unwrap();
        assert!((thick.value() - 30.0).abs() < 1e-9);
        let girth = Measured::girth(&bar(), &at, Axis::Z, &Progress::new()).unwrap();
        assert!((girth.value() - 100.0).abs() < 1e-9 && girth.details() == "round Z · 100.0 mm taut", "{girth:?}");
        let nothing = Measured::girth(&bar(), &Point::new(0.0, 0.0, 200.0), Axis::Z, &Progress::new());
        assert_eq!(nothing, Err(MeasuringError::NoGirth([0.0, 0.0, 200.0])));
        let outside = Measured::thickness(&bar(), &at, &-Vector::x(), &Progress::new());
        assert!(outside.unwrap_err().to_string().contains("(30.0, 10.0, 50.0)"));
    }

    #[test]
    fn cancelled_measuring_says_so() {
        let progress = Progress::new();
        progress.cancel();
        let at = Point::new(30.0, 10.0, 50.0);
        assert_eq!(Measured::girth(&bar(), &at, Axis::Z, &progress), Err(MeasuringError::Cancelled));
    }
}
