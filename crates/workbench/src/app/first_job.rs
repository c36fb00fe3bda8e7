//! A first job, step by step: what is asked next, and whether it is done. It watches; it never holds anything up, and
//! it goes on to the next step only when it is told to.

use seamwright_project::{CutId, CutPlane, Piece, PieceId, Scope};

use super::App;
use super::state::{KitWritten, Line, State};

/// A first job that is being done.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstJob {
    /// What is asked now.
    pub step: JobStep,
    /// It is done.
    pub done: bool,
    /// How things were when it was asked.
    before: Before,
}

/// What panels ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JobAction {
    /// The maker turned the model.
    LookedAround,
    /// Goes on to the next step, done or not.
    GoOn,
    /// Goes back to the step before.
    GoBack,
    /// Ends it.
    Leave,
}

/// A step of the first job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JobStep {
    /// A model is opened.
    Open,
    /// It is looked at from all sides.
    Look,
    /// The bed is set.
    Bed,
    /// A cut is placed.
    Cut,
    /// The verdicts are read.
    Verdicts,
    /// The pieces are pulled apart.
    Apart,
    /// The kit is written.
    Kit,
    /// All is done.
    Done,
}

#[derive(Clone, Debug, PartialEq)]
struct Before {
    looked: bool,
    saw_lays: bool,
    piece: Option<PieceId>,
    kit: Option<KitWritten>,
    /// Where each cut lay when it was first seen.
    placed: Vec<(CutId, CutPlane)>,
}

impl JobStep {
    /// All steps, in order.
    pub const ALL: [JobStep; 8] = [
        JobStep::Open,
        JobStep::Look,
        JobStep::Bed,
        JobStep::Cut,
        JobStep::Verdicts,
        JobStep::Apart,
        JobStep::Kit,
        JobStep::Done,
    ];

    /// Its place among them, from 0.
    pub fn at(self) -> usize {
        self as usize
    }

    /// The line of the job card that it is done on.
    pub fn line(self) -> Option<Line> {
        match self {
            JobStep::Open => Some(Line::Stock),
            JobStep::Bed => Some(Line::Lays),
            JobStep::Kit => Some(Line::Kit),
            JobStep::Look | JobStep::Cut | JobStep::Verdicts | JobStep::Apart | JobStep::Done => None,
        }
    }

    /// The step after it; the last stays.
    pub fn next(self) -> JobStep {
        JobStep::ALL[(self.at() + 1).min(JobStep::ALL.len() - 1)]
    }

    /// The step before it; the first stays.
    pub fn previous(self) -> JobStep {
        JobStep::ALL[self.at().saturating_sub(1)]
    }
}

impl FirstJob {
    /// One that begins now.
    pub fn begun(state: &State) -> FirstJob {
        FirstJob::at(JobStep::Open, state)
    }

    fn at(step: JobStep, state: &State) -> FirstJob {
        let before = Before {
            looked: false,
            saw_lays: false,
            piece: state.selected_piece.clone(),
            kit: state.kit.clone(),
            placed: state.recipe().cuts.iter().map(|cut| (cut.id, cut.plane)).collect(),
        };
        FirstJob { step, done: false, before }
    }

    /// Whether the state shows that the present step is done.
    fn is_done(&self, state: &State) -> bool {
        let (before, now) = (&self.before, state.recipe());
        match self.step {
            JobStep::Open => !state.pieces().is_empty() && !state.is_out_of_date(),
            JobStep::Look => before.looked,
            // Looking at the line is enough where the bed is right.
            JobStep::Bed => before.saw_lays,
            JobStep::Cut => {
                // A cut that was only added has not been placed yet: its arrow is dragged, or its number typed.
                let moved = now.cuts.iter().any(|cut| match before.placed.iter().find(|(id, _)| *id == cut.id) {
                    Some((_, plane)) => cut.plane != *plane,
                    None => false,
                });
                moved && state.preview.is_none() && !state.is_out_of_date()
            }
            JobStep::Verdicts => state.selected_piece.is_some() && state.selected_piece != before.piece,
            JobStep::Apart => state.exploded > 0.0,
            JobStep::Kit => state.kit.is_some() && state.kit != before.kit,
            JobStep::Done => false,
        }
    }
}

impl App {
    pub(super) fn apply_first_job(&mut self, action: JobAction) {
        let Some(job) = &mut self.state.first_job else { return };
        let step = job.step;
        match action {
            JobAction::LookedAround => job.before.looked = true,
            JobAction::GoOn if step == JobStep::Done => self.state.first_job = None,
            JobAction::GoOn => self.state.first_job = Some(FirstJob::at(step.next(), &self.state)),
            JobAction::GoBack => self.state.first_job = Some(FirstJob::at(step.previous(), &self.state)),
            JobAction::Leave => self.state.first_job = None,
        }
    }

    /// Notes that a step is done. Only the first goes on by itself: in it the maker only waits.
    pub(super) fn update_first_job(&mut self, ctx: &egui::Context) {
        let Some(mut job) = self.state.first_job.take() else { return };
        let new = self.state.recipe().cuts.iter().filter(|cut| !job.before.placed.iter().any(|(id, _)| *id == cut.id));
        let new: Vec<(CutId, CutPlane)> = new.map(|cut| (cut.id, cut.plane)).collect();
        job.before.placed.extend(new);
        job.before.saw_lays |= self.state.open_line == Some(Line::Lays);
        if !job.done && job.is_done(&self.state) {
            job.done = true;
            if job.step == JobStep::Open {
                job = FirstJob::at(job.step.next(), &self.state);
            }
            ctx.request_repaint();
        }
        self.state.first_job = Some(job);
    }
}

impl State {
    /// What a new cut crosses: all, but in the first job only the piece that it is placed on, so that one cut makes two
    /// pieces of one.
    pub(super) fn scope_of_new_cut(&self, on: Option<&Piece>) -> Scope {
        let placing = self.first_job.as_ref().is_some_and(|job| job.step == JobStep::Cut);
        match on {
            Some(piece) if placing => Scope::Pieces([piece.id.clone()].into()),
            _ => Scope::All,
        }
    }
}
