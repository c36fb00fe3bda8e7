//! What is said about a cut while it is dragged, on slips of paper with thin lines to what each is about.

use std::collections::HashMap;
use std::sync::Arc;

use egui::{Color32, FontId, Galley, Pos2, Rect, Stroke, Vec2};

use super::overlay::Overlay;
use super::slips::{Slip, lay_out};
use super::words::FRAME;

/// What words are about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Of {
    /// The handle that is dragged: its number, and what is told of the cut.
    Handle,
    /// What lies below the cut.
    Below,
    /// What lies above it.
    Above,
    /// The lower end of the band.
    BandFrom,
    /// Its upper end.
    BandTo,
    /// That there is no band.
    NoBand,
}

/// Where words stood in the frame before.
pub type Kept = HashMap<Of, usize>;

/// A line of words.
#[derive(Clone, Debug)]
pub struct Words {
    /// The words.
    pub text: String,
    /// In which colour.
    pub ink: Color32,
    /// How high the letters are, points.
    pub size: f32,
}

impl Words {
    /// In the usual size.
    pub fn new(text: impl Into<String>, ink: Color32) -> Words {
        Words { text: text.into(), ink, size: 13.0 }
    }

    /// The number of what is dragged.
    pub fn large(text: impl Into<String>, ink: Color32) -> Words {
        Words { size: 16.0, ..Words::new(text, ink) }
    }
}

/// Words about something.
#[derive(Clone, Debug)]
pub struct Said {
    /// About what.
    pub of: Of,
    /// Where that is on the screen.
    pub about: Pos2,
    /// Where they stand beside it: see [`Slip::beside`].
    pub beside: Vec2,
    /// One under the other; the first gives its colour to the edge of the slip.
    pub words: Vec<Words>,
    /// Whether they are told even where there is hardly room.
    pub needed: bool,
}

/// No line is wider, points, nor takes a larger share of the bench: words go on in the next one.
const WIDEST: f32 = 270.0;
const WIDEST_SHARE: f32 = 0.6;
/// Between two lines, points.
const BETWEEN: f32 = 2.0;
/// Words farther than this from what they are about have a line to it, points.
const LED_FROM: f32 = 30.0;
/// What may stand on the edge of the bench keeps so far from it, points.
const FROM_EDGE: f32 = 3.0;

impl Overlay<'_> {
    /// Lays out and draws what is said, clear of what words cover already, and of `clear_of`.
    pub fn say(&self, said: &[Said], clear_of: &[Rect], kept: &mut Kept) {
        let galleys: Vec<Vec<Arc<Galley>>> = said.iter().map(|said| self.galleys(&said.words)).collect();
        let slips: Vec<Slip> = said
            .iter()
            .zip(&galleys)
            .map(|(said, lines)| Slip {
                about: said.about,
                beside: said.beside,
                size: size_of(lines) + 2.0 * FRAME,
                needed: said.needed,
                kept: kept.get(&said.of).copied(),
            })
            .collect();
        let clear: Vec<Rect> = self.taken.borrow().iter().chain(clear_of).copied().collect();
        let laid = lay_out(&slips, self.view.rect.shrink(FROM_EDGE), &clear);
        kept.clear();
        // Lines first, so that none runs across words.
        for (said, laid) in said.iter().zip(&laid) {
            let Some(laid) = laid else { continue };
            kept.insert(said.of, laid.place);
            let near = laid.rect.clamp(said.about);
            if near.distance(said.about) > LED_FROM {
                self.haloed_line(&[said.about, near], 1.0, self.style.ink_soft);
            }
        }
        for ((said, laid), lines) in said.iter().zip(&laid).zip(galleys) {
            if let Some(laid) = laid {
                self.slip(laid.rect, said, lines);
            }
        }
    }

    fn galleys(&self, words: &[Words]) -> Vec<Arc<Galley>> {
        let widest = WIDEST.min(WIDEST_SHARE * self.view.rect.width());
        let galley = |words: &Words| {
            self.painter.layout(words.text.clone(), FontId::proportional(words.size), words.ink, widest)
        };
        words.iter().map(galley).collect()
    }

    fn slip(&self, rect: Rect, said: &Said, lines: Vec<Arc<Galley>>) {
        let edge = said.words.first().map_or(self.style.ink, |words| words.ink);
        self.paper(rect, edge);
        let mut at = rect.min + FRAME;
        for (galley, words) in lines.into_iter().zip(&said.words) {
            let height = galley.size().y;
            self.painter.galley(at, galley, words.ink);
            at.y += height + BETWEEN;
        }
        self.taken.borrow_mut().push(rect);
    }

    /// A slip of paper.
    pub(super) fn paper(&self, rect: Rect, edge: Color32) {
        self.painter.rect(
            rect,
            3.0,
            self.style.tag.gamma_multiply(0.94),
            Stroke::new(1.0, edge.gamma_multiply(0.45)),
            egui::StrokeKind::Inside,
        );
    }
}

fn size_of(lines: &[Arc<Galley>]) -> Vec2 {
    let wide = lines.iter().map(|line| line.size().x).fold(0.0, f32::max);
    let high: f32 = lines.iter().map(|line| line.size().y).sum();
    Vec2::new(wide, high + BETWEEN * lines.len().saturating_sub(1) as f32)
}
