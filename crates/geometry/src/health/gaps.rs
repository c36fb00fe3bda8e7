//! How near shells come to each other.

use rayon::prelude::*;
use rustc_hash::FxHashSet;

use super::crossings::ShellPair;
use super::trees_of_shells;
use crate::boxes::SmallBox;
use crate::closest;
use crate::tree::FaceTree;
use crate::{Cancelled, Mesh, Point, Progress, Shells};

/// How near two shells come. See [`gaps`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The two shells, the lower number first.
    pub shells: [u32; 2],
    /// Least distance between their surfaces, mm.
    pub gap_mm: f64,
    /// The nearest places, in the order of `shells`.
    pub places: [Point; 2],
    /// The faces that they are on.
    pub faces: [u32; 2],
}

/// All pairs of different shells that come nearer to each other than `within_mm`, with their least distance; nearest
/// first. Pairs that meet (as [`crossings`](crate::crossings) finds) have no gap and are to be named in `met`; they are left
/// out. The wall of a cavity and the shell around it are a pair like any other: their gap is the thickness of the wall.
///
/// First places of the other shell are sought that are nearer to a corner of the one than what was found before, by more
/// than half of [`FINE_SHARE`]. Where faces are larger than another half of it, edges may come nearer than corners, so all
/// pairs with such a face are then measured whole. What is told is never less than the true gap, and more by at most that
/// share.
pub fn gaps(
    mesh: &Mesh,
    shells: &Shells,
    met: &[ShellPair],
    within_mm: f64,
    progress: &Progress,
) -> Result<Vec<Gap>, Cancelled> {
    progress.stage("measuring the gaps between shells");
    let trees = trees_of_shells(mesh, shells, 0..shells.count, progress)?;
    let boxes: Vec<SmallBox> =
        (0..shells.count).map(|i| trees.get(&i).map_or(SmallBox::NOTHING, FaceTree::bounds)).collect();
    let met: FxHashSet<[u32; 2]> = met.iter().map(|pair| pair.shells).collect();
    let pairs = near_boxes(&boxes, within_mm);
    let mut gaps = Vec::new();
    for (done, pair) in pairs.iter().filter(|pair| !met.contains(*pair)).enumerate() {
        progress.check()?;
        progress.report(done as f64 / pairs.len() as f64);
        if let [Some(one), Some(other)] = pair.map(|shell| trees.get(&shell)) {
            gaps.extend(Between { mesh, shells: *pair, trees: [one, other] }.gap(within_mm, progress)?);
        }
    }
    gaps.sort_by(|a, b| a.gap_mm.total_cmp(&b.gap_mm).then(a.shells.cmp(&b.shells)));
    Ok(gaps)
}

/// Share of a gap by which it may be less than told. To go after the last hundredth of the gap between two walls that are
/// equally far apart everywhere would take time that grows faster than the number of faces. Our own choice, no source: an
/// eighth of a clearance is below what a printer keeps.
pub const FINE_SHARE: f64 = 0.125;

/// Pairs of boxes that come as near: those that begin before the other ends, along x.
fn near_boxes(boxes: &[SmallBox], within_mm: f64) -> Vec<[u32; 2]> {
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|a, b| boxes[*a].low[0].total_cmp(&boxes[*b].low[0]));
    let of_first = |(n, &i): (usize, &usize)| {
        let reach = boxes[i].grown(within_mm);
        let later = order[n + 1..].iter().take_while(move |j| boxes[**j].low[0] <= reach.high[0]);
        later.filter(move |j| boxes[**j].meets(&reach)).map(move |&j| [i.min(j) as u32, i.max(j) as u32])
    };
    let mut pairs: Vec<[u32; 2]> = order.par_iter().enumerate().flat_map_iter(of_first).collect();
    pairs.par_sort_unstable();
    pairs
}

/// Two shells.
struct Between<'a> {
    mesh: &'a Mesh,
    shells: [u32; 2],
    trees: [&'a FaceTree; 2],
}

impl Between<'_> {
    fn gap(&self, within_mm: f64, progress: &Progress) -> Result<Option<Gap>, Cancelled> {
        let mut best = Best { within_mm, gap: None };
        for side in [0, 1] {
            let corners = self.corners(&self.near_faces(side, &best));
            best.improve(&corners, progress, |(corner, face), within| {
                self.at_corner(side, *corner, *face, within * (1.0 - FINE_SHARE / 2.0))
            })?;
        }
        for side in [0, 1] {
            let faces = self.near_faces(side, &best);
            best.improve(&faces, progress, |face, within| self.whole(side, *face, within))?;
        }
        Ok(best.gap)
    }

    fn near_faces(&self, side: usize, best: &Best) -> Vec<u32> {
        self.trees[side].faces_near(&self.trees[1 - side].bounds().grown(best.within_mm))
    }

    /// The vertices of these faces, each once, with the lowest face that it is a corner of.
    fn corners(&self, faces: &[u32]) -> Vec<(u32, u32)> {
        let mut corners: Vec<(u32, u32)> =
            faces.iter().flat_map(|&face| self.mesh.triangles[face as usize].map(|v| (v, face))).collect();
        corners.par_sort_unstable();
        corners.dedup_by_key(|(vertex, _)| *vertex);
        corners
    }

    /// The nearest place of the other shell to a corner of `face`, if it is that near.
    fn at_corner(&self, side: usize, corner: u32, face: u32, mut within_mm: f64) -> Option<Gap> {
        let corner = &self.mesh.vertices[corner as usize];
        let mut gap = None;
        self.trees[1 - side].near(corner, within_mm, &mut |other| {
            let place = closest::on_triangle(corner, &self.mesh.corners(other as usize));
            let found = self.between(side, [face, other], [*corner, place]);
            if found.gap_mm <= within_mm {
                within_mm = found.gap_mm;
                gap = nearer(gap, Some(found));
            }
            within_mm
        });
        gap
    }

    /// The nearest place of the other shell to `face`, if it is that near and one of the two faces is not fine.
    fn whole(&self, side: usize, face: u32, within_mm: f64) -> Option<Gap> {
        let corners = self.mesh.corners(face as usize);
        if reach(&corners) <= within_mm * FINE_SHARE / 2.0 {
            return None;
        }
        // No place of the face is farther from its middle than a corner is.
        let middle = Point::from((corners[0].coords + corners[1].coords + corners[2].coords) / 3.0);
        let radius = corners.iter().map(|p| nalgebra::distance(p, &middle)).fold(0.0, f64::max);
        let mut least_mm = within_mm;
        let mut gap: Option<Gap> = None;
        self.trees[1 - side].near(&middle, within_mm + radius, &mut |other| {
            let other_corners = self.mesh.corners(other as usize);
            let from_middle = nalgebra::distance(&closest::on_triangle(&middle, &other_corners), &middle);
            if from_middle <= least_mm + radius {
                let found = self.between(side, [face, other], closest::of_triangles(&corners, &other_corners));
                if found.gap_mm <= least_mm {
                    least_mm = found.gap_mm;
                    gap = nearer(gap, Some(found));
                }
            }
            least_mm + radius
        });
        gap
    }

    fn between(&self, side: usize, mut faces: [u32; 2], mut places: [Point; 2]) -> Gap {
        if side == 1 {
            faces.swap(0, 1);
            places.swap(0, 1);
        }
        Gap { shells: self.shells, gap_mm: nalgebra::distance(&places[0], &places[1]), places, faces }
    }
}

/// The least gap found so far, and how near others are looked for.
struct Best {
    within_mm: f64,
    gap: Option<Gap>,
}

impl Best {
    /// Tries all, side by side, in rounds: what one finds narrows what the next round looks at, the same way every time.
    fn improve<T: Sync>(
        &mut self,
        all: &[T],
        progress: &Progress,
        find: impl Fn(&T, f64) -> Option<Gap> + Sync,
    ) -> Result<(), Cancelled> {
        // The first look is at a few that lie far apart, which soon narrows the search.
        let few = all.iter().step_by(all.len().div_ceil(FEW).max(1)).filter_map(|one| find(one, self.within_mm));
        let gap = few.fold(None, |a, b| nearer(a, Some(b)));
        self.keep(gap);
        for round in all.chunks(ROUND) {
            progress.check()?;
            let within = self.within_mm;
            let gap = round.par_iter().map(|one| find(one, within)).reduce(|| None, nearer);
            self.keep(gap);
        }
        Ok(())
    }

    fn keep(&mut self, gap: Option<Gap>) {
        self.gap = nearer(self.gap, gap);
        self.within_mm = self.gap.map_or(self.within_mm, |gap| self.within_mm.min(gap.gap_mm));
    }
}

/// Looked at one by one, at first.
const FEW: usize = 64;
/// Looked at side by side, afterwards.
const ROUND: usize = 1 << 12;

/// No place of the triangle is farther from its nearest corner than this, mm: the radius of the circle around it if that
/// has its centre inside, which is at most the longest side over √3, or else half the longest side.
fn reach([a, b, c]: &[Point; 3]) -> f64 {
    (b - a).norm().max((c - b).norm()).max((a - c).norm()) / 3.0_f64.sqrt()
}

/// Ties go to the lower faces, so that the order of work does not show.
fn nearer(a: Option<Gap>, b: Option<Gap>) -> Option<Gap> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if (b.gap_mm, b.faces) < (a.gap_mm, a.faces) { b } else { a }),
        (a, b) => a.or(b),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Motion, Vector, crossings, solids};
    use proptest::prelude::*;

    fn gaps_within(mesh: &Mesh, within_mm: f64) -> Vec<Gap> {
        let shells = Shells::of(mesh);
        let met = crossings(mesh, &Progress::new()).unwrap().by_shell(&shells);
        gaps(mesh, &shells, &met, within_mm, &Progress::new()).unwrap()
    }

    fn ball(x: f64, radius: f64) -> Mesh {
        solids::sphere(Point::new(x, 0.0, 0.0), radius, 20)
    }

    #[test]
    fn the_gap_between_balls_is_that_of_their_surfaces() {
        let mesh = solids::joined(&[&ball(0.0, 5.0), &ball(10.25, 5.0), &ball(-11.0, 5.0)]);
        let found = gaps_within(&mesh, 0.5);
        assert_eq!(found.iter().map(|gap| gap.shells).collect::<Vec<_>>(), [[0, 1]]);
        assert!(found[0].gap_mm >= 0.25 && found[0].gap_mm < 0.3, "{:?}", found[0]);
        assert!(found[0].places[0].x < found[0].places[1].x);
        assert_eq!(gaps_within(&mesh, 2.0).len(), 2);
        assert_eq!(gaps_within(&mesh, 0.1), []);
    }

    #[test]
    fn shells_that_cross_have_no_gap() {
        let mesh = solids::joined(&[&ball(0.0, 5.0), &ball(7.0, 5.0), &ball(-10.25, 5.0)]);
        assert_eq!(gaps_within(&mesh, 0.5).iter().map(|gap| gap.shells).collect::<Vec<_>>(), [[0, 2]]);
    }

    #[test]
    fn a_wall_is_as_thick_as_the_gap_to_its_cavity() {
        let outer = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 10.0));
        let inner = solids::cuboid(Point::new(2.0, 3.0, 2.0), Point::new(9.25, 8.0, 8.0));
        let found = gaps_within(&solids::hollow(&outer, &inner), 3.0);
        assert_eq!((found.len(), found[0].gap_mm), (1, 0.75));
    }

    #[test]
    fn crossed_edges_are_as_near_as_their_middles() {
        let bar = solids::cuboid(Point::new(-20.0, -1.0, -1.0), Point::new(20.0, 1.0, 1.0));
        let on_edge = |turn: f64| {
            let upright = Motion::rotation(Vector::new(std::f64::consts::FRAC_PI_4, 0.0, 0.0));
            bar.transformed(&upright).transformed(&Motion::rotation(Vector::new(0.0, 0.0, turn)))
        };
        let lift = Motion::translation(0.0, 0.0, 3.0);
        let mesh = solids::joined(&[&on_edge(0.0), &on_edge(1.0).transformed(&lift)]);
        let found = gaps_within(&mesh, 1.0);
        assert!((found[0].gap_mm - (3.0 - 8.0_f64.sqrt())).abs() < 1e-9, "{found:?}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]

        #[test]
        fn the_gap_is_that_of_trying_every_pair_to_within_the_stated_share(
            turn in prop::array::uniform3(-3.0..3.0_f64), off in 23.0..26.0_f64, fine in 1..8_u32
        ) {
            let ring = solids::torus(Point::origin(), 8.0, 3.0, 4 * fine + 3, 2 * fine + 3);
            let other = ring.transformed(&Motion::new(Vector::new(off, 0.0, 0.0), Vector::from(turn)));
            let mesh = solids::joined(&[&ring, &other]);
            let half = ring.triangles.len();
            let every = |a: usize| (half..2 * half).map(move |b| (a, b));
            let least = (0..half).flat_map(every).map(|(a, b)| {
                let [p, q] = closest::of_triangles(&mesh.corners(a), &mesh.corners(b));
                nalgebra::distance(&p, &q)
            }).fold(f64::INFINITY, f64::min);
            let found = gaps_within(&mesh, 30.0);
            // Rounding differs with the order of the two.
            prop_assert!(found[0].gap_mm >= least - 1e-9);
            prop_assert!(least >= found[0].gap_mm * (1.0 - FINE_SHARE), "{least} {}", found[0].gap_mm);
        }
    }
}
