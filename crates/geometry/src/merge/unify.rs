//! Making one numbering of the places of many chunks, in parallel.

use super::TooManyVertices;
use super::numbering::{Numbering, Place};
use crate::Point;
use rayon::prelude::*;
use std::sync::atomic::{AtomicU32, AtomicUsize, Ordering::Relaxed};

/// What became of the places of some chunks.
pub(crate) struct Unified {
    /// The distinct places, in the order of their first appearance.
    pub(crate) vertices: Vec<Point>,
    /// For every place of every chunk: `NEW` and its vertex if it is the first of its kind, else where the first is.
    first: Vec<AtomicU32>,
    /// Where each chunk begins in `first`; one more entry than chunks.
    starts: Vec<usize>,
}

/// Marks the first of several equal places. Leaves 31 bits for the places of all chunks together.
const NEW: u32 = 1 << 31;

impl Unified {
    /// The vertex that the place `at`, counted through all chunks, became.
    pub(crate) fn vertex(&self, at: usize) -> u32 {
        let first = self.first[at].load(Relaxed);
        if first & NEW != 0 { first & !NEW } else { self.first[first as usize].load(Relaxed) & !NEW }
    }

    /// The vertices that the places of a chunk became.
    pub(crate) fn vertices_of(&self, chunk: usize) -> Vec<u32> {
        (self.starts[chunk]..self.starts[chunk + 1]).map(|at| self.vertex(at)).collect()
    }
}

/// Numbers the distinct places of all chunks in the order in which they first come by, chunk after chunk.
///
/// Places are first parted by hash, so that each part has a table that stays in a core's own cache and parts are
/// numbered side by side; the result does not depend on it. Takes the chunks in and needs, beyond them and the result,
/// 8 bytes a place.
///
/// `watch` is told how far it has come, as a fraction, after each chunk and part, and may stop it.
pub(crate) fn unify<P: Place, E: From<TooManyVertices> + Send>(
    chunks: Vec<Vec<P>>,
    watch: impl Fn(f64) -> Result<(), E> + Sync,
) -> Result<Unified, E> {
    let mut starts = vec![0];
    starts.extend(chunks.iter().scan(0, |sum, chunk| {
        *sum += chunk.len();
        Some(*sum)
    }));
    let total = starts[chunks.len()];
    if total >= NEW as usize {
        return Err(TooManyVertices.into());
    }
    let parts = (total / PLACES_PER_PART).clamp(1, MOST_PARTS);
    let (steps, done) = (2 * chunks.len() + parts, AtomicUsize::new(0));
    let step = || watch((done.fetch_add(1, Relaxed) + 1) as f64 / steps as f64);
    let sort = |chunk| step().map(|()| Sorted::new(chunk, parts));
    let sorted: Vec<Sorted<P>> = chunks.into_par_iter().map(sort).collect::<Result<_, E>>()?;

    // Every entry is written by the one part that its place falls into.
    let first: Vec<AtomicU32> = (0..total).into_par_iter().map(|_| AtomicU32::new(0)).collect();
    (0..parts).into_par_iter().try_for_each(|part| {
        step()?;
        let places = sorted.iter().map(|chunk| chunk.part(part).len()).sum::<usize>();
        let mut numbering = Numbering::with_room_for(places);
        let mut first_of = Vec::with_capacity(places);
        for (chunk, start) in sorted.iter().zip(&starts) {
            for &(place, local) in chunk.part(part) {
                let at = (start + local as usize) as u32;
                let number = numbering.number(place)? as usize;
                if number == first_of.len() {
                    first_of.push(at);
                }
                first[at as usize].store(first_of[number], Relaxed);
            }
        }
        Ok::<_, E>(())
    })?;

    let news: Vec<usize> = (starts.par_windows(2))
        .map(|w| (w[0]..w[1]).filter(|&at| first[at].load(Relaxed) as usize == at).count())
        .collect();
    let mut vertices = bytemuck::zeroed_vec(news.iter().sum());
    let (mut slots, mut rest, mut next) = (Vec::new(), &mut vertices[..], 0);
    for &new in &news {
        let (slot, behind) = rest.split_at_mut(new);
        slots.push((next, slot));
        (rest, next) = (behind, next + new as u32);
    }
    sorted.into_par_iter().zip(slots).enumerate().try_for_each(|(i, (chunk, (begin, slot)))| {
        step()?;
        let mut number = begin;
        for (at, first) in (starts[i]..).zip(&first[starts[i]..starts[i + 1]]) {
            if first.load(Relaxed) as usize == at {
                first.store(number | NEW, Relaxed);
                number += 1;
            }
        }
        for &(place, local) in &chunk.places {
            let first = first[starts[i] + local as usize].load(Relaxed);
            if first & NEW != 0 {
                slot[((first & !NEW) - begin) as usize] = place.point();
            }
        }
        Ok::<_, E>(())
    })?;
    Ok(Unified { vertices, first, starts })
}

/// Places that make one more part worth while: its table and places then take some 400 kB, which a core's own cache
/// holds.
const PLACES_PER_PART: usize = 1 << 14;

/// More parts than this cost more in sorting than they win (measured at 5 M facets).
const MOST_PARTS: usize = 256;

/// The places of a chunk and their indices in it, sorted by part.
struct Sorted<P> {
    places: Vec<(P, u32)>,
    /// Where each part begins in `places`; one more entry than parts.
    starts: Vec<u32>,
}

impl<P: Place> Sorted<P> {
    fn new(chunk: Vec<P>, parts: usize) -> Sorted<P> {
        // The middle bits of the hash, which tables do not use, spread over the parts.
        let part = |place: P| (((P::hash(place.key()) >> 8 & 0xFFFF) as usize * parts) >> 16) as u8;
        let part_of: Vec<u8> = chunk.iter().map(|&place| part(place)).collect();
        let mut starts = vec![0_u32; parts + 2];
        for &part in &part_of {
            starts[part as usize + 2] += 1;
        }
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let Some(&filler) = chunk.first() else { return Sorted { places: Vec::new(), starts } };
        let mut places = vec![(filler, 0); chunk.len()];
        for (local, (&part, &place)) in (0..).zip(part_of.iter().zip(&chunk)) {
            let next = &mut starts[part as usize + 1];
            places[*next as usize] = (place, local);
            *next += 1;
        }
        Sorted { places, starts }
    }

    fn part(&self, part: usize) -> &[(P, u32)] {
        &self.places[self.starts[part] as usize..self.starts[part + 1] as usize]
    }
}
