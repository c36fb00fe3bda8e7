//! What a cut's form begins with when it is chosen.

use crate::text::cut_form::forms as text;
use seamwright_geometry::{Bounds, Point, SectionLoop, Vector};
use seamwright_project::{CutForm, CutPlane, CutProfile, Edge, Line, Waves, frame};

/// A form that can be chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// All of the plane.
    Flat,
    /// Up to a line.
    Ending,
    /// One step.
    Step,
    /// Teeth.
    Zigzag,
    /// A wave.
    Wave,
    /// Dovetails.
    Dovetail,
}

impl Choice {
    /// All that need no drawing.
    pub const ALL: [Choice; 6] =
        [Choice::Flat, Choice::Ending, Choice::Step, Choice::Zigzag, Choice::Wave, Choice::Dovetail];

    /// What such a form begins with: teeth that span what the cut crosses now, a few millimetres deep. `crossed` are the
    /// lines that it draws on the model; `part` is the box around that.
    pub fn form(self, plane: &CutPlane, crossed: &[SectionLoop], part: Option<Bounds>) -> CutForm {
        let profile = |line: Line| CutForm::Profile(CutProfile { line, turn_deg: 0.0 });
        let waves = waves(plane, crossed, part);
        match self {
            Choice::Flat => CutForm::Flat,
            Choice::Ending => CutForm::Ending(Edge { offset_mm: 0.0, turn_deg: 0.0 }),
            Choice::Step => profile(Line::Step { rise_mm: waves.height_mm }),
            Choice::Zigzag => profile(Line::Zigzag(waves)),
            Choice::Wave => profile(Line::Wave(waves)),
            Choice::Dovetail => profile(Line::Dovetail { waves, flank_deg: FLANK_DEG }),
        }
    }

    /// Which of these a form is; `None` for a line that was drawn.
    pub fn of(form: &CutForm) -> Option<Choice> {
        match form {
            CutForm::Flat => Some(Choice::Flat),
            CutForm::Ending(_) => Some(Choice::Ending),
            CutForm::Profile(profile) => match profile.line {
                Line::Step { .. } => Some(Choice::Step),
                Line::Zigzag(_) => Some(Choice::Zigzag),
                Line::Wave(_) => Some(Choice::Wave),
                Line::Dovetail { .. } => Some(Choice::Dovetail),
                Line::Drawn { .. } => None,
            },
        }
    }

    /// What to call it.
    pub fn name(self) -> &'static str {
        match self {
            Choice::Flat => text::FLAT,
            Choice::Ending => text::ENDING,
            Choice::Step => text::STEP,
            Choice::Zigzag => text::ZIGZAG,
            Choice::Wave => text::WAVE,
            Choice::Dovetail => text::DOVETAIL,
        }
    }

    /// What it is for.
    pub fn hint(self) -> &'static str {
        match self {
            Choice::Flat => text::FLAT_HINT,
            Choice::Ending => text::ENDING_HINT,
            Choice::Step => text::STEP_HINT,
            Choice::Zigzag => text::ZIGZAG_HINT,
            Choice::Wave => text::WAVE_HINT,
            Choice::Dovetail => text::DOVETAIL_HINT,
        }
    }
}

/// What to call the form of a cut.
pub fn form_words(form: &CutForm) -> &'static str {
    Choice::of(form).map_or(text::DRAWN, Choice::name)
}

/// Flanks of 1 in 6, about 9.5°, are the joiner's usual slope for softwood (common practice, no source).
const FLANK_DEG: f64 = 9.5;
/// How wide a part is taken to be before it is known, mm. Our own choice, no source.
const USUAL_WIDTH_MM: f64 = 100.0;
/// Teeth across a part to begin with, and their height as a share of their length. Our own choice, no source.
const TEETH: u32 = 5;
const HEIGHT_SHARE: f64 = 0.4;
/// Teeth are no higher than this to begin with, mm, so that the pieces do not grow beyond the bed by them. Our own
/// choice, no source.
const MOST_HEIGHT_MM: f64 = 8.0;

fn waves(plane: &CutPlane, crossed: &[SectionLoop], part: Option<Bounds>) -> Waves {
    let u = plane.plane().and_then(|flat| frame(&flat, plane.axis, 0.0)).map_or_else(|_| Vector::x(), |[u, _]| u);
    let place = Point::from(plane.through_mm);
    // Teeth stand about the cut's place: they reach as far as what is crossed does from there.
    let reach = |p: &Point| (p - place).dot(&u).abs();
    let crossed = crossed.iter().flat_map(|line| &line.points).map(reach).fold(0.0, f64::max) * 2.0;
    let width_mm = match part {
        _ if crossed > 0.0 => crossed,
        Some(part) => part.size().component_mul(&u.abs()).sum(),
        None => USUAL_WIDTH_MM,
    };
    let pitch_mm = (width_mm / f64::from(TEETH)).round().max(1.0);
    let height_mm = (pitch_mm * HEIGHT_SHARE).min(MOST_HEIGHT_MM).round().max(0.5);
    Waves { pitch_mm, height_mm, count: TEETH }
}
