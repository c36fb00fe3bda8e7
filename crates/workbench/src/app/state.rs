//! What the window shows: the document, its newest results, and what the maker is doing at the moment.

mod found;
mod in_hand;
mod ledger;
mod line;
mod question;
mod tool;

use std::path::PathBuf;
use std::sync::Arc;
use std::time::SystemTime;

use seamwright_geometry::{Bounds, Point};
use seamwright_project::kit::KitMarkChanged;
use seamwright_project::{CutId, Document, PartId, PieceId, Recipe};

use super::advice::Advice;
use super::at_hand::AtHand;
use super::beds::BedDesk;
use super::bodies::Bodies;
use super::bores::BoreHand;
use super::compare::Compared;
use super::cut_found::CutFound;
use super::details::{Details, Sketch};
use super::engine::{AtRest, Outcome, Piece, Placement};
use super::first_job::FirstJob;
use super::kit_found::KitFound;
use super::manual::OpenManual;
use super::measuring::Tapes;
use super::messages::Messages;
use super::sets::Sets;
use super::start::StartDesk;
use super::stepping::Stepping;
use super::typing::Typing;
use crate::bench::Handle;
use crate::panels::wearer::Wearing;
pub use crate::shown::tone_of;
pub use found::{Inside, Looked};
pub use in_hand::{Preview, Uncut};
pub use ledger::{Column, LedgerOrder};
pub use line::Line;
pub use question::{Next, Question};
pub use tool::Tool;

/// What the panels read. Only [`App`](super::App) changes it.
pub struct State {
    /// The open project.
    pub document: Document,
    /// The newest finished results; they may be of an older recipe: see [`is_out_of_date`](Self::is_out_of_date).
    pub outcome: Option<Arc<Outcome>>,
    /// What the bench shows of them.
    pub bodies: Bodies,
    /// What is being worked out at the moment.
    pub work: Option<Work>,
    /// The evaluation was stopped by the maker and waits to be asked for again.
    pub stopped: bool,
    /// Preparing to place the cut in hand was stopped by the maker and waits to be asked for again.
    pub placing_stopped: bool,
    /// The line of the job card that is open.
    pub open_line: Option<Line>,
    /// What a click on the bench means.
    pub tool: Tool,
    /// Points are picked for a cut along the line through them, not for one by a plane.
    pub picks_line: bool,
    /// The cut that was taken in hand; ask [`cut_in_hand`](Self::cut_in_hand), it may have been removed since.
    pub taken_cut: Option<CutId>,
    /// A cut that was just added by number, until it was told where to go: its number is typed at once, and Escape takes
    /// it away again.
    pub new_cut: Option<CutId>,
    /// What the cut in hand is shown as while it is dragged or typed.
    pub preview: Option<Preview>,
    /// A number is to be typed at this handle of this cut, as soon as it is shown.
    pub typing_wanted: Option<(CutId, Handle)>,
    /// The number that is typed at its handle.
    pub typing: Option<Typing>,
    /// How both sides of the cut in hand would fit, where it is shown now.
    pub placement: Option<Placement>,
    /// What more is known of the cut in hand while it rests where it is shown now.
    pub at_rest: Option<AtRest>,
    /// What was found out about the cut in hand besides.
    pub found: CutFound,
    /// What on the model cuts may be meant to follow.
    pub details: Details,
    /// The plane through the points that are being picked.
    pub sketch: Option<Sketch>,
    /// The bore in hand.
    pub bore: BoreHand,
    /// What to do about what does not fit.
    pub advice: Advice,
    /// Stepping off, while it goes on.
    pub stepping: Option<Stepping>,
    /// The start sheet.
    pub start: StartDesk,
    /// The manual, while it is open.
    pub manual: Option<OpenManual>,
    /// The first job, while it is being done.
    pub first_job: Option<FirstJob>,
    /// The beds that are being looked at.
    pub beds: BedDesk,
    /// The pieces that the cut in hand may be told to cross, as they are without it.
    pub uncut: Vec<Uncut>,
    /// How well the plane through picked points fits them: id of the cut, largest distance in mm, number of points.
    pub residual: Option<(CutId, f64, usize)>,
    /// What is being chosen to size the model for a wearer.
    pub wearing: Wearing,
    /// The clear inside at a height, where it was measured.
    pub inside: Option<Inside>,
    /// What a close look at the parts found.
    pub looked: Option<Looked>,
    /// The finding that is lit up: of which part, which one.
    pub shown_finding: Option<(usize, usize)>,
    /// The place that is pointed out on the bench, until something else is done.
    pub pointed: Option<Point>,
    /// The shell that is lit up.
    pub selected_shell: Option<u32>,
    /// The part that the last point was picked on.
    pub picked_part: PartId,
    /// The selected piece; where several are, the one that leads.
    pub selected_piece: Option<PieceId>,
    /// Sets of pieces.
    pub sets: Sets,
    /// Earlier results on the bench, while they are compared with the newest.
    pub compared: Option<Compared>,
    /// They stay there without a key being held.
    pub comparing: bool,
    /// The piece under the pointer, on the bench or in the ledger.
    pub lit_piece: Option<PieceId>,
    /// Where the tapes of girths lie.
    pub tapes: Tapes,
    /// Whether measures are shown on the model.
    pub shows_measures: bool,
    /// 0 together to 1 far apart.
    pub exploded: f32,
    /// How the ledger is sorted.
    pub order: LedgerOrder,
    /// Messages that wait to be read.
    pub messages: Messages,
    /// Why the file that was to be opened last could not be, and the way out; until another one is opened.
    pub unopened: Option<String>,
    /// A question that must be answered first.
    pub question: Option<Question>,
    /// The list of what can be done with what is at hand.
    pub at_hand: Option<AtHand>,
    /// The list of commands is open.
    pub commands_open: bool,
    /// The list of steps is open.
    pub history_open: bool,
    /// When the project file was written.
    pub saved_at: Option<SystemTime>,
    /// The folder that the newest kit was written into.
    pub kit: Option<KitWritten>,
    /// A kit of an earlier run, if one was found when the project was opened.
    pub kit_found: Option<KitFound>,
    /// The folder that the kit of this project was last made in, on this machine, in this run or an earlier one.
    pub kit_folder: Option<PathBuf>,
}

impl std::fmt::Debug for State {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("State").field("recipe", self.recipe()).field("tool", &self.tool).finish_non_exhaustive()
    }
}

/// Work that is going on.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// What, in words.
    pub stage: String,
    /// How much of it is done, 0 to 1.
    pub fraction: f64,
    /// Whether it has gone on long enough to be shown.
    pub is_long: bool,
}

/// A kit that was written.
#[derive(Clone, Debug, PartialEq)]
pub struct KitWritten {
    /// Where.
    pub folder: PathBuf,
    /// How many pieces.
    pub pieces: usize,
    /// Files of an earlier kit there that are none of this one.
    pub left: Vec<String>,
    /// Pieces that are marked otherwise than in it.
    pub marks_changed: Vec<KitMarkChanged>,
    /// The recipe that it was made from.
    pub recipe: Recipe,
}

impl State {
    /// For a document that was just opened or begun.
    pub fn new(document: Document) -> State {
        State {
            document,
            outcome: None,
            bodies: Bodies::default(),
            work: None,
            stopped: false,
            placing_stopped: false,
            open_line: Some(Line::Stock),
            tool: Tool::Look,
            picks_line: false,
            taken_cut: None,
            new_cut: None,
            preview: None,
            typing_wanted: None,
            typing: None,
            placement: None,
            at_rest: None,
            found: CutFound::default(),
            details: Details::default(),
            sketch: None,
            bore: BoreHand::default(),
            advice: Advice::default(),
            stepping: None,
            start: StartDesk::default(),
            manual: None,
            first_job: None,
            beds: BedDesk::default(),
            uncut: Vec::new(),
            residual: None,
            wearing: Wearing::default(),
            inside: None,
            looked: None,
            shown_finding: None,
            pointed: None,
            selected_shell: None,
            picked_part: PartId::MAIN,
            selected_piece: None,
            sets: Sets::default(),
            compared: None,
            comparing: false,
            lit_piece: None,
            tapes: Tapes::default(),
            shows_measures: true,
            exploded: 0.0,
            order: LedgerOrder { column: Column::Mark, descending: false },
            messages: Messages::default(),
            unopened: None,
            question: None,
            at_hand: None,
            commands_open: false,
            history_open: false,
            saved_at: None,
            kit: None,
            kit_found: None,
            kit_folder: None,
        }
    }

    /// The current recipe.
    pub fn recipe(&self) -> &Recipe {
        self.document.recipe()
    }

    /// Whether the results shown are of an older recipe.
    pub fn is_out_of_date(&self) -> bool {
        self.outcome.as_ref().is_none_or(|outcome| outcome.recipe != *self.recipe())
    }

    /// The pieces of the newest results.
    pub fn pieces(&self) -> &[Piece] {
        self.outcome.as_ref().map_or(&[], |outcome| &outcome.pieces)
    }

    /// How many pieces do not fit the bed.
    pub fn too_big(&self) -> usize {
        self.pieces().iter().filter(|piece| !piece.fit.verdict.fits()).count()
    }

    /// The piece with this identity.
    pub fn piece(&self, id: &PieceId) -> Option<&Piece> {
        self.pieces().iter().find(|piece| piece.id == *id)
    }

    /// The box around the uncut part, mm.
    pub fn part_bounds(&self) -> Option<Bounds> {
        self.bodies.part_bounds
    }

    /// Hands the corners of the model as made to what looks for the one that it stands on; none where nothing is read yet.
    pub fn with_corners<T>(&self, look: impl FnOnce(&mut dyn Iterator<Item = Point>) -> T) -> T {
        match self.outcome.as_ref().and_then(|outcome| outcome.stock.as_ref()) {
            Some(stock) => look(&mut stock.kept_corners(self.recipe())),
            None => look(&mut std::iter::empty()),
        }
    }
}
