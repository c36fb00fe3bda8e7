//! How near shells come to each other.

use rayon::prelude::*;
use rustc_hash::FxHashSet;

use super::crossings::ShellPair;
use super::trees_of_shells;
use crate::boxes::SmallBox;
use crate::distance::{Near, Surface, least_distance};
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
/// Faces are held against faces, but only those nearer than what was found before by more than [`FINE_SHARE`] of it. What is
/// told is never less than the true gap, and more by at most that share.
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
            let surfaces = [one, other].map(|tree| Surface { mesh, tree });
            let near = least_distance(surfaces, within_mm, FINE_SHARE, progress)?;
            gaps.extend(near.map(|Near { distance_mm: gap_mm, places, faces }| Gap {
                shells: *pair,
                gap_mm,
                places,
                faces,
            }));
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::closest;
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
