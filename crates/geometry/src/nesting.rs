//! Which shell lies in which, and what is a cavity of what.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use crate::inside::look_up;
use crate::tree::FaceTree;
use crate::{Cancelled, Mesh, Point, Progress, ShellReport, Shells};

/// Which shells lie inside which. See [`nesting`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Nesting {
    /// For each shell the closed ones around it, nearest (smallest) first.
    pub around: Vec<Vec<u32>>,
    /// For each shell that is the wall of a cavity, the shell that the cavity is in.
    pub cavity_of: Vec<Option<u32>>,
    /// Closed shells that face inwards though they are the wall of no cavity: solids turned inside out. Rising.
    pub inside_out: Vec<u32>,
}

/// Finds out which shells lie inside which. `reports` are those of [`Shells::reports`].
///
/// A shell lies inside a closed one if the six vertices that reach farthest along the axes all do, those on the other's
/// surface apart. That is exact for shells that do not cross; of two that cross, one lies inside the other only where it
/// reaches out nowhere in those six directions. A closed shell that faces inwards is the wall of a cavity if the nearest
/// shell around it faces outwards; it is inside out if there is none or that one faces inwards as well. Each look takes
/// time that grows with the logarithm of the faces, so thousands of shells are quick.
pub fn nesting(
    mesh: &Mesh,
    shells: &Shells,
    reports: &[ShellReport],
    progress: &Progress,
) -> Result<Nesting, Cancelled> {
    progress.stage("looking which shells lie in which");
    if reports.len() <= 1 {
        let inside_out = (0..reports.len() as u32).filter(|&i| reports[i as usize].turned_inwards()).collect();
        return Ok(Nesting {
            around: vec![Vec::new(); reports.len()],
            cavity_of: vec![None; reports.len()],
            inside_out,
        });
    }
    let is_closed = |face: u32| reports[shells.of_triangle[face as usize] as usize].closed;
    let tree = FaceTree::build_of(mesh, is_closed, progress)?;
    let around = extremes(mesh, shells)
        .into_par_iter()
        .enumerate()
        .map(|(shell, places)| {
            progress.check()?;
            let mut around = all_around(mesh, shells, &tree, shell as u32, &places);
            let size = |&i: &u32| reports[i as usize].volume_mm3.abs();
            around.sort_by(|a, b| size(a).total_cmp(&size(b)).then(a.cmp(b)));
            Ok(around)
        })
        .collect::<Result<Vec<Vec<u32>>, Cancelled>>()?;
    let inwards = |shell: &u32| reports[*shell as usize].turned_inwards();
    let is_cavity = |shell: u32| inwards(&shell) && around[shell as usize].first().is_some_and(|home| !inwards(home));
    let shells = 0..reports.len() as u32;
    Ok(Nesting {
        cavity_of: shells.clone().map(|i| around[i as usize].first().copied().filter(|_| is_cavity(i))).collect(),
        inside_out: shells.filter(|&i| inwards(&i) && !is_cavity(i)).collect(),
        around,
    })
}

/// The vertices of each shell that reach farthest along the axes, each once.
fn extremes(mesh: &Mesh, shells: &Shells) -> Vec<Vec<Point>> {
    let mut farthest: Vec<Option<[Point; 6]>> = vec![None; shells.count as usize];
    for (face, &shell) in mesh.triangles.iter().zip(&shells.of_triangle) {
        for p in face.map(|v| mesh.vertices[v as usize]) {
            let of_shell = farthest[shell as usize].get_or_insert([p; 6]);
            for k in 0..3 {
                if p[k] < of_shell[2 * k][k] {
                    of_shell[2 * k] = p;
                }
                if p[k] > of_shell[2 * k + 1][k] {
                    of_shell[2 * k + 1] = p;
                }
            }
        }
    }
    let distinct = |places: Option<[Point; 6]>| {
        let mut distinct: Vec<Point> = Vec::new();
        for p in places.into_iter().flatten() {
            if !distinct.contains(&p) {
                distinct.push(p);
            }
        }
        distinct
    };
    farthest.into_iter().map(distinct).collect()
}

/// The closed shells that go round all `places` of this one.
fn all_around(mesh: &Mesh, shells: &Shells, tree: &FaceTree, own: u32, places: &[Point]) -> Vec<u32> {
    // For each shell, the places it goes round.
    let mut times: FxHashMap<u32, usize> = FxHashMap::default();
    let mut on: FxHashMap<u32, usize> = FxHashMap::default();
    for p in places {
        let mut turns: FxHashMap<u32, i32> = FxHashMap::default();
        let see = &mut |face: u32, turn: i32| *turns.entry(shells.of_triangle[face as usize]).or_default() += turn;
        if look_up(mesh, tree, p, see) {
            // Whose surface it is on matters only where it is on any, which is rare.
            for shell in surfaces_at(mesh, shells, tree, p) {
                turns.remove(&shell);
                *on.entry(shell).or_default() += 1;
            }
        }
        for (shell, turns) in turns {
            if turns != 0 && shell != own {
                *times.entry(shell).or_default() += 1;
            }
        }
    }
    let within = |(shell, count): &(u32, usize)| count + on.get(shell).copied().unwrap_or(0) == places.len();
    times.into_iter().filter(within).map(|(shell, _)| shell).collect()
}

/// The shells that have a face at `p`.
fn surfaces_at(mesh: &Mesh, shells: &Shells, tree: &FaceTree, p: &Point) -> Vec<u32> {
    let mut here = Vec::new();
    tree.near(p, 0.0, &mut |face| {
        if crate::closest::on_triangle(p, &mesh.corners(face as usize)) == *p {
            here.push(shells.of_triangle[face as usize]);
        }
        0.0
    });
    here.sort_unstable();
    here.dedup();
    here
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{EdgeTable, solids};

    fn of(mesh: &Mesh) -> Nesting {
        let edges = EdgeTable::new(mesh);
        let shells = Shells::of_edges(&edges);
        nesting(mesh, &shells, &shells.reports(mesh, &edges), &Progress::new()).unwrap()
    }

    fn ball(x: f64, radius: f64) -> Mesh {
        solids::sphere(Point::new(x, 0.3, -0.2), radius, 5)
    }

    #[test]
    fn a_bead_in_a_cavity_in_a_ball_is_told_as_such() {
        let mesh = solids::joined(&[
            &ball(0.0, 2.0),
            &solids::inverted(&ball(0.0, 8.0)),
            &ball(0.0, 10.0),
            &ball(30.0, 10.0),
            &solids::inverted(&ball(60.0, 3.0)),
        ]);
        let nesting = of(&mesh);
        assert_eq!(nesting.around, [vec![1, 2], vec![2], vec![], vec![], vec![]]);
        assert_eq!(nesting.cavity_of, [None, Some(2), None, None, None]);
        assert_eq!(nesting.inside_out, [4]);
    }

    #[test]
    fn an_inward_shell_in_a_cavity_is_inside_out() {
        let inverted = |mesh: Mesh| solids::inverted(&mesh);
        let mesh = solids::joined(&[&ball(0.0, 10.0), &inverted(ball(0.0, 8.0)), &inverted(ball(0.0, 6.0))]);
        assert_eq!(of(&mesh).inside_out, [2]);
    }

    #[test]
    fn a_cavity_that_touches_the_wall_is_still_inside() {
        let outer = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 10.0));
        let inner = solids::cuboid(Point::new(2.0, 2.0, 0.0), Point::new(5.0, 5.0, 5.0));
        let nesting = of(&solids::hollow(&outer, &inner));
        assert_eq!(nesting.cavity_of, [None, Some(0)]);
    }

    #[test]
    fn shells_that_cross_or_coincide_lie_in_none() {
        let crossing = of(&solids::joined(&[&ball(0.0, 5.0), &ball(4.0, 5.0)]));
        assert_eq!(crossing.around, [vec![], vec![]]);
        let same = of(&solids::joined(&[&ball(0.0, 5.0), &ball(0.0, 5.0)]));
        assert_eq!(same.around, [vec![], vec![]]);
    }

    #[test]
    fn open_shells_have_no_inside() {
        let mut outer = ball(0.0, 9.0);
        outer.triangles.pop();
        assert_eq!(of(&solids::joined(&[&outer, &ball(0.0, 1.0)])).around, [vec![], vec![]]);
    }

    #[test]
    fn the_order_of_shells_does_not_matter() {
        let parts = [ball(0.0, 10.0), solids::inverted(&ball(0.0, 8.0)), ball(0.0, 4.0), ball(0.5, 2.0)];
        let straight = of(&solids::joined(&parts.iter().collect::<Vec<_>>()));
        let turned = of(&solids::joined(&parts.iter().rev().collect::<Vec<_>>()));
        let renamed = |of: &[u32]| of.iter().map(|i| 3 - i).collect::<Vec<_>>();
        assert_eq!(straight.around.iter().rev().map(|a| renamed(a)).collect::<Vec<_>>(), turned.around);
    }
}
