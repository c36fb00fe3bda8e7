//! A swatch of a verdict's colour with its hatch.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke};

use super::style::{BenchStyle, Pattern, Tone};

/// Draws a swatch of `tone` with its hatch, for legends and tables.
pub fn paint_swatch(painter: &Painter, rect: Rect, tone: Tone, style: &BenchStyle) {
    let colour = style.colour(tone);
    let painter = painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    painter.rect_filled(rect, 2.0, colour);
    let line = Stroke::new(1.3, darkened(colour));
    let step = (rect.height() / 2.6).clamp(3.0, 6.0);
    let slanted = |down: bool, dashed: bool| {
        let mut x = rect.left() - rect.height();
        while x < rect.right() {
            let (a, b) = (Pos2::new(x, rect.bottom()), Pos2::new(x + rect.height(), rect.top()));
            let mirror = |p: Pos2| Pos2::new(p.x, rect.top() + rect.bottom() - p.y);
            let ends = if down { [mirror(a), mirror(b)] } else { [a, b] };
            if dashed {
                painter.extend(Shape::dashed_line(&ends, line, step, 0.7 * step));
            } else {
                painter.line_segment(ends, line);
            }
            x += step;
        }
    };
    match tone.pattern() {
        Pattern::Plain => {}
        Pattern::Strokes => slanted(false, false),
        Pattern::Dashes => slanted(false, true),
        Pattern::Crossed => {
            slanted(false, false);
            slanted(true, false);
        }
        Pattern::Dots => {
            let mut y = rect.top() + step / 2.0;
            while y < rect.bottom() {
                let mut x = rect.left() + step / 2.0;
                while x < rect.right() {
                    painter.circle_filled(Pos2::new(x, y), 1.3, darkened(colour));
                    x += step;
                }
                y += step;
            }
        }
    }
}

fn darkened(c: Color32) -> Color32 {
    let [r, g, b, _] = c.to_array().map(|x| (f32::from(x) * 0.55) as u8);
    Color32::from_rgb(r, g, b)
}
