//! A bed seen from above, drawn to scale: edge, margin, keep-out zones, and how the selected piece would lie there.

use std::sync::Arc;

use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, pos2, vec2};
use seamwright_geometry::Bed;

use super::bed_list::size_words;
use super::lying::{Lying, caption, lying};
use crate::app::beds::own_name;
use crate::app::state::State;
use crate::app::words;
use crate::bench::BenchStyle;
use crate::bench::ground::{Ground, Spot, spans, zero_lines};
use crate::text;

/// So high is the drawing of any bed, points: the numbers beneath it stay in sight, and where they are.
const HEIGHT: f32 = 210.0;
/// Room for the measures at the foot and at the left.
const FOOT: f32 = 18.0;

/// Shows the plan of the bed with this place.
pub fn bed_plan(ui: &mut Ui, state: &State, at: usize, bed: &Bed) {
    let lying = lying(ui, state, at);
    let ([low, high], [x_mm, y_mm]) = (bed.extent_mm(), bed.size_mm());
    let beyond = beyond_mm([low, high], lying.as_ref());
    let [drawn_x, drawn_y] = [0, 1].map(|k| (high[k] - low[k] + beyond[0][k] + beyond[1][k]) as f32);
    let width = ui.available_width();
    let scale = ((width - FOOT - 4.0) / drawn_x).min((HEIGHT - FOOT - 4.0) / drawn_y);
    let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::hover());
    let name = match own_name(state.recipe(), at) {
        name if name.is_empty() => text::beds::UNNAMED.to_owned(),
        name => name,
    };
    let mark = lying.as_ref().map(|lying| lying.mark.as_str());
    let said = text::beds::plan(&name, &size_words(bed), bed.keep_outs.len(), mark);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &said));
    let [below_x, below_y] = beyond[0].map(|mm| mm as f32 * scale);
    let left = rect.left() + FOOT + (rect.width() - FOOT - drawn_x * scale) / 2.0;
    let over = (HEIGHT - FOOT - 4.0 - drawn_y * scale) / 2.0;
    let origin = pos2(left + below_x, rect.top() + 2.0 + over + drawn_y * scale - below_y);
    let style = BenchStyle::of(ui.visuals());
    let plan = Plan { painter: ui.painter_at(rect), low, high, origin, scale, style };
    let ground = Ground::of(bed);
    let outline = bed.drawn_outline_mm();
    plan.surface(&outline);
    if let Some(lying) = &lying {
        plan.piece(lying, &ground);
    }
    for (i, zone) in bed.keep_outs.iter().enumerate() {
        plan.zone(&zone.corners_mm, zone.from_mm, i + 1);
    }
    for line in &*margin_lines(ui, bed, &ground) {
        plan.line(line, Stroke::new(1.0, style.ink_soft));
    }
    plan.closed(&outline, Stroke::new(1.8, style.ink));
    plan.measures(x_mm, y_mm);
    caption(ui, state, lying.as_ref());
}

/// How far a piece reaches beyond the bed, mm: below and above, along x and y. A much larger one is cut off, so that the
/// bed stays in sight.
fn beyond_mm([low, high]: [Spot; 2], lying: Option<&Lying>) -> [[f64; 2]; 2] {
    let farthest = |k: usize, outwards: &dyn Fn(&Spot) -> f64| {
        let corners = lying.iter().flat_map(|lying| &lying.corners);
        corners.map(outwards).fold(0.0, f64::max).min((high[k] - low[k]) * MOST_BEYOND_SHARE)
    };
    [[0, 1].map(|k| farthest(k, &|p| low[k] - p[k])), [0, 1].map(|k| farthest(k, &|p| p[k] - high[k]))]
}

/// So much of its own size is drawn beside a bed at most, on each side.
const MOST_BEYOND_SHARE: f64 = 0.4;

/// Where the margin ends, made once for each bed.
fn margin_lines(ui: &Ui, bed: &Bed, ground: &Ground) -> Arc<Vec<[Spot; 2]>> {
    type Made = (Bed, Arc<Vec<[Spot; 2]>>);
    let id = egui::Id::unique("margin lines");
    if let Some((of, lines)) = ui.data(|d| d.get_temp::<Made>(id))
        && of == *bed
    {
        return lines;
    }
    let lines = Arc::new(zero_lines(bed.extent_mm(), |p| ground.room_mm(p, 0.0)));
    ui.data_mut(|d| d.insert_temp(id, (bed.clone(), lines.clone())));
    lines
}

struct Plan {
    painter: Painter,
    low: Spot,
    high: Spot,
    /// Where the lower left corner is.
    origin: Pos2,
    /// Points to a millimetre.
    scale: f32,
    style: BenchStyle,
}

/// Distance of hatch lines, points.
const HATCH: f32 = 5.0;
/// Lines of the grid, mm.
const GRID_MM: [f64; 2] = [10.0, 50.0];
/// Closer than this, points, grid lines are left out.
const CLOSEST: f32 = 5.0;

impl Plan {
    fn at(&self, p: Spot) -> Pos2 {
        let [x, y] = [p[0] - self.low[0], p[1] - self.low[1]].map(|x| x as f32 * self.scale);
        self.origin + vec2(x, -y)
    }

    fn line(&self, ends: &[Spot; 2], stroke: Stroke) {
        self.painter.line_segment(ends.map(|p| self.at(p)), stroke);
    }

    fn closed(&self, ring: &[Spot], stroke: Stroke) {
        self.painter.add(Shape::closed_line(ring.iter().map(|p| self.at(*p)).collect(), stroke));
    }

    /// A ring filled in strips of one point: it need not be convex.
    fn filled(&self, ring: &[Spot], colour: Color32) {
        let step = 1.0 / f64::from(self.scale);
        let mut y = self.low[1] + step / 2.0;
        while y < self.high[1] {
            for [from, to] in spans(ring, [0.0, 1.0], [1.0, 0.0], y) {
                let (a, b) = (self.at([from, y]), self.at([to, y]));
                self.painter.rect_filled(Rect::from_min_max(a - vec2(0.0, 0.5), b + vec2(0.0, 0.5)), 0.0, colour);
            }
            y += step;
        }
    }

    fn surface(&self, outline: &[Spot]) {
        self.filled(outline, self.style.bed);
        for (every, colour) in GRID_MM.into_iter().zip([self.style.grid_fine, self.style.grid_bold]) {
            if every as f32 * self.scale < CLOSEST {
                continue;
            }
            for (axis, across, along) in [(0, [1.0, 0.0], [0.0, 1.0]), (1, [0.0, 1.0], [1.0, 0.0])] {
                let mut at = self.low[axis] + every;
                while at < self.high[axis] {
                    for span in spans(outline, across, along, at) {
                        let place = |t: f64| if axis == 0 { [at, t] } else { [t, at] };
                        self.line(&span.map(place), Stroke::new(0.7, colour.gamma_multiply(0.7)));
                    }
                    at += every;
                }
            }
        }
    }

    /// Slanted lines within a ring, where `is` holds of the place.
    fn hatched(&self, ring: &[Spot], stroke: Stroke, is: impl Fn(Spot) -> bool) {
        let step = f64::from(HATCH / self.scale) * std::f64::consts::SQRT_2;
        let reach = ring
            .iter()
            .map(|p| p[0] - p[1])
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], s| [low.min(s), high.max(s)]);
        // So many places along a line are asked, about two points apart.
        let every = 4.0 / f64::from(self.scale);
        let mut at = (reach[0] / step).ceil() * step;
        while at < reach[1] {
            let place = |t: f64| [(at + t) / 2.0, (t - at) / 2.0];
            for [from, to] in spans(ring, [1.0, -1.0], [1.0, 1.0], at) {
                let mut begun: Option<f64> = None;
                let mut t = from;
                while t < to {
                    match (is(place(t)), begun) {
                        (true, None) => begun = Some(t),
                        (false, Some(start)) => {
                            self.line(&[place(start), place(t)], stroke);
                            begun = None;
                        }
                        _ => {}
                    }
                    t += every;
                }
                if let Some(start) = begun {
                    self.line(&[place(start), place(to)], stroke);
                }
            }
            at += step;
        }
    }

    fn zone(&self, corners: &[Spot], from_mm: f64, number: usize) {
        // A zone that begins higher up leaves the ground free: its hatch is faint and broken.
        let faint = from_mm > 0.0;
        let ink = if faint { self.style.ink_soft } else { self.style.ink };
        let period = f64::from(2.0 * HATCH / self.scale);
        self.hatched(corners, Stroke::new(1.0, ink), |p| !faint || (p[0] + p[1]).rem_euclid(2.0 * period) < period);
        self.closed(corners, Stroke::new(1.2, ink));
        let middle = corners.iter().fold([0.0; 2], |sum, p| [sum[0] + p[0], sum[1] + p[1]]);
        let middle = self.at(middle.map(|sum| sum / corners.len() as f64));
        let text = if faint { text::beds::zone_from(number, from_mm) } else { number.to_string() };
        self.tag(middle, &text, ink);
    }

    fn piece(&self, lying: &Lying, ground: &Ground) {
        let colour = self.style.colour(lying.tone);
        let ring: Vec<Pos2> = lying.corners.iter().map(|p| self.at(*p)).collect();
        let edge = Stroke::new(1.6, self.style.ink);
        let fill = colour.gamma_multiply(0.45);
        self.painter.add(egui::epaint::PathShape::convex_polygon(ring.clone(), fill, Stroke::NONE));
        // Side by side: joined at a sharp corner, the edges of a sliver would run to a point far beyond it.
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            self.painter.line_segment([*a, *b], edge);
        }
        self.hatched(&lying.corners, Stroke::new(1.8, self.style.ink), |p| ground.room_mm(p, 0.0) < -OVER_MM);
        let middle = lying.corners.iter().fold([0.0; 2], |sum, p| [sum[0] + p[0], sum[1] + p[1]]);
        let middle = self.at(middle.map(|sum| sum / lying.corners.len().max(1) as f64));
        let seen = Rect::from_points(&ring);
        if seen.width().min(seen.height()) < LEAST_SEEN {
            self.painter.circle(middle, LEAST_SEEN / 2.0, colour, Stroke::new(1.0, self.style.ink));
        }
        let mark = self.painter.layout_no_wrap(lying.mark.clone(), FontId::proportional(11.0), self.style.ink);
        if mark.size().x + BESIDE < seen.width() && mark.size().y < seen.height() {
            return self.tag(middle, &lying.mark, self.style.ink);
        }
        // Its mark would hide it: a line leads to where that stands.
        let beside = mark_beside(self.painter.clip_rect(), &seen.expand(LEAST_SEEN / 2.0), mark.size());
        self.painter.line_segment([beside.center(), middle], Stroke::new(1.0, self.style.ink_soft));
        self.tag(beside.center(), &lying.mark, self.style.ink);
    }

    fn tag(&self, at: Pos2, text: &str, ink: Color32) {
        let galley = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(11.0), ink);
        let rect = Rect::from_center_size(at, galley.size() + vec2(4.0, 0.0));
        self.painter.rect_filled(rect, 2.0, self.style.tag.gamma_multiply(0.85));
        self.painter.galley(rect.min + vec2(2.0, 0.0), galley, ink);
    }

    /// Width and depth, with lines that end where the bed does.
    fn measures(&self, x_mm: f64, y_mm: f64) {
        let (ink, font) = (self.style.ink_soft, FontId::proportional(11.0));
        let [a, b] = [self.at(self.low), self.at(self.high)];
        let (foot, side) = (a.y + 5.0, a.x - 5.0);
        let stroke = Stroke::new(1.0, ink);
        self.painter.line_segment([pos2(a.x, foot), pos2(b.x, foot)], stroke);
        self.painter.line_segment([pos2(side, a.y), pos2(side, b.y)], stroke);
        for x in [a.x, b.x] {
            self.painter.vline(x, foot - 3.0..=foot + 3.0, stroke);
        }
        for y in [a.y, b.y] {
            self.painter.hline(side - 3.0..=side + 3.0, y, stroke);
        }
        let under = pos2((a.x + b.x) / 2.0, foot + 2.0);
        // On paper of their own: a piece may reach out beneath them.
        let paper = self.style.tag.gamma_multiply(0.9);
        let galley = self.painter.layout_no_wrap(words::length(x_mm), font.clone(), ink);
        let frame = Align2::CENTER_TOP.anchor_size(under, galley.size());
        self.painter.rect_filled(frame.expand2(vec2(3.0, 0.0)), 2.0, paper);
        self.painter.galley(frame.min, galley, ink);
        let galley = self.painter.layout_no_wrap(words::length(y_mm), font, ink);
        let at = pos2(side - 2.0 - galley.size().y, (a.y + b.y) / 2.0 + galley.size().x / 2.0);
        let frame = Rect::from_min_max(at - vec2(0.0, galley.size().x), at + vec2(galley.size().y, 0.0));
        self.painter.rect_filled(frame.expand2(vec2(0.0, 3.0)), 2.0, paper);
        self.painter.add(egui::epaint::TextShape::new(at, galley, ink).with_angle(-std::f32::consts::FRAC_PI_2));
    }
}

/// A piece that is seen smaller than this has a dot, points.
const LEAST_SEEN: f32 = 6.0;
/// How far beside a little piece its mark stands, points.
const BESIDE: f32 = 10.0;

/// Where the mark of a little piece stands that is seen as `piece`: up to the right of it, or where there is room.
fn mark_beside(room: Rect, piece: &Rect, mark: Vec2) -> Rect {
    let size = mark + vec2(4.0, 0.0);
    let right = piece.right() + BESIDE + size.x <= room.right();
    let above = piece.top() - BESIDE - size.y >= room.top();
    let x = if right { piece.right() + BESIDE } else { piece.left() - BESIDE - size.x };
    let y = if above { piece.top() - BESIDE - size.y } else { piece.bottom() + BESIDE };
    Rect::from_min_size(pos2(x, y), size)
}

/// What is over by less is rounding, mm: far less than is shown.
const OVER_MM: f64 = 0.05;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_of_a_little_piece_stands_beside_it_and_in_the_picture() {
        let room = Rect::from_min_size(Pos2::ZERO, vec2(280.0, 210.0));
        for at in [pos2(140.0, 100.0), pos2(275.0, 4.0), pos2(3.0, 205.0), pos2(275.0, 205.0)] {
            let piece = Rect::from_center_size(at, vec2(6.0, 4.0));
            let mark = mark_beside(room, &piece, vec2(14.0, 13.0));
            assert!(room.contains_rect(mark) && !mark.intersects(piece), "{at:?}: {mark:?}");
        }
    }
}
