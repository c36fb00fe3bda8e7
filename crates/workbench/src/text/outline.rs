//! What is told of the outline of a cut.

use super::common::in_mm;
use super::numbers::{angle, area, mm};

/// Length, area, islands where there are several, and the thinnest wall where it is told here.
pub fn facts(length_mm: f64, area_mm2: f64, islands: usize, wall_mm: Option<f64>) -> String {
    let round = if islands > 1 { "of outlines in all" } else { "round" };
    let islands = if islands > 1 { format!(" · {islands} islands") } else { String::new() };
    let wall = wall_mm.map_or_else(String::new, |wall_mm| format!(" · wall {} mm", mm(wall_mm)));
    format!("{} {round} · {}{islands}{wall}", in_mm(length_mm), area(area_mm2))
}

/// It lies nearly along the surface.
pub fn grazes(length_mm: f64, within_deg: f64) -> String {
    format!("grazes the surface for {}, within {}°", in_mm(length_mm), angle(within_deg))
}

/// It leaves a thin strip.
pub fn sliver(width_mm: f64) -> String {
    format!("cuts a sliver of {} mm", mm(width_mm))
}

/// A side ends in an edge that cannot be printed.
pub fn thin_edge(side: &str, line_mm: f64, width_mm: f64) -> String {
    format!("{side}: an edge thinner than a {} mm line for {} mm", mm(line_mm), mm(width_mm))
}

/// A side has a flake that cannot be printed.
pub fn flake(side: &str, line_mm: f64) -> String {
    format!("{side}: a flake nowhere thicker than a {} mm line", mm(line_mm))
}
