//! Work on the parts as they are before they are cut: their details, the outline of a plane that is being picked, measures.

use std::sync::Arc;

use seamwright_geometry::{Cancelled, Detail, Plane, Point, Progress, SectionSupport, Solid, details, section};
use seamwright_project::{Measured, MeasuringError};

use super::{Engine, Ready};
use crate::app::measuring::{Asked, MeasureKind, Round};
use crate::app::placing::chalk;
use crate::text;

/// Details, and the part that they were found on.
pub(super) type Found = (Arc<Solid>, Arc<Vec<Detail>>);

/// The lines that a plane draws on a part.
pub(super) type Sketched = (Plane, Vec<Vec<Point>>);

impl Engine {
    /// Has the details of a part looked for, unless that was asked for already. Where cuts lie does not matter to it.
    pub fn look_for_details(&mut self, part: &Arc<Solid>) {
        if self.detailing_for.as_ref().is_some_and(|of| Arc::ptr_eq(of, part)) {
            return;
        }
        self.detailing_for = Some(part.clone());
        self.detailing.ask(part.clone());
    }

    /// Nobody asks for details any more.
    pub fn give_up_details(&mut self) {
        self.detailing_for = None;
        self.detailing.stop();
    }

    /// Whether details are being looked for.
    pub fn is_looking_for_details(&self) -> bool {
        self.detailing.progress().is_some()
    }

    /// Has the outline of `plane` on a part drawn; whatever was asked before is dropped.
    pub fn sketch(&mut self, part: Arc<Solid>, plane: Plane) {
        self.sketching.ask((part, plane));
    }

    /// Has the lines looked for that tapes lie along; whatever was asked before is dropped.
    pub(in crate::app) fn look_for_girths(&mut self, rounds: Vec<Round>) {
        self.girthing.ask(rounds);
    }

    /// Has something measured on `solid` in the background, for `project`, a number of the caller's.
    pub(in crate::app) fn measure_on(&mut self, solid: Arc<Solid>, asked: Asked, project: u64) {
        self.errand(text::work::MEASURING, move |progress| {
            let Asked { kind, at, outward, axis, part } = asked;
            let measured = match kind {
                MeasureKind::Girth => Measured::girth(&solid, &at, axis, progress),
                _ => Measured::thickness(&solid, &at, &outward, progress),
            };
            match measured {
                Err(MeasuringError::Cancelled) => Err(Cancelled),
                measured => Ok(Ready::MeasureTaken(project, part, measured)),
            }
        });
    }
}

pub(super) fn find(part: Arc<Solid>, progress: &Progress) -> Result<Found, Cancelled> {
    let support = SectionSupport::build(&part, progress)?;
    let found = details(&part, &support, progress)?;
    Ok((part, Arc::new(found)))
}

pub(super) fn sketch((part, plane): (Arc<Solid>, Plane), progress: &Progress) -> Result<Sketched, Cancelled> {
    progress.check()?;
    Ok((plane, section(&part, &plane).loops.iter().map(chalk).collect()))
}

/// One line for each, in their order; nothing where none closes any more.
pub(super) fn girths(rounds: Vec<Round>, progress: &Progress) -> Result<Vec<Vec<Point>>, Cancelled> {
    let line = |round: &Round| {
        progress.check()?;
        let Ok(plane) = Plane::through(round.at, round.normal) else { return Ok(Vec::new()) };
        let girth = section(&round.part, &plane).girth_at(&plane, &round.at);
        Ok(girth.map_or_else(Vec::new, |girth| chalk(&girth.line)))
    };
    rounds.iter().map(line).collect()
}
