//! The beds: which one is looked at, changes of them as edits, and the maker's own list.

use std::path::PathBuf;

use seamwright_geometry::{Bed, Outline, Point, Vector};
use seamwright_project::{Edit, NamedBed, Recipe, saved_beds};

use super::App;
use super::state::{Line, State};
use crate::bench::HeldAgainst;
use crate::text;

/// What panels ask for about beds, besides edits.
#[derive(Clone, Debug, PartialEq)]
pub enum BedAction {
    /// Looks at the bed with this place among those of the project.
    Show(usize),
    /// Keeps the bed with this place in the maker's own list, under its name.
    Keep(usize),
    /// Forgets the bed of this name of the maker's own list.
    Forget(String),
}

/// The bed that is looked at, and the maker's own list.
#[derive(Clone, Debug, Default)]
pub struct BedDesk {
    /// Which bed of the project is being looked at.
    pub shown: usize,
    /// The maker's own list; `None` until it was read.
    pub own: Option<Vec<NamedBed>>,
    /// Where that is kept; `None` on a machine that names no folder for settings.
    pub kept_in: Option<PathBuf>,
}

/// All beds of a project with the names that the maker gave them.
pub fn named(recipe: &Recipe) -> Vec<NamedBed> {
    let first = NamedBed { name: recipe.bed_name.clone(), bed: recipe.bed.clone() };
    [first].into_iter().chain(recipe.more_beds.iter().cloned()).collect()
}

/// The edit that changes the bed with this place.
pub fn changed(recipe: &Recipe, at: usize, bed: Bed) -> Edit {
    if at == 0 { Edit::SetBed(bed) } else { replaced(recipe, at, NamedBed { name: own_name(recipe, at), bed }) }
}

/// The edit that calls the bed with this place something else.
pub fn renamed(recipe: &Recipe, at: usize, name: &str) -> Edit {
    let bed = recipe.beds().nth(at).unwrap_or(&recipe.bed).clone();
    replaced(recipe, at, NamedBed { name: name.trim().to_owned(), bed })
}

/// The edit that puts another bed in place of the one with this place.
pub fn replaced(recipe: &Recipe, at: usize, bed: NamedBed) -> Edit {
    let mut beds = named(recipe);
    if let Some(known) = beds.get_mut(at) {
        *known = bed;
    }
    Edit::SetBeds(beds)
}

/// What the maker calls the bed with this place; may be empty.
pub fn own_name(recipe: &Recipe, at: usize) -> String {
    named(recipe).into_iter().nth(at).map_or_else(String::new, |named| named.name)
}

/// The edit that adds a bed after the others.
pub fn added(recipe: &Recipe, bed: NamedBed) -> Edit {
    let mut beds = named(recipe);
    beds.push(bed);
    Edit::SetBeds(beds)
}

/// The edit that takes the bed with this place away.
pub fn without(recipe: &Recipe, at: usize) -> Edit {
    let mut beds = named(recipe);
    if at < beds.len() {
        beds.remove(at);
    }
    Edit::SetBeds(beds)
}

/// The edit that has cuts placed for the bed with this place: it comes first.
pub fn brought_first(recipe: &Recipe, at: usize) -> Edit {
    let mut beds = named(recipe);
    if at < beds.len() {
        let bed = beds.remove(at);
        beds.insert(0, bed);
    }
    Edit::SetBeds(beds)
}

/// The same bed with another shape of about the same size: 0 a rectangle, 1 round, 2 any outline.
pub fn reshaped(bed: &Bed, shape: usize) -> Bed {
    let [x_mm, y_mm] = bed.size_mm();
    let outline = match shape {
        0 => Outline::Rectangle { x_mm, y_mm },
        1 => Outline::Circle { diameter_mm: x_mm.min(y_mm) },
        // Round beds become octagons: few enough corners to type.
        _ if matches!(bed.outline, Outline::Circle { .. }) => Outline::Polygon { corners_mm: octagon(x_mm) },
        _ => Outline::Polygon { corners_mm: bed.drawn_outline_mm() },
    };
    Bed { outline, ..bed.clone() }
}

/// Within a circle of this diameter, to the tenth of a millimetre.
fn octagon(diameter_mm: f64) -> Vec<[f64; 2]> {
    let (radius, tidy) = (diameter_mm / 2.0, |x: f64| (x * 10.0).round() / 10.0);
    let corner = |k: u32| {
        let (sin, cos) = (f64::from(2 * k + 1) * std::f64::consts::PI / 8.0).sin_cos();
        [tidy(radius + radius * cos), tidy(radius + radius * sin)]
    };
    (0..8).map(corner).collect()
}

/// The bed that is looked at, by its place, while its line is open.
pub fn looked_at(state: &State) -> Option<usize> {
    (state.open_line == Some(Line::Lays)).then(|| shown_at(state))
}

/// The place of the bed that the line of beds shows.
pub fn shown_at(state: &State) -> usize {
    state.beds.shown.min(state.recipe().more_beds.len())
}

/// The bed that lies beneath the model: the one that is looked at, else the one that cuts are placed for.
pub fn shown_bed(state: &State) -> &Bed {
    let at = looked_at(state).unwrap_or(0);
    state.recipe().beds().nth(at).unwrap_or(&state.recipe().bed)
}

/// The edges of the room of a bed, where it lies around what is held against it: floor, ceiling and, between corners,
/// posts. Of a polygon, the edges of the bed itself.
pub fn room_lines(held: &HeldAgainst, offset: &Vector) -> Vec<Vec<Point>> {
    let bed = &held.bed;
    let (kept, [x_mm, y_mm]) = (bed.kept_mm(), bed.size_mm());
    let inner = |width: f64| Bed::of(shrunk(&bed.outline, width), bed.height_mm).drawn_outline_mm();
    let ring: Vec<[f64; 2]> = match bed.outline {
        Outline::Polygon { .. } => bed.drawn_outline_mm(),
        _ if 2.0 * kept >= x_mm.min(y_mm) => return Vec::new(),
        _ => inner(kept).into_iter().map(|[x, y]| [x + kept, y + kept]).collect(),
    };
    let back = held.bed_from_piece.inverse();
    let at = |[x, y]: [f64; 2], z: f64| back * Point::new(x, y, z) + offset;
    let level = |z: f64| -> Vec<Point> { ring.iter().chain(ring.first()).map(|corner| at(*corner, z)).collect() };
    let mut lines = vec![level(bed.raft_mm), level(bed.height_mm)];
    // A round bed shows four posts.
    let step = if ring.len() > MOST_POSTS { ring.len() / 4 } else { 1 };
    lines.extend(ring.iter().step_by(step).map(|corner| vec![at(*corner, bed.raft_mm), at(*corner, bed.height_mm)]));
    lines
}

/// More corners than this have no post each.
const MOST_POSTS: usize = 12;

fn shrunk(outline: &Outline, by_mm: f64) -> Outline {
    match outline {
        Outline::Rectangle { x_mm, y_mm } => Outline::Rectangle { x_mm: x_mm - 2.0 * by_mm, y_mm: y_mm - 2.0 * by_mm },
        Outline::Circle { diameter_mm } => Outline::Circle { diameter_mm: diameter_mm - 2.0 * by_mm },
        Outline::Polygon { .. } => outline.clone(),
    }
}

impl App {
    pub(super) fn apply_bed(&mut self, action: BedAction) {
        match action {
            BedAction::Show(at) => self.state.beds.shown = at,
            BedAction::Keep(at) => {
                let Some(mut bed) = named(self.state.recipe()).into_iter().nth(at) else { return };
                bed.name = bed.name.trim().to_owned();
                let said = text::beds::kept(&bed.name);
                self.change_own_beds(|path| saved_beds::keep(path, bed), said);
            }
            BedAction::Forget(name) => {
                let said = text::beds::forgotten(&name);
                self.change_own_beds(|path| saved_beds::forget(path, &name).map(|_| ()), said);
            }
        }
    }

    fn change_own_beds(
        &mut self,
        change: impl FnOnce(&std::path::Path) -> Result<(), seamwright_project::store::StoreError>,
        said: String,
    ) {
        let Some(path) = self.state.beds.kept_in.clone() else { return };
        match change(&path) {
            Ok(()) => self.state.messages.done(said),
            Err(error) => self.state.messages.error(error),
        }
        self.state.beds.own = None;
    }

    /// Reads the maker's own list once its line is open; a few lines of text, so that no frame waits for it.
    pub(super) fn read_own_beds(&mut self) {
        if self.state.open_line != Some(Line::Lays) || self.state.beds.own.is_some() {
            return;
        }
        let Some(path) = &self.state.beds.kept_in else { return };
        self.state.beds.own = Some(match saved_beds::load(path) {
            Ok(beds) => beds,
            Err(error) => {
                self.state.messages.error(error);
                Vec::new()
            }
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::Motion;

    #[test]
    fn every_shape_of_a_bed_is_a_bed() {
        for bed in [Bed::rectangle(220.0, 200.0, 250.0), Bed::round(180.0, 200.0)] {
            for shape in 0..3 {
                assert_eq!(reshaped(&bed, shape).check(), Ok(()));
            }
        }
        let square = reshaped(&Bed::round(180.0, 200.0), 0);
        assert_eq!(square.outline, Outline::Rectangle { x_mm: 180.0, y_mm: 180.0 });
    }

    #[test]
    fn the_room_is_drawn_around_the_piece_that_is_held_against_it() {
        let bed = Bed { margin_mm: 5.0, raft_mm: 1.0, ..Bed::rectangle(100.0, 80.0, 60.0) };
        let held = HeldAgainst { bed, bed_from_piece: Motion::translation(50.0, 40.0, 0.0) };
        let lines = room_lines(&held, &Vector::new(0.0, 0.0, 7.0));
        let corners: Vec<&Point> = lines.iter().flatten().collect();
        assert_eq!(lines.len(), 6);
        assert!(corners.iter().all(|p| p.x.abs() == 45.0 && p.y.abs() == 35.0 && (p.z == 8.0 || p.z == 67.0)));
    }
}
