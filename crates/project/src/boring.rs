//! A bore that is being placed: the wall around it in every frame, and better places for it.

use std::path::Path;
use std::sync::Arc;

use seamwright_geometry::bore::{Channel, WallProfile, Walls};
use seamwright_geometry::{Cancelled, Progress, Solid};

use crate::bore::{Bore, BoreId, Unbored, middle_line};
use crate::cache::Cache;
use crate::evaluate::{bore_part, nothing_kept, part, stock, walls};
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
        let bored = bore_part(&before, id, key, part.solid, cache, progress)?;
        progress.stage("preparing to place the bore");
        let walls = walls(bored.key, &bored.solid, cache, progress)?;
        Ok(Boring { solid: bored.solid, walls })
    }

    /// What `bore` would be like now. Made anew for every frame of a drag. Fails, in the maker's words, where its numbers
    /// make no channel.
    pub fn at(&self, bore: &Bore) -> Result<BoringNow, String> {
        let channel = bore.channel(&self.solid, &self.walls).map_err(words)?;
        let profile = bore.profile(&self.solid, &self.walls, &channel).map_err(words)?;
        Ok(BoringNow { channel, profile })
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
