//! What is told of the outline of the cut in hand, in words.

use seamwright_geometry::{Point, Side};
use seamwright_project::{PRINT_LINE_MM, Placement};

use super::state::State;
use crate::text;

/// Something that would be hard to print or to glue.
#[derive(Clone, Debug, PartialEq)]
pub struct Warning {
    /// What, in words.
    pub text: String,
    /// Where.
    pub place: Point,
}

/// Length, area and islands, and the thinnest wall if that is asked for: known in every frame.
pub fn facts(placement: &Placement, with_wall: bool) -> String {
    let wall_mm = placement.thinnest_wall.filter(|_| with_wall).map(|wall| wall.mm);
    text::outline::facts(placement.outline_mm(), placement.area_mm2, placement.islands(), wall_mm)
}

/// What is wrong with the outline where the cut is shown now: what every frame knows, and what more is known at rest.
pub fn warnings(state: &State) -> Vec<Warning> {
    let Some(placement) = &state.placement else { return Vec::new() };
    let mut warnings = Vec::new();
    if let (Some((length_mm, angle_deg)), Some(longest)) = (placement.grazing(), placement.grazes.first()) {
        let text = text::outline::grazes(length_mm, angle_deg.max(0.1));
        warnings.push(Warning { text, place: longest.middle });
    }
    if let Some(sliver) = placement.sliver() {
        let text = text::outline::sliver(sliver.width_mm);
        warnings.push(Warning { text, place: sliver.place });
    }
    if let Some(lip) = state.at_rest.and_then(|rest| rest.lip) {
        let side = if lip.side == Side::Above { text::common::ABOVE } else { text::common::BELOW };
        let text = match lip.width_mm {
            Some(width_mm) => text::outline::thin_edge(side, PRINT_LINE_MM, width_mm),
            None => text::outline::flake(side, PRINT_LINE_MM),
        };
        warnings.push(Warning { text, place: lip.place });
    }
    warnings
}
