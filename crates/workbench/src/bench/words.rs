//! Words over the picture, on slips of paper: marks, dimensions, numbers. They keep clear of each other, and of the hand.

use egui::{Align2, Color32, FontId, Pos2, Rect, Stroke, Vec2};

use super::overlay::{LINE, Overlay};
use super::pick;
use super::scene::{Dimension, Label, Scene};
use super::view::View;

/// Which labels come first where there is no room for all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Strong,
    InSight,
    Behind,
}

impl Rank {
    fn of(label: &Label, scene: &Scene, view: &View) -> Rank {
        if label.strong {
            return Rank::Strong;
        }
        let in_front = label.of.and_then(|of| {
            let hit = pick::pick(scene, &view.ray(view.project(&label.at)?), false)?;
            Some(hit.id != of)
        });
        if in_front == Some(true) { Rank::Behind } else { Rank::InSight }
    }
}

impl Overlay<'_> {
    /// Marks and dimensions of `scene`. Words that would cover earlier ones, or what is in `kept_clear`, stand some lines
    /// aside, or are left out; those of what is in sight come before those of what is behind something else.
    pub fn words(&self, scene: &Scene, kept_clear: &[Rect]) {
        let mut taken: Vec<Rect> = kept_clear.to_vec();
        for dimension in &scene.dimensions {
            self.dimension(dimension, &mut taken);
        }
        let eye = self.view.camera.eye();
        let ranked = |label| (Rank::of(label, scene, &self.view), nalgebra::distance(&eye, &label.at), label);
        let mut labels: Vec<(Rank, f64, &Label)> = scene.labels.iter().map(ranked).collect();
        labels.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for (rank, _, label) in labels {
            self.label(label, rank, &mut taken);
        }
    }

    /// One quiet line at the foot of the bench.
    pub fn hint(&self, text: &str) {
        let at = self.view.rect.center_bottom() - Vec2::new(0.0, 14.0);
        self.tag(at, Align2::CENTER_BOTTOM, text, self.style.ink);
    }

    fn label(&self, label: &Label, rank: Rank, taken: &mut Vec<Rect>) {
        let Some(at) = self.view.project(&label.at).filter(|p| self.view.rect.contains(*p)) else { return };
        let ink = match rank {
            Rank::Strong => self.style.accent,
            Rank::InSight => self.style.ink,
            Rank::Behind => self.style.ink_soft,
        };
        let lines: &[f32] = if label.of.is_some() { &ASIDE_LINES } else { &LED_LINES };
        self.tag_unless_taken(at, &label.text, ink, lines, taken);
    }

    fn dimension(&self, dimension: &Dimension, taken: &mut Vec<Rect>) {
        let (Some(a), Some(b)) = (self.view.project(&dimension.from), self.view.project(&dimension.to)) else { return };
        let run = b - a;
        if run.length() < 12.0 {
            return;
        }
        let across = run.normalized().rot90() * 5.0;
        self.haloed_line(&[a, b], 1.3, self.style.ink);
        for end in [a, b] {
            self.haloed_line(&[end - across, end + across], 1.3, self.style.ink);
        }
        self.tag_unless_taken(a + run / 2.0, &dimension.text, self.style.ink, &LED_LINES, taken);
    }

    /// Words about `at`, on the first of these lines that is free; farther off than the next one a line leads back.
    fn tag_unless_taken(&self, at: Pos2, text: &str, ink: Color32, lines: &[f32], taken: &mut Vec<Rect>) {
        let galley = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(13.0), ink);
        let there = |lines: &f32| {
            let stands = at + Vec2::new(0.0, lines * LINE);
            (stands, Align2::CENTER_CENTER.anchor_size(stands, galley.size()).expand2(Vec2::new(5.0, 2.0)))
        };
        let is_free = |rect: &Rect| taken.iter().all(|other| !other.intersects(*rect));
        if let Some((stands, rect)) = lines.iter().map(there).find(|(_, rect)| is_free(rect)) {
            taken.push(rect);
            if (stands - at).length() > LED_FROM {
                self.haloed_line(&[at, stands], 1.2, ink);
            }
            self.tag(stands, Align2::CENTER_CENTER, text, ink);
        }
    }

    pub(super) fn tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32) {
        self.sized_tag(at, align, text, ink, 13.0);
    }

    /// Words that stand a line or two farther up or down where others are in the way.
    pub(super) fn clear_tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32) {
        let size = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(13.0), ink).size();
        let stands = |shift: f32| {
            let frame = align.anchor_size(at + Vec2::new(0.0, shift), size).expand2(FRAME);
            self.view.rect.contains_rect(frame) && !self.taken.borrow().iter().any(|other| other.intersects(frame))
        };
        let shift = CLEAR_LINES.map(|lines| lines * LINE).into_iter().find(|shift| stands(*shift)).unwrap_or(0.0);
        self.tag(at + Vec2::new(0.0, shift), align, text, ink);
    }

    pub(super) fn big_tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32) {
        self.sized_tag(at, align, text, ink, 16.0);
    }

    fn sized_tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32, size: f32) {
        let galley = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(size), ink);
        let words = align.anchor_size(at, galley.size());
        // Kept inside the bench, so that a number near the edge can still be read.
        let frame = words.expand2(FRAME);
        let inside = self.view.rect.shrink(2.0);
        let push = Vec2::new(
            (inside.left() - frame.left()).max(0.0) + (inside.right() - frame.right()).min(0.0),
            (inside.top() - frame.top()).max(0.0) + (inside.bottom() - frame.bottom()).min(0.0),
        );
        let frame = frame.translate(push);
        self.taken.borrow_mut().push(frame);
        self.painter.rect(
            frame,
            3.0,
            self.style.tag.gamma_multiply(0.94),
            Stroke::new(1.0, ink.gamma_multiply(0.45)),
            egui::StrokeKind::Inside,
        );
        self.painter.galley(words.min + push, galley, ink);
    }
}

/// Paper around words, in points.
const FRAME: Vec2 = Vec2::new(6.0, 3.0);
/// Where a mark may stand that would cover another, in lines from where it belongs: farther off it would name something else.
const ASIDE_LINES: [f32; 3] = [0.0, 1.0, -1.0];
/// The same for words that a line leads back to what they are about, when they stand farther off than [`LED_FROM`], points.
const LED_LINES: [f32; 7] = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];
const LED_FROM: f32 = 1.5 * LINE;
/// Where words may stand that have to keep clear, in lines from where they belong, nearest first.
const CLEAR_LINES: [f32; 9] = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0, 4.0, -4.0];
