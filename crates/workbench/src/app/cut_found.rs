//! What is found out about the cut in hand besides what every frame knows: both sides exactly once the hand rests, and the
//! stretch along its normal in which both fit.

use std::time::{Duration, Instant};

use seamwright_geometry::{Plane, Side, Stretch, Vector};
use seamwright_project::{CutForm, CutPlane, PieceId};

use super::App;
use super::engine::{PlacedSide, Placing};
use super::state::{Preview, State, tone_of};
use crate::bench::{Band, SideSaid};

/// What was found out about the cut in hand where it is shown now.
#[derive(Clone, Debug, Default)]
pub struct CutFound {
    /// Both sides of every piece that it crosses, exactly.
    pub exact: Option<Vec<PlacedSide>>,
    /// Where along its normal both sides fit.
    pub stretch: Option<Stretch>,
    /// Whether all poses were asked for that, not only those that are quick to ask.
    pub stretch_is_exact: bool,
}

/// What a stretch depends on: the cut's direction, and what it crosses.
#[derive(Clone, Debug, PartialEq)]
pub struct StretchKey {
    /// Which preparation of the pieces it is about.
    prepared: u64,
    normal: Vector,
    crossed: Vec<PieceId>,
}

/// What was asked of workers, and what they answered last.
#[derive(Debug, Default)]
pub(super) struct Asked {
    /// Counts the preparations of the pieces: an answer about an earlier one is dropped.
    prepared: u64,
    exact_for: Option<Plane>,
    stretch: Option<(StretchKey, Option<Stretch>)>,
    stretch_for: Option<StretchKey>,
    /// The same in any pose, looked for where the quick answer is that there is none.
    exact_stretch: Option<(StretchKey, Option<Stretch>)>,
    exact_stretch_for: Option<StretchKey>,
}

impl Asked {
    /// Nothing was asked yet of the pieces that were prepared anew.
    pub(super) fn anew(&self) -> Asked {
        Asked { prepared: self.prepared + 1, ..Asked::default() }
    }

    /// The cut moves: what is known of it at rest is no longer so.
    pub(super) fn moved(&mut self) {
        self.exact_for = None;
        self.exact_stretch_for = self.exact_stretch.as_ref().map(|(of, _)| of.clone());
    }

    /// Takes an exact answer, if it is about the plane that was asked about last.
    pub(super) fn takes_exact(&self, prepared: u64, plane: &Plane) -> bool {
        prepared == self.prepared && self.exact_for.as_ref() == Some(plane)
    }

    pub(super) fn take_stretch(&mut self, key: StretchKey, stretch: Option<Stretch>) {
        if key.prepared == self.prepared {
            self.stretch = Some((key, stretch));
        }
    }
}

impl Asked {
    pub(super) fn take_exact_stretch(&mut self, key: StretchKey, stretch: Option<Stretch>) {
        if key.prepared == self.prepared {
            self.exact_stretch = Some((key, stretch));
        }
    }

    /// The stretch of what `key` stands for, as far as it is known, and whether all poses were asked.
    fn known(&self, key: &StretchKey) -> (Option<Stretch>, bool) {
        let of = |known: &Option<(StretchKey, Option<Stretch>)>| {
            known.as_ref().filter(|(of, _)| of == key).map(|(_, found)| *found)
        };
        match of(&self.exact_stretch) {
            Some(exact) => (exact, true),
            None => (of(&self.stretch).flatten(), false),
        }
    }
}

/// A hand that has not moved for this long is taken to rest, for the exact answer: with the work itself it is to be there
/// within 300 ms. Our own choice, no source.
const STILL: Duration = Duration::from_millis(80);

impl App {
    /// Has the exact answer worked out once the cut has been still for a moment, and the stretch whenever it is another.
    pub(super) fn find_out(&mut self, placing: &Placing, shown: &Preview, since: Instant, ctx: &egui::Context) {
        let flat = shown.form == CutForm::Flat;
        let Some(plane) = shown.plane.plane().ok().filter(|_| flat) else {
            self.state.found = CutFound::default();
            return;
        };
        let key = self.find_stretch(placing, &plane);
        match STILL.checked_sub(since.elapsed()).filter(|left| !left.is_zero()) {
            Some(left) => ctx.request_repaint_after(left),
            None if self.live.asked.exact_for.is_none() => {
                self.live.asked.exact_for = Some(plane);
                self.engine.look_exactly(placing.clone(), plane, self.live.asked.prepared);
            }
            // What is told of where the cut is comes before what is told of where else it might be.
            None if self.state.found.exact.is_some() => self.find_exact_stretch(placing, &plane, key),
            None => {}
        }
    }

    /// Has the stretch looked for in any pose, where the quick answer is that both sides fit nowhere.
    fn find_exact_stretch(&mut self, placing: &Placing, plane: &Plane, key: StretchKey) {
        let asked = &mut self.live.asked;
        let (stretch, is_exact) = asked.known(&key);
        let is_none = stretch.is_some_and(|stretch| stretch.both_mm().is_none());
        if is_none && !is_exact && asked.exact_stretch_for.as_ref() != Some(&key) {
            asked.exact_stretch_for = Some(key.clone());
            self.engine.find_exact_stretch(placing.clone(), *plane, key);
        }
    }

    fn find_stretch(&mut self, placing: &Placing, plane: &Plane) -> StretchKey {
        let sides = self.state.placement.iter().flat_map(|placement| &placement.sides);
        let mut crossed: Vec<PieceId> = sides.map(|side| side.piece.clone()).collect();
        crossed.dedup();
        let asked = &mut self.live.asked;
        let key = StretchKey { prepared: asked.prepared, normal: plane.normal(), crossed };
        (self.state.found.stretch, self.state.found.stretch_is_exact) = asked.known(&key);
        let known =
            asked.stretch.as_ref().is_some_and(|(of, _)| *of == key) || asked.stretch_for.as_ref() == Some(&key);
        // While a cut is tilted it is another one in every frame: the worker takes the newest as soon as it is free.
        if !known && !key.crossed.is_empty() && self.engine.is_free_for_stretch() {
            asked.stretch_for = Some(key.clone());
            self.engine.find_stretch(placing.clone(), *plane, key.clone());
        }
        key
    }
}

impl State {
    /// Both sides of every piece that the cut in hand crosses: exactly where that is known already.
    pub fn placed_sides(&self) -> &[PlacedSide] {
        let live = self.placement.as_ref().map_or(&[][..], |placement| &placement.sides);
        self.found.exact.as_deref().unwrap_or(live)
    }

    /// What is said of below and above the cut in hand: of each side what is worst.
    pub fn sides_said(&self) -> [Option<SideSaid>; 2] {
        let exact = self.found.exact.is_some();
        Side::BOTH.map(|which| {
            let on_side = self.placed_sides().iter().filter(|side| side.side == which);
            let worst = on_side.max_by(|a, b| a.worse(b))?;
            Some(SideSaid { verdict: worst.verdict, tone: tone_of(worst.verdict), slack_mm: worst.slack_mm, exact })
        })
    }

    /// The stretch in which both sides of the cut in hand fit.
    pub fn band(&self) -> Option<Band> {
        let (stretch, shown, plane) = (self.found.stretch?, self.shown_plane()?, self.plane_in_hand()?);
        let along_mm = [stretch.above_fits_from_mm, stretch.below_fits_to_mm];
        let typed = |offset: f64| {
            Plane::new(plane.normal(), offset).map_or(offset, |there| CutPlane::moved_to(&shown, &there).offset_mm())
        };
        Some(Band { along_mm, is_exact: self.found.stretch_is_exact, typed_mm: along_mm.map(typed) })
    }
}
