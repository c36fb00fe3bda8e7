//! A patch of the colour and pattern that a verdict has on the bench.

use egui::{Response, Sense, Ui, vec2};

use crate::bench::{BenchStyle, Tone, paint_swatch};

/// Shows the patch of `tone`.
pub fn swatch(ui: &mut Ui, tone: Tone) -> Response {
    let (rect, response) = ui.allocate_exact_size(vec2(20.0, 13.0), Sense::hover());
    paint_swatch(ui.painter(), rect, tone, &BenchStyle::of(ui.visuals()));
    response
}
