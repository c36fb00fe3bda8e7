//! What a click on the bench means.

use seamwright_geometry::Point;

use crate::app::measuring::Measuring;

/// What a click on the bench means.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Tool {
    /// It selects.
    #[default]
    Look,
    /// It places a cut.
    CutOnSurface,
    /// It picks a point.
    PickPoints(Vec<Point>),
    /// It picks one of two points whose true distance is known.
    Distance(Vec<Point>),
    /// It picks one of the two points that a bore goes through.
    BorePoints(Vec<Point>),
    /// It picks a place for magnets at a cut.
    MagnetPlaces(Vec<Point>),
    /// It picks the face that the model is to stand on.
    StandOn,
    /// It picks points for a measure.
    Measure(Measuring),
}

impl Tool {
    /// The points picked so far.
    pub fn picked(&self) -> &[Point] {
        match self {
            Tool::PickPoints(points)
            | Tool::Distance(points)
            | Tool::BorePoints(points)
            | Tool::MagnetPlaces(points) => points,
            Tool::Measure(measuring) => &measuring.points,
            Tool::Look | Tool::CutOnSurface | Tool::StandOn => &[],
        }
    }
}
