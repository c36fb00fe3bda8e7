//! The blocks' parts put together into one indexed mesh.
use super::Cell;
use super::block::{Block, CELLS, Corner};
use rayon::prelude::*;
use seamwright_geometry::Mesh;
use std::collections::BTreeMap;

/// All blocks as one mesh; vertices come in the order of their blocks.
pub fn mesh(blocks: &BTreeMap<Cell, Block>) -> Mesh {
    let mut first = BTreeMap::new();
    let mut count = 0u32;
    for (origin, block) in blocks {
        first.insert(*origin, count);
        count += block.vertices.len() as u32;
    }
    let listed: Vec<(&Cell, &Block)> = blocks.iter().collect();
    let triangles = listed
        .par_iter()
        .flat_map_iter(|(origin, block)| {
            let around: [Option<(u32, &Block)>; 8] = std::array::from_fn(|bits| {
                let mut next = **origin;
                for (k, c) in next.iter_mut().enumerate() {
                    *c += if bits >> k & 1 == 1 { CELLS } else { 0 };
                }
                Some((*first.get(&next)?, blocks.get(&next)?))
            });
            block.faces.iter().map(move |face| face.map(|c| index(c, &around)))
        })
        .collect();
    let vertices = listed.iter().flat_map(|(_, block)| block.vertices.iter().map(|v| v.1)).collect();
    Mesh { vertices, triangles }
}

fn index(corner: Corner, around: &[Option<(u32, &Block)>; 8]) -> u32 {
    let (first, block) = around[corner.beyond as usize].expect("the surface was followed into every block it enters");
    let i = block.vertices.binary_search_by_key(&corner.cell, |v| v.0).expect("a crossed cell has a vertex");
    first + i as u32
}
