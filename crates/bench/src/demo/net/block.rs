//! One block of cells: sampled, made well-composed, meshed.
use super::Cell;
use super::place::CellSamples;
use crate::demo::sdf::V3;
use fast_surface_nets::ndshape::{ConstShape, ConstShape3u32};
use fast_surface_nets::{SurfaceNetsBuffer, surface_nets};
use seamwright_geometry::Point;
use std::cell::RefCell;
use std::collections::HashSet;

/// Cells along a block's edge.
pub const CELLS: i32 = 8;
/// Samples along a block's edge: its own cells, one layer of the next block's, and the far side of that.
const SAMPLES: u32 = CELLS as u32 + 2;
type Samples = ConstShape3u32<SAMPLES, SAMPLES, SAMPLES>;

/// Where the grid's samples lie, in cells: half a cell off the origin, so that the planes x = 0 and y = 0, in which
/// symmetric models have their ridges, run through the middle of cells and a vertex can lie on the ridge.
const GRID_OFFSET: f64 = 0.5;
/// Depth given to samples that are turned solid, in cells.
const FILLED_DEPTH: f32 = -0.25;
/// What sampling a block gave.
pub enum Sampled {
    /// The surface in it, and the blocks into which it goes on.
    Surface(Block, Vec<Cell>),
    /// Samples to be turned solid first.
    NotWellComposed(Vec<Cell>),
}

/// The part of the surface that belongs to one block.
#[derive(Debug, Default)]
pub struct Block {
    /// Vertices of the block's own cells, by rising cell number.
    pub vertices: Vec<(u16, Point)>,
    /// Faces, each corner naming the cell that holds it.
    pub faces: Vec<[Corner; 3]>,
}

/// A cell of the block, or of the next blocks in the directions whose bit is set in `beyond` (x 1, y 2, z 4).
#[derive(Clone, Copy, Debug)]
pub struct Corner {
    pub beyond: u8,
    pub cell: u16,
}

/// Samples the block whose first sample is `origin` and meshes it.
pub fn sample(field: &impl Fn(V3) -> f64, origin: Cell, cell_mm: f64, filled: &HashSet<Cell>) -> Sampled {
    let mut values = [0.0f32; Samples::USIZE];
    let mut any_filled = [false; Samples::USIZE];
    for i in 0..Samples::SIZE {
        let s = sample_at(origin, Samples::delinearize(i));
        let i = i as usize;
        values[i] = (field(place(s, cell_mm)) / cell_mm) as f32;
        if filled.contains(&s) {
            any_filled[i] = true;
            values[i] = values[i].min(FILLED_DEPTH);
        }
    }
    let to_fill = samples_to_fill(&values);
    if !to_fill.is_empty() {
        return Sampled::NotWellComposed(to_fill.into_iter().map(|l| sample_at(origin, l)).collect());
    }
    NET.with_borrow_mut(|net| {
        surface_nets(&values, &Samples {}, [0; 3], [SAMPLES - 1; 3], net);
        let block = block_of(net, field, origin, cell_mm, &values, &any_filled);
        Sampled::Surface(block, neighbours(&values, origin))
    })
}

/// The block that holds the cell around `p`.
pub fn block_around(p: V3, cell_mm: f64) -> Cell {
    std::array::from_fn(|k| ((p[k] / cell_mm + GRID_OFFSET).floor() as i32).div_euclid(CELLS) * CELLS)
}

/// All blocks that use the sample `s`.
pub fn blocks_with_sample(s: Cell) -> impl Iterator<Item = Cell> {
    let low: Cell = s.map(|c| c.div_euclid(CELLS) * CELLS);
    (0..8).filter_map(move |bits: i32| {
        let mut block = low;
        for k in 0..3 {
            if bits >> k & 1 == 1 {
                // The previous block reaches two samples into this one.
                if s[k] - low[k] > 1 {
                    return None;
                }
                block[k] -= CELLS;
            }
        }
        Some(block)
    })
}

thread_local! {
    static NET: RefCell<SurfaceNetsBuffer> = RefCell::default();
}

fn sample_at(origin: Cell, local: [u32; 3]) -> Cell {
    std::array::from_fn(|k| origin[k] + local[k] as i32)
}

fn place(s: Cell, cell_mm: f64) -> V3 {
    V3::from(s.map(|c| (f64::from(c) - GRID_OFFSET) * cell_mm))
}

/// The four corners of the square with corner `at` across `axis`, in turn.
fn square(at: [u32; 3], axis: usize) -> [[u32; 3]; 4] {
    let (b, c) = ((axis + 1) % 3, (axis + 2) % 3);
    [[0, 0], [1, 0], [1, 1], [0, 1]].map(|[i, j]| {
        let mut q = at;
        q[b] += i;
        q[c] += j;
        q
    })
}

/// Samples that must become solid where inside and outside touch only along an edge or at a corner: of each such
/// pair of outside samples the one nearer to the surface.
fn samples_to_fill(values: &[f32]) -> Vec<[u32; 3]> {
    let value = |s: [u32; 3]| values[Samples::linearize(s) as usize];
    let solid = |s: [u32; 3]| value(s) < 0.0;
    let nearer = |a: [u32; 3], b: [u32; 3]| if value(b) < value(a) { b } else { a };
    let mut found = Vec::new();
    let range = 0..SAMPLES;
    for at in range.clone().flat_map(|z| range.clone().flat_map(move |y| (0..SAMPLES).map(move |x| [x, y, z]))) {
        for axis in 0..3 {
            let q = square(at, axis);
            if q[2].iter().any(|&c| c >= SAMPLES) {
                continue;
            }
            if solid(q[0]) == solid(q[2]) && solid(q[1]) == solid(q[3]) && solid(q[0]) != solid(q[1]) {
                found.push(if solid(q[0]) { nearer(q[1], q[3]) } else { nearer(q[0], q[2]) });
            }
        }
        if at.iter().all(|&c| c + 1 < SAMPLES) {
            let corner = |i: u32| [at[0] + (i & 1), at[1] + (i >> 1 & 1), at[2] + (i >> 2 & 1)];
            let count = (0..8).filter(|&i| solid(corner(i))).count();
            for (a, b) in [(0, 7), (1, 6), (2, 5), (3, 4)].map(|(i, j)| (corner(i), corner(j))) {
                if count == 2 && solid(a) && solid(b) {
                    let others: Vec<_> = (0..8).map(corner).filter(|&c| c != a && c != b).collect();
                    found.push(others.into_iter().reduce(nearer).unwrap_or(a));
                } else if count == 6 && !solid(a) && !solid(b) {
                    found.push(nearer(a, b));
                }
            }
        }
    }
    found
}

/// The blocks beside this one into which the surface goes on.
fn neighbours(values: &[f32], origin: Cell) -> Vec<Cell> {
    let solid = |s: [u32; 3]| values[Samples::linearize(s) as usize] < 0.0;
    let mut next = Vec::new();
    for axis in 0..3 {
        for (layer, step) in [(0, -CELLS), (CELLS as u32, CELLS)] {
            let crossed = (0..CELLS as u32).any(|i| {
                (0..CELLS as u32).any(|j| {
                    let mut at = [0; 3];
                    at[axis] = layer;
                    at[(axis + 1) % 3] = i;
                    at[(axis + 2) % 3] = j;
                    let q = square(at, axis).map(solid);
                    q.contains(&true) && q.contains(&false)
                })
            });
            if crossed {
                let mut block = origin;
                block[axis] += step;
                next.push(block);
            }
        }
    }
    next
}

fn block_of(
    net: &SurfaceNetsBuffer,
    field: &impl Fn(V3) -> f64,
    origin: Cell,
    cell_mm: f64,
    values: &[f32],
    filled: &[bool],
) -> Block {
    let mut block = Block::default();
    for (local, cell) in net.positions.iter().zip(&net.surface_points) {
        if let Corner { beyond: 0, cell: number } = corner(*cell) {
            let base = place(origin, cell_mm);
            let start = base + V3::from(local.map(f64::from)) * cell_mm;
            let corners: [usize; 8] = std::array::from_fn(|i| {
                let s = std::array::from_fn(|k| cell[k] + (i >> k & 1) as u32);
                Samples::linearize(s) as usize
            });
            let at = if corners.iter().any(|&i| filled[i]) {
                // The field knows nothing of what was filled.
                start
            } else {
                let low = base + V3::from(cell.map(f64::from)) * cell_mm;
                CellSamples { low, size_mm: cell_mm, samples: corners.map(|i| values[i]) }.vertex(field, start)
            };
            // Rounded to what a binary STL can hold, so that the mesh and its file agree to the bit.
            block.vertices.push((number, Point::from(at.map(|c| f64::from(c as f32)))));
        }
    }
    block.vertices.sort_unstable_by_key(|v| v.0);
    block.faces =
        net.indices.as_chunks::<3>().0.iter().map(|f| f.map(|i| corner(net.surface_points[i as usize]))).collect();
    block
}

fn corner(cell: [u32; 3]) -> Corner {
    let n = CELLS as u32;
    let bit = |k: usize| u8::from(cell[k] == n) << k;
    let [x, y, z] = cell.map(|c| c % n);
    Corner { beyond: bit(0) | bit(1) | bit(2), cell: (x + n * (y + n * z)) as u16 }
}
