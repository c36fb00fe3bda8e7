//! Placing a bore: what panels ask for becomes previews and edits; the wall around it is worked out in every frame.

use std::path::Path;

use seamwright_geometry::Bounds;
use seamwright_project::rods::{Clearance, ClearanceClass};
use seamwright_project::{
    Axis, Bore, BoreChange, BoreId, Boring, BoringNow, CutId, Edit, NewBore, NewMagnets, PartId, Placed, RodChoice,
};

use super::App;
use super::engine::{BoringFor, Failure};
use super::messages::Messages;
use super::state::{Line, Tool};

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

/// The rod of the first bore: the thinnest that is easily had by the metre. Our own choice, no source.
const FIRST_ROD: &str = "M6";

/// From one side of the part to the other, through the middle of its box.
fn along(axis: Axis, part: &Bounds) -> Vec<[f64; 3]> {
    let tidy = |x: f64| (x * 10.0).round() / 10.0;
    let (mut from, mut to) = (part.centre().coords.map(tidy), part.centre().coords.map(tidy));
    (from[axis.index()], to[axis.index()]) = (tidy(part.min[axis.index()]), tidy(part.max[axis.index()]));
    vec![from.into(), to.into()]
}
