//! Faces that pass through, lie on, or touch others that they should not.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::meeting::{Meeting, meeting};
use crate::boxes::SmallBox;
use crate::tree::FaceTree;
use crate::{Cancelled, Mesh, Point, Progress, Shells};

/// Two faces that meet and should not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct FacePair {
    /// The lower of the two numbers, then the higher.
    pub faces: [u32; 2],
    /// How they meet.
    pub meeting: Meeting,
}

/// What [`crossings`] found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Crossings {
    /// All pairs, by the numbers of their faces.
    pub pairs: Vec<FacePair>,
    /// Whether these are all there are. Otherwise the search ended at [`MOST_PAIRS`].
    pub complete: bool,
}

/// Pairs that a search ends at: 16 million take 200 MB. A mesh with more is a tangle whose places nobody looks through,
/// and the number of pairs may grow with the square of the number of faces. Our own choice, no source.
pub const MOST_PAIRS: usize = 1 << 24;

/// Two shells whose faces meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShellPair {
    /// The lower of the two numbers, then the higher; twice the same for a shell that crosses itself.
    pub shells: [u32; 2],
    /// Pairs of faces that pass through each other.
    pub crossing: usize,
    /// Pairs of faces that lie on each other.
    pub overlapping: usize,
    /// Pairs of faces that touch.
    pub touching: usize,
    /// A pair to show: the first of the worst kind, crossing before overlapping before touching.
    pub worst: FacePair,
}

/// Finds all pairs of faces that meet other than in shared vertices and edges; a vertex is shared where places are
/// equal. Faces without area are left out, they are reported as such.
///
/// Pairs whose boxes overlap come from a tree of boxes; each is decided exactly. Time grows with the faces and the pairs
/// of boxes (see `examples/health_speed.rs`).
pub fn crossings(mesh: &Mesh, progress: &Progress) -> Result<Crossings, Cancelled> {
    progress.stage("looking for faces that cross");
    let tree = FaceTree::build(mesh, progress)?;
    let mut found = Crossings { pairs: Vec::new(), complete: true };
    let groups = tree.groups();
    for start in (0..groups).step_by(ROUND) {
        progress.check()?;
        progress.report(start as f64 / groups as f64);
        let of_round = (start..(start + ROUND).min(groups))
            .into_par_iter()
            .map(|i| {
                progress.check()?;
                Ok(pairs_of_group(mesh, &tree, i))
            })
            .collect::<Result<Vec<_>, Cancelled>>()?;
        found.pairs.extend(of_round.into_iter().flatten());
        if found.pairs.len() > MOST_PAIRS {
            found.pairs.truncate(MOST_PAIRS);
            found.complete = false;
            break;
        }
    }
    found.pairs.par_sort_unstable();
    Ok(found)
}

/// Groups of faces between two looks at how many pairs there are.
const ROUND: usize = 1 << 14;

/// Pairs of a face of group `i` with a face of it or of a later group.
fn pairs_of_group(mesh: &Mesh, tree: &FaceTree, i: usize) -> Vec<FacePair> {
    let (around, faces) = tree.group(i);
    let boxed = |face: u32| {
        let corners = mesh.corners(face as usize);
        (face, corners, SmallBox::around(corners.into_iter()))
    };
    let own: Vec<_> = faces.iter().map(|&face| boxed(face)).collect();
    let mut pairs = Vec::new();
    tree.visit(i, &|other| other.meets(around), &mut |j| {
        for (n, &face) in tree.group(j).1.iter().enumerate() {
            let (_, corners, its_box) = boxed(face);
            if !its_box.meets(around) {
                continue;
            }
            let before = if i == j { n } else { own.len() };
            for (other, other_corners, other_box) in &own[..before] {
                if !its_box.meets(other_box) {
                    continue;
                }
                if let Some(meeting) = meeting(other_corners, &corners) {
                    pairs.push(FacePair { faces: [*other.min(&face), *other.max(&face)], meeting });
                }
            }
        }
    });
    pairs
}

impl Crossings {
    /// How many pairs meet in this way.
    pub fn count(&self, meeting: Meeting) -> usize {
        self.pairs.iter().filter(|pair| pair.meeting == meeting).count()
    }

    /// The faces of all pairs that meet in one of these ways, rising.
    pub fn faces(&self, meetings: &[Meeting]) -> Vec<u32> {
        let of_kind = self.pairs.iter().filter(|pair| meetings.contains(&pair.meeting));
        let mut faces: Vec<u32> = of_kind.flat_map(|pair| pair.faces).collect();
        faces.par_sort_unstable();
        faces.dedup();
        faces
    }

    /// Which shells meet, by their numbers.
    pub fn by_shell(&self, shells: &Shells) -> Vec<ShellPair> {
        let mut by_shell: FxHashMap<[u32; 2], ShellPair> = FxHashMap::default();
        for pair in &self.pairs {
            let [a, b] = pair.faces.map(|face| shells.of_triangle.get(face as usize).copied().unwrap_or(0));
            let key = [a.min(b), a.max(b)];
            let none = ShellPair { shells: key, crossing: 0, overlapping: 0, touching: 0, worst: *pair };
            let entry = by_shell.entry(key).or_insert(none);
            match pair.meeting {
                Meeting::Crossing => entry.crossing += 1,
                Meeting::Overlapping => entry.overlapping += 1,
                Meeting::Touching => entry.touching += 1,
            }
            if (pair.meeting, pair.faces) < (entry.worst.meeting, entry.worst.faces) {
                entry.worst = *pair;
            }
        }
        let mut pairs: Vec<ShellPair> = by_shell.into_values().collect();
        pairs.sort_unstable_by_key(|pair| pair.shells);
        pairs
    }
}

impl FacePair {
    /// A place near where the two meet, mm: the middle of what their boxes have in common.
    pub fn place(&self, mesh: &Mesh) -> Point {
        let [a, b] = self.faces.map(|face| mesh.corners(face as usize));
        let low = |t: &[Point; 3]| t[0].inf(&t[1]).inf(&t[2]);
        let high = |t: &[Point; 3]| t[0].sup(&t[1]).sup(&t[2]);
        nalgebra::center(&low(&a).sup(&low(&b)), &high(&a).inf(&high(&b)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Motion, Vector, solids};
    use proptest::prelude::*;

    fn found(mesh: &Mesh) -> Crossings {
        crossings(mesh, &Progress::new()).unwrap()
    }

    fn every_pair(mesh: &Mesh) -> Vec<FacePair> {
        let mut pairs = Vec::new();
        for a in 0..mesh.triangles.len() {
            for b in a + 1..mesh.triangles.len() {
                if let Some(meeting) = meeting(&mesh.corners(a), &mesh.corners(b)) {
                    pairs.push(FacePair { faces: [a as u32, b as u32], meeting });
                }
            }
        }
        pairs
    }

    #[test]
    fn sound_solids_do_not_cross_themselves() {
        for solid in [
            solids::sphere(Point::new(0.1, 0.2, 0.3), 7.0, 12),
            solids::torus(Point::origin(), 20.0, 7.0, 40, 20),
            solids::grid_box(Point::origin(), Point::new(3.0, 4.0, 5.0), [3, 4, 5]),
        ] {
            assert_eq!(found(&solid), Crossings { pairs: vec![], complete: true });
        }
    }

    #[test]
    fn two_boxes_that_cross_do_so_along_the_whole_outline() {
        let one = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 10.0));
        let other = solids::cuboid(Point::new(5.0, 2.0, 3.0), Point::new(15.0, 7.0, 8.5));
        let both = solids::joined(&[&one, &other]);
        let crossings = found(&both);
        assert_eq!(crossings.pairs, every_pair(&both));
        let pairs = crossings.by_shell(&Shells::of(&both));
        assert_eq!(pairs.len(), 1);
        assert_eq!((pairs[0].shells, pairs[0].overlapping, pairs[0].touching), ([0, 1], 0, 0));
        assert!(pairs[0].crossing >= 8);
        let place = pairs[0].worst.place(&both);
        assert!(place.x >= 9.9 && place.y >= 1.9 && place.y <= 7.1, "{place}");
    }

    #[test]
    fn boxes_that_stand_on_each_other_overlap_and_do_not_cross() {
        let one = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 10.0));
        let other = solids::cuboid(Point::new(2.0, 3.0, 10.0), Point::new(7.0, 8.0, 12.0));
        let crossings = found(&solids::joined(&[&one, &other]));
        assert_eq!(crossings.count(Meeting::Crossing), 0);
        assert!(crossings.count(Meeting::Overlapping) >= 2);
    }

    #[test]
    fn a_face_stored_twice_overlaps_itself() {
        let mut mesh = solids::cuboid(Point::origin(), Point::new(1.0, 1.0, 1.0));
        let [a, b, c] = mesh.triangles[3];
        mesh.triangles.push([c, b, a]);
        let pairs = found(&mesh).pairs;
        assert_eq!(pairs, [FacePair { faces: [3, 12], meeting: Meeting::Overlapping }]);
    }

    #[test]
    fn a_cancelled_search_ends() {
        let progress = Progress::new();
        progress.cancel();
        assert_eq!(crossings(&solids::sphere(Point::origin(), 1.0, 3), &progress), Err(Cancelled));
    }

    #[test]
    fn places_that_are_no_numbers_cross_nothing() {
        let mut mesh = solids::sphere(Point::origin(), 1.0, 3);
        mesh.vertices[5].y = f64::NAN;
        mesh.vertices[9].z = f64::INFINITY;
        assert_eq!(found(&mesh).pairs, []);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn agrees_with_trying_every_pair(
            turn in prop::array::uniform3(-3.0..3.0_f64), shift in prop::array::uniform3(-9.0..9.0_f64), fine in 2..6_u32
        ) {
            let ring = solids::torus(Point::origin(), 8.0, 3.0, 6 * fine, 3 * fine);
            let motion = Motion::new(Vector::from(shift), Vector::from(turn));
            let both = solids::joined(&[&ring, &ring.transformed(&motion)]);
            prop_assert_eq!(found(&both).pairs, every_pair(&both));
        }

        #[test]
        fn agrees_with_trying_every_pair_of_a_tangle(
            corners in prop::collection::vec(prop::array::uniform3(prop::array::uniform3(-6_i8..=6)), 1..60)
        ) {
            let vertices: Vec<Point> = corners.iter().flatten().map(|p| Point::from(p.map(f64::from))).collect();
            let triangles = (0..corners.len() as u32).map(|i| [3 * i, 3 * i + 1, 3 * i + 2]).collect();
            let mesh = Mesh { vertices, triangles };
            prop_assert_eq!(found(&mesh).pairs, every_pair(&mesh));
        }
    }
}
