//! From loose facets to an indexed mesh: corners at bit-equal places become one vertex.

mod numbering;
mod unify;

pub(crate) use numbering::{Numbering, Place};
pub(crate) use unify::unify;

use crate::Mesh;
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
#[error("more than {} vertices; split the model into several files", TooManyVertices::LIMIT)]
pub struct TooManyVertices;

impl TooManyVertices {
    /// As many can be numbered: 2³¹ − 1, as 3MF has it too. What is merged in parallel is counted before its parts are
    /// put together, so that vertices on the borders of parts count more than once.
    pub const LIMIT: u32 = (1 << 31) - 1;
}

/// Merges corners that are equal bit for bit (0.0 and −0.0 being one place). No tolerance: whatever the file keeps
/// apart, stays apart. NaNs are places like any other here; readers sort them out before.
///
/// Facets that come one after another share most of their corners, so they are merged in two steps, both in parallel:
/// runs of facets each by itself, in a table that stays in a core's own cache, then the distinct places of all runs.
/// The numbering does not depend on how they were parted.
///
/// ```
/// let (o, x, y, z) = ([0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-0.0, 0.0, 1.0]);
/// let merged = seamwright_geometry::merge_exact(&[[o, y, x], [o, x, z], [o, z, y], [x, y, z], [x, y, x]])?;
/// assert_eq!((merged.mesh.vertices.len(), merged.mesh.triangles.len(), merged.collapsed), (4, 4, 1));
/// # Ok::<(), seamwright_geometry::TooManyVertices>(())
/// ```
pub fn merge_exact(facets: &[Facet]) -> Result<Merged, TooManyVertices> {
    merge_in_runs(facets, FACETS_PER_RUN)
}

fn merge_in_runs(facets: &[Facet], facets_per_run: usize) -> Result<Merged, TooManyVertices> {
    let merge = |facets: &[Facet]| {
        let mut run = RunMerger::default();
        facets.iter().try_for_each(|facet| run.push(facet))?;
        Ok(run.take())
    };
    join_runs(facets.par_chunks(facets_per_run).map(merge).collect::<Result<_, _>>()?, |_| Ok(()))
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

/// Facets that are merged by themselves first: their distinct corners and the table of them take some 500 kB, which a
/// core's own cache holds. Fewer leave more to the second step (measured from 2¹² to 2¹⁷).
pub(crate) const FACETS_PER_RUN: usize = 1 << 15;

/// A run of facets, merged by itself.
#[derive(Debug, Default)]
pub(crate) struct Run {
    /// The distinct corners, in the order in which the facets first name them.
    places: Vec<[f32; 3]>,
    triangles: Vec<[u32; 3]>,
    collapsed: usize,
}

/// Merges runs of facets, one after another, in the same room.
#[derive(Debug)]
pub(crate) struct RunMerger {
    numbering: Numbering<[f32; 3]>,
    triangles: Vec<[u32; 3]>,
    collapsed: usize,
}

impl Default for RunMerger {
    fn default() -> Self {
        RunMerger { numbering: Numbering::with_room_for(FACETS_PER_RUN), triangles: Vec::new(), collapsed: 0 }
    }
}

impl RunMerger {
    /// One more facet.
    pub(crate) fn push(&mut self, facet: &Facet) -> Result<(), TooManyVertices> {
        let [a, b, c] = facet.map(Place::key);
        if a == b || b == c || c == a {
            self.collapsed += 1;
        } else {
            let mut number = |corner: usize| self.numbering.number(facet[corner]);
            self.triangles.push([number(0)?, number(1)?, number(2)?]);
        }
        Ok(())
    }

    /// Facets since the last run was taken.
    pub(crate) fn len(&self) -> usize {
        self.triangles.len() + self.collapsed
    }

    /// The run that was pushed so far, to begin another.
    pub(crate) fn take(&mut self) -> Run {
        let run = Run {
            places: self.numbering.places.clone(),
            triangles: self.triangles.clone(),
            collapsed: std::mem::take(&mut self.collapsed),
        };
        self.numbering.clear();
        self.triangles.clear();
        run
    }
}

/// Puts runs together. `watch` is told how far it has come, as a fraction, and may stop it.
pub(crate) fn join_runs<E: From<TooManyVertices> + Send>(
    runs: Vec<Run>,
    watch: impl Fn(f64) -> Result<(), E> + Sync,
) -> Result<Merged, E> {
    let collapsed = runs.iter().map(|run| run.collapsed).sum();
    let (places, triangles): (Vec<_>, Vec<_>) = runs.into_iter().map(|run| (run.places, run.triangles)).unzip();
    let unified = unify(places, watch)?;
    let mut joined = bytemuck::zeroed_vec(triangles.iter().map(Vec::len).sum());
    let (mut slots, mut rest) = (Vec::new(), &mut joined[..]);
    for run in &triangles {
        let (slot, behind) = rest.split_at_mut(run.len());
        slots.push(slot);
        rest = behind;
    }
    slots.into_par_iter().zip(triangles).enumerate().for_each(|(i, (slot, triangles))| {
        let vertex = unified.vertices_of(i);
        for (joined, local) in slot.iter_mut().zip(triangles) {
            *joined = local.map(|corner| vertex[corner as usize]);
        }
    });
    Ok(Merged { mesh: Mesh { vertices: unified.vertices, triangles: joined }, collapsed })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Point, solids};
    use proptest::prelude::*;
    use std::collections::HashSet;
    use std::sync::Mutex;

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
    fn merging_tells_how_far_it_is_and_stops_when_told() {
        let facets = facets_of(&solids::torus(Point::origin(), 40.0, 10.0, 300, 200));
        let runs = || {
            let mut merger = RunMerger::default();
            let merge = |facets: &[Facet]| {
                facets.iter().for_each(|facet| merger.push(facet).unwrap());
                merger.take()
            };
            facets.chunks(1000).map(merge).collect::<Vec<_>>()
        };
        let told = Mutex::new(Vec::new());
        let watch = |fraction| {
            told.lock().unwrap().push(fraction);
            Ok::<_, TooManyVertices>(())
        };
        join_runs(runs(), watch).unwrap();
        let mut told = told.into_inner().unwrap();
        assert!(told.len() > 240, "for each of 120 runs twice, and for each part: {}", told.len());
        told.sort_by(f64::total_cmp);
        assert!(told[0] > 0.0 && told.windows(2).all(|pair| pair[0] < pair[1]) && *told.last().unwrap() == 1.0);
        for stop in told {
            let stopped = join_runs(runs(), |fraction| if fraction < stop { Ok(()) } else { Err(MustStop) });
            assert!(matches!(stopped, Err(MustStop)), "at {stop}");
        }
    }

    #[derive(Debug)]
    struct MustStop;

    impl From<TooManyVertices> for MustStop {
        fn from(_: TooManyVertices) -> MustStop {
            MustStop
        }
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
    fn the_size_of_runs_does_not_show() {
        let mut facets = facets_of(&solids::torus(Point::origin(), 40.0, 10.0, 300, 200));
        facets.extend(facets_of(&solids::grid_box(Point::origin(), Point::new(8.0, 8.0, 8.0), [64, 64, 64])));
        facets.push([[0.0; 3], [-0.0; 3], [f32::NAN; 3]]);
        facets.push([[0.0; 3], [1.0; 3], [f32::NAN; 3]]);
        let bits = |merged: Merged| {
            let places = merged.mesh.vertices.into_iter().map(|p| p.coords.map(f64::to_bits));
            (merged.mesh.triangles, merged.collapsed, places.collect::<Vec<_>>())
        };
        let expected = bits(merge_in_runs(&facets, facets.len()).unwrap());
        for facets_per_run in [1, 7, 1000, 1 << 15] {
            assert_eq!(bits(merge_in_runs(&facets, facets_per_run).unwrap()), expected, "{facets_per_run} in a run");
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
