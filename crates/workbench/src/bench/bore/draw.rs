//! How a bore in hand is drawn over the picture: seen through the model, with the wall around it in colour and kind of line.

use egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2};
use seamwright_geometry::Point;

use super::{BoreDrag, BoreHandle, BoreInHand, WallTone};
use crate::bench::overlay::Overlay;
use crate::bench::style::BenchStyle;
use crate::text;

/// The channel is drawn at least so wide, points, so that it is seen from afar.
const LEAST_WIDTH: f32 = 5.0;
/// And at most so wide: near by, the line matters.
const MOST_WIDTH: f32 = 26.0;

impl Overlay<'_> {
    /// The bore, its handles, and the number of the one that is dragged.
    pub fn bore(&self, bore: &BoreInHand, hovered: Option<BoreHandle>, drag: Option<&BoreDrag>) {
        self.channel(bore);
        let centre: Vec<Pos2> = bore.line.iter().filter_map(|p| self.view.project(p)).collect();
        self.haloed_line(&centre, 1.6, self.style.accent);
        if let Some((place, towards, text)) = &bore.least {
            self.least(place, towards, text);
        }
        if !bore.held {
            return;
        }
        let active = drag.map(|d| d.handle).or(hovered);
        for (i, p) in bore.line.iter().enumerate() {
            self.knob(p, active == Some(BoreHandle::Point(i)), i == 0 || i + 1 == bore.line.len());
        }
        self.knob(&bore.middle(), active == Some(BoreHandle::Whole), false);
        if let Some(drag) = drag {
            self.moved(bore, drag);
        }
    }

    /// The wall along the channel: a band for each stretch of one tone.
    fn channel(&self, bore: &BoreInHand) {
        for pair in bore.walls.windows(2) {
            let (Some(a), Some(b)) = (self.view.project(&pair[0].place), self.view.project(&pair[1].place)) else {
                continue;
            };
            let mm = self.view.mm_per_point(&pair[0].place).max(f64::MIN_POSITIVE);
            let width = ((2.0 * bore.radius_mm / mm) as f32).clamp(LEAST_WIDTH, MOST_WIDTH);
            // The worse of the two ends tells the stretch.
            let tone = if pair[0].tone as usize > pair[1].tone as usize { pair[0].tone } else { pair[1].tone };
            band(&self.painter, [a, b], width, tone, self.style);
        }
    }

    /// The thinnest wall: the way from the channel to the surface, with its number.
    fn least(&self, place: &Point, towards: &Point, text: &str) {
        let (Some(a), Some(b)) = (self.view.project(place), self.view.project(towards)) else { return };
        self.haloed_line(&[a, b], 2.0, self.style.ink);
        self.painter.circle(b, 3.5, self.style.tag, Stroke::new(1.6, self.style.ink));
        let beside = if (b - a).x < 0.0 { (Align2::RIGHT_CENTER, -14.0) } else { (Align2::LEFT_CENTER, 14.0) };
        self.tag(b + Vec2::new(beside.1, 0.0), beside.0, text, self.style.ink);
    }

    fn knob(&self, p: &Point, hot: bool, is_end: bool) {
        let Some(at) = self.view.project(p) else { return };
        let colour = if hot { self.style.accent } else { self.style.handles[0] };
        let (radius, fill) = (if hot { 8.0 } else { 6.5 }, if hot { colour } else { self.style.tag });
        if is_end {
            self.painter.circle(at, radius, fill, Stroke::new(2.4, colour));
        } else {
            let square = Rect::from_center_size(at, Vec2::splat(radius * 1.7));
            self.painter.rect(square, 2.0, fill, Stroke::new(2.0, colour), egui::StrokeKind::Middle);
        }
    }

    fn moved(&self, bore: &BoreInHand, drag: &BoreDrag) {
        let seat = match drag.handle {
            BoreHandle::Point(i) => bore.line.get(i).copied(),
            BoreHandle::Whole => Some(bore.middle()),
        };
        let Some(at) = seat.and_then(|p| self.view.project(&p)) else { return };
        let p = drag.latest().get(if let BoreHandle::Point(i) = drag.handle { i } else { 0 });
        let text = text::bench::bore_moved(p.copied(), drag.moved().norm());
        self.big_tag(at + Vec2::new(22.0, -22.0), Align2::LEFT_BOTTOM, &text, self.style.accent);
    }
}

/// One stretch: broad and whole where the wall is ample, with more and more ink across it the thinner it is.
fn band(painter: &Painter, [a, b]: [Pos2; 2], width: f32, tone: WallTone, style: &BenchStyle) {
    let colour = style.wall(tone);
    let run = b - a;
    if run.length() < 0.1 {
        return;
    }
    painter.line_segment([a, b], Stroke::new(width + 2.0, style.tag.gamma_multiply(0.7)));
    painter.line_segment([a, b], Stroke::new(width, colour.gamma_multiply(0.85)));
    let ink = dark(colour);
    match tone {
        WallTone::Ample => {}
        WallTone::Enough => {
            painter.extend(Shape::dashed_line(&[a, b], Stroke::new(1.6, ink), 5.0, 5.0));
        }
        WallTone::Thin | WallTone::Broken => {
            let (way, steps) = (run.normalized(), (run.length() / 5.0).floor().max(1.0));
            let across = way.rot90() * (width / 2.0);
            for i in 0..steps as usize {
                let at = a + run * ((i as f32 + 0.5) / steps);
                painter.line_segment([at - across, at + across], Stroke::new(1.4, ink));
                if tone == WallTone::Broken {
                    let lean = way * (width / 2.0);
                    painter.line_segment([at - across - lean, at + across + lean], Stroke::new(1.4, ink));
                }
            }
        }
    }
}

/// Draws a swatch of `tone`, for the legend.
pub fn paint_wall_swatch(painter: &Painter, rect: Rect, tone: WallTone, style: &BenchStyle) {
    let painter = painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    band(&painter, [rect.left_center(), rect.right_center()], rect.height() - 2.0, tone, style);
}

fn dark(c: Color32) -> Color32 {
    let [r, g, b, _] = c.to_array().map(|x| (f32::from(x) * 0.4) as u8);
    Color32::from_rgb(r, g, b)
}
