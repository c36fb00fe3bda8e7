//! The common case: the vertices of one part after those of another, as they stand in most files of several bodies.

use std::ops::Range;
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

use rayon::prelude::*;

use super::{BLOCK, Part, Runs, runs, taken};
use crate::Mesh;

/// Runs of faces up to which it is worth a try: in a mesh whose parts are mixed, vertices are mixed too.
const FEW_RUNS: usize = 1 << 10;

/// Parts the mesh where each part uses all vertices of a stretch that no other part uses: their numbers only move then.
/// `None` where that is not so.
pub(super) fn split(mesh: &Mesh, of_face: &[u32], count: usize) -> Option<Vec<Part>> {
    let faces = runs(of_face.iter().copied(), count);
    if faces.iter().map(Vec::len).sum::<usize>() > FEW_RUNS {
        return None;
    }
    let is_used: Vec<AtomicBool> = (0..mesh.vertices.len()).map(|_| AtomicBool::new(false)).collect();
    let stretches: Vec<Range<usize>> = faces.par_iter().map(|runs| stretch(mesh, runs, &is_used)).collect();
    let mut rising: Vec<&Range<usize>> = stretches.iter().filter(|stretch| !stretch.is_empty()).collect();
    rising.sort_unstable_by_key(|stretch| stretch.start);
    let are_apart = rising.windows(2).all(|pair| pair[0].end <= pair[1].start);
    if !are_apart || !rising.iter().all(|stretch| is_used[(*stretch).clone()].iter().all(|used| used.load(Relaxed))) {
        return None;
    }
    let part = |(faces, stretch): (Runs, Range<usize>)| {
        let first = stretch.start as u32;
        taken(mesh, faces, &[stretch], |v| v - first)
    };
    Some(faces.into_par_iter().zip(stretches).map(part).collect())
}

/// From the lowest to the highest vertex that these faces use; all that they use are ticked off.
fn stretch(mesh: &Mesh, faces: &[Range<usize>], is_used: &[AtomicBool]) -> Range<usize> {
    let nothing = || (u32::MAX, 0);
    let of_block = |block: &[[u32; 3]]| {
        block.iter().flatten().fold(nothing(), |(low, high), &v| {
            is_used[v as usize].store(true, Relaxed);
            (low.min(v), high.max(v + 1))
        })
    };
    let of_run = |run: &Range<usize>| {
        let blocks = mesh.triangles[run.clone()].par_chunks(BLOCK).map(of_block);
        blocks.reduce(nothing, |a, b| (a.0.min(b.0), a.1.max(b.1)))
    };
    let (low, high) = faces.iter().map(of_run).fold(nothing(), |a, b| (a.0.min(b.0), a.1.max(b.1)));
    (low as usize).min(high as usize)..high as usize
}
