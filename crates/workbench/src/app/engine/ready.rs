//! What workers hand back.

use std::path::PathBuf;
use std::sync::Arc;

use seamwright_geometry::{Detail, Plane, Point, Solid, Stretch};
use seamwright_project::{
    BoreId, Boring, CutId, Edit, Measured, MeasuringError, Nearest, PartId, Recipe, StepAsked, Stepped,
};

use super::cutting::PlacingKey;
use super::{AtRest, Engine, Failure, Note, Outcome, PlacedSide, Placing};
use crate::app::bodies::Bodies;
use crate::app::cut_found::StretchKey;
use crate::app::lane::Done;
use crate::app::start::StartFound;
use crate::app::state::{Inside, KitWritten, Looked};
use crate::text;

/// Something is ready.
#[derive(Debug)]
pub enum Ready {
    /// New results, and what the bench shows of them.
    Outcome(Box<Outcome>, Bodies),
    /// The evaluation was stopped.
    Stopped,
    /// Live placing of a cut is ready, or cannot be.
    Placing(CutId, Result<Box<Placing>, Failure>),
    /// Preparing to place a cut was stopped.
    PlacingStopped,
    /// Live placing of a bore is ready, or cannot be.
    Boring(BoreId, Result<Boring, Failure>),
    /// A place for a bore was found.
    BorePlaced {
        /// The recipe that it was found for.
        asked: Box<Recipe>,
        /// The edit that lays it there.
        edit: Edit,
        /// The least wall before and after, mm.
        gain: Option<(BoreId, [f64; 2])>,
    },
    /// What the cut in hand would do where it rests.
    Resting(AtRest),
    /// Both sides of the cut in hand exactly: of which preparation of the pieces, along which plane.
    Exact(u64, Plane, Vec<PlacedSide>),
    /// The best place nearby for a cut of this recipe.
    Place(Box<(Recipe, CutId, Nearest)>),
    /// What to do about what does not fit with this recipe.
    Advice(Box<(Recipe, Vec<Note>)>),
    /// Cuts that step a piece off, or why there are none.
    Stepped(Box<StepAsked>, Result<Box<Stepped>, String>),
    /// Where along its normal both sides of the cut in hand fit.
    Stretch(StretchKey, Option<Stretch>),
    /// The same in any pose.
    ExactStretch(StretchKey, Option<Stretch>),
    /// What on a part a cut may be meant to follow.
    Details(Arc<Solid>, Arc<Vec<Detail>>),
    /// The lines that a plane draws on a part.
    Sketched(Plane, Vec<Vec<Point>>),
    /// The lines that tapes lie along.
    Girths(Vec<Vec<Point>>),
    /// A file was measured for this project: the edit that takes it as the stock.
    Measured(u64, Edit),
    /// A file that was to be measured for this project cannot be read: why, and the way out.
    NotRead(u64, String),
    /// A file for a new project holds a model: that file, and what the recipe of this project was when it was asked for.
    Readable(u64, Box<(PathBuf, Recipe)>),
    /// Something was measured on a part of this project.
    MeasureTaken(u64, PartId, Result<Measured, MeasuringError>),
    /// The parts were looked at closely.
    Looked(Box<Looked>),
    /// Earlier results were worked out anew; `None` where that ended without any.
    Earlier(Option<Box<(Outcome, Bodies)>>),
    /// What is on the start sheet was looked up.
    Start(Box<StartFound>),
    /// The clear inside was measured.
    Inside(Box<Inside>),
    /// A kit was written.
    Kit(Box<KitWritten>),
    /// A kit is in the way.
    KitInTheWay(PathBuf, String),
    /// A kit was not written among files of other kinds: the folder, and what lies there, in words.
    KitAmongOthers(PathBuf, String),
    /// Something went wrong.
    Trouble(String),
}

impl Engine {
    /// Everything that became ready since the last call.
    pub fn poll(&mut self) -> Vec<Ready> {
        let mut ready = Vec::new();
        match self.evaluation.poll() {
            Some(Done::Answered((outcome, bodies))) => ready.push(Ready::Outcome(Box::new(outcome), bodies)),
            Some(Done::Cancelled) => ready.push(Ready::Stopped),
            Some(Done::Broke) => {
                ready.push(Ready::Stopped);
                ready.push(Ready::Trouble(text::work::BROKE.into()));
            }
            None => {}
        }
        if let (Some(done), Some((bore, _))) = (self.boring.poll(), &self.boring_for) {
            match done {
                Done::Answered(boring) => ready.push(Ready::Boring(*bore, boring)),
                Done::Cancelled => {}
                Done::Broke => ready.push(Ready::Trouble(text::work::BROKE.into())),
            }
        }
        if let (Some(done), Some(PlacingKey { cut, .. })) = (self.placing.poll(), &self.placing_for) {
            match done {
                Done::Answered(Ok(placing)) => ready.push(Ready::Placing(*cut, Ok(Box::new(placing)))),
                Done::Answered(Err(failure)) => ready.push(Ready::Placing(*cut, Err(failure))),
                Done::Cancelled => ready.push(Ready::PlacingStopped),
                Done::Broke => {
                    ready.push(Ready::PlacingStopped);
                    ready.push(Ready::Trouble(text::work::BROKE.into()));
                }
            }
        }
        if let Some(Done::Answered(rest)) = self.resting.poll() {
            ready.push(Ready::Resting(rest));
        }
        if let Some(Done::Answered(advice)) = self.advising.poll() {
            ready.push(Ready::Advice(Box::new(advice)));
        }
        if let (Some(done), Some((_, asked))) = (self.stepping.poll(), &self.stepping_for) {
            match done {
                Done::Answered(found) => ready.push(Ready::Stepped(Box::new(asked.clone()), found.map(Box::new))),
                Done::Cancelled => {}
                Done::Broke => ready.push(Ready::Trouble(text::work::BROKE.into())),
            }
        }
        if let Some(Done::Answered((prepared, plane, sides))) = self.exact.poll() {
            ready.push(Ready::Exact(prepared, plane, sides));
        }
        if let Some(Done::Answered((key, stretch))) = self.stretching.poll() {
            ready.push(Ready::Stretch(key, stretch));
        }
        if let Some(Done::Answered((key, stretch))) = self.stretching_exactly.poll() {
            ready.push(Ready::ExactStretch(key, stretch));
        }
        if let Some(Done::Answered((part, details))) = self.detailing.poll() {
            ready.push(Ready::Details(part, details));
        }
        if let Some(Done::Answered((plane, lines))) = self.sketching.poll() {
            ready.push(Ready::Sketched(plane, lines));
        }
        if let Some(Done::Answered(lines)) = self.girthing.poll() {
            ready.push(Ready::Girths(lines));
        }
        match self.looking_back.poll() {
            Some(Done::Answered(found)) => ready.push(Ready::Earlier(Some(Box::new(found)))),
            Some(_) => ready.push(Ready::Earlier(None)),
            None => {}
        }
        match self.looking_up.poll() {
            Some(Done::Answered(found)) => ready.push(Ready::Start(Box::new(found))),
            // The sheet then says that it has nothing to list.
            Some(_) => ready.push(Ready::Start(Box::default())),
            None => {}
        }
        while let Ok((number, done)) = self.errand_results.1.try_recv() {
            self.errands.retain(|errand| errand.number != number);
            ready.push(done);
        }
        ready
    }
}
