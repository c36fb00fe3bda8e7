//! A closed surface from a distance field, by surface nets over small blocks of a regular grid.
//!
//! Only blocks that the surface passes through are ever sampled: the mesher starts at one point of the surface and
//! follows it from block to block, so that the cost grows with the area, not with the box around it, and the result
//! is one connected surface. Blocks overlap by one layer of cells, as `fast-surface-nets` asks for, and fit together
//! without a gap.
mod assemble;
mod block;
mod place;

use super::sdf::V3;
use block::{Block, Sampled};
use rayon::prelude::*;
use seamwright_geometry::Mesh;
use std::collections::{BTreeMap, BTreeSet, HashSet};

/// Integer coordinates of a grid sample or of a block.
type Cell = [i32; 3];

/// Step with which the surface is looked for, as a share of a cell.
const SEED_STEP: f64 = 0.05;

/// The zero level of `field` (negative inside) as a closed mesh of one connected surface, faces outwards: the one met
/// first on the way from `seed[0]`, outside, to `seed[1]`. `cell_mm` is the grid's spacing; details thinner than about
/// two cells are lost.
///
/// The mesh is a 2-manifold at every spacing: surface nets over samples whose inside is *well-composed* (L. Latecki,
/// U. Eckhardt, A. Rosenfeld, "Well-composed sets", Computer Vision and Image Understanding 61 (1995)) have exactly
/// two faces at every edge and one fan at every vertex; where the samples are not, single samples are turned solid
/// until they are.
///
/// # Panics
/// If no surface is met between the seeds: a mistake in the model, not in anybody's data.
pub fn closed_surface(field: &(impl Fn(V3) -> f64 + Sync), seed: [V3; 2], cell_mm: f64) -> Mesh {
    let mut filled = HashSet::new();
    let mut done: BTreeMap<Cell, Block> = BTreeMap::new();
    let mut wave = BTreeSet::from([seed_block(field, seed, cell_mm)]);
    while !wave.is_empty() {
        let origins: Vec<Cell> = wave.iter().copied().collect();
        let results: Vec<Sampled> = origins.par_iter().map(|&o| block::sample(field, o, cell_mm, &filled)).collect();
        wave.clear();
        for (origin, sampled) in origins.into_iter().zip(results) {
            match sampled {
                Sampled::NotWellComposed(samples) => {
                    wave.insert(origin);
                    wave.extend(samples.iter().flat_map(|&s| block::blocks_with_sample(s)));
                    filled.extend(samples);
                }
                Sampled::Surface(block, next) => {
                    done.insert(origin, block);
                    wave.extend(next.into_iter().filter(|b| !done.contains_key(b)));
                }
            }
        }
    }
    assemble::mesh(&done)
}

fn seed_block(field: &impl Fn(V3) -> f64, [from, to]: [V3; 2], cell_mm: f64) -> Cell {
    let steps = ((to - from).norm() / (SEED_STEP * cell_mm)).ceil() as usize;
    let met = (0..=steps).map(|i| from.lerp(&to, i as f64 / steps as f64)).find(|&p| field(p) < 0.0);
    block::block_around(met.expect("no surface between the seeds"), cell_mm)
}
