//! Moving a line to where the least wall is greatest.

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::channel::{Channel, End};
use super::least::{CELLS, Walls};
use crate::{Cancelled, Point, Progress, Solid, Vector, closest};

/// A channel moved: see [`Walls::centred`].
#[derive(Clone, Debug)]
pub struct Centred {
    /// The channel along the line found.
    pub channel: Channel,
    /// The least wall before, mm; 0 where the channel broke through.
    pub before_mm: f64,
    /// And now.
    pub after_mm: f64,
}

/// So much more of the line may lie in no material as before, as a share of it: two stretches, since a mouth may fall into one
/// or the other.
const BARE_SHARE: f64 = 2.0 / CELLS as f64;
/// The same for each open end: turning the line moves such an end out of its mouth, or into it, and the channel is prolonged
/// there anyway (our own choice, no source).
const OPEN_SHARE: f64 = 0.05;
/// Steps become no smaller than this, mm: a tenth of what a printer resolves (our own choice, no source).
const LEAST_STEP_MM: f64 = 0.005;
/// The mean of all walls counts so much beside the least: where two places of the line are equally bad, making one better
/// alone is then a step, and the least is missed by a few hundredths of a millimetre at most (our own choice, no source).
const REST_SHARE: f64 = 1e-3;
/// What is left of the first step of directions when they are tried again at the end: most is done by then (our own choice,
/// no source).
const POLISH_SHARE: f64 = 0.125;
/// Walls that are not the least may be told by this share too thick while a place is looked for: with
/// [`REST_SHARE`] that is below the least step (our own choice, no source).
const ROUGH_SHARE: f64 = 0.02;
/// Directions tried at each step beside those of the points themselves. More find ridges sooner and cost more at each.
const DIRECTIONS: usize = 8;
/// Walls are looked at so often at most, from each start.
const MOST_LOOKS: usize = 200;

impl Walls {
    /// Moves the points of the line, each square to it, to where the least wall around the channel is greatest. Ends stay as
    /// far along as they are.
    ///
    /// Where the line breaks through, directions are tried, those of each point and of all together at random, until it does
    /// no more (mesh adaptive direct search: C. Audet and J. Dennis, 2006). From there on every stretch of the line tells
    /// which way its wall grows; the move that is best for the thinnest of all, as far as straight lines of growth hold, is
    /// taken if it proves to be better, and else a shorter one (sequential linear programming in a trust region: K. Madsen,
    /// "An algorithm for minimax solution of overdetermined systems of non-linear equations", 1975). Directions are tried
    /// once more at the end. This is done from the line as it is and from `others`, lines with as many points, and the best
    /// of all is given back: never worse than it was.
    pub fn centred(
        &self,
        solid: &Solid,
        channel: &Channel,
        others: &[Vec<Point>],
        progress: &Progress,
    ) -> Result<Centred, Cancelled> {
        // A line that leaves the material has less wall to be measured, not a thicker one.
        let length_mm = channel.length_mm();
        let open = channel.ends().iter().filter(|end| **end == End::Open).count();
        let most_bare_mm =
            self.least(solid, channel, 0.0).bare_mm + length_mm * (BARE_SHARE + OPEN_SHARE * open as f64);
        let score = |channel: Channel| {
            let profile = self.least_roughly(solid, &channel, 0.0, ROUGH_SHARE);
            // A mouth is no fault, but a line that goes in square has more wall to be measured.
            let open = profile.broken.iter().chain(&profile.mouths);
            let broken: f64 = open.map(|part| part.to_mm - part.from_mm).sum();
            // Below all walls, and the worse the longer it breaks through or lies in nothing.
            let mm = match profile.least {
                Some(least) if broken == 0.0 && profile.bare_mm <= most_bare_mm => {
                    let all = profile.cells.iter().map(|at| at.wall_mm.min(2.0 * least.wall_mm + channel.reach_mm()));
                    least.wall_mm + REST_SHARE * all.sum::<f64>() / profile.cells.len().max(1) as f64
                }
                _ => -(broken + profile.bare_mm) / length_mm,
            };
            Place { mm, nearest: profile.cells.iter().map(|at| at.towards).collect(), channel }
        };
        let wall_mm = |channel: &Channel| {
            let profile = self.least_roughly(solid, channel, 0.0, ROUGH_SHARE);
            profile.least.filter(|_| profile.broken.is_empty()).map_or(0.0, |least| least.wall_mm)
        };
        let mut best = score(channel.clone());
        let starts = std::iter::once(channel.line().to_vec()).chain(others.iter().cloned());
        let starts: Vec<Channel> = starts
            .filter(|line| line.len() == channel.line().len())
            .filter_map(|line| channel.along(line).ok())
            .collect();
        let steps = AtomicUsize::new(0);
        let step = || {
            let done = 1 + steps.fetch_add(1, Ordering::Relaxed);
            progress.report(done as f64 / (3 * starts.len()) as f64);
        };
        let from = |start: &Channel| {
            let step_mm = start.shape().clears_mm();
            let found = climb(score(start.clone()), step_mm, &score, |found| found > 0.0, progress)?;
            step();
            let found = self.ascend(solid, found, &score, progress)?;
            step();
            let found = climb(found, step_mm * POLISH_SHARE, &score, |_| false, progress);
            step();
            found
        };
        for found in starts.par_iter().map(from).collect::<Result<Vec<_>, Cancelled>>()? {
            if found.mm > best.mm {
                best = found;
            }
        }
        let (before_mm, after_mm) = (wall_mm(channel), wall_mm(&best.channel));
        // The rest of the walls never outweighs the least.
        let (channel, after_mm) =
            if after_mm < before_mm { (channel.clone(), before_mm) } else { (best.channel, after_mm) };
        Ok(Centred { channel, before_mm, after_mm })
    }

    /// Moves a channel that breaks through nowhere by what is best for the thinnest walls.
    fn ascend(
        &self,
        solid: &Solid,
        mut best: Place,
        score: &impl Fn(Channel) -> Place,
        progress: &Progress,
    ) -> Result<Place, Cancelled> {
        let across = across(&best.channel);
        let mut reach_mm = best.channel.shape().clears_mm();
        let mut growth = self.growth(solid, &best.channel, &across);
        while reach_mm >= LEAST_STEP_MM && best.mm > 0.0 {
            progress.check()?;
            let by = best_for_the_least(&growth, 2 * across.len(), reach_mm);
            let places = best.channel.line().iter().zip(&across).zip(by.chunks_exact(2));
            let line = places.map(|((p, [u, v]), by)| p + u * by[0] + v * by[1]).collect();
            let moved = best.channel.along(line).ok().filter(|moved| best.may_be_outdone_by(moved)).map(score);
            match moved {
                Some(moved) if moved.mm > best.mm => {
                    best = moved;
                    growth = self.growth(solid, &best.channel, &across);
                    reach_mm *= 1.5;
                }
                _ => reach_mm *= 0.5,
            }
        }
        Ok(best)
    }

    /// The wall of every stretch of the line, and how much it grows with every direction of the points, two each.
    fn growth(&self, solid: &Solid, channel: &Channel, across: &[[Vector; 2]]) -> Vec<(f64, Vec<f64>)> {
        let line = channel.line();
        let runs_mm: Vec<f64> = line.windows(2).map(|run| nalgebra::distance(&run[0], &run[1])).collect();
        let of_cell = |cell: &super::least::WallAt| {
            let (mut run, mut rest_mm) = (0, cell.at_mm);
            while run + 1 < runs_mm.len() && rest_mm > runs_mm[run] {
                rest_mm -= runs_mm[run];
                run += 1;
            }
            let share = (rest_mm / runs_mm[run]).clamp(0.0, 1.0);
            let away = (cell.place - cell.towards).try_normalize(f64::MIN_POSITIVE).unwrap_or_default();
            let mut grows = vec![0.0; 2 * across.len()];
            for (point, share) in [(run, 1.0 - share), (run + 1, share)] {
                for k in 0..2 {
                    grows[2 * point + k] = share * away.dot(&across[point][k]);
                }
            }
            (cell.wall_mm, grows)
        };
        let profile = self.least_roughly(solid, channel, 0.0, ROUGH_SHARE);
        profile.cells.iter().chain(&profile.least).map(of_cell).collect()
    }
}

/// Steps towards the best move in the picture of straight growth: enough for a hundredth of its reach.
const STEPS: usize = 600;

/// The move, each number within `reach_mm`, after which the least of all walls that grow as told is greatest: projected
/// subgradient steps that become shorter (N. Shor, "Minimization methods for non-differentiable functions", 1985).
fn best_for_the_least(growth: &[(f64, Vec<f64>)], count: usize, reach_mm: f64) -> Vec<f64> {
    let after = |(wall_mm, grows): &(f64, Vec<f64>), by: &[f64]| {
        wall_mm + grows.iter().zip(by).map(|(grows, by)| grows * by).sum::<f64>()
    };
    let mut by = vec![0.0; count];
    let mut best = (f64::NEG_INFINITY, by.clone());
    for step in 1..=STEPS {
        let walls = growth.iter().map(|one| (after(one, &by), one));
        let Some((least_mm, (_, grows))) = walls.min_by(|a, b| a.0.total_cmp(&b.0)) else { break };
        if least_mm > best.0 {
            best = (least_mm, by.clone());
        }
        let length = grows.iter().map(|x| x * x).sum::<f64>().sqrt();
        if length == 0.0 {
            break;
        }
        let far_mm = 2.0 * reach_mm / (step as f64).sqrt() / length;
        for (by, grows) in by.iter_mut().zip(grows) {
            *by = (*by + grows * far_mm).clamp(-reach_mm, reach_mm);
        }
    }
    best.1
}

/// A place of the channel that was looked at.
struct Place {
    /// How good it is: about its least wall, mm; below 0 where it breaks through.
    mm: f64,
    channel: Channel,
    /// The nearest places of the surface, all along it.
    nearest: Vec<Point>,
}

impl Place {
    /// Whether a channel may be better: not where one of the places that are nearest to this one would already be too
    /// near to it. That is known without a look at the surface, and most channels need none.
    fn may_be_outdone_by(&self, moved: &Channel) -> bool {
        if self.mm <= 0.0 {
            return true;
        }
        let off = |p: &Point| {
            let runs = moved.line().windows(2);
            let off = runs.map(|run| nalgebra::distance(p, &closest::on_segment(p, &run[0], &run[1])));
            off.fold(f64::INFINITY, f64::min)
        };
        let wall_mm = self.nearest.iter().map(off).fold(f64::INFINITY, f64::min) - moved.shape().clears_mm() / 2.0;
        wall_mm + REST_SHARE * (2.0 * wall_mm + moved.reach_mm()) > self.mm
    }
}

fn climb(
    mut best: Place,
    mut step_mm: f64,
    score: &impl Fn(Channel) -> Place,
    is_enough: impl Fn(f64) -> bool,
    progress: &Progress,
) -> Result<Place, Cancelled> {
    let across = across(&best.channel);
    let mut chance = Chance(1);
    let mut looks = 0;
    while step_mm >= LEAST_STEP_MM && looks < MOST_LOOKS && !is_enough(best.mm) {
        progress.check()?;
        let mut moves: Vec<Vec<Vector>> = Vec::new();
        let still = vec![Vector::zeros(); across.len()];
        for point in 0..across.len() {
            for direction in across[point] {
                for sign in [1.0, -1.0] {
                    let mut one = still.clone();
                    one[point] = direction * sign;
                    moves.push(one);
                }
            }
        }
        for _ in 0..DIRECTIONS {
            let one: Vec<Vector> = across.iter().map(|[u, v]| u * chance.number() + v * chance.number()).collect();
            let length = one.iter().map(Vector::norm_squared).sum::<f64>().sqrt();
            moves.push(one.iter().map(|v| v / length).collect());
            moves.push(one.iter().map(|v| -v / length).collect());
        }
        let mut is_better = false;
        for one in moves {
            let line = best.channel.line().iter().zip(&one).map(|(p, v)| p + v * step_mm).collect();
            let Ok(moved) = best.channel.along(line) else { continue };
            if !best.may_be_outdone_by(&moved) {
                continue;
            }
            looks += 1;
            let found = score(moved);
            if found.mm > best.mm {
                best = found;
                is_better = true;
                break;
            }
        }
        step_mm *= if is_better { 1.5 } else { 0.5 };
    }
    Ok(best)
}

/// Two directions square to the line at each of its points.
fn across(channel: &Channel) -> Vec<[Vector; 2]> {
    let frames = channel.frames();
    let at = |point: usize| {
        let before = point.checked_sub(1).and_then(|run| frames.get(run));
        let [right, up, along] = *frames.get(point).or(before).unwrap_or(&frames[0]);
        let along = before.map_or(along, |before| (before[2] + along).normalize());
        let right = super::channel::square_to(right, along).unwrap_or(up);
        [right, along.cross(&right)]
    };
    (0..channel.line().len()).map(at).collect()
}

/// Numbers between −1 and 1 that are the same every time (a linear congruential generator, multiplier from Knuth's MMIX).
struct Chance(u64);

impl Chance {
    fn number(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 52) as f64 - 1.0
    }
}
