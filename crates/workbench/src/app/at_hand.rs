//! What can be done with what is under the pointer, or selected: a small list. Nothing is only there: each of its lines is a
//! command or an action that has its place elsewhere too.

use egui::{KeyboardShortcut, Pos2};
use seamwright_project::{CutId, Edit, PieceId};

use super::App;
use super::action::{Action, Queue};
use super::command::Command;
use super::scene;
use super::state::{State, Tool};
use super::typing::TypingAction;
use crate::bench::{Handle, SurfaceHit};
use crate::text;

/// The open list.
#[derive(Clone, Debug, PartialEq)]
pub struct AtHand {
    /// Where it stands on the screen.
    pub at: Pos2,
    /// What it is about.
    pub of: Thing,
}

/// What a list is about.
#[derive(Clone, Debug, PartialEq)]
pub enum Thing {
    /// The selected pieces, of which one is this.
    Piece(PieceId),
    /// A cut.
    Cut(CutId),
    /// Nothing by itself: all that stands on the bench.
    Bench,
}

/// One line of a list.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// Its words.
    pub text: String,
    /// What it does.
    pub hint: String,
    /// Its keys.
    pub keys: Option<KeyboardShortcut>,
    /// Why it can't be done now.
    pub why_not: Option<&'static str>,
    /// What it asks for.
    pub action: Action,
}

impl Offer {
    fn run(command: Command, state: &State) -> Offer {
        let entry = command.entry();
        Offer {
            text: entry.text.into(),
            hint: entry.tooltip.into(),
            keys: entry.shortcut,
            why_not: command.why_not(state),
            action: Action::Run(command),
        }
    }

    fn new((text, hint): text::commands::Words, action: Action) -> Offer {
        Offer { text: text.into(), hint: hint.into(), keys: None, why_not: None, action }
    }

    /// With the keys of a command that does the same with what is in hand.
    fn keys_of(self, command: Command) -> Offer {
        Offer { keys: command.entry().shortcut, ..self }
    }

    fn unless(self, possible: bool, why: &'static str) -> Offer {
        Offer { why_not: (!possible).then_some(why), ..self }
    }
}

impl AtHand {
    /// What it is about, in words.
    pub fn title(&self, state: &State) -> String {
        match &self.of {
            Thing::Piece(id) => {
                let marks: Vec<&str> = state.selected_pieces().map(|piece| piece.mark.as_str()).collect();
                let one = state.piece(id).map_or("", |piece| &piece.mark);
                text::at_hand::pieces(one, marks.len())
            }
            Thing::Cut(id) => text::at_hand::cut(state.recipe().cut(*id).map_or("", |cut| &cut.name)),
            Thing::Bench => text::at_hand::BENCH.into(),
        }
    }

    /// Its lines, in groups.
    pub fn offers(&self, state: &State) -> Vec<Vec<Offer>> {
        match &self.of {
            Thing::Piece(id) => {
                let commands =
                    [Command::HidePieces, Command::IsolatePieces, Command::SeeThrough, Command::FrameSelection];
                vec![commands.map(|command| Offer::run(command, state)).into(), self.cuts_of(id, state)]
            }
            Thing::Cut(id) => vec![of_cut(*id, state)],
            Thing::Bench => {
                let (bore, cut) = (state.held_bore().is_some(), state.cut_in_hand().is_some());
                let leave = (state.tool != Tool::Look || bore || cut).then_some(Command::LayDown);
                let in_hand = leave.into_iter().chain(bore.then_some(Command::RemoveBore));
                let commands = [Command::ShowAll, Command::FrameAll, Command::Explode, Command::SelectAll];
                let offers = |command| Offer::run(command, state);
                vec![in_hand.map(offers).collect(), commands.map(offers).into()]
            }
        }
    }

    /// The cuts that bound a piece: each leads to a list of its own.
    fn cuts_of(&self, id: &PieceId, state: &State) -> Vec<Offer> {
        let cuts = id.path.iter().filter_map(|(cut, _)| state.recipe().cut(*cut));
        let list = |cut: &seamwright_project::Cut| {
            let of = AtHand { of: Thing::Cut(cut.id), ..self.clone() };
            let text = text::at_hand::more(&cut.name);
            let hint = text::at_hand::MORE_HINT.into();
            Offer { text, hint, keys: None, why_not: None, action: Action::AtHand(Some(of)) }
        };
        cuts.map(list).collect()
    }
}

fn of_cut(id: CutId, state: &State) -> Vec<Offer> {
    let cuts = &state.recipe().cuts;
    let Some(at) = cuts.iter().position(|cut| cut.id == id) else { return Vec::new() };
    let enabled = !cuts[at].enabled;
    let (words, on_off) = (
        if state.cut_in_hand() == Some(id) { text::at_hand::LAY_DOWN } else { text::at_hand::TAKE },
        if enabled { text::at_hand::SWITCH_ON } else { text::at_hand::SWITCH_OFF },
    );
    let taken = (state.cut_in_hand() != Some(id)).then_some(id);
    let moved = |to: usize| Action::Edit(Edit::MoveCut { cut: id, to });
    vec![
        Offer::new(words, Action::TakeCut(taken)),
        Offer::new(text::at_hand::BY_NUMBER, Action::Typing(TypingAction::Begin(id, Handle::Move))),
        Offer::new(text::at_hand::TILT, Action::Typing(TypingAction::Begin(id, Handle::TiltFirst))),
        Offer::new(on_off, Action::Edit(Edit::SetCutEnabled { cut: id, enabled })).keys_of(Command::SwitchCut),
        Offer::new(text::commands::CUT_EARLIER, moved(at.saturating_sub(1)))
            .keys_of(Command::CutEarlier)
            .unless(at > 0, text::commands::FIRST_ALREADY),
        Offer::new(text::commands::CUT_LATER, moved(at + 1))
            .keys_of(Command::CutLater)
            .unless(at + 1 < cuts.len(), text::commands::LAST_ALREADY),
        Offer::new(text::commands::REMOVE_CUT, Action::Edit(Edit::RemoveCut(id))).keys_of(Command::RemoveCut),
    ]
}

/// A right click on the bench: on a cut's handle or a face that a cut made, on a piece, or beside everything.
pub(super) fn ask(state: &State, at: Pos2, hit: Option<SurfaceHit>, on_handle: bool, queue: &mut Queue) {
    let in_hand = state.cut_in_hand().filter(|_| on_handle);
    let piece = hit.and_then(|hit| Some((scene::piece_of(state, hit.id)?, hit.face)));
    let of = match (in_hand, piece) {
        (Some(cut), _) => Thing::Cut(cut),
        _ if state.tool != Tool::Look => Thing::Bench,
        (None, Some((piece, face))) => {
            let made_by = piece.solid.origins.get(face).and_then(|origin| origin.cap_label()).map(CutId);
            match made_by.filter(|cut| state.recipe().cut(*cut).is_some()) {
                Some(cut) => Thing::Cut(cut),
                None => Thing::Piece(piece.id.clone()),
            }
        }
        (None, None) => Thing::Bench,
    };
    // The list is about what is selected: so it is the same as by the keyboard.
    if let Thing::Piece(id) = &of
        && !state.is_selected(id)
    {
        queue.push(Action::SelectPiece(Some(id.clone())));
    }
    queue.push(Action::AtHand(Some(AtHand { at, of })));
}

/// Whether the list is put away by what is asked for: all that it is about may be other than it was.
pub(super) fn is_over_after(action: &Action) -> bool {
    match action {
        // Escape closes the list itself.
        Action::Run(command) => !matches!(command, Command::LayDown | Command::AtHand),
        Action::Edit(_)
        | Action::GoToStep(_)
        | Action::TakeCut(_)
        | Action::SelectPiece(_)
        | Action::Set(_)
        | Action::ToggleLine(_)
        | Action::Explode(_)
        | Action::PutQuestion(_)
        | Action::NewNow
        | Action::OpenNow(_) => true,
        _ => false,
    }
}

impl App {
    /// Opens the list by the keyboard, about what is selected, or in hand; closes it if it is open.
    pub(super) fn list_at_hand(&mut self) {
        if self.state.at_hand.take().is_some() {
            return;
        }
        let selected = self.state.selected_piece.as_ref().and_then(|id| self.state.piece(id));
        let (of, at) = match (selected, self.state.cut_in_hand()) {
            (Some(piece), _) => {
                let drawn = scene::build(&self.state, &self.outlines).selected_bounds();
                (Thing::Piece(piece.id.clone()), drawn.and_then(|bounds| self.bench.seen_at(&bounds.centre())))
            }
            (None, Some(cut)) => (Thing::Cut(cut), self.bench.handle_in_hand().map(|(_, at, _)| at)),
            (None, None) => (Thing::Bench, None),
        };
        self.state.at_hand = Some(AtHand { at: at.unwrap_or(self.bench.middle()), of });
    }
}
