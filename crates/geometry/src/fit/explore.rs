//! Exploring all directions that may point down, on plain rectangles and round beds, with a bound on what was not looked at.
//!
//! With a direction down the best turn is exact, so that of the three freedoms of a rotation two are left: a point of the
//! sphere, and of half of it, since such a room turned upside down holds the same. (Other beds: see `enclose`.) A cell of the sphere within an angle
//! δ of its centre c can be reached from c by turning the body by δ at most, so that the best slack at c bounds the slack
//! in the whole cell (see `limits`). Cells are split, most promising first, until a pose is found or no cell can hold one
//! (branch and bound).

use super::figure::Figure;
use super::limits::Limits;
use super::look::Look;
use super::place::Levelled;
use super::room::Room;
use super::swing::Effort;
use super::{ROUNDING_MM, is_near_limit};
use crate::{Cancelled, Progress, Vector};
use rayon::prelude::*;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// What an exploration came to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Exploration {
    /// The best direction looked at.
    pub best: Look,
    /// How many directions were looked at.
    pub looked_at: usize,
    /// How it ended.
    pub end: End,
}

/// How an exploration ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum End {
    /// The best direction was accepted.
    Found,
    /// No direction fits.
    Excluded,
    /// Patience ran out: no direction has more slack than this, mm.
    Open { at_most_mm: f64 },
}

/// Splittings of the four triangles that the search begins with: 4·4³ cells about 9° across.
const FIRST_SPLITS: u32 = 3;
/// How many of the first cells are climbed from.
const CLIMBS: usize = 6;
/// Cells split at a time, in parallel.
const BATCH: usize = 64;

/// How many directions are looked at before giving up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Patience {
    /// So many in any case.
    pub looks: usize,
    /// So many where the limit is not certain to be near.
    pub most_looks: usize,
}

impl Patience {
    pub(super) fn is_over(&self, looked_at: usize, best_mm: f64, at_most_mm: f64) -> bool {
        looked_at > if is_near_limit(best_mm, at_most_mm) { self.looks } else { self.most_looks }
    }
}

/// Explores the attitudes of `figure`, whose diameter is `diameter_mm`, in a plain room. `accept` has the last word on a
/// direction that seems to fit. `None` without points.
pub(crate) fn explore(
    figure: &Figure,
    diameter_mm: f64,
    room: &Room,
    patience: Patience,
    progress: &Progress,
    accept: impl Fn(&Look) -> bool,
) -> Result<Option<Exploration>, Cancelled> {
    let Some(limits) = Limits::of(figure, diameter_mm, room) else { return Ok(None) };
    let look = |cell: Cell, parent_at_most_mm: f64| {
        let look = Look::at(figure, &cell.centre(), room, Effort::LIVE)?;
        let at_most_mm = limits.at_most_mm(&look, cell.radius()).min(parent_at_most_mm);
        Some((look, Open { cell, at_most_mm }))
    };
    let climb = |from: Look| climb(figure, room, from, progress);

    let looks: Vec<(Look, Open)> = first_cells().into_par_iter().filter_map(|cell| look(cell, f64::INFINITY)).collect();
    let mut looked_at = looks.len();
    let (mut looks, mut open): (Vec<Look>, BinaryHeap<Open>) = looks.into_iter().unzip();
    looks.sort_by(|a, b| b.slack_mm.total_cmp(&a.slack_mm));
    let climbed: Vec<(Look, usize)> =
        looks[..CLIMBS.min(looks.len())].par_iter().map(|look| climb(*look)).collect::<Result<_, _>>()?;
    looked_at += climbed.iter().map(|(_, looks)| looks).sum::<usize>();
    let Some(mut best) = climbed.iter().map(|(look, _)| *look).reduce(better) else { return Ok(None) };
    let fits = |look: &Look| look.slack_mm >= -ROUNDING_MM;
    if let Some((found, _)) = climbed.iter().find(|(look, _)| fits(look) && accept(look)) {
        return Ok(Some(Exploration { best: *found, looked_at, end: End::Found }));
    }

    loop {
        progress.check()?;
        let mut batch = Vec::with_capacity(BATCH);
        while batch.len() < BATCH && open.peek().is_some_and(|o| o.at_most_mm >= -ROUNDING_MM) {
            batch.extend(open.pop());
        }
        if batch.is_empty() {
            return Ok(Some(Exploration { best, looked_at, end: End::Excluded }));
        }
        let at_most_mm = batch.iter().map(|o| o.at_most_mm).fold(f64::NEG_INFINITY, f64::max);
        if patience.is_over(looked_at, best.slack_mm, at_most_mm) {
            return Ok(Some(Exploration { best, looked_at, end: End::Open { at_most_mm } }));
        }
        let children: Vec<(Look, Open)> = batch
            .par_iter()
            .flat_map_iter(|parent| parent.cell.split().map(move |cell| (parent, cell)))
            .filter_map(|(parent, cell)| look(cell, parent.at_most_mm))
            .collect();
        looked_at += children.len();
        for (look, child) in children {
            if child.at_most_mm >= -ROUNDING_MM {
                open.push(child);
            }
            if look.slack_mm > best.slack_mm {
                let (top, looks) = climb(look)?;
                looked_at += looks;
                best = better(best, top);
                if fits(&top) && accept(&top) {
                    return Ok(Some(Exploration { best: top, looked_at, end: End::Found }));
                }
            }
        }
    }
}

pub(super) fn better(a: Look, b: Look) -> Look {
    if b.slack_mm > a.slack_mm { b } else { a }
}

/// Steps of a climb, rad: from half a first cell down to a thousandth of what moves a metre by the rounding allowed.
const CLIMB_FROM_RAD: f64 = 0.08;
const CLIMB_TO_RAD: f64 = 1e-10;
/// A climb's step shrinks by this when nothing better is around.
const CLIMB_SHRINK: f64 = 0.5;
/// Steps of a climb at most: where a ridge takes more, each is smaller than the one before. What is left above is found, or
/// excluded, by the cells. Our own choice, no source.
const CLIMB_STEPS: usize = 300;
/// Directions tried around the current one.
const CLIMB_AROUND: u32 = 6;

/// Climbs from a direction to where none around is better, and says in how many looks. The star of directions tried
/// turns between steps, so that a ridge does not hold it up.
fn climb(figure: &Figure, room: &Room, from: Look, progress: &Progress) -> Result<(Look, usize), Cancelled> {
    /// The golden angle: stars turned by it never repeat.
    const STAR_TURN_RAD: f64 = 2.399_963_229_728_653;
    let (mut best, mut looks, mut step, mut turn) = (from, 0, CLIMB_FROM_RAD, 0.0);
    for _ in 0..CLIMB_STEPS {
        if step <= CLIMB_TO_RAD {
            break;
        }
        progress.check()?;
        let [x, y, _] = Levelled::by(&best.down).axes;
        turn += STAR_TURN_RAD;
        let around = (0..CLIMB_AROUND).filter_map(|k| {
            let (s, c) = (turn + f64::from(k) * std::f64::consts::TAU / f64::from(CLIMB_AROUND)).sin_cos();
            let down = (best.down + (x * c + y * s) * step).normalize();
            Look::at(figure, &down, room, Effort::LIVE)
        });
        looks += CLIMB_AROUND as usize;
        let top = around.fold(best, better);
        if top.slack_mm > best.slack_mm {
            best = top;
        } else {
            step *= CLIMB_SHRINK;
        }
    }
    Ok((best, looks))
}

/// A triangle on the sphere of directions.
#[derive(Clone, Copy, Debug)]
struct Cell {
    corners: [Vector; 3],
}

impl Cell {
    fn centre(&self) -> Vector {
        let [a, b, c] = self.corners;
        (a + b + c).normalize()
    }

    /// Chord from the centre to the farthest corner, which no point of the cell exceeds.
    fn radius(&self) -> f64 {
        let centre = self.centre();
        self.corners.iter().map(|c| (c - centre).norm()).fold(0.0, f64::max)
    }

    fn split(&self) -> [Cell; 4] {
        let [a, b, c] = self.corners;
        let [ab, bc, ca] = [a + b, b + c, c + a].map(|m| m.normalize());
        [[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]].map(|corners| Cell { corners })
    }
}

/// Half of the sphere, in cells.
fn first_cells() -> Vec<Cell> {
    let (x, y, z) = (Vector::x(), Vector::y(), Vector::z());
    let mut cells: Vec<Cell> =
        [[x, y, z], [y, -x, z], [-x, -y, z], [-y, x, z]].into_iter().map(|corners| Cell { corners }).collect();
    for _ in 0..FIRST_SPLITS {
        cells = cells.iter().flat_map(Cell::split).collect();
    }
    cells
}

/// A cell that may still hold a pose; the most promising is the greatest.
#[derive(Clone, Copy, Debug)]
struct Open {
    cell: Cell,
    at_most_mm: f64,
}

impl Ord for Open {
    fn cmp(&self, other: &Open) -> Ordering {
        self.at_most_mm.total_cmp(&other.at_most_mm)
    }
}

impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Open) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Open {
    fn eq(&self, other: &Open) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Open {}
