//! Separate facets into an indexed mesh: corners at bit-equal places become one vertex.

use crate::{Mesh, Point};
use rayon::prelude::*;

/// Three corners, each x, y, z in mm, as mesh files store them.
pub type Facet = [[f32; 3]; 3];

/// What [`merge_exact`] made.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Merged {
    /// Vertices in the order in which the facets first name them; faces in the order of the facets.
    pub mesh: Mesh,
    /// Facets left out because two of their corners are the same place. Leaving them out opens nothing: the edges
    /// that such a face has come in pairs of opposite direction.
    pub collapsed: usize,
}

/// More distinct places than a mesh can number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("more than {} distinct vertices; split the model into several files", u32::MAX - 1)]
pub struct TooManyVertices;

/// Merges corners that are equal bit for bit (0.0 and −0.0 being one place). No tolerance: whatever the file keeps
/// apart, stays apart. NaNs are places like any other here; readers sort them out before.
///
/// Large inputs are first parted by hash, so that each part has a table that stays in the processor's cache and parts
/// are merged side by side; the numbering does not depend on it. Needs about 52 bytes a facet while it works. Measured
/// on two cores (`examples/mesh_speed.rs`): 54 ms for 1 M facets and 0.20 s for 4 M, 0.36 s for 4 M in random order (one
/// large table took 0.56 and 3.3 s for the latter two).
///
/// ```
/// let (o, x, y, z) = ([0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-0.0, 0.0, 1.0]);
/// let merged = seamwright_geometry::merge_exact(&[[o, y, x], [o, x, z], [o, z, y], [x, y, z], [x, y, x]])?;
/// assert_eq!((merged.mesh.vertices.len(), merged.mesh.triangles.len(), merged.collapsed), (4, 4, 1));
/// # Ok::<(), seamwright_geometry::TooManyVertices>(())
/// ```
pub fn merge_exact(facets: &[Facet]) -> Result<Merged, TooManyVertices> {
    let (mut triangles, places) = if facets.len() < FACETS_PER_BLOCK {
        number_in_one_table(facets)?
    } else {
        number_in_parts(facets, (facets.len() / FACETS_PER_PART).clamp(1, 1 << u8::BITS))?
    };
    triangles.retain(|&[a, b, c]| a != b && b != c && c != a);
    let collapsed = facets.len() - triangles.len();
    let vertices = places.iter().map(|&p| Point::from(p.map(f64::from))).collect();
    let mut mesh = Mesh { vertices, triangles };
    if collapsed > 0 {
        drop_unused_vertices(&mut mesh);
    }
    Ok(Merged { mesh, collapsed })
}

/// Removes vertices that no face names; the others keep their order.
pub fn drop_unused_vertices(mesh: &mut Mesh) {
    const UNUSED: u32 = u32::MAX;
    let mut new_index = vec![UNUSED; mesh.vertices.len()];
    for &i in mesh.triangles.iter().flatten() {
        new_index[i as usize] = 0;
    }
    for (next, index) in (0..).zip(new_index.iter_mut().filter(|index| **index != UNUSED)) {
        *index = next;
    }
    let mut used = new_index.iter().map(|&index| index != UNUSED);
    mesh.vertices.retain(|_| used.next().unwrap_or(false));
    for i in mesh.triangles.iter_mut().flatten() {
        *i = new_index[*i as usize];
    }
}

/// Facets that are sorted into parts at a time: their 36 bytes each still lie in the cache while that is done.
const FACETS_PER_BLOCK: usize = 1 << 15;

/// Facets that make one more part worth while: with six corners to a vertex, the table and places of a part take some
/// 200 kB, which fits a core's own cache.
const FACETS_PER_PART: usize = 1 << 14;

type Numbered = (Vec<[u32; 3]>, Vec<[f32; 3]>);

fn number_in_one_table(facets: &[Facet]) -> Result<Numbered, TooManyVertices> {
    let mut numbering = Numbering::with_room_for(facets.len() / 2);
    let mut triangles = Vec::with_capacity(facets.len());
    for facet in facets {
        triangles.push([numbering.number(facet[0])?, numbering.number(facet[1])?, numbering.number(facet[2])?]);
    }
    Ok((triangles, numbering.places))
}

/// As [`number_in_one_table`]. A place always falls into the same part, so parts are numbered independently; at the
/// end one walk over all corners, which takes from each part in turn, gives the final numbers in order of appearance.
fn number_in_parts(facets: &[Facet], parts: usize) -> Result<Numbered, TooManyVertices> {
    let blocks: Vec<Block> = facets.par_chunks(FACETS_PER_BLOCK).map(|facets| Block::sort(facets, parts)).collect();
    let numbered: Vec<(Vec<u32>, Vec<[f32; 3]>)> = (0..parts)
        .into_par_iter()
        .map(|part| {
            let corners = blocks.iter().map(|block| block.places_of(part).len()).sum::<usize>();
            let mut numbering = Numbering::with_room_for(corners / 6);
            let mut numbers = Vec::with_capacity(corners);
            for &place in blocks.iter().flat_map(|block| block.places_of(part)) {
                numbers.push(numbering.number(place)?);
            }
            Ok((numbers, numbering.places))
        })
        .collect::<Result<_, TooManyVertices>>()?;
    let parts_of_corners: Vec<Vec<u8>> = blocks.into_iter().map(|block| block.part_of_corner).collect();

    let mut final_numbers: Vec<Vec<u32>> = numbered.iter().map(|(_, places)| vec![FREE; places.len()]).collect();
    let mut places = Vec::with_capacity(numbered.iter().map(|(_, places)| places.len()).sum());
    let mut rest: Vec<_> = numbered.iter().map(|(numbers, _)| numbers.iter()).collect();
    let mut final_number = |part: u8| -> Result<u32, TooManyVertices> {
        let part = part as usize;
        // Every corner of a part has its number there, so the walk ends with all parts used up.
        let Some(&number) = rest[part].next() else { return Ok(FREE) };
        let final_number = &mut final_numbers[part][number as usize];
        if *final_number == FREE {
            *final_number = next_index(places.len())?;
            places.push(numbered[part].1[number as usize]);
        }
        Ok(*final_number)
    };
    let mut triangles = Vec::with_capacity(facets.len());
    for face in parts_of_corners.iter().flat_map(|parts| parts.as_chunks::<3>().0) {
        triangles.push([final_number(face[0])?, final_number(face[1])?, final_number(face[2])?]);
    }
    Ok((triangles, places))
}

/// The corners of some facets, sorted by part.
struct Block {
    part_of_corner: Vec<u8>,
    places: Vec<[f32; 3]>,
    /// Where each part begins in `places`; one more entry than parts.
    starts: Vec<u32>,
}

impl Block {
    fn sort(facets: &[Facet], parts: usize) -> Block {
        let corners = facets.as_flattened();
        // The middle bits of the hash, which tables do not use, spread over the parts.
        let part = |&place: &[f32; 3]| (((hash(key(place)) >> 16 & 0xFFFF) * parts as u64) >> 16) as u8;
        let part_of_corner: Vec<u8> = corners.iter().map(part).collect();
        let mut starts = vec![0_u32; parts + 2];
        for &part in &part_of_corner {
            starts[part as usize + 2] += 1;
        }
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let mut places = vec![[0.0; 3]; corners.len()];
        for (&part, &place) in part_of_corner.iter().zip(corners) {
            let next = &mut starts[part as usize + 1];
            places[*next as usize] = place;
            *next += 1;
        }
        Block { part_of_corner, places, starts }
    }

    fn places_of(&self, part: usize) -> &[[f32; 3]] {
        &self.places[self.starts[part] as usize..self.starts[part + 1] as usize]
    }
}

/// Numbers distinct places in the order in which they first come by: open addressing over indices into `places`.
pub(crate) struct Numbering {
    /// The distinct places.
    pub(crate) places: Vec<[f32; 3]>,
    /// Indices into `places`, or `FREE`; a power of two of them.
    slots: Vec<u32>,
    /// 64 less the logarithm of the number of slots: the hash is shifted down by it.
    shift: u32,
}

const FREE: u32 = u32::MAX;

impl Numbering {
    /// Sized for about `expected` places; it grows when there are more.
    pub(crate) fn with_room_for(expected: usize) -> Numbering {
        let slots = (expected.saturating_mul(2)).next_power_of_two().max(16);
        Numbering { places: Vec::with_capacity(expected), slots: vec![FREE; slots], shift: 64 - slots.trailing_zeros() }
    }

    /// The number of the place, a fresh one if it was not seen before.
    pub(crate) fn number(&mut self, place: [f32; 3]) -> Result<u32, TooManyVertices> {
        let bits = key(place);
        let mask = self.slots.len() - 1;
        let mut slot = (hash(bits) >> self.shift) as usize;
        loop {
            match self.slots[slot] {
                FREE => break,
                index if self.places[index as usize].map(f32::to_bits) == bits => return Ok(index),
                _ => slot = (slot + 1) & mask,
            }
        }
        let index = next_index(self.places.len())?;
        self.places.push(bits.map(f32::from_bits));
        self.slots[slot] = index;
        if self.places.len() * FULL_DENOMINATOR > self.slots.len() * FULL_NUMERATOR {
            self.grow();
        }
        Ok(index)
    }

    fn grow(&mut self) {
        let mask = self.slots.len() * 2 - 1;
        self.shift -= 1;
        self.slots.clear();
        self.slots.resize(mask + 1, FREE);
        for (index, place) in self.places.iter().enumerate() {
            let mut slot = (hash(key(*place)) >> self.shift) as usize;
            while self.slots[slot] != FREE {
                slot = (slot + 1) & mask;
            }
            self.slots[slot] = index as u32;
        }
    }
}

/// The table doubles when it is more than 7/10 full: beyond that, chains of taken slots grow long.
const FULL_NUMERATOR: usize = 7;
/// See [`FULL_NUMERATOR`].
const FULL_DENOMINATOR: usize = 10;

/// The bits by which places are told apart: adding 0 turns −0 into 0 and changes nothing else.
fn key(place: [f32; 3]) -> [u32; 3] {
    place.map(|x| (x + 0.0).to_bits())
}

fn next_index(count: usize) -> Result<u32, TooManyVertices> {
    u32::try_from(count).ok().filter(|&index| index != FREE).ok_or(TooManyVertices)
}

/// Multiplicative hash; its highest bits are the best mixed. The two odd factors are 2⁶⁴ over the golden ratio and the first
/// finalising factor of SplitMix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014).
fn hash([x, y, z]: [u32; 3]) -> u64 {
    let h = (u64::from(x) | u64::from(y) << 32).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    let h = (h ^ h >> 32 ^ u64::from(z) << 16).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    (h ^ h >> 29).wrapping_mul(0x9E37_79B9_7F4A_7C15)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids;
    use proptest::prelude::*;
    use std::collections::HashSet;

    fn facets_of(mesh: &Mesh) -> Vec<Facet> {
        (0..mesh.triangles.len()).map(|t| mesh.corners(t).map(|p| [p.x as f32, p.y as f32, p.z as f32])).collect()
    }

    #[test]
    fn a_solid_taken_apart_into_facets_is_put_together_again() {
        let solid = solids::sphere(Point::origin(), 50.0, 20);
        let merged = merge_exact(&facets_of(&solid)).unwrap();
        assert_eq!(merged.collapsed, 0);
        assert_eq!(merged.mesh.vertices.len(), solid.vertices.len());
        assert_eq!(merged.mesh.triangles.len(), solid.triangles.len());
        let flat: Vec<u32> = merged.mesh.triangles.as_flattened().to_vec();
        let mut seen = 0;
        for i in flat {
            assert!(i <= seen, "vertices are numbered in the order in which faces name them");
            seen = seen.max(i + 1);
        }
    }

    #[test]
    fn negative_zero_is_the_same_place_as_zero() {
        let merged = merge_exact(&[
            [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]],
            [[-0.0, 0.0, -0.0], [0.0, 1.0, -0.0], [-1.0, 0.0, 0.0]],
        ])
        .unwrap();
        assert_eq!(merged.mesh.vertices.len(), 4);
        assert!(merged.mesh.vertices[0].iter().all(|x| x.is_sign_positive()));
    }

    #[test]
    fn vertices_of_collapsed_faces_do_not_stay_behind() {
        let (a, b, c, lone) = ([0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [9.0; 3]);
        let merged = merge_exact(&[[lone, lone, a], [a, b, c]]).unwrap();
        assert_eq!(merged.collapsed, 1);
        assert_eq!(merged.mesh.vertices, [a, b, c].map(|p| Point::from(p.map(f64::from))));
        assert_eq!(merged.mesh.triangles, [[0, 1, 2]]);
    }

    #[test]
    fn nothing_merges_to_nothing() {
        assert_eq!(merge_exact(&[]).unwrap(), Merged::default());
    }

    /// Few distinct values, so that corners do coincide, and odd ones among them.
    fn coordinate() -> impl Strategy<Value = f32> {
        prop_oneof![
            4 => (-2i8..3).prop_map(f32::from),
            1 => prop_oneof![Just(-0.0), Just(f32::MIN_POSITIVE), Just(1.0 + f32::EPSILON), Just(f32::NAN), Just(f32::INFINITY)],
            1 => any::<f32>(),
        ]
    }

    #[test]
    fn numbering_in_parts_gives_the_same_as_in_one_table() {
        let mut facets = facets_of(&solids::torus(Point::origin(), 40.0, 10.0, 300, 200));
        facets.extend(facets_of(&solids::grid_box(Point::origin(), Point::new(8.0, 8.0, 8.0), [64, 64, 64])));
        facets.push([[0.0; 3], [-0.0; 3], [f32::NAN; 3]]);
        assert!(facets.len() > 2 * FACETS_PER_BLOCK);
        let bits = |(triangles, places): Numbered| (triangles, places.into_iter().map(key).collect::<Vec<_>>());
        let expected = bits(number_in_one_table(&facets).unwrap());
        for parts in [1, 2, 7, 100, 256] {
            assert_eq!(bits(number_in_parts(&facets, parts).unwrap()), expected, "{parts} parts");
        }
    }

    proptest! {
        #[test]
        fn every_corner_keeps_its_place_and_every_place_is_kept_once(
            facets in prop::collection::vec(prop::array::uniform3(prop::array::uniform3(coordinate())), 0..200)
        ) {
            let key = |p: [f32; 3]| p.map(|x| (x + 0.0).to_bits());
            let merged = merge_exact(&facets).unwrap();
            let standing: Vec<_> = facets
                .iter()
                .map(|f| f.map(key))
                .filter(|[a, b, c]| a != b && b != c && c != a)
                .collect();
            prop_assert_eq!(merged.collapsed, facets.len() - standing.len());
            let found: Vec<_> = (0..merged.mesh.triangles.len())
                .map(|t| merged.mesh.corners(t).map(|p| key([p.x as f32, p.y as f32, p.z as f32])))
                .collect();
            // NaN payloads may change when widened; all else is exact.
            let plain = |f: &[[u32; 3]; 3]| f.as_flattened().iter().all(|&b| !f32::from_bits(b).is_nan());
            for (found, expected) in found.iter().zip(&standing).filter(|(_, e)| plain(e)) {
                prop_assert_eq!(found, expected);
            }
            let distinct: HashSet<_> = standing.iter().flatten().collect();
            prop_assert_eq!(merged.mesh.vertices.len(), distinct.len());
        }
    }
}
