//! Which faces the tool is near to, and where their vertices lie. All others are told by a quick look.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::super::BLOCK;
use super::tool::Ready;
use crate::predicates::LARGEST_FLAT;
use crate::{Bounds, Point, Solid, closest};

/// What is near to the tool.
pub(super) struct Near {
    /// Faces, rising.
    pub faces: Vec<u32>,
    /// Numbers of their vertices in the lists here.
    pub local: FxHashMap<u32, u32>,
    /// For each vertex the facets that it lies beyond, by bits.
    beyond: Vec<u64>,
    /// And those whose planes it lies on, within the resolution.
    on: Vec<u64>,
    words: usize,
    /// Whether each vertex lies in the tool.
    inside: Vec<bool>,
}

impl Near {
    pub fn of(solid: &Solid, ready: &Ready) -> Near {
        let faces = near_faces(solid, ready);
        let mut local: FxHashMap<u32, u32> = FxHashMap::with_capacity_and_hasher(faces.len(), Default::default());
        let mut vertices: Vec<u32> = Vec::with_capacity(faces.len());
        for v in faces.iter().flat_map(|face| solid.mesh.triangles[*face as usize]) {
            local.entry(v).or_insert_with(|| {
                vertices.push(v);
                (vertices.len() - 1) as u32
            });
        }
        let count = ready.facets.len();
        let words = count.div_ceil(64);
        let mut beyond = vec![0_u64; words * vertices.len()];
        let mut on = beyond.clone();
        let mut inside = vec![false; vertices.len()];
        let chunks = beyond.par_chunks_mut(words).zip(on.par_chunks_mut(words)).zip(&mut inside).zip(&vertices);
        chunks.with_min_len(VERTICES).for_each(|(((beyond, on), inside), v)| {
            let p = &solid.mesh.vertices[*v as usize];
            for facet in 0..count {
                let distance_mm = ready.distance_mm(facet, p);
                if distance_mm.abs() <= solid.resolution.on_plane_mm {
                    on[facet / 64] |= 1 << (facet % 64);
                }
                if ready.is_beyond(facet, p, distance_mm) {
                    beyond[facet / 64] |= 1 << (facet % 64);
                }
            }
            *inside = if ready.is_convex { beyond.iter().all(|word| *word == 0) } else { ready.holds(p) };
        });
        Near { faces, local, beyond, on, words, inside }
    }

    pub fn is_inside(&self, vertex: u32) -> bool {
        self.local.get(&vertex).is_some_and(|i| self.inside[*i as usize])
    }

    fn bits<'a>(&self, of: &'a [u64], vertex: u32) -> &'a [u64] {
        let i = self.local.get(&vertex).map_or(0, |i| *i as usize);
        &of[i * self.words..(i + 1) * self.words]
    }

    /// The facets that some vertices lie on different sides of. `None` where all lie beyond one that has them all outside.
    pub fn parted_by<const N: usize>(&self, vertices: [u32; N], is_convex: bool, parted: &mut Vec<u32>) -> bool {
        parted.clear();
        let bits = vertices.map(|v| self.bits(&self.beyond, v));
        let all = |word: usize| bits.iter().fold(u64::MAX, |all, bits| all & bits[word]);
        if is_convex && (0..self.words).any(|word| all(word) != 0) {
            return false;
        }
        for word in 0..self.words {
            let mut rest = bits.iter().fold(0, |any, bits| any | bits[word]) & !all(word);
            while rest != 0 {
                parted.push((word * 64) as u32 + rest.trailing_zeros());
                rest &= rest - 1;
            }
        }
        !parted.is_empty()
    }

    pub fn is_beyond(&self, vertex: u32, facet: u32) -> bool {
        self.bits(&self.beyond, vertex)[facet as usize / 64] & (1 << (facet % 64)) != 0
    }

    /// Facets whose planes all three vertices of a face lie on, within the resolution.
    pub fn level_with(&self, vertices: [u32; 3]) -> impl Iterator<Item = u32> + '_ {
        let bits = vertices.map(|v| self.bits(&self.on, v));
        (0..self.words).flat_map(move |word| {
            let all = bits.iter().fold(u64::MAX, |all, bits| all & bits[word]);
            (0..64).filter(move |bit| all & (1 << bit) != 0).map(move |bit| (word * 64) as u32 + bit)
        })
    }
}

/// Vertices that one task looks at: enough that handing them out costs nothing beside it.
const VERTICES: usize = 256;

fn near_faces(solid: &Solid, ready: &Ready) -> Vec<u32> {
    let tool = ready.tool;
    let Some(bounds) = Bounds::of(tool.corners.iter().copied()) else { return Vec::new() };
    let margin = REACH * solid.resolution.on_plane_mm;
    let (low, high) = (bounds.min.map(|x| x - margin), bounds.max.map(|x| x + margin));
    let vertices = &solid.mesh.vertices;
    let is_near = |face: &[u32; 3]| {
        let [a, b, c] = face.map(|v| &vertices[v as usize]);
        let least = |k: usize| a[k].min(b[k]).min(c[k]);
        let most = |k: usize| a[k].max(b[k]).max(c[k]);
        if (0..3).any(|k| most(k) < low[k] || least(k) > high[k]) {
            return false;
        }
        // Also what is no number anywhere.
        if ![a, b, c].iter().all(|p| p.iter().all(|x| x.abs() <= LARGEST_FLAT)) {
            return false;
        }
        let (low, high) = (Point::new(least(0), least(1), least(2)), Point::new(most(0), most(1), most(2)));
        let middle = nalgebra::center(&low, &high);
        let reach = tool.reach_mm + margin + (high - low).norm() / 2.0;
        tool.middle
            .windows(2)
            .any(|pair| (middle - closest::on_segment(&middle, &pair[0], &pair[1])).norm_squared() <= reach * reach)
    };
    let blocks: Vec<Vec<u32>> = (solid.mesh.triangles.par_chunks(BLOCK).enumerate())
        .map(|(i, faces)| {
            let first = (i * BLOCK) as u32;
            (first..).zip(faces).filter(|(_, face)| is_near(face)).map(|(face, _)| face).collect()
        })
        .collect();
    blocks.concat()
}

/// Faces within so many resolutions are near: twice as far as anything is made one.
const REACH: f64 = 4.0;
