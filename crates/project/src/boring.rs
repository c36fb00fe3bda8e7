//! A bore that is being placed: the wall around it in every frame, and better places for it.

use std::path::Path;
use std::sync::Arc;

use seamwright_geometry::bore::{Channel, WallProfile, Walls};
use seamwright_geometry::{Cancelled, Point, Progress, Solid, Vector};

use crate::bore::{Bore, BoreChange, BoreId, Stop, Unbored, middle_line};
use crate::cache::Cache;
use crate::evaluate::{all_bores, bore_part, nothing_kept, part, stock, walls};
use crate::placing::PlacingError;
use crate::recipe::{PartId, Recipe};

/// The part as the bores before it leave it, prepared for one bore to move through it. Cheap to clone.
#[derive(Clone)]
pub struct Boring {
    solid: Arc<Solid>,
    walls: Arc<Walls>,
}

impl std::fmt::Debug for Boring {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Boring").field("faces", &self.solid.mesh.triangles.len()).finish_non_exhaustive()
    }
}

/// What the moving bore would be like where it is now.
#[derive(Clone, Debug)]
pub struct BoringNow {
    /// What would be taken away, blind ends where they would come to lie.
    pub channel: Channel,
    /// The wall around it, along it.
    pub profile: WallProfile,
}

impl BoringNow {
    /// The least wall; below all walls where it breaks through.
    fn wall_mm(&self) -> f64 {
        let least = self.profile.least.map_or(f64::INFINITY, |least| least.wall_mm);
        if self.profile.broken.is_empty() { least } else { f64::NEG_INFINITY }
    }
}

/// Walls that are neither the least nor too thin may be told by this share too thick while a bore moves: the bands on the bench
/// show no more, and most of the model need not be looked at (our own choice, no source). When the bore rests, the results
/// tell them exactly.
pub const MOVING_OFF_SHARE: f64 = 0.1;

/// An end that has less material ahead of it is meant to come out there, mm: points are picked on the surface, and typed to a
/// tenth. Our own choice, no source.
const BARELY_INSIDE_MM: f64 = 0.5;

/// A better place for a bore.
#[derive(Clone, Debug, PartialEq)]
pub struct Centred {
    /// Its line there, mm.
    pub line_mm: Vec<[f64; 3]>,
    /// The least wall where it was, mm.
    pub before_mm: f64,
    /// The least wall there, mm.
    pub after_mm: f64,
}

impl Boring {
    /// Prepares what the bores before `moving` leave of its part; for a bore that is not in the recipe yet, what all leave
    /// of `part`. Runs on a worker: it may read the model and make all other bores, though most is in the cache already.
    pub fn prepare(
        recipe: &Recipe,
        moving: Option<BoreId>,
        part_of_new: PartId,
        project_dir: &Path,
        cache: &Cache,
        progress: &Progress,
    ) -> Result<Boring, PlacingError> {
        if recipe.stock.is_none() {
            return Err(PlacingError::NoStock);
        }
        let mut before = recipe.clone();
        let at = recipe.bores.iter().position(|bore| Some(bore.id) == moving);
        let id = at.map_or(part_of_new, |at| recipe.bores[at].part);
        before.bores.truncate(at.unwrap_or(usize::MAX));
        let (stock_key, stock) = stock(&before, project_dir, cache, progress)?;
        let made = part(&before, id, stock_key, &stock, cache, progress)?;
        let (key, part) = made.ok_or_else(nothing_kept)?;
        let bored = bore_part(&before, id, key, part.solid, all_bores, cache, progress)?;
        progress.stage("preparing to place the bore");
        let walls = walls(bored.key, &bored.solid, cache, progress)?;
        Ok(Boring { solid: bored.solid, walls })
    }

    /// What `bore`, as [`Bore::placed_in`] gives it, would be like now: with its shape turned to each of `ups`, or to its
    /// own *up* where there are none, the one with the thinnest wall. Made anew for every frame of a drag, so that
    /// walls which are neither the least nor too thin may be told up to [`MOVING_OFF_SHARE`] too thick. Fails, in the maker's words, where its numbers make no channel.
    pub fn at(&self, bore: &Bore, ups: &[[f64; 3]]) -> Result<BoringNow, String> {
        let channel = bore.channel(&self.solid, &self.walls).map_err(words)?;
        let own = [bore.up];
        let now = |up: &[f64; 3]| {
            let channel = channel.clone().with_up(Vector::from(*up));
            let profile = bore.profile(&self.solid, &self.walls, &channel, MOVING_OFF_SHARE);
            BoringNow { channel, profile }
        };
        let mut worst: Option<BoringNow> = None;
        for up in if ups.is_empty() { &own } else { ups } {
            let now = now(up);
            if worst.as_ref().is_none_or(|worst| now.wall_mm() < worst.wall_mm()) {
                worst = Some(now);
            }
        }
        worst.ok_or_else(|| "it points nowhere".into())
    }

    /// Moving an open end of `bore` into the material means that it stops there: else it would go on through whatever is
    /// ahead of it. Any other change is left as it is.
    pub fn stopping_inside(&self, bore: &Bore, change: BoreChange) -> BoreChange {
        let BoreChange::Point { at, to_mm } = change else { return change };
        let last = bore.line_mm.len() - 1;
        let (end, next) = match at {
            0 => (0, 1),
            at if at == last => (1, last - 1),
            _ => return change,
        };
        let (to, from) = (Point::from(to_mm), Point::from(bore.line_mm[next]));
        let Some(ahead) = (to - from).try_normalize(0.0) else { return change };
        let is_inside = [to, to + ahead * BARELY_INSIDE_MM].iter().all(|p| self.walls.holds(&self.solid, p));
        if bore.ends[end].stop == Stop::Open && bore.seam.is_none() && is_inside {
            BoreChange::EndInside { at, to_mm }
        } else {
            change
        }
    }

    /// Moves `bore` to where its least wall is greatest. The inner result says, in the maker's words, why there is no such
    /// place.
    pub fn centred(&self, bore: &Bore, progress: &Progress) -> Result<Result<Centred, String>, Cancelled> {
        let channel = match bore.channel(&self.solid, &self.walls) {
            Ok(channel) => channel,
            Err(unbored) => return Ok(Err(words(unbored))),
        };
        let centred = match bore.centred(&self.solid, &self.walls, &channel, progress) {
            Ok(centred) => centred,
            Err(Unbored::Cancelled) => return Err(Cancelled),
            Err(unbored) => return Ok(Err(words(unbored))),
        };
        let line_mm = centred.channel.line().iter().map(|p| p.coords.into()).collect();
        Ok(Ok(Centred { line_mm, before_mm: centred.before_mm, after_mm: centred.after_mm }))
    }

    /// A line along the middle of the material, from end to end of its longest side, in up to `runs` straight runs; `None`
    /// where there is none.
    pub fn middle(&self, runs: usize, progress: &Progress) -> Result<Option<Vec<[f64; 3]>>, Cancelled> {
        let Some(bounds) = self.solid.mesh.bounds() else { return Ok(None) };
        let axis = bounds.size().imax();
        let (mut from, mut to) = (bounds.centre(), bounds.centre());
        (from[axis], to[axis]) = (bounds.min[axis], bounds.max[axis]);
        let line = middle_line(&self.solid, [from, to], runs, progress)?;
        Ok(line.map(|line| line.into_iter().map(|p| p.coords.into()).collect()))
    }
}

fn words(unbored: Unbored) -> String {
    match unbored {
        Unbored::Cancelled => "cancelled".into(),
        Unbored::Because(why, _) => why,
    }
}
