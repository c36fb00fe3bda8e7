//! How much wall a channel leaves around itself.

use super::channel::{Channel, End};
use super::facing::Facings;
use super::flat::Core;
use super::run::{Cell, Run};
use crate::tree::FaceTree;
use crate::{Cancelled, Point, Progress, Solid, Vector};

/// A solid prepared so that the walls around channels in it are found in time that hardly grows with its faces: once per
/// solid, on a worker; then every frame while the end of a channel is dragged.
#[derive(Debug)]
pub struct Walls {
    pub(super) tree: FaceTree,
    facings: Facings,
}

/// The wall around a channel, along its whole line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WallProfile {
    /// The least wall in each of [`CELLS`] stretches of the line or hardly more, in their order; stretches without a wall are
    /// left out: what lies in a cavity, outside, or where the surface comes into the channel.
    pub cells: Vec<WallAt>,
    /// The least of all, that ahead of flat ends in the material included; `None` where there is no wall at all.
    pub least: Option<WallAt>,
    /// Where the wall is thinner than asked for, in the order of the line.
    pub thin: Vec<Stretch>,
    /// Where the channel breaks through sideways, in the order of the line.
    pub broken: Vec<Stretch>,
    /// Where the surface comes in sideways because the line itself goes through it aslant, in the order of the line: mouths,
    /// and no fault.
    pub mouths: Vec<Stretch>,
    /// Length of the line that has no wall around it and no surface in the channel: in a cavity, or outside, mm.
    pub bare_mm: f64,
}

/// The wall at a place of the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallAt {
    /// From the first point of the line, mm.
    pub at_mm: f64,
    /// On the line.
    pub place: Point,
    /// Between the channel and the surface, mm.
    pub wall_mm: f64,
    /// The nearest place of the surface.
    pub towards: Point,
}

/// A part of the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Where it begins and ends, from the first point of the line, mm.
    pub from_mm: f64,
    /// See [`from_mm`](Self::from_mm).
    pub to_mm: f64,
    /// A place on the surface there, where the wall is least.
    pub place: Point,
}

/// Stretches of a line that are told apart: two millimetres each of a rod of a quarter metre (our own choice, no source).
pub const CELLS: usize = 128;
/// A surface whose normal is within this angle of the line is an end of the channel, where it goes in or out, and no wall
/// beside it (our own choice, no source): half a right angle.
pub const END_DEG: f64 = 45.0;

/// The least is looked for so often at most: it falls each time, and what is left then is a tangle of sheets (our own choice, no
/// source).
const MOST_TIMES: usize = 8;

impl Walls {
    /// Prepares `solid`.
    pub fn build(solid: &Solid, progress: &Progress) -> Result<Walls, Cancelled> {
        let tree = FaceTree::build(&solid.mesh, progress)?;
        progress.check()?;
        Ok(Walls { facings: Facings::of(&solid.mesh, &tree), tree })
    }

    /// The wall that `channel` would leave in `solid`, which must be the one that this was built for and is not bored yet.
    ///
    /// At a place of the line the wall is the distance between the channel and the surface, square to the line; only surface
    /// that faces away from the line, within 90° − [`END_DEG`] of the direction from it, bounds a wall. A round
    /// channel counts as the circle that its flats touch, a slit as its round bottom. The place of a value within its
    /// stretch is the one where the surface comes nearest. Ahead of an end in the material the wall is the distance of its
    /// flat end in any direction.
    pub fn least(&self, solid: &Solid, channel: &Channel, thinner_than_mm: f64) -> WallProfile {
        self.least_roughly(solid, channel, thinner_than_mm, 0.0)
    }

    /// The same in much less time: the least of all walls, those thinner than asked for, and where the channel breaks through
    /// are told as exactly, but other walls up to `off_share` of them too thick. Where the surface is about equally far from
    /// the line all round, most of it need not be looked at then.
    pub fn least_roughly(&self, solid: &Solid, channel: &Channel, thinner_than_mm: f64, off_share: f64) -> WallProfile {
        let core = Core::of(channel.shape());
        let length = channel.length_mm();
        let frames = channel.frames();
        let run = |(pair, frame): (&[Point], &[Vector; 3])| {
            let run_mm = nalgebra::distance(&pair[0], &pair[1]);
            let count = ((CELLS as f64 * run_mm / length).round() as usize).max(1);
            let mut run = Run::new(&solid.mesh, &self.facings, &core, [&pair[0], &pair[1]], *frame, count, off_share);
            self.tree.search(&mut run);
            run
        };
        let mut runs: Vec<Run> = channel.line().windows(2).zip(&frames).map(run).collect();
        if off_share > 0.0 {
            self.look_closer(&mut runs, thinner_than_mm);
        }
        let mut profile = WallProfile::default();
        let mut states: Vec<(f64, f64, Cell)> = Vec::with_capacity(2 * CELLS);
        let mut before = 0.0;
        for run in &runs {
            let cell_mm = run.length_mm / run.cells.len() as f64;
            for (i, cell) in run.cells.iter().enumerate() {
                states.push((before + cell_mm * i as f64, before + cell_mm * (i + 1) as f64, *cell));
                profile.bare_mm += if cell.is_bare() { cell_mm } else { 0.0 };
                if let Some((at, towards)) = cell.wall() {
                    let (at_mm, place) = (before + at, run.place_at(at));
                    profile.cells.push(WallAt { at_mm, place, wall_mm: cell.near_mm, towards });
                }
            }
            before += run.length_mm;
        }
        profile.least = self.least_of(solid, channel, &profile);
        profile.thin = stretches(&states, |cell| {
            cell.wall().filter(|_| cell.near_mm < thinner_than_mm).map(|(_, towards)| (cell.near_mm, towards))
        });
        let broken = stretches(&states, |cell| cell.broken.map(|place| (0.0, place)));
        (profile.broken, profile.mouths) = self.without_mouths(solid, channel, broken);
        profile
    }

    /// Finds the least of all walls, and those below `thinner_than_mm`, to the last digit. What turns out to be no wall may
    /// have hidden another least.
    fn look_closer(&self, runs: &mut [Run], thinner_than_mm: f64) {
        let mut before_mm = f64::NAN;
        for _ in 0..MOST_TIMES {
            let walls = runs.iter().flat_map(|run| &run.cells).filter(|cell| cell.wall().is_some());
            let least_mm = walls.map(|cell| cell.near_mm).fold(f64::INFINITY, f64::min);
            let limit_mm = if least_mm.is_finite() { least_mm.max(thinner_than_mm) } else { thinner_than_mm };
            if limit_mm == before_mm {
                return;
            }
            for run in runs.iter_mut() {
                run.look_closer(limit_mm);
                self.tree.search(run);
            }
            before_mm = limit_mm;
        }
    }

    /// The least of all walls beside a channel with this profile and those ahead of its flat ends: where the same channel
    /// is looked at with other ends, what lies beside it stays as it is.
    pub fn least_of(&self, solid: &Solid, channel: &Channel, profile: &WallProfile) -> Option<WallAt> {
        let ahead = [0, 1].into_iter().filter(|end| channel.ends()[*end] == End::At);
        let ahead = ahead.filter_map(|end| self.ahead(solid, channel, end));
        profile.cells.iter().copied().chain(ahead).min_by(|a, b| a.wall_mm.total_cmp(&b.wall_mm))
    }
}

/// Parts of the line whose cells have something, each with the place of the least.
fn stretches(cells: &[(f64, f64, Cell)], of: impl Fn(&Cell) -> Option<(f64, Point)>) -> Vec<Stretch> {
    let mut found: Vec<(Stretch, f64)> = Vec::new();
    let mut goes_on = false;
    for (from_mm, to_mm, cell) in cells {
        match (of(cell), found.last_mut()) {
            (Some((mm, place)), Some((last, least))) if goes_on => {
                last.to_mm = *to_mm;
                if mm < *least {
                    (last.place, *least) = (place, mm);
                }
            }
            (Some((mm, place)), _) => found.push((Stretch { from_mm: *from_mm, to_mm: *to_mm, place }, mm)),
            (None, _) => {}
        }
        goes_on = of(cell).is_some();
    }
    found.into_iter().map(|(stretch, _)| stretch).collect()
}
