//! Bores: channels for rods, taken away one after the other before the cuts.

use std::sync::Arc;

use seamwright_geometry::bore::{Bored, Channel, Entry, MOUTH_DIAMETERS, WallProfile, Walls, nearest_of_segments};
use seamwright_geometry::{Point, Progress, Solid};

use super::Stop;
use crate::bore::{Bore, Unbored, whole_channel};
use crate::cache::{Cache, Key, Weigh};
use crate::outcome::{BoreDone, BoreFacts, Failed};
use crate::recipe::{PartId, Recipe};

/// A part without what its bores take away.
pub(crate) struct BoredPart {
    pub key: Key,
    pub solid: Arc<Solid>,
    pub done: Vec<BoreDone>,
    /// Those made whose roofs are turned to how the pieces lie.
    pub laid: Vec<LaidBore>,
}

/// A bore whose roof is turned in each piece by itself, with what it was made in.
pub(crate) struct LaidBore {
    pub bore: Bore,
    pub key: Key,
    pub solid: Arc<Solid>,
    pub walls: Arc<Walls>,
    pub channel: Arc<Channel>,
}

/// Which bores are made: all of them.
pub(crate) fn all_bores(_: &Bore) -> bool {
    true
}

/// Makes the bores of a part that are switched on and that `wanted` says yes to, in their order. One that cannot be made is
/// told, and left away.
pub(crate) fn bore_part(
    recipe: &Recipe,
    part: PartId,
    key: Key,
    solid: Arc<Solid>,
    wanted: impl Fn(&Bore) -> bool,
    cache: &Cache,
    progress: &Progress,
) -> Result<BoredPart, Stop> {
    let mut now = BoredPart { key, solid, done: Vec::new(), laid: Vec::new() };
    let is_made = |bore: &&Bore| bore.enabled && bore.part == part && wanted(bore);
    let bores: Vec<&Bore> = recipe.bores.iter().filter(is_made).collect();
    for (i, bore) in bores.iter().enumerate() {
        progress.check()?;
        progress.stage(format!("boring {}", bore.name));
        progress.report(i as f64 / bores.len() as f64);
        let bore = match bore.placed_in(recipe) {
            Ok(bore) => bore,
            Err(why) => {
                let result = Err(Failed { why, place: Some(bore.middle()) });
                now.done.push(BoreDone { bore: bore.id, part, result });
                continue;
            }
        };
        let key = now.key.then("bore").with(&bytes_of(&bore));
        let walls = walls(now.key, &now.solid, cache, progress)?;
        let made = cache.get_or_make(key, || make(&bore, &now.solid, &walls, progress))?;
        let result = match &made.result {
            Err(failed) => Err(failed.clone()),
            Ok(done) => match crossed(&bore, &done.facts, &now.done, recipe) {
                Some(failed) => Err(failed),
                None => {
                    if bore.follows_lays() {
                        let (solid, channel, walls) = (now.solid.clone(), done.channel.clone(), walls.clone());
                        now.laid.push(LaidBore { bore: bore.clone(), key, solid, walls, channel });
                    }
                    (now.key, now.solid) = (key, done.solid.clone());
                    Ok(done.facts.clone())
                }
            },
        };
        now.done.push(BoreDone { bore: bore.id, part, result });
    }
    Ok(now)
}

/// What finds walls of a solid; kept, since all that is asked of a bore goes through it.
pub(crate) fn walls(key: Key, solid: &Arc<Solid>, cache: &Cache, progress: &Progress) -> Result<Arc<Walls>, Stop> {
    let build = || {
        progress.check()?;
        Ok::<_, Stop>(Prepared { walls: Arc::new(Walls::build(solid, progress)?), faces: solid.mesh.triangles.len() })
    };
    Ok(cache.get_or_make(key.then("walls"), build)?.walls.clone())
}

/// All that a bore's channel depends on; neither its name nor what it may cross.
fn bytes_of(bore: &Bore) -> Vec<u8> {
    let Bore { id, line_mm, rod, shape, up, ends, least_wall_mm, printer_mm, .. } = bore;
    let (diameter_mm, as_laid) = (bore.diameter_mm(), bore.follows_lays());
    format!("{id:?} {line_mm:?} {rod:?} {diameter_mm} {printer_mm} {shape:?} {up:?} {as_laid} {ends:?} {least_wall_mm}")
        .into_bytes()
}

fn make(bore: &Bore, solid: &Arc<Solid>, walls: &Walls, progress: &Progress) -> Result<Made, Stop> {
    let made = whole_channel(bore, solid, walls, progress)
        .map(|(channel, bored)| (bore.profile(solid, walls, &channel, 0.0), channel, bored));
    let result = match made {
        Ok((.., bored)) if bored.solid.mesh.triangles.is_empty() => Err(nothing_left(bore)),
        Ok((profile, channel, bored)) => {
            let facts = Arc::new(facts_of_bore(bore, &channel, &bored, profile));
            Ok(MadeBore { facts, solid: Arc::new(bored.solid), channel: Arc::new(channel) })
        }
        Err(Unbored::Cancelled) => return Err(Stop::Cancelled),
        Err(Unbored::Because(why, place)) => Err(Failed { why, place }),
    };
    Ok(Made { result })
}

/// A bore that is wider than all that it goes through.
fn nothing_left(bore: &Bore) -> Failed {
    let why = "it is wider than the model and would leave nothing of it: give the model its real size first, or take a \
               thinner rod";
    Failed { why: why.into(), place: Some(bore.middle()) }
}

/// Measures of a bore that was made.
pub(crate) fn facts_of_bore(bore: &Bore, channel: &Channel, bored: &Bored, profile: WallProfile) -> BoreFacts {
    let mut facts = BoreFacts {
        line: channel.line().to_vec(),
        from_mm: 0.0,
        to_mm: 0.0,
        blind: [false; 2],
        diameter_mm: channel.shape().clears_mm(),
        removed_mm3: bored.removed_mm3,
        mouths: bored.entries.iter().map(|entry| entry.middle).collect(),
        profile,
    };
    // How far its walls reach, and their mouths where they end in one: an oblique mouth counts by its middle.
    let walls = bored.solid.origins.iter().enumerate().filter(|(_, origin)| origin.bore_label() == Some(bore.id.0));
    let places = walls.flat_map(|(t, _)| bored.solid.mesh.corners(t)).map(|p| facts.along(&p));
    let (low, high) = places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
    if low <= high {
        // The rim of a groove, such as a slit along its whole side, reaches an end and is no mouth of it.
        let reaches = |mouth: &&Entry, at: f64| {
            let [from, to] = mouth.reach_mm;
            let is_there = at >= from - ONE_PLACE_MM && at <= to + ONE_PLACE_MM;
            is_there && (mouth.at_mm - at).abs() <= MOUTH_DIAMETERS * facts.diameter_mm
        };
        let first = bored.entries.iter().find(|mouth| reaches(mouth, low));
        let last = bored.entries.iter().rev().find(|mouth| reaches(mouth, high));
        facts.blind = [first.is_none(), last.is_none()];
        let (from, to) = (first.map_or(low, |mouth| mouth.at_mm), last.map_or(high, |mouth| mouth.at_mm));
        // One rim may be all there is, where the channel only just has a place in the material.
        (facts.from_mm, facts.to_mm) = if from < to { (from, to) } else { (low, high) };
    }
    facts
}

/// Why a bore may not be where another one is already; bores may cross where one of the two is told that it may.
fn crossed(bore: &Bore, facts: &BoreFacts, before: &[BoreDone], recipe: &Recipe) -> Option<Failed> {
    let other = |done: &BoreDone| {
        let (other, theirs) = (recipe.bore(done.bore)?, done.result.as_ref().ok()?);
        if bore.may_cross || other.may_cross {
            return None;
        }
        let (apart_mm, place) = facts.nearest_to(theirs)?;
        (apart_mm < (facts.diameter_mm + theirs.diameter_mm) / 2.0).then(|| Failed {
            why: format!("it crosses {}: move it, or say that it may cross others", other.name),
            place: Some(place),
        })
    };
    before.iter().find_map(other)
}

struct Made {
    result: Result<MadeBore, Failed>,
}

struct MadeBore {
    facts: Arc<BoreFacts>,
    solid: Arc<Solid>,
    channel: Arc<Channel>,
}

impl Weigh for Made {
    fn bytes(&self) -> usize {
        self.result.as_ref().map_or(size_of::<Self>(), |made| made.solid.bytes())
    }
}

struct Prepared {
    walls: Arc<Walls>,
    faces: usize,
}

impl Weigh for Prepared {
    /// A tree of boxes takes about so many bytes a face (two nodes of two boxes of six numbers each).
    fn bytes(&self) -> usize {
        self.faces * 200
    }
}

/// Places along a line that are nearer to each other than this are one, mm: nobody saws a rod so short, and the ends of
/// channels lie on vertices that may be that far off (our own choice, no source).
const ONE_PLACE_MM: f64 = 0.05;

impl BoreFacts {
    /// Where its channel begins and ends, and where it bends between: its line without what lies outside the material.
    pub fn channel_line(&self) -> Vec<Point> {
        let mut line = vec![self.place_at(self.from_mm)];
        let mut at = 0.0;
        for pair in self.line.windows(2) {
            at += nalgebra::distance(&pair[0], &pair[1]);
            if at > self.from_mm + ONE_PLACE_MM && at < self.to_mm - ONE_PLACE_MM {
                line.push(pair[1]);
            }
        }
        line.push(self.place_at(self.to_mm));
        line
    }

    /// The place so far along its line from its first point, mm; beyond its ends on the prolonged last runs.
    pub fn place_at(&self, at_mm: f64) -> Point {
        let (mut rest, runs) = (at_mm, self.line.len().saturating_sub(1));
        for (i, pair) in self.line.windows(2).enumerate() {
            let length = nalgebra::distance(&pair[0], &pair[1]);
            if rest <= length || i + 1 == runs {
                return pair[0] + (pair[1] - pair[0]) * (rest / length);
            }
            rest -= length;
        }
        self.line.first().copied().unwrap_or_else(Point::origin)
    }

    /// How far along its line a place lies, mm; beyond its ends on the prolonged last runs.
    pub fn along(&self, p: &Point) -> f64 {
        let runs = self.line.len().saturating_sub(1);
        let (mut best, mut before) = ((f64::INFINITY, 0.0), 0.0);
        for (i, pair) in self.line.windows(2).enumerate() {
            let length = nalgebra::distance(&pair[0], &pair[1]);
            let towards = (pair[1] - pair[0]) / length;
            let at = (p - pair[0]).dot(&towards);
            let at = if i > 0 { at.max(0.0) } else { at };
            let at = if i + 1 < runs { at.min(length) } else { at };
            let off = nalgebra::distance(p, &(pair[0] + towards * at));
            if off < best.0 {
                best = (off, before + at);
            }
            before += length;
        }
        best.1
    }

    /// How near its line comes to that of another, mm, and where.
    fn nearest_to(&self, other: &BoreFacts) -> Option<(f64, Point)> {
        let (own, theirs) = (self.channel_line(), other.channel_line());
        let nearest = |a: &[Point], b: &[Point]| {
            let [p, q] = nearest_of_segments([&a[0], &a[1]], [&b[0], &b[1]]);
            (nalgebra::distance(&p, &q), nalgebra::center(&p, &q))
        };
        let pairs = own.windows(2).flat_map(|a| theirs.windows(2).map(move |b| nearest(a, b)));
        pairs.min_by(|a, b| a.0.total_cmp(&b.0))
    }
}
