//! How deep shells reach into each other.

use rayon::prelude::*;

use super::crossings::ShellPair;
use super::trees_of_shells;
use crate::closest;
use crate::inside::look_up;
use crate::tree::FaceTree;
use crate::{Cancelled, Mesh, Point, Progress, ShellReport, Shells};

/// How deep two shells reach into each other. See [`crossing_depths`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Depth {
    /// The two shells, the lower number first.
    pub shells: [u32; 2],
    /// The depth, mm.
    pub depth_mm: f64,
    /// The place of one shell that is deepest inside the other.
    pub deepest: Point,
    /// The place of the other's surface that is nearest to it.
    pub surface: Point,
}

/// Vertices and middles of faces that are tried, of each shell of a pair: enough that a sphere of as many faces is sampled
/// every 1/50 of its diameter or denser. Our own choice, no source.
pub const DEPTH_SAMPLES: usize = 1 << 15;

/// How deep the shells of each pair reach into each other, for pairs of two different closed shells; deepest first.
///
/// The depth is the greatest distance from the surface of the one, over all vertices and middles of faces of the other
/// that lie inside it, and the same the other way round; of more than [`DEPTH_SAMPLES`] such places within the box of
/// the other, evenly spread ones are tried. It is a lower bound of what a sample of every place would find. Pairs in
/// which no such place lies inside the other, as where only edges cross, have depth 0 at the place where faces meet.
pub fn crossing_depths(
    mesh: &Mesh,
    shells: &Shells,
    reports: &[ShellReport],
    pairs: &[ShellPair],
    progress: &Progress,
) -> Result<Vec<Depth>, Cancelled> {
    progress.stage("measuring how deep shells cross");
    let of_two_closed = |pair: &&ShellPair| {
        pair.shells[0] != pair.shells[1]
            && pair.crossing > 0
            && pair.shells.iter().all(|&shell| reports.get(shell as usize).is_some_and(|report| report.closed))
    };
    let wanted: Vec<&ShellPair> = pairs.iter().filter(of_two_closed).collect();
    let trees = trees_of_shells(mesh, shells, wanted.iter().flat_map(|pair| pair.shells), progress)?;
    let mut depths = Vec::with_capacity(wanted.len());
    for (done, pair) in wanted.iter().enumerate() {
        progress.report(done as f64 / wanted.len() as f64);
        let meet = pair.worst.place(mesh);
        let mut deepest = Depth { shells: pair.shells, depth_mm: 0.0, deepest: meet, surface: meet };
        for [inner, outer] in [pair.shells, [pair.shells[1], pair.shells[0]]] {
            let (Some(inner), Some(outer)) = (trees.get(&inner), trees.get(&outer)) else { continue };
            if let Some((depth_mm, place, surface)) = deepest_within(mesh, inner, outer, progress)?
                && depth_mm > deepest.depth_mm
            {
                deepest = Depth { depth_mm, deepest: place, surface, ..deepest };
            }
        }
        depths.push(deepest);
    }
    depths.sort_by(|a, b| b.depth_mm.total_cmp(&a.depth_mm).then(a.shells.cmp(&b.shells)));
    Ok(depths)
}

/// Of the corners and middles of the faces of `inner`, the one farthest inside the solid of `tree`: how far, the place, and
/// the nearest place of the surface.
fn deepest_within(
    mesh: &Mesh,
    inner: &FaceTree,
    tree: &FaceTree,
    progress: &Progress,
) -> Result<Option<(f64, Point, Point)>, Cancelled> {
    let within = tree.bounds();
    let samples: Vec<Point> = inner
        .faces_near(&within)
        .into_par_iter()
        .flat_map_iter(|face| {
            let corners = mesh.corners(face as usize);
            let middle = Point::from((corners[0].coords + corners[1].coords + corners[2].coords) / 3.0);
            // A vertex is a corner of some six faces; the first corner of each gives nearly all of them.
            [corners[0], middle].into_iter().filter(|p| within.distance_squared(p) == 0.0)
        })
        .collect();
    let step = samples.len().div_ceil(DEPTH_SAMPLES).max(1);
    let deeper = |a: Option<(f64, Point, Point)>, b: Option<(f64, Point, Point)>| match (a, b) {
        (Some(x), Some(y)) => Some(if y.0 > x.0 { y } else { x }),
        (x, y) => x.or(y),
    };
    samples
        .par_iter()
        .step_by(step)
        .map(|p| {
            progress.check()?;
            let mut turns = 0;
            let on_surface = look_up(mesh, tree, p, &mut |_, turn| turns += turn);
            if turns == 0 || on_surface {
                return Ok(None);
            }
            Ok(nearest(mesh, tree, p).map(|surface| (nalgebra::distance(&surface, p), *p, surface)))
        })
        .try_reduce(|| None, |a, b| Ok(deeper(a, b)))
}

/// The place of the faces of `tree` that is nearest to `p`; `None` without faces.
fn nearest(mesh: &Mesh, tree: &FaceTree, p: &Point) -> Option<Point> {
    let mut best: Option<(f64, Point)> = None;
    tree.near(p, f64::INFINITY, &mut |face| {
        let place = closest::on_triangle(p, &mesh.corners(face as usize));
        let distance = nalgebra::distance(&place, p);
        if best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, place));
        }
        best.map_or(f64::INFINITY, |(least, _)| least)
    });
    best.map(|(_, place)| place)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{EdgeTable, crossings, solids};

    fn depths(mesh: &Mesh) -> Vec<Depth> {
        let edges = EdgeTable::new(mesh);
        let shells = Shells::of_edges(&edges);
        let pairs = crossings(mesh, &Progress::new()).unwrap().by_shell(&shells);
        crossing_depths(mesh, &shells, &shells.reports(mesh, &edges), &pairs, &Progress::new()).unwrap()
    }

    fn ball(x: f64, radius: f64) -> Mesh {
        solids::sphere(Point::new(x, 0.0, 0.0), radius, 20)
    }

    #[test]
    fn two_balls_are_as_deep_as_their_overlap_is_thick() {
        let found = depths(&solids::joined(&[&ball(0.0, 5.0), &ball(8.5, 5.0), &ball(40.0, 5.0)]));
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].shells, [0, 1]);
        assert!((found[0].depth_mm - 1.5).abs() < 0.06, "{:?}", found[0]);
        assert!((nalgebra::distance(&found[0].deepest, &found[0].surface) - found[0].depth_mm).abs() < 1e-12);
    }

    #[test]
    fn a_rod_through_a_ball_is_half_a_rod_deep() {
        let rod = solids::cuboid(Point::new(-20.0, -1.0, -1.0), Point::new(20.0, 1.0, 1.0));
        let found = depths(&solids::joined(&[&ball(0.0, 5.0), &rod]));
        assert!(found[0].depth_mm > 0.7 && found[0].depth_mm <= 1.0, "{:?}", found[0]);
    }

    #[test]
    fn edges_that_merely_cross_have_no_depth() {
        // Two wedges whose long edges cross in their middles, a tenth of a millimetre past each other.
        let spike = |turned: bool| {
            let at = |x: f64, y: f64, z: f64| if turned { Point::new(y, x, -0.1 - z) } else { Point::new(x, y, z) };
            let vertices = vec![at(-9.0, 0.0, 0.0), at(9.0, 0.0, 0.0), at(0.0, -2.0, -9.0), at(0.0, 2.0, -9.0)];
            let triangles = vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]];
            let mesh = Mesh { vertices, triangles };
            if mesh.volume_mm3() < 0.0 { solids::inverted(&mesh) } else { mesh }
        };
        let found = depths(&solids::joined(&[&spike(false), &spike(true)]));
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].depth_mm, 0.0);
        assert!(found[0].deepest.coords.norm() < 9.0);
    }
}
