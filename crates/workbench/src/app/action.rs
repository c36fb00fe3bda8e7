//! What panels ask for. They read the state and push actions; [`App`](super::App) applies them after the frame.

use std::path::PathBuf;

use seamwright_geometry::Point;
use seamwright_project::{CutForm, CutId, CutPlane, Edit, MeasureId, PartId, PieceId, Recipe};

use super::at_hand::AtHand;
use super::beds::BedAction;
use super::bores::BoreAction;
use super::command::Command;
use super::files::Purpose;
use super::first_job::JobAction;
use super::manual::ManualAction;
use super::sets::SetAction;
use super::start::StartAction;
use super::state::{LedgerOrder, Line, Next, Question};
use super::stepping::StepAction;
use super::typing::TypingAction;
use crate::bench::SurfaceHit;
use crate::panels::wearer::Wearing;

/// One thing that a panel asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Does what the command says.
    Run(Command),
    /// Changes the recipe.
    Edit(Edit),
    /// Shows a cut elsewhere while it is dragged or its number is being typed; no edit yet.
    Preview {
        /// Which cut.
        cut: CutId,
        /// Where it would lie; `None` ends the preview.
        plane: Option<CutPlane>,
    },
    /// Shows the lines that cuts would draw on a piece, before they are made.
    ShowCuts {
        /// Which piece.
        piece: PieceId,
        /// Where they would lie.
        planes: Vec<CutPlane>,
    },
    /// Shows a cut along something else while a number of its form is being typed; no edit yet.
    PreviewForm {
        /// Which cut.
        cut: CutId,
        /// What it would be made along; `None` ends the preview.
        form: Option<CutForm>,
    },
    /// Something about the number that is typed at a handle.
    Typing(TypingAction),
    /// Something about a bore.
    Bore(BoreAction),
    /// Something about the beds.
    Bed(BedAction),
    /// Something on the start sheet.
    Start(StartAction),
    /// Something about the manual.
    Manual(ManualAction),
    /// Something about the first job.
    FirstJob(JobAction),
    /// Looks for the best place nearby for a cut.
    FindPlace(CutId),
    /// Looks for what to do about what does not fit.
    Advise,
    /// Stops looking for it.
    StopAdvice,
    /// Something about stepping off.
    Step(StepAction),
    /// Goes to a step of the history.
    GoToStep(usize),
    /// Opens a line of the job card, or closes it if it is open.
    ToggleLine(Line),
    /// Opens a line of the job card.
    OpenLine(Line),
    /// Takes a cut in hand, or lays it down.
    TakeCut(Option<CutId>),
    /// A cut that was just added by number stays where it is.
    KeepNewCut,
    /// A cut that was just added by number is not wanted.
    TakeNewCutBack,
    /// Selects a piece, or none.
    SelectPiece(Option<PieceId>),
    /// Something about sets of pieces.
    Set(SetAction),
    /// Lights a piece up while the pointer is over its row.
    LightPiece(Option<PieceId>),
    /// Moves the camera to a place.
    ShowPlace(Point),
    /// Moves the camera to a piece.
    ShowPiece(PieceId),
    /// Opens a list of what can be done with something, or puts it away.
    AtHand(Option<AtHand>),
    /// Pulls the pieces apart: 0 together, 1 far apart.
    Explode(f32),
    /// Sorts the ledger.
    Sort(LedgerOrder),
    /// Picks a point, on one of the parts.
    PickPoint(Point, PartId),
    /// Picks a point for a measure.
    PickForMeasure(SurfaceHit),
    /// Shows the measures on the model, or does not.
    ShowMeasures(bool),
    /// Brings a measure into the picture.
    ShowMeasure(MeasureId),
    /// Takes back a picked point.
    DropPoint(usize),
    /// Makes the cut of the points picked so far.
    CutThroughPoints,
    /// No more points are to come: the cut of those that were picked is made.
    PicksDone,
    /// A click that was to pick something hit nothing.
    Missed,
    /// Points are picked from now on for a cut along the line through them.
    PickAlongLine,
    /// Makes a cut along the line of the points picked so far, straight into the picture.
    CutAlongPoints,
    /// Looks closely at the model's health.
    LookClosely,
    /// Goes to a finding of the close look and lights it up: of which part, which one.
    ShowFinding(usize, usize),
    /// Lights a shell up, in the table and on the bench; `None` for none.
    SelectShell(Option<u32>),
    /// Changes what is being chosen to size the model for a wearer.
    Wearing(Wearing),
    /// Measures the clear inside at this height, mm.
    MeasureInside(f64),
    /// Asks for a file or folder.
    Ask(Purpose),
    /// A file or folder was chosen.
    Chosen(Purpose, PathBuf),
    /// A file was dropped on the window, or named when the program was started.
    OpenAny(PathBuf),
    /// The source file was measured: it becomes the stock.
    StockMeasured(Edit),
    /// Begins a new project with this model.
    NewProjectFrom(PathBuf),
    /// Opens a project without asking about unsaved work.
    OpenNow(PathBuf),
    /// Begins an empty project without asking about unsaved work.
    NewNow,
    /// Saves, then goes on.
    SaveThen(Next),
    /// Saves under this name, replacing what is there.
    SaveReplacing(PathBuf),
    /// Asks once more where to save, beginning with this file, which stays as it is.
    SaveElsewhere(PathBuf),
    /// Takes this model as the stock of this project.
    UseAsStock(PathBuf),
    /// Takes this model as a further file of the same frame.
    UseBeside(PathBuf),
    /// Closes the window without asking.
    CloseNow,
    /// Puts recovered work on top.
    Recover(Box<Recipe>),
    /// Forgets recovered work.
    DeclineRecovery,
    /// Leaves work that has no file yet to be recovered at another start.
    RecoverLater,
    /// Writes the kit into a folder.
    WriteKit {
        /// The folder.
        folder: PathBuf,
        /// Whether files of an earlier kit may be replaced.
        replace: bool,
    },
    /// Stops the work that is going on.
    CancelWork,
    /// Evaluates again, after it was cancelled.
    EvaluateAgain,
    /// Puts a question to the maker, or takes it away.
    PutQuestion(Option<Question>),
    /// Takes away a message.
    DismissMessage(u64),
    /// Takes away what was said of the file that could not be opened.
    DismissUnopened,
    /// Keeps a message in sight while it is read.
    HoldMessage(u64),
}

/// The actions of one frame, in the order in which they were asked for.
#[derive(Debug, Default)]
pub struct Queue {
    actions: Vec<Action>,
}

impl Queue {
    /// Asks for `action`.
    pub fn push(&mut self, action: Action) {
        self.actions.push(action);
    }

    /// Asks for an edit.
    pub fn edit(&mut self, edit: Edit) {
        self.push(Action::Edit(edit));
    }

    /// Whether nothing was asked for.
    pub fn is_empty(&self) -> bool {
        self.actions.is_empty()
    }

    /// Takes all actions out.
    pub fn take(&mut self) -> Vec<Action> {
        std::mem::take(&mut self.actions)
    }
}
