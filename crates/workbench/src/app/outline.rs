//! What is told of the outline of the cut in hand, in words.

use seamwright_geometry::{Point, Side};
use seamwright_project::{PRINT_LINE_MM, Placement};

use super::state::State;
use super::words;

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
    let islands = placement.islands();
    let islands = if islands > 1 { format!(" · {islands} islands") } else { String::new() };
    let wall = placement
        .thinnest_wall
        .filter(|_| with_wall)
        .map_or_else(String::new, |wall| format!(" · wall {} mm", words::mm(wall.mm)));
    format!("{} round · {}{islands}{wall}", length(placement.outline_mm()), words::area(placement.area_mm2))
}

/// What is wrong with the outline where the cut is shown now: what every frame knows, and what more is known at rest.
pub fn warnings(state: &State) -> Vec<Warning> {
    let Some(placement) = &state.placement else { return Vec::new() };
    let mut warnings = Vec::new();
    if let (Some((length_mm, angle_deg)), Some(longest)) = (placement.grazing(), placement.grazes.first()) {
        let angle = words::angle(angle_deg.max(0.1));
        let text = format!("grazes the surface for {}, within {angle}°", length(length_mm));
        warnings.push(Warning { text, place: longest.middle });
    }
    if let Some(sliver) = placement.sliver() {
        let text = format!("cuts a sliver of {} mm", words::mm(sliver.width_mm));
        warnings.push(Warning { text, place: sliver.place });
    }
    if let Some(lip) = state.at_rest.and_then(|rest| rest.lip) {
        let side = if lip.side == Side::Above { "above" } else { "below" };
        let thin = words::mm(PRINT_LINE_MM);
        let text = match lip.width_mm {
            Some(width) => format!("{side}: an edge thinner than a {thin} mm line for {} mm", words::mm(width)),
            None => format!("{side}: a flake nowhere thicker than a {thin} mm line"),
        };
        warnings.push(Warning { text, place: lip.place });
    }
    warnings
}

/// Long ones in centimetres, as areas are.
fn length(mm: f64) -> String {
    if mm < 100.0 { format!("{} mm", words::mm(mm)) } else { format!("{:.1} cm", mm / 10.0) }
}
