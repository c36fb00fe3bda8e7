//! Beside the handle that moves a cut: the stretch in which both sides fit, and what is said of each side.

use egui::{Pos2, Rect, Shape, Stroke, Vec2};
use seamwright_geometry::{Point, Verdict};

use super::cut_in_hand::CutInHand;
use super::drag::Drag;
use super::handles::{Handle, Handles};
use super::overlay::Overlay;
use super::said::{Of, Said, Words};
use super::style::Tone;
use super::words::beads;
use crate::text;
use crate::text::numbers::tenths;

/// Where along its normal a cut leaves two sides that fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// From where to where, along the normal, mm; the first is larger where there is no such place: below it the upper
    /// side is too big, above the second the lower one.
    pub along_mm: [f64; 2],
    /// Whether all poses were asked, not only those that are quick to ask.
    pub is_exact: bool,
    /// What is written at its ends, mm: the same numbers as are typed for the cut's place.
    pub typed_mm: [f64; 2],
}

impl Band {
    /// Whether there is a place at which both sides fit.
    pub fn is_any(&self) -> bool {
        self.along_mm[0] <= self.along_mm[1]
    }

    /// That there is none, in words.
    fn words_of_none(&self) -> &'static str {
        if self.is_exact { text::cut_sides::FIT_NOWHERE } else { text::cut_sides::FIT_ONLY_TILTED }
    }

    /// Whether both sides fit with the cut there.
    pub fn holds(&self, offset_mm: f64) -> bool {
        self.along_mm[0] <= offset_mm && offset_mm <= self.along_mm[1]
    }
}

/// What is said of one side of a cut: the worst of what lies there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideSaid {
    /// The verdict.
    pub verdict: Verdict,
    /// In a word.
    pub tone: Tone,
    /// Spare room, mm; negative when it sticks out.
    pub slack_mm: f64,
    /// Whether it is the exact answer, not the quick one of a drag.
    pub exact: bool,
}

impl SideSaid {
    /// `fits turned +3.2 mm`, with `≈` before a number that is not the exact one yet.
    pub fn text(&self) -> String {
        if self.is_open() {
            return text::cut_sides::PERHAPS_TILTED.to_owned();
        }
        text::cut_sides::with_slack(self.tone.words(), self.slack_mm, self.exact)
    }

    /// `+3.2 mm`: the colours of the pieces say the rest.
    fn short(&self) -> String {
        if self.is_open() { self.text() } else { text::cut_sides::slack(self.slack_mm, self.exact) }
    }

    /// Whether other tilts are still to be tried, once the hand rests: what the poses tried so far lack says nothing then.
    fn is_open(&self) -> bool {
        self.verdict == Verdict::Undecided && !self.exact
    }
}

/// How far beside the arrow the band lies, points: clear of the arrow's head.
const BESIDE: f32 = 15.0;
/// Width of the band, points: thinner than what can be taken hold of.
const WIDTH: f32 = 9.0;
/// How far beside the arrow the verdicts stand, points: clear of its head.
const SAID_BESIDE: f32 = 22.0;
/// The same to the left or right of an arrow that lies, points.
const LEAST_BESIDE: f32 = 8.0;
/// A band shorter than this on the screen is drawn so long, points, so that it can be seen.
const SHORTEST: f32 = 4.0;

/// The band on the screen.
struct Placed {
    band: Band,
    /// The direction of the arrow.
    way: Vec2,
    ends: [Pos2; 2],
}

impl Overlay<'_> {
    /// The band along the arrow of `cut`.
    pub fn band(&self, cut: &CutInHand, handles: &Handles, drag: Option<&Drag>) {
        let Some(placed) = self.placed(cut, handles, drag).filter(|placed| placed.band.is_any()) else { return };
        let (way, across, mut ends) = (placed.way, placed.way.rot90(), placed.ends);
        if (ends[1] - ends[0]).length() < SHORTEST {
            let middle = ends[0] + (ends[1] - ends[0]) / 2.0;
            ends = [middle - way * (SHORTEST / 2.0), middle + way * (SHORTEST / 2.0)];
        }
        self.ladder(ends, placed.band.holds(cut.plane.offset_mm()));
        // Where the plane is on it.
        let here = self.seat_on_screen(handles) + across * BESIDE;
        self.haloed_line(&[here - across * (WIDTH * 0.9), here + across * (WIDTH * 0.9)], 2.2, self.style.ink);
    }

    /// What the band means, where the pointer is on it.
    pub fn band_under(&self, cut: &CutInHand, handles: &Handles, at: Pos2) -> Option<String> {
        let placed = self.placed(cut, handles, None).filter(|placed| placed.band.is_any())?;
        let [a, b] = placed.ends;
        let along = (at - a).dot(placed.way).clamp(0.0, (b - a).length());
        let is_on = (a + placed.way * along).distance(at) <= WIDTH;
        is_on.then(|| text::cut_sides::band(placed.band.typed_mm.map(tenths)))
    }

    /// The numbers at the ends of the band, while the arrow is dragged, or it or the band is under the pointer.
    pub fn band_said(&self, cut: &CutInHand, handles: &Handles, is_pointed_at: bool, drag: Option<&Drag>) -> Vec<Said> {
        let is_said = drag.is_some() || is_pointed_at;
        let Some(placed) = self.placed(cut, handles, drag).filter(|_| is_said) else { return Vec::new() };
        let (way, across, [a, b]) = (placed.way, placed.way.rot90(), placed.ends);
        if !placed.band.is_any() {
            // While it is dragged that is told with its number.
            if drag.is_some() {
                return Vec::new();
            }
            let words = vec![Words::new(placed.band.words_of_none(), self.style.ink)];
            let (about, beside) = (self.seat_on_screen(handles), across * (BESIDE + 14.0));
            let beside = Vec2::new(beside.x.abs().max(BESIDE), beside.y);
            return vec![Said { of: Of::NoBand, about, beside, words, needed: true }];
        }
        let ends = [(Of::BandFrom, a, placed.band.typed_mm[0], -way), (Of::BandTo, b, placed.band.typed_mm[1], way)];
        let said = ends.map(|(of, about, typed, outward)| {
            let side = if across.x < -0.3 { -1.0 } else { 1.0 };
            let beside = across * 12.0 + outward * 4.0;
            let beside = Vec2::new(side * beside.x.abs().max(WIDTH), beside.y);
            Said { of, about, beside, words: vec![Words::new(tenths(typed), self.style.accent)], needed: false }
        });
        // What lies out of the picture is told by no number at its edge.
        said.into_iter().filter(|said| !self.is_tiny() && self.view.rect.contains(said.about)).collect()
    }

    /// That both sides fit nowhere along the line of a drag, in words.
    pub fn no_band_said(&self, cut: &CutInHand, handles: &Handles, drag: &Drag) -> Option<&'static str> {
        let placed = self.placed(cut, handles, Some(drag))?;
        (!placed.band.is_any()).then(|| placed.band.words_of_none())
    }

    /// The band as it lies on the screen, for words to keep clear of.
    pub fn band_covers(&self, cut: &CutInHand, handles: &Handles, drag: Option<&Drag>) -> Vec<Rect> {
        let placed = self.placed(cut, handles, drag).filter(|placed| placed.band.is_any());
        let beads = placed.map_or_else(Vec::new, |placed| beads(&placed.ends));
        beads.into_iter().map(|bead| bead.expand(WIDTH / 2.0)).collect()
    }

    /// Where the band is on the screen, if it is shown.
    fn placed(&self, cut: &CutInHand, handles: &Handles, drag: Option<&Drag>) -> Option<Placed> {
        // Tilting changes it: it is shown again where the tilt ends.
        if handles.arrow.is_none() || drag.is_some_and(|d| d.handle != Handle::Move) {
            return None;
        }
        let band = cut.band?;
        let normal = cut.plane.normal();
        let at = |offset: f64| self.view.project(&(handles.seat + normal * (offset - cut.plane.offset_mm())));
        let way = self.way_along(handles)?;
        let [a, b] = band.along_mm.map(at);
        let across = way.rot90() * BESIDE;
        Some(Placed { band, way, ends: [a? + across, b? + across] })
    }

    /// What is said of both sides, beside the two halves of the arrow, across from the band.
    pub fn sides_said(&self, cut: &CutInHand, handles: &Handles) -> Vec<Said> {
        let (Some(arrow), Some(way)) = (handles.arrow, self.way_along(handles)) else { return Vec::new() };
        let across = way.rot90() * -SAID_BESIDE;
        let halves = [
            (Of::Below, cut.said[0], arrow.below, text::common::BELOW, -way),
            (Of::Above, cut.said[1], arrow.above, text::common::ABOVE, way),
        ];
        let said = halves.into_iter().filter_map(|(of, said, ends, name, outward)| {
            let ([Some(from), Some(to)], Some(said)) = (ends.map(|p| self.view.project(&p)), said) else { return None };
            let ink = if said.verdict.fits() || said.is_open() { self.style.ink } else { self.style.warning };
            let said = if self.is_tiny() { said.short() } else { said.text() };
            let words = vec![Words::new(text::cut_sides::side(name, &said), ink)];
            // Beside an arrow that lies, each says it outwards, so that the two do not meet.
            let side = if across.x.abs() > 0.3 * SAID_BESIDE { across.x } else { outward.x };
            let away = across.x.abs().max(LEAST_BESIDE);
            let beside = Vec2::new(if side < 0.0 { -away } else { away }, across.y);
            Some(Said { of, about: from + (to - from) / 2.0, beside, words, needed: true })
        });
        said.collect()
    }

    /// The direction of the arrow on the screen.
    fn way_along(&self, handles: &Handles) -> Option<Vec2> {
        let [a, b] = handles.arrow?.above.map(|p: Point| self.view.project(&p));
        let way = b? - a?;
        (way.length() > 1.0).then(|| way.normalized())
    }

    fn seat_on_screen(&self, handles: &Handles) -> Pos2 {
        self.view.project(&handles.seat).unwrap_or_default()
    }

    /// A rail with rungs, closed at both ends: told from everything else by its form. Filled where the cut is on it.
    fn ladder(&self, [a, b]: [Pos2; 2], holds: bool) {
        let (way, length) = ((b - a).normalized(), (b - a).length());
        let half = way.rot90() * (WIDTH / 2.0);
        let colour = self.style.band;
        let corners = vec![a - half, a + half, b + half, b - half];
        self.painter.add(Shape::closed_line(corners.clone(), Stroke::new(3.4, self.style.tag.gamma_multiply(0.85))));
        // On paper, so that it shows on every piece.
        let paper = self.style.tag.gamma_multiply(0.9);
        self.painter.add(egui::epaint::PathShape::convex_polygon(corners.clone(), paper, Stroke::NONE));
        let fill = colour.gamma_multiply(if holds { 0.9 } else { 0.5 });
        self.painter.add(egui::epaint::PathShape::convex_polygon(corners, fill, Stroke::new(1.4, self.style.ink)));
        let rungs = (length / 7.0).floor().max(1.0);
        for i in 1..rungs as usize {
            let at = a + way * (length * i as f32 / rungs);
            self.painter.line_segment([at - half, at + half], Stroke::new(1.0, self.style.ink.gamma_multiply(0.8)));
        }
        for end in [a, b] {
            self.haloed_line(&[end - half * 2.2, end + half * 2.2], 2.2, self.style.ink);
        }
    }
}
