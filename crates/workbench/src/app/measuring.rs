//! Measuring on the bench: picks become measures of the project, and measures are shown as dimensions.

use std::sync::Arc;

use seamwright_geometry::{Bounds, Point, Solid, Vector};
use seamwright_project::{Axis, Edit, Measure, MeasureId, Measured, MeasuringError, PartId};

use super::App;
use super::state::{Line, State, Tool};
use super::{new_cuts, scene};
use crate::bench::{Dimension, Label, SurfaceHit};
use crate::text;

/// What can be measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MeasureKind {
    /// The straight way between two points.
    Distance,
    /// Between two faces.
    Angle,
    /// Of the material at a point.
    Thickness,
    /// Round the model at a point.
    Girth,
}

impl MeasureKind {
    /// How many points are picked for it.
    pub fn points(self) -> usize {
        match self {
            MeasureKind::Distance | MeasureKind::Angle => 2,
            MeasureKind::Thickness | MeasureKind::Girth => 1,
        }
    }

    /// What to do next, with so many points picked.
    pub fn hint(self, picked: usize) -> &'static str {
        match (self, picked) {
            (MeasureKind::Distance, 0) => text::measures::FIRST_POINT,
            (MeasureKind::Distance, _) => text::measures::SECOND_POINT,
            (MeasureKind::Angle, 0) => text::measures::FIRST_FACE,
            (MeasureKind::Angle, _) => text::measures::SECOND_FACE,
            (MeasureKind::Thickness, _) => text::measures::WHERE_THICK,
            (MeasureKind::Girth, _) => text::measures::WHERE_ROUND,
        }
    }
}

/// Picks towards a measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Measuring {
    /// What is measured.
    pub kind: MeasureKind,
    /// The points so far.
    pub points: Vec<Point>,
    /// Which way the surface looks at them.
    normals: Vec<Vector>,
}

impl Measuring {
    /// Nothing is picked yet.
    pub fn new(kind: MeasureKind) -> Measuring {
        Measuring { kind, points: Vec::new(), normals: Vec::new() }
    }

    /// Takes a picked point back.
    pub(super) fn drop_point(&mut self, at: usize) {
        if at < self.points.len() {
            self.points.remove(at);
            self.normals.remove(at);
        }
    }
}

/// What a measure is asked of: where it was clicked, and on what.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    pub kind: MeasureKind,
    pub at: Point,
    pub outward: Vector,
    pub axis: Axis,
    pub part: PartId,
}

/// A tape round a part, at a place.
#[derive(Clone, Debug)]
pub(super) struct Round {
    pub part: Arc<Solid>,
    pub at: Point,
    pub normal: Vector,
}

impl PartialEq for Round {
    fn eq(&self, other: &Round) -> bool {
        Arc::ptr_eq(&self.part, &other.part) && self.at == other.at && self.normal == other.normal
    }
}

/// The lines that the tapes of all girths lie along, and which they are of.
#[derive(Clone, Debug, Default)]
pub struct Tapes {
    of: Vec<Round>,
    lines: Vec<Vec<Point>>,
}

impl Tapes {
    pub(super) fn take(&mut self, lines: Vec<Vec<Point>>) {
        // Of an earlier list they would be told apart by their number.
        if lines.len() == self.of.len() {
            self.lines = lines;
        }
    }
}

/// Places on the surface lie this near the box around their piece, mm: what numbers in files are rounded by. Our own choice,
/// no source.
const AT_RIM_MM: f64 = 1e-3;

impl State {
    /// The lines that tapes lie along, while measures are shown.
    pub fn tape_lines(&self) -> &[Vec<Point>] {
        if self.shown_measures().next().is_some() { &self.tapes.lines } else { &[] }
    }

    fn rounds(&self) -> Vec<Round> {
        let round = |measure: &Measure| match &measure.what {
            Measured::Girth { at_mm, normal, .. } => {
                let part = self.part_solid(measure.part)?.clone();
                Some(Round { part, at: Point::from(*at_mm), normal: Vector::from(*normal) })
            }
            _ => None,
        };
        self.recipe().measures.iter().filter_map(round).collect()
    }

    /// The dimensions that stand for the measures, while they are shown.
    pub fn measure_dimensions(&self) -> Vec<Dimension> {
        let dimension = |measure: &Measure| match measure.what.places().as_slice() {
            [from, to] => {
                let text = measure.what.value_words();
                let straight = Dimension { from: *from, to: *to, text, apex: None };
                Some(match &measure.what {
                    Measured::Angle { normals, .. } => bent(straight, normals.map(Vector::from)),
                    _ => straight,
                })
            }
            _ => None,
        };
        self.shown_measures().filter_map(dimension).collect()
    }

    /// The words that stand for measures at one place.
    pub fn measure_labels(&self) -> Vec<Label> {
        let label = |measure: &Measure| match measure.what.places().as_slice() {
            [at] => {
                let text = text::measures::measured(measure.what.kind(), &measure.what.value_words());
                Some(Label { at: *at, text, strong: true, of: None })
            }
            _ => None,
        };
        self.shown_measures().filter_map(label).collect()
    }

    /// In the way of a cut, a bore or pieces that are pulled apart they are not shown.
    fn shown_measures(&self) -> impl Iterator<Item = &Measure> {
        let free = self.held_cut().is_none() && self.held_bore().is_none() && self.stepping.is_none();
        let shown = self.shows_measures && free && self.exploded == 0.0;
        self.recipe().measures.iter().filter(move |measure| shown && self.lies_in_sight(measure))
    }

    /// Whether something of what was measured is to be seen: a place lies on a piece that is not hidden.
    fn lies_in_sight(&self, measure: &Measure) -> bool {
        if self.hidden_pieces().next().is_none() {
            return true;
        }
        let places = measure.what.places();
        let in_sight = self.pieces().iter().filter(|piece| !self.sets.hidden.contains(&piece.id));
        let holds = |at: &Point, bounds: &Bounds| {
            (0..3).all(|i| bounds.min[i] - AT_RIM_MM <= at[i] && at[i] <= bounds.max[i] + AT_RIM_MM)
        };
        in_sight.map(|piece| &piece.facts.bounds).any(|bounds| places.iter().any(|at| holds(at, bounds)))
    }
}

/// An angle between the faces at both ends: its legs lie in them, square to the edge where they would meet. Faces that hardly
/// lean to each other meet nowhere near; between those the way stays straight.
fn bent(straight: Dimension, [n, m]: [Vector; 2]) -> Dimension {
    let edge = n.cross(&m);
    let (from, to) = (straight.from, straight.to);
    let Some(along) = edge.try_normalize(LEAST_LEAN) else { return straight };
    // Where both faces and the plane across the edge midway meet.
    let middle = nalgebra::center(&from, &to);
    let rows = nalgebra::Matrix3::from_rows(&[n.transpose(), m.transpose(), along.transpose()]);
    let told = Vector::new(n.dot(&from.coords), m.dot(&to.coords), along.dot(&middle.coords));
    let Some(apex) = rows.lu().solve(&told).map(Point::from) else { return straight };
    let across = |p: Point| p - along * (p - apex).dot(&along);
    let (leg, other) = (across(from) - apex, across(to) - apex);
    let reach = leg.norm().min(other.norm());
    if reach <= 0.0 || leg.norm().max(other.norm()) > FARTHEST * (to - from).norm() {
        return straight;
    }
    let [from, to] = [leg, other].map(|leg| apex + leg.normalize() * reach);
    Dimension { from, to, apex: Some(apex), ..straight }
}

/// Below this sine faces count as parallel: a fiftieth of a degree. Our own choice, no source.
const LEAST_LEAN: f64 = 3.5e-4;
/// Legs are at most so many times as long as the places that were picked are apart. Our own choice, no source.
const FARTHEST: f64 = 6.0;

impl App {
    /// Has the lines of tapes looked for where they are others than before.
    pub(super) fn update_tapes(&mut self) {
        // Between two results nobody knows the part.
        if self.state.is_out_of_date() {
            return;
        }
        let rounds = self.state.rounds();
        if rounds == self.state.tapes.of {
            return;
        }
        self.state.tapes = Tapes { of: rounds.clone(), lines: Vec::new() };
        if !rounds.is_empty() {
            self.engine.look_for_girths(rounds);
        }
    }

    pub(super) fn begin_measuring(&mut self, kind: MeasureKind) {
        self.begin_tool(Tool::Measure(Measuring::new(kind)), Line::Size);
        self.state.shows_measures = true;
    }

    /// A point was picked for a measure.
    pub(super) fn pick_for_measure(&mut self, hit: &SurfaceHit) {
        let part = scene::part_of(&self.state, hit.id);
        let axis = self.state.part_bounds().map_or(Axis::Z, |bounds| new_cuts::axis_across(&hit.normal, &bounds));
        let Tool::Measure(measuring) = &mut self.state.tool else { return };
        if measuring.points.last() == Some(&hit.point) {
            return;
        }
        measuring.points.push(hit.point);
        measuring.normals.push(hit.normal);
        if measuring.points.len() < measuring.kind.points() {
            return;
        }
        let next = Measuring::new(measuring.kind);
        let done = std::mem::replace(measuring, next);
        match (done.kind, done.points.as_slice(), done.normals.as_slice()) {
            (MeasureKind::Distance, [a, b], _) => {
                let what = Measured::Distance { from_mm: a.coords.into(), to_mm: b.coords.into() };
                self.apply_edit(Edit::AddMeasure { part, what });
            }
            (MeasureKind::Angle, [a, b], [n, m]) => {
                let (at_mm, normals) = ([a, b].map(|p| p.coords.into()), [n, m].map(|n| (*n).into()));
                self.apply_edit(Edit::AddMeasure { part, what: Measured::Angle { at_mm, normals } });
            }
            (kind, [at, ..], [outward, ..]) => {
                let asked = Asked { kind, at: *at, outward: *outward, axis, part };
                self.ask_measure(hit, asked);
            }
            _ => {}
        }
    }

    /// What needs the faces is measured by a worker: thickness of what was clicked, girth of the whole part.
    fn ask_measure(&mut self, hit: &SurfaceHit, asked: Asked) {
        let piece = scene::piece_of(&self.state, hit.id).map(|piece| piece.solid.clone());
        let whole = self.state.part_solid(asked.part).cloned();
        let solid = match asked.kind {
            MeasureKind::Girth => whole,
            _ => piece.or(whole),
        };
        if let Some(solid) = solid {
            self.engine.measure_on(solid, asked, self.project);
        }
    }

    pub(super) fn measured(&mut self, part: PartId, measured: Result<Measured, MeasuringError>) {
        match measured {
            Ok(what) => {
                self.apply_edit(Edit::AddMeasure { part, what });
            }
            Err(MeasuringError::Cancelled) => {}
            Err(error) => self.state.messages.error(error),
        }
    }

    /// Brings a measure into the picture.
    pub(super) fn show_measure(&mut self, id: MeasureId) {
        let Some(measure) = self.state.recipe().measures.iter().find(|measure| measure.id == id) else { return };
        let places = measure.what.places();
        self.state.shows_measures = true;
        self.look_at_places(&places);
    }
}
