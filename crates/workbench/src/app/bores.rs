//! Placing a bore: what is done on the bench and on its card becomes previews and edits; the wall around it is worked out
//! in every frame.

use std::path::Path;
use std::sync::Arc;

use seamwright_geometry::{Bounds, Point, Vector};
use seamwright_project::kit;
use seamwright_project::rods::{Clearance, ClearanceClass};
use seamwright_project::{
    Axis, Bore, BoreChange, BoreId, Boring, BoringNow, CutId, Edit, NewBore, NewMagnets, PartId, Placed, RodChoice,
};

use super::App;
use super::engine::{BoringFor, Failure, Piece};
use super::messages::Messages;
use super::state::{Line, State, Tool};
use crate::bench::{BoreHandle, BoreInHand, DragPhase, WallSpot, WallTone};
use crate::text;

/// What panels and the bench ask for about bores.
#[derive(Clone, Debug, PartialEq)]
pub enum BoreAction {
    /// Takes a bore in hand, or lays it down.
    Take(Option<BoreId>),
    /// Shows a bore changed while it is dragged or a number of it is typed; no edit yet. `None` ends the preview.
    Preview(BoreId, Option<BoreChange>),
    /// Adds a bore through the middle of the part, along an axis.
    Along(Axis),
    /// Adds a bore along the middle of the stock.
    AlongMiddle,
    /// Lays the bore in hand along the middle of the stock, in so many straight runs.
    LayAlongMiddle(BoreId, usize),
    /// Moves a bore to where its least wall is greatest.
    Centre(BoreId),
    /// Says what magnets are wanted, and where.
    MagnetForm(MagnetForm),
    /// Begins to pick places for them.
    PickMagnets,
    /// Adds them: at the places picked, or else spread evenly.
    AddMagnets,
}

/// Magnets that are wanted; kept while the window is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MagnetForm {
    /// The cut that they hold together; the first one where there is none or it is gone.
    pub cut: Option<CutId>,
    /// Their diameter, mm.
    pub diameter_mm: f64,
    /// How thick each is, mm.
    pub thickness_mm: f64,
    /// How many places, of two magnets each.
    pub count: usize,
}

impl Default for MagnetForm {
    /// Four places of 6 × 3 mm: a common size of magnet (common practice, no source).
    fn default() -> Self {
        MagnetForm { cut: None, diameter_mm: 6.0, thickness_mm: 3.0, count: 4 }
    }
}

/// The bore in hand.
#[derive(Clone, Debug, Default)]
pub struct BoreHand {
    /// The bore that was taken in hand; it may have been removed since.
    pub taken: Option<BoreId>,
    /// What it is shown as while it is dragged or typed.
    pub preview: Option<Bore>,
    /// What it would be like where it is shown now, or why it is none.
    pub now: Option<Result<BoringNow, String>>,
    /// What centring it gained: its least wall before and after, mm.
    pub gain: Option<(BoreId, [f64; 2])>,
    /// What magnets are wanted.
    pub magnets: MagnetForm,
}

/// What the worker prepared, and for what it was worked out last.
#[derive(Default)]
pub(super) struct LiveBore {
    ready: Option<(BoreId, Boring)>,
    shown: Option<Bore>,
    /// Whether the wall shown is that of the results, to the last digit.
    is_exact: bool,
}

impl LiveBore {
    /// Takes what the worker prepared.
    pub(super) fn take(&mut self, bore: BoreId, boring: Result<Boring, Failure>, messages: &mut Messages) {
        self.shown = None;
        self.ready = match boring {
            Ok(boring) => Some((bore, boring)),
            Err(failure) => {
                if !failure.stock_moved {
                    messages.error(failure.text);
                }
                None
            }
        };
    }
}

impl App {
    pub(super) fn apply_bore(&mut self, action: BoreAction) {
        match action {
            BoreAction::Take(bore) => self.take_bore(bore),
            BoreAction::Preview(id, change) => {
                let change = change.map(|change| self.stopping_inside(id, change));
                let held = self.state.held_bore().filter(|held| held.id == id);
                self.state.bore.preview = held.and_then(|held| change?.apply(held).ok());
            }
            BoreAction::Along(axis) => {
                let Some(bounds) = self.state.part_bounds() else { return };
                self.add_bore(along(axis, &bounds), Placed::Axis(axis), self.first_part());
            }
            BoreAction::AlongMiddle => {
                let (recipe, folder) = (self.state.recipe().clone(), self.state.document.folder());
                let new = self.new_bore(Vec::new(), Placed::Middle, self.first_part());
                self.engine.bore_along_middle(recipe, folder, BoringFor::New(Box::new(new)), 1);
            }
            BoreAction::LayAlongMiddle(id, runs) => {
                let (recipe, folder) = (self.state.recipe().clone(), self.state.document.folder());
                self.engine.bore_along_middle(recipe, folder, BoringFor::Bore(id), runs);
            }
            BoreAction::MagnetForm(form) => self.state.bore.magnets = form,
            BoreAction::PickMagnets => self.begin_tool(Tool::MagnetPlaces(Vec::new()), Line::Bores),
            BoreAction::AddMagnets => self.add_magnets(),
            BoreAction::Centre(id) => {
                let (recipe, folder) = (self.state.recipe().clone(), self.state.document.folder());
                self.engine.centre_bore(recipe, folder, id);
            }
        }
    }

    /// An open end that is moved into the material stops there; known once the part is prepared.
    pub(super) fn stopping_inside(&self, id: BoreId, change: BoreChange) -> BoreChange {
        match (&self.live_bore.ready, self.state.recipe().bore(id)) {
            (Some((of, boring)), Some(bore)) if *of == id => boring.stopping_inside(bore, change),
            _ => change,
        }
    }

    /// The worker found a place: it becomes an edit, if the recipe is still the one that it was asked for.
    pub(super) fn bore_placed(&mut self, edit: Edit, gain: Option<(BoreId, [f64; 2])>) {
        if self.apply_edit(edit) {
            self.state.bore.gain = gain;
        }
    }

    /// Makes a bore of the two points picked.
    pub(super) fn bore_through_points(&mut self) {
        let Tool::BorePoints(points) = &self.state.tool else { return };
        if let [a, b] = points.as_slice() {
            let line = vec![a.coords.into(), b.coords.into()];
            self.add_bore(line, Placed::Picked, self.state.picked_part);
        }
    }

    fn add_magnets(&mut self) {
        let form = self.state.bore.magnets;
        let Some(outcome) = self.state.outcome.clone().filter(|_| !self.state.is_out_of_date()) else { return };
        let Some(cut) = form.cut else { return };
        let picked = match &self.state.tool {
            Tool::MagnetPlaces(points) => points.iter().map(|p| p.coords.into()).collect(),
            _ => Vec::new(),
        };
        let new = NewMagnets {
            cut,
            diameter_mm: form.diameter_mm,
            thickness_mm: form.thickness_mm,
            clearance: Clearance::Class(ClearanceClass::Fine),
            places_mm: picked,
        };
        self.engine.add_magnets(outcome, new, form.count);
    }

    fn add_bore(&mut self, line_mm: Vec<[f64; 3]>, placed: Placed, part: PartId) {
        let new = self.new_bore(line_mm, placed, part);
        self.apply_edit(Edit::AddBore(Box::new(new)));
    }

    fn new_bore(&self, line_mm: Vec<[f64; 3]>, placed: Placed, part: PartId) -> NewBore {
        // A second bore mostly takes the same rod.
        let rod =
            self.state.recipe().bores.last().map_or_else(|| RodChoice::Listed(FIRST_ROD.into()), |b| b.rod.clone());
        NewBore { name: String::new(), part, line_mm, placed, rod }
    }

    fn first_part(&self) -> PartId {
        self.state.outcome.as_ref().and_then(|outcome| outcome.parts.first()).map_or(PartId::MAIN, |part| part.id)
    }

    /// A bore was added: it is taken in hand.
    pub(super) fn take_bore(&mut self, bore: Option<BoreId>) {
        self.state.bore.preview = None;
        self.state.tool = Tool::Look;
        self.state.bore.taken = bore;
        if bore.is_some() {
            self.state.taken_cut = None;
            self.state.preview = None;
            self.state.exploded = 0.0;
            self.state.selected_piece = None;
            self.state.open_line = Some(Line::Bores);
        }
    }

    /// Has the part prepared for the bore in hand, and works out the wall around it where it is shown now.
    pub(super) fn update_live_bore(&mut self, folder: &Path) {
        let Some(shown) = self.state.shown_bore() else {
            self.live_bore = LiveBore::default();
            self.engine.give_up_boring();
            self.state.bore.now = None;
            return;
        };
        if self.state.recipe().stock.is_some() && !self.state.stopped {
            self.engine.prepare_boring(self.state.document.recipe(), shown.id, folder);
        }
        match &self.live_bore.ready {
            Some((of, boring)) if *of == shown.id => {
                if self.live_bore.shown.as_ref() != Some(&shown) {
                    let ups: Vec<[f64; 3]> = match shown.follows_lays() {
                        true => self.state.ups_across(shown.id),
                        false => Vec::new(),
                    };
                    let placed = shown.placed_in(self.state.document.recipe());
                    self.state.bore.now = Some(placed.and_then(|placed| boring.at(&placed, &ups)));
                    self.live_bore.shown = Some(shown);
                    self.live_bore.is_exact = false;
                }
                if !self.live_bore.is_exact {
                    self.live_bore.is_exact = self.state.take_exact_wall();
                }
            }
            _ => self.state.bore.now = None,
        }
    }
}

/// Ways that differ by less are one, rad: a roof turned by so little is off by a hundredth of a millimetre at most (our own
/// choice, no source).
const ONE_WAY_RAD: f64 = 1e-3;

/// The rod of the first bore: the thinnest that is easily had by the metre. Our own choice, no source.
const FIRST_ROD: &str = "M6";

/// From one side of the part to the other, through the middle of its box.
fn along(axis: Axis, part: &Bounds) -> Vec<[f64; 3]> {
    let tidy = |x: f64| (x * 10.0).round() / 10.0;
    let (mut from, mut to) = (part.centre().coords.map(tidy), part.centre().coords.map(tidy));
    (from[axis.index()], to[axis.index()]) = (tidy(part.min[axis.index()]), tidy(part.max[axis.index()]));
    vec![from.into(), to.into()]
}

impl State {
    /// Once the bore rests and the results are about it, the wall is that of the results; with whether it is.
    fn take_exact_wall(&mut self) -> bool {
        if self.bore.preview.is_some() || self.is_out_of_date() {
            return false;
        }
        let done = self.held_bore().zip(self.outcome.as_ref());
        let done = done.and_then(|(bore, outcome)| outcome.bores.iter().find(|done| done.bore == bore.id));
        let Some(Ok(facts)) = done.map(|done| &done.result) else { return false };
        let profile = facts.profile.clone();
        let Some(Ok(now)) = &mut self.bore.now else { return false };
        now.profile = profile;
        true
    }

    /// The different ways up in the pieces that a bore crosses.
    fn ups_across(&self, bore: BoreId) -> Vec<[f64; 3]> {
        let mut ups: Vec<[f64; 3]> = Vec::new();
        for (_, up) in self.lays_across(bore) {
            let is_known = |known: &[f64; 3]| Vector::from(*known).angle(&Vector::from(up)) < ONE_WAY_RAD;
            if !ups.iter().any(is_known) {
                ups.push(up);
            }
        }
        ups
    }

    /// Where up is, in the frame of the whole, as the pieces lie that a bore crosses: their marks, and the directions.
    pub fn lays_across(&self, bore: BoreId) -> Vec<(String, [f64; 3])> {
        let Some(outcome) = &self.outcome else { return Vec::new() };
        let crossed = outcome.pieces.iter().filter(|piece| piece.facts.bores.iter().any(|within| within.bore == bore));
        let up = |piece: &Piece| {
            let lay = kit::lay(outcome, piece);
            (piece.mark.clone(), lay.pose.rotation.inverse_transform_vector(&Vector::z()).into())
        };
        crossed.map(up).collect()
    }
}

/// What a drag of a handle asks for.
pub(super) fn dragged(state: &State, line: &[Point], handle: BoreHandle, phase: DragPhase) -> Option<BoreDragged> {
    let bore = state.held_bore()?;
    let tidy = |p: &Point| -> [f64; 3] { p.coords.map(|x| (x * 100.0).round() / 100.0).into() };
    let change = match handle {
        BoreHandle::Point(at) => BoreChange::Point { at, to_mm: tidy(line.get(at)?) },
        BoreHandle::Whole => BoreChange::Line { line_mm: line.iter().map(tidy).collect(), placed: Placed::Typed },
    };
    Some(match phase {
        DragPhase::Begun | DragPhase::Moved => BoreDragged::Preview(BoreAction::Preview(bore.id, Some(change))),
        DragPhase::Released => BoreDragged::Edit(Edit::ChangeBore { bore: bore.id, change }),
        DragPhase::Cancelled => BoreDragged::Preview(BoreAction::Preview(bore.id, None)),
    })
}

/// A preview, or an edit.
pub(super) enum BoreDragged {
    Preview(BoreAction),
    Edit(Edit),
}

/// The bore in hand as the bench draws it.
pub(super) fn in_hand(state: &State) -> Option<BoreInHand> {
    let bore = state.shown_bore()?;
    let now = state.bore.now.as_ref().and_then(|now| now.as_ref().ok());
    // Where it breaks through, that is worse than any wall.
    let broken = now.and_then(|now| now.profile.broken.first());
    let broken = broken.map(|broken| (broken.place, broken.place, text::bores::BREAKS_THROUGH.to_owned()));
    let least = broken.or_else(|| {
        let least = now?.profile.least.as_ref()?;
        let words = text::bores::least_wall(least.wall_mm.max(0.0));
        Some((least.place, least.towards, words))
    });
    let together = state.exploded == 0.0 || state.bore.preview.is_some();
    Some(BoreInHand {
        line: bore.line_mm.iter().map(|p| Point::from(*p)).collect(),
        radius_mm: bore.diameter_mm() / 2.0,
        walls: Arc::new(now.map_or_else(Vec::new, |now| spots(now, bore.least_wall_mm))),
        least,
        held: together && state.tool == Tool::Look,
    })
}

/// The wall along the line, stretches without one included.
fn spots(now: &BoringNow, asked_mm: f64) -> Vec<WallSpot> {
    let cells = now.profile.cells.iter().map(|cell| (cell.at_mm, WallTone::of(cell.wall_mm, asked_mm)));
    let ends = now.profile.broken.iter().flat_map(|broken| [broken.from_mm, broken.to_mm]);
    let mut along: Vec<(f64, WallTone)> = cells.chain(ends.map(|at| (at, WallTone::Broken))).collect();
    along.sort_by(|a, b| a.0.total_cmp(&b.0));
    along.into_iter().map(|(at, tone)| WallSpot { place: now.channel.place_at(at), tone }).collect()
}
