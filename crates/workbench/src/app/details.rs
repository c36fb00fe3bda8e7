//! What on the model a cut may be meant to follow: looked for once for a part, offered on the card of the cut in hand, and
//! what a drag is drawn to. And the plane of points that are being picked, before it is a cut.

use std::sync::Arc;

use seamwright_geometry::{BestPlane, Detail, Plane, PlaneError, Point, Solid, best_plane};
use seamwright_project::{Cut, CutForm, CutPlane, PartId};

use super::App;
use super::new_cuts::tidy;
use super::state::{State, Tool};

/// The details of the parts that are there, as far as they were looked for.
#[derive(Clone, Debug, Default)]
pub struct Details {
    found: Vec<(Arc<Solid>, Arc<Vec<Detail>>)>,
    /// Those of the cut in hand are being looked for.
    pub are_sought: bool,
}

impl Details {
    pub(super) fn take(&mut self, part: Arc<Solid>, details: Arc<Vec<Detail>>) {
        self.found.push((part, details));
    }

    fn of(&self, part: &Arc<Solid>) -> Option<&Arc<Vec<Detail>>> {
        self.found.iter().find(|(of, _)| Arc::ptr_eq(of, part)).map(|(_, details)| details)
    }
}

/// The outline of the best plane through the points that are being picked.
#[derive(Clone, Debug)]
pub struct Sketch {
    plane: Plane,
    /// Empty until it was drawn.
    lines: Arc<Vec<Vec<Point>>>,
}

/// A detail near the cut in hand.
#[derive(Clone, Copy, Debug)]
pub struct Nearby<'a> {
    /// The detail.
    pub detail: &'a Detail,
    /// How far it is from the middle of the cut, mm.
    pub off_mm: f64,
    /// How much the cut is turned against it, degrees.
    pub turn_deg: f64,
    /// Where the cut would lie.
    pub plane: CutPlane,
}

impl Nearby<'_> {
    /// Whether the cut lies there already, as far as its numbers tell.
    pub fn is_here(&self) -> bool {
        self.off_mm < 0.05 && self.turn_deg < 0.05
    }
}

/// More are not listed: farther ones are reached by moving the cut. Our own choice, no source.
const MOST_NEARBY: usize = 4;
/// A detail that the cut is turned against by this much is as far as one that lies off by [`FAR_SHARE`]. Our own choice, no
/// source.
const FAR_DEG: f64 = 15.0;
/// As a share of the part's diagonal.
const FAR_SHARE: f64 = 0.08;
/// Details farther than this many times either are not nearby.
const NEARBY: f64 = 2.0;

impl State {
    /// The faces of a part, before it is cut.
    pub fn part_solid(&self, part: PartId) -> Option<&Arc<Solid>> {
        Some(&self.outcome.as_ref()?.parts.iter().find(|known| known.id == part)?.solid)
    }

    /// What the cut in hand may be drawn to; nothing until it was found, and for cuts that are no planes.
    pub fn details_in_hand(&self) -> Option<&Arc<Vec<Detail>>> {
        let cut = self.held_cut().filter(|cut| cut.form == CutForm::Flat)?;
        self.details.of(self.part_solid(cut.part)?)
    }

    /// Details near `cut`, the nearest first.
    pub fn details_near(&self, cut: &Cut) -> Vec<Nearby<'_>> {
        let (Some(details), Ok(plane), Some(part)) = (self.details_in_hand(), cut.plane.plane(), self.part_bounds())
        else {
            return Vec::new();
        };
        let (middle, far_mm) = (plane.project(&part.centre()), part.diagonal() * FAR_SHARE);
        let near = |detail: &'_ Detail| {
            let cos = detail.plane.normal().dot(&plane.normal());
            let faced = if cos < 0.0 { detail.plane.flipped() } else { detail.plane };
            (cos.abs().min(1.0).acos().to_degrees(), detail.plane.distance_mm(&middle).abs(), faced)
        };
        let mut all: Vec<(f64, Nearby<'_>)> = (details.iter())
            .filter_map(|detail| {
                let (turn_deg, off_mm, faced) = near(detail);
                let distance = turn_deg / FAR_DEG + off_mm / far_mm;
                let plane = tidy(cut.plane.moved_to(&faced));
                (distance <= NEARBY).then_some((distance, Nearby { detail, off_mm, turn_deg, plane }))
            })
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all.into_iter().map(|(_, near)| near).take(MOST_NEARBY).collect()
    }

    /// The best plane through the points that are being picked for a cut; `None` while there are too few.
    pub fn picked_plane(&self) -> Option<Result<BestPlane, PlaneError>> {
        match &self.tool {
            Tool::PickPoints(points) if points.len() >= 3 => Some(best_plane(points)),
            _ => None,
        }
    }

    /// The outline of that plane, where it was drawn already.
    pub fn picked_outline(&self) -> Option<&Arc<Vec<Vec<Point>>>> {
        let plane = self.picked_plane()?.ok()?.plane;
        self.sketch.as_ref().filter(|sketch| sketch.plane == plane).map(|sketch| &sketch.lines)
    }
}

impl App {
    /// Has the details of the part of the cut in hand looked for, once everything else is done.
    pub(super) fn update_details(&mut self) {
        let parts = self.state.outcome.as_ref().map_or(&[][..], |outcome| &outcome.parts);
        self.state.details.found.retain(|(of, _)| parts.iter().any(|part| Arc::ptr_eq(&part.solid, of)));
        let part = self.state.held_cut().and_then(|cut| self.state.part_solid(cut.part));
        match part.cloned() {
            None => self.engine.give_up_details(),
            Some(part) if self.state.details.of(&part).is_none() && !self.engine.is_busy() => {
                self.engine.look_for_details(&part);
            }
            Some(_) => {}
        }
        self.state.details.are_sought = self.engine.is_looking_for_details();
    }

    /// Has the outline drawn of the plane through the points picked so far.
    pub(super) fn update_sketch(&mut self) {
        let Some(Ok(best)) = self.state.picked_plane() else {
            self.state.sketch = None;
            return;
        };
        if self.state.sketch.as_ref().is_some_and(|sketch| sketch.plane == best.plane) {
            return;
        }
        self.state.sketch = Some(Sketch { plane: best.plane, lines: Arc::default() });
        if let Some(part) = self.state.part_solid(self.state.picked_part) {
            self.engine.sketch(part.clone(), best.plane);
        }
    }

    pub(super) fn take_sketch(&mut self, plane: Plane, lines: Vec<Vec<Point>>) {
        if let Some(sketch) = self.state.sketch.as_mut().filter(|sketch| sketch.plane == plane) {
            sketch.lines = Arc::new(lines);
        }
    }
}
