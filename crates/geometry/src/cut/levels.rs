//! Where vertices and faces lie among parallel planes.

use std::cmp::Ordering;
use std::ops::Range;

use rayon::prelude::*;

use super::BLOCK;
use crate::predicates::{FILTER, Where, side_of_plane};
use crate::{Plane, Point};

/// A place among planes that rise: `2 k` is strictly between plane `k − 1` and plane `k`, `2 j + 1` is on plane `j`.
pub(super) type Level = u8;

/// What lies strictly between two planes is in a slab; slab `k` is below plane `k`.
pub(super) fn slab(level: Level) -> Option<usize> {
    level.is_multiple_of(2).then_some(usize::from(level / 2))
}

/// The level of plane `j`.
pub(super) fn level_of(plane: usize) -> Level {
    2 * plane as Level + 1
}

/// Parallel planes, rising, far enough apart that no vertex is on two of them.
pub(super) struct Stack {
    planes: Vec<Plane>,
    offsets_mm: Vec<f64>,
    farthest_mm: f64,
    on_plane_mm: f64,
}

impl Stack {
    /// More planes than this have no room in a [`Level`].
    const MOST: usize = Level::MAX as usize / 2;

    /// How many times the distance within which a vertex is *on* a plane the planes must be apart. Two would do for
    /// vertices; the other two keep what a cut makes, which lies on its plane within rounding, clear of the next one.
    const APART: f64 = 4.0;

    /// `None` for none, for too many, and where they are not parallel to the last bit, do not rise or lie too close.
    pub fn new(planes: Vec<Plane>, on_plane_mm: f64) -> Option<Stack> {
        let fits = |pair: &[Plane]| {
            let apart_mm = pair[1].offset_mm() - pair[0].offset_mm();
            pair[0].normal() == pair[1].normal() && apart_mm > Self::APART * on_plane_mm
        };
        let offsets_mm: Vec<f64> = planes.iter().map(Plane::offset_mm).collect();
        let farthest_mm = offsets_mm.iter().fold(0.0_f64, |most, mm| most.max(mm.abs()));
        let is_usable = planes.windows(2).all(fits) && !planes.is_empty() && planes.len() <= Self::MOST;
        is_usable.then_some(Stack { planes, offsets_mm, farthest_mm, on_plane_mm })
    }

    pub fn planes(&self) -> &[Plane] {
        &self.planes
    }

    /// How many slabs there are: one more than planes.
    pub fn slabs(&self) -> usize {
        self.planes.len() + 1
    }

    /// Where `p` lies, by the same exact look as for one plane. `None` where rounding there reaches as far as the
    /// distance within which a vertex is *on* a plane: then points that a cut makes might not lie on theirs.
    fn level(&self, p: &Point) -> Option<Level> {
        let n = self.planes[0].normal();
        let (x, y, z) = (n.x * p.x, n.y * p.y, n.z * p.z);
        let along_mm = x + y + z;
        // No less than the error that `side_of_plane` allows for any of the planes, so that it would not look closer.
        let error = FILTER * (x.abs() + y.abs() + z.abs() + self.farthest_mm + self.on_plane_mm);
        // Also where either is no number.
        if error.partial_cmp(&self.on_plane_mm) != Some(Ordering::Less) {
            return None;
        }
        let reach_mm = self.on_plane_mm + error;
        let below = self.offsets_mm.partition_point(|offset_mm| *offset_mm < along_mm);
        let is_clear = |j: usize| self.offsets_mm.get(j).is_none_or(|mm| (along_mm - mm).abs() > reach_mm);
        if is_clear(below) && (below == 0 || is_clear(below - 1)) {
            return Some(2 * below as Level);
        }
        let side = |plane: &Plane| side_of_plane(plane, p, self.on_plane_mm);
        let below = self.planes.partition_point(|plane| side(plane) == Where::Above);
        let is_on = self.planes.get(below).is_some_and(|plane| side(plane) == Where::On);
        Some(if is_on { level_of(below) } else { 2 * below as Level })
    }

    /// Levels of all vertices; `None` where a vertex lies nowhere.
    pub fn look_at(&self, vertices: &[Point]) -> Option<Levels> {
        let mut levels: Vec<Level> = vec![0; vertices.len()];
        let blocks = levels.par_chunks_mut(BLOCK).zip(vertices.par_chunks(BLOCK)).enumerate();
        let runs: Option<Vec<Runs>> = blocks
            .map(|(i, (levels, vertices))| {
                for (level, p) in levels.iter_mut().zip(vertices) {
                    *level = self.level(p)?;
                }
                let mut runs = Runs::new(self.slabs());
                for (v, level) in levels.iter().enumerate() {
                    if let Some(slab) = slab(*level) {
                        runs.add(slab, i * BLOCK + v);
                    }
                }
                Some(runs)
            })
            .collect();
        Some(Levels { levels, runs: Sorted::new(runs?, self.slabs()) })
    }

    /// Where all faces lie; `None` where one meets several planes.
    pub fn sort(&self, faces: &[[u32; 3]], levels: &[Level]) -> Option<Faces> {
        let blocks: Option<Vec<(Runs, Vec<Meeting>)>> = (faces.par_chunks(BLOCK).enumerate())
            .map(|(i, faces)| {
                let (mut runs, mut special): (_, Vec<Meeting>) = (Runs::new(self.slabs()), Vec::new());
                for (f, face) in faces.iter().enumerate() {
                    let face_number = i * BLOCK + f;
                    let [a, b, c] = face.map(|v| levels[v as usize]);
                    if let (true, Some(slab)) = (a == b && b == c, slab(a)) {
                        runs.add(slab, face_number);
                        continue;
                    }
                    let (lowest, highest) = (a.min(b).min(c), a.max(b).max(c));
                    let (first, last) = ((lowest | 1) / 2, highest.saturating_sub(1) / 2);
                    if first != last {
                        return None;
                    }
                    special.push((usize::from(first), face_number as u32));
                }
                Some((runs, special))
            })
            .collect();
        let blocks = blocks?;
        let mut special = vec![Vec::new(); self.planes.len()];
        for (plane, face) in blocks.iter().flat_map(|(_, special)| special) {
            special[*plane].push(*face);
        }
        let runs = blocks.into_iter().map(|(runs, _)| runs).collect();
        Some(Faces { runs: Sorted::new(runs, self.slabs()), special })
    }
}

/// Where all vertices lie.
pub(super) struct Levels {
    pub levels: Vec<Level>,
    /// Those that are on no plane.
    pub runs: Sorted,
}

impl Levels {
    /// For each vertex its number among those of its slab; for one on a plane, 0.
    pub fn numbers(&self) -> Vec<u32> {
        let mut numbers = vec![0; self.levels.len()];
        let blocks = numbers.par_chunks_mut(BLOCK).zip(self.levels.par_chunks(BLOCK)).zip(&self.runs.before);
        blocks.for_each(|((numbers, levels), before)| {
            // Levels of planes count too, and are asked by nobody.
            let mut next = [0_u32; Level::MAX as usize + 1];
            for (slab, before) in before.iter().enumerate() {
                next[2 * slab] = *before as u32;
            }
            for (number, level) in numbers.iter_mut().zip(levels) {
                let next = &mut next[usize::from(*level)];
                *number = *next;
                *next += 1;
            }
        });
        numbers
    }
}

/// Where all faces lie.
pub(super) struct Faces {
    /// Those that meet no plane.
    pub runs: Sorted,
    /// For each plane those that it crosses or touches, rising.
    pub special: Vec<Vec<u32>>,
}

/// A plane and a face that it crosses or touches.
type Meeting = (usize, u32);

/// For each slab the members of one block in runs without a gap, and how many they are.
struct Runs {
    of_slab: Vec<(Vec<Range<usize>>, usize)>,
}

impl Runs {
    fn new(slabs: usize) -> Runs {
        Runs { of_slab: vec![(Vec::new(), 0); slabs] }
    }

    fn add(&mut self, slab: usize, member: usize) {
        let (runs, count) = &mut self.of_slab[slab];
        *count += 1;
        match runs.last_mut() {
            Some(run) if run.end == member => run.end += 1,
            _ => runs.push(member..member + 1),
        }
    }
}

/// The members of all slabs, block after block.
pub(super) struct Sorted {
    blocks: Vec<Runs>,
    /// How many members each slab has before each block; the last has all.
    before: Vec<Vec<usize>>,
}

impl Sorted {
    fn new(blocks: Vec<Runs>, slabs: usize) -> Sorted {
        let mut sum = vec![0; slabs];
        let mut before = vec![sum.clone()];
        for block in &blocks {
            sum.iter_mut().zip(&block.of_slab).for_each(|(sum, (_, count))| *sum += count);
            before.push(sum.clone());
        }
        Sorted { blocks, before }
    }

    /// How many members a slab has.
    pub fn count(&self, slab: usize) -> usize {
        self.before.last().map_or(0, |counts| counts[slab])
    }

    /// The members of a slab, rising, in runs.
    pub fn of_slab(&self, slab: usize) -> impl Iterator<Item = Range<usize>> + '_ {
        self.blocks.iter().flat_map(move |block| block.of_slab[slab].0.iter().cloned())
    }
}
