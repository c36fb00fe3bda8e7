//! Sets of pieces: which are selected, which are out of sight, which are seen through.

use std::collections::BTreeSet;

use seamwright_project::PieceId;

use super::App;
use super::command::Command;
use super::engine::Piece;
use super::state::State;

/// What panels ask for.
#[derive(Clone, Debug, PartialEq)]
pub enum SetAction {
    /// Adds a piece to the selection, or takes it out.
    Toggle(PieceId),
    /// Adds pieces; the last one leads.
    Add(Vec<PieceId>),
    /// Selects these and no others; the last one leads.
    Only(Vec<PieceId>),
    /// Brings a piece back into sight.
    Show(PieceId),
}

/// The sets of pieces, by identities that survive edits elsewhere.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sets {
    /// Selected besides the one that leads.
    pub also: BTreeSet<PieceId>,
    /// Not shown on the bench.
    pub hidden: BTreeSet<PieceId>,
    /// Seen through on the bench.
    pub through: BTreeSet<PieceId>,
}

impl Sets {
    /// What was made of a piece that is out of sight, or seen through, is so too; and so is what was all out of sight and is
    /// one piece again. `before` are the pieces before the change, `now` those after it.
    pub(super) fn follow(&mut self, before: &[Piece], now: &[Piece]) {
        for set in [&mut self.hidden, &mut self.through] {
            let is_new = |piece: &&Piece| !before.iter().any(|other| other.id == piece.id);
            let inherits = |piece: &&Piece| {
                let parent = |other: &Piece| piece.lineage.contains(&other.id);
                let mut children = before.iter().filter(|other| other.lineage.contains(&piece.id)).peekable();
                let all_in = children.peek().is_some() && children.all(|child| set.contains(&child.id));
                all_in || before.iter().any(|other| parent(other) && set.contains(&other.id))
            };
            let more: Vec<PieceId> = now.iter().filter(is_new).filter(inherits).map(|piece| piece.id.clone()).collect();
            set.extend(more);
        }
    }
}

impl State {
    /// Whether a piece is selected.
    pub fn is_selected(&self, id: &PieceId) -> bool {
        self.selected_piece.as_ref() == Some(id) || (self.selected_piece.is_some() && self.sets.also.contains(id))
    }

    /// The selected pieces that there are, in the order of their marks.
    pub fn selected_pieces(&self) -> impl Iterator<Item = &Piece> {
        self.pieces().iter().filter(|piece| self.is_selected(&piece.id))
    }

    /// The pieces that are out of sight.
    pub fn hidden_pieces(&self) -> impl Iterator<Item = &Piece> {
        self.pieces().iter().filter(|piece| self.sets.hidden.contains(&piece.id))
    }

    /// The pieces that are seen through.
    pub fn through_pieces(&self) -> impl Iterator<Item = &Piece> {
        let through = |piece: &&Piece| self.sets.through.contains(&piece.id) && !self.sets.hidden.contains(&piece.id);
        self.pieces().iter().filter(through)
    }

    /// Whether every piece is there to be seen.
    pub fn shows_all(&self) -> bool {
        self.hidden_pieces().next().is_none() && self.through_pieces().next().is_none()
    }
}

impl App {
    pub(super) fn apply_set(&mut self, action: SetAction) {
        match action {
            SetAction::Toggle(id) if self.state.is_selected(&id) => {
                self.state.sets.also.remove(&id);
                if self.state.selected_piece.as_ref() == Some(&id) {
                    self.state.selected_piece = self.state.sets.also.pop_last();
                }
            }
            SetAction::Toggle(id) => self.add_to_selection(vec![id]),
            SetAction::Add(ids) => self.add_to_selection(ids),
            SetAction::Only(ids) => {
                self.select_piece(None);
                self.add_to_selection(ids);
            }
            SetAction::Show(id) => {
                self.state.sets.hidden.remove(&id);
                self.state.sets.through.remove(&id);
            }
        }
    }

    /// Selects one piece, or none.
    pub(super) fn select_piece(&mut self, id: Option<PieceId>) {
        self.state.sets.also.clear();
        self.state.selected_piece = id;
    }

    fn add_to_selection(&mut self, ids: Vec<PieceId>) {
        for id in ids {
            // What was selected before it was laid aside by something else does not come back.
            match self.state.selected_piece.replace(id.clone()) {
                Some(before) if before != id => {
                    self.state.sets.also.insert(before);
                }
                Some(_) => {}
                None => self.state.sets.also.clear(),
            }
            self.state.sets.also.remove(&id);
        }
    }

    /// What the commands about sets do.
    pub(super) fn run_on_set(&mut self, command: Command) {
        let selected: Vec<PieceId> = self.state.selected_pieces().map(|piece| piece.id.clone()).collect();
        let all: Vec<PieceId> = self.state.pieces().iter().map(|piece| piece.id.clone()).collect();
        let sets = &mut self.state.sets;
        match command {
            Command::SelectAll => self.apply_set(SetAction::Only(all)),
            Command::HidePieces => {
                sets.hidden.extend(selected);
                self.select_piece(None);
            }
            Command::IsolatePieces => {
                sets.hidden = all.into_iter().filter(|id| !selected.contains(id)).collect();
                sets.through.retain(|id| !selected.contains(id));
            }
            Command::SeeThrough => {
                let all_are = selected.iter().all(|id| sets.through.contains(id));
                for id in selected {
                    sets.hidden.remove(&id);
                    if all_are {
                        sets.through.remove(&id)
                    } else {
                        sets.through.insert(id)
                    };
                }
            }
            Command::ShowAll => {
                sets.hidden.clear();
                sets.through.clear();
            }
            _ => {}
        }
    }
}
