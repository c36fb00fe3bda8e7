//! An order of faces in which near ones stand beside each other.

use rayon::prelude::*;

use crate::{Mesh, Point};

/// The faces of `mesh` along a curve through space (G. M. Morton, "A computer oriented geodetic data base", 1966): the
/// bits of the three coordinates of their middles, taken in turn, make the number that they are sorted by. Faces with
/// a vertex that is not finite come last; those with a missing one are left out. Only those `among` the given, if any.
pub(crate) fn along_curve(mesh: &Mesh, among: Option<&[u32]>) -> Vec<u32> {
    let grid = match among {
        Some(faces) => Grid::over(mesh, corners_of(mesh, faces)),
        None => Grid::over(mesh, mesh.vertices.par_iter()),
    };
    let mut keys: Vec<u64> = match among {
        Some(faces) => faces.par_iter().map(|&face| grid.key(mesh, face as usize)).collect(),
        None => (0..mesh.triangles.len()).into_par_iter().map(|face| grid.key(mesh, face)).collect(),
    };
    keys.par_sort_unstable();
    keys.truncate(keys.partition_point(|&key| key != Grid::NOWHERE));
    keys.into_par_iter().map(|key| (key & grid.face_mask()) as u32).collect()
}

fn corners_of<'a>(mesh: &'a Mesh, faces: &'a [u32]) -> impl ParallelIterator<Item = &'a Point> {
    faces
        .par_iter()
        .flat_map_iter(|&face| mesh.triangles[face as usize].into_iter().filter_map(|v| mesh.vertices.get(v as usize)))
}

/// Cells that the middles of faces fall into.
struct Grid {
    low: Point,
    /// Cells per millimetre, on each axis.
    scale: [f64; 3],
    /// Bits of a key that hold the number of the face; the others hold its place. Their all being set is no face.
    face_bits: u32,
    axis_bits: u32,
}

impl Grid {
    /// The key of a face that is left out. The number of the last face has at least one bit that is not set.
    const NOWHERE: u64 = u64::MAX;

    fn over<'a>(mesh: &Mesh, places: impl ParallelIterator<Item = &'a Point>) -> Grid {
        let face_bits = u64::BITS - (mesh.triangles.len() as u64).leading_zeros();
        // `spread` takes 21 bits at most; more than 16 would be finer than what boxes can make use of.
        let axis_bits = ((u64::BITS - face_bits) / 3).min(16);
        let nothing = || (Point::from([f64::INFINITY; 3]), Point::from([f64::NEG_INFINITY; 3]));
        let (low, high) = places
            .filter(|p| p.iter().all(|x| x.is_finite()))
            .fold(nothing, |(low, high), p| (low.inf(p), high.sup(p)))
            .reduce(nothing, |a, b| (a.0.inf(&b.0), a.1.sup(&b.1)));
        let cells = f64::from((1u32 << axis_bits) - 1);
        let scale = [0, 1, 2].map(|k| cells / (high[k] - low[k]).max(f64::MIN_POSITIVE));
        Grid { low, scale, face_bits, axis_bits }
    }

    fn key(&self, mesh: &Mesh, face: usize) -> u64 {
        let corners = mesh.triangles[face].map(|v| mesh.vertices.get(v as usize));
        let [Some(a), Some(b), Some(c)] = corners else { return Self::NOWHERE };
        let middle = (a.coords + b.coords + c.coords) / 3.0;
        let place = if middle.iter().all(|x| x.is_finite()) {
            // Casts saturate, so that every number falls into a cell.
            let cell = |k: usize| spread(((middle[k] - self.low[k]) * self.scale[k]) as u64 & self.axis_mask());
            cell(0) << 2 | cell(1) << 1 | cell(2)
        } else {
            (1 << (3 * self.axis_bits)) - 1
        };
        place << self.face_bits | face as u64
    }

    fn axis_mask(&self) -> u64 {
        (1 << self.axis_bits) - 1
    }

    fn face_mask(&self) -> u64 {
        (1 << self.face_bits) - 1
    }
}

/// Moves the bits of `x`, at most 21, three apart.
fn spread(x: u64) -> u64 {
    let x = (x | x << 32) & 0x001f_0000_0000_ffff;
    let x = (x | x << 16) & 0x001f_0000_ff00_00ff;
    let x = (x | x << 8) & 0x100f_00f0_0f00_f00f;
    let x = (x | x << 4) & 0x10c3_0c30_c30c_30c3;
    (x | x << 2) & 0x1249_2492_4924_9249
}
