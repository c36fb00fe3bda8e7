//! Counting how often shells go round many places, in one pass over all faces.
//!
//! From each place a ray goes straight up. The faces of a closed shell that it goes through, those that look up less those
//! that look down, are how often the shell goes round the place. Places are kept in columns, so that a face finds the
//! few that may lie below it; most find none.

use std::ops::Range;

use rayon::prelude::*;

use super::nest::Probe;
use crate::inside::turn_round;
use crate::predicates::orient_3d;
use crate::{Cancelled, Mesh, Point, Progress, ShellReport, Shells, parts};

/// Places by the cell of a grid over x and y that they fall into.
pub(super) struct Columns<'a> {
    probes: &'a [Probe],
    low: [f64; 2],
    /// Cells per millimetre, on each axis.
    scale: [f64; 2],
    /// Cells along each axis.
    side: usize,
    /// Where the places of each cell begin in `order`; one more than cells.
    starts: Vec<u32>,
    order: Vec<u32>,
}

/// What a face tells about a probe.
struct Met {
    probe: u32,
    shell: u32,
    what: Meeting,
}

#[derive(Clone, Copy)]
enum Meeting {
    /// The ray goes through the face, that looks up (1) or down (-1).
    Through(i32),
    /// The place may lie on the face.
    Touched,
}

/// Faces that one thread looks at in one go: enough that handing them out costs nothing beside it.
const BLOCK: usize = 1 << 14;

/// Cells along an axis at most (our own choice, no source): their table stays small beside any mesh.
const MOST_CELLS: usize = 1 << 10;

impl<'a> Columns<'a> {
    pub fn of(probes: &'a [Probe]) -> Columns<'a> {
        let side = ((probes.len() as f64).sqrt() as usize).clamp(1, MOST_CELLS);
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for probe in probes.iter().filter(|probe| probe.at.iter().all(|x| x.is_finite())) {
            for k in 0..2 {
                low[k] = low[k].min(probe.at[k]);
                high[k] = high[k].max(probe.at[k]);
            }
        }
        let scale = [0, 1].map(|k| side as f64 / (high[k] - low[k]).max(f64::MIN_POSITIVE));
        let mut columns = Columns { probes, low, scale, side, starts: vec![0; side * side + 1], order: Vec::new() };
        let cells: Vec<usize> =
            probes.iter().map(|probe| columns.row(1, probe.at.y) * side + columns.row(0, probe.at.x)).collect();
        for cell in &cells {
            columns.starts[cell + 1] += 1;
        }
        for i in 1..columns.starts.len() {
            columns.starts[i] += columns.starts[i - 1];
        }
        columns.order = (0..probes.len() as u32).collect();
        columns.order.sort_by_key(|i| cells[*i as usize]);
        columns
    }

    /// The row or line of cells that a coordinate falls into; what is not in the grid, or no number, falls to its edge.
    fn row(&self, axis: usize, x: f64) -> usize {
        // Casts saturate, and make 0 of what is no number.
        (((x - self.low[axis]) * self.scale[axis]) as usize).min(self.side - 1)
    }

    /// For each probe the closed shells, without its own, that go round it, rising, and how often.
    pub fn around(
        &self,
        mesh: &Mesh,
        shells: &Shells,
        reports: &[ShellReport],
        progress: &Progress,
    ) -> Result<Vec<Vec<(u32, i32)>>, Cancelled> {
        let blocks: Vec<Vec<Met>> = (shells.of_triangle.par_chunks(BLOCK).enumerate())
            .map(|(block, of)| {
                progress.check()?;
                let mut met = Vec::new();
                for (t, &shell) in (block * BLOCK..).zip(of).filter(|(_, shell)| reports[**shell as usize].closed) {
                    self.look_up_from(mesh.corners(t), shell, &mut met);
                }
                Ok(met)
            })
            .collect::<Result<_, Cancelled>>()?;
        let mut met: Vec<Met> = blocks.into_iter().flatten().collect();
        met.par_sort_unstable_by_key(|met| u64::from(met.probe) << 32 | u64::from(met.shell));
        let touched = met.iter().any(|met| matches!(met.what, Meeting::Touched));
        let faces = if touched { parts::runs(shells.of_triangle.iter().copied(), reports.len()) } else { Vec::new() };
        let pairs: Vec<&[Met]> = met.chunk_by(|a, b| (a.probe, a.shell) == (b.probe, b.shell)).collect();
        let turns: Vec<i32> = (pairs.par_iter())
            .map(|met| {
                let sum = met.iter().try_fold(0, |sum, met| match met.what {
                    Meeting::Through(turn) => Some(sum + turn),
                    Meeting::Touched => None,
                });
                // On a face there is no whole number: as much of all directions as leads out through the shell counts.
                let (probe, shell) = (met[0].probe as usize, met[0].shell as usize);
                let of_angles = || progress.check().map(|()| turns_on(mesh, &faces[shell], &self.probes[probe].at));
                sum.map_or_else(of_angles, Ok)
            })
            .collect::<Result<_, Cancelled>>()?;
        let mut around = vec![Vec::new(); self.probes.len()];
        for (met, turns) in pairs.into_iter().zip(turns).filter(|(_, turns)| *turns != 0) {
            around[met[0].probe as usize].push((met[0].shell, turns));
        }
        Ok(around)
    }

    /// Finds the probes of other shells below or on a face.
    fn look_up_from(&self, corners: [Point; 3], shell: u32, met: &mut Vec<Met>) {
        let [a, b, c] = corners;
        let low = a.inf(&b).inf(&c);
        let high = a.sup(&b).sup(&c);
        let (columns, rows) = (self.row(0, low.x)..=self.row(0, high.x), self.row(1, low.y)..=self.row(1, high.y));
        for row in rows {
            let cells = row * self.side;
            let (from, to) = (self.starts[cells + columns.start()], self.starts[cells + columns.end() + 1]);
            for &i in self.order.get(from as usize..to as usize).unwrap_or_default() {
                let probe = &self.probes[i as usize];
                let p = &probe.at;
                let beside = p.x < low.x || p.x > high.x || p.y < low.y || p.y > high.y || p.z > high.z;
                if beside || probe.shell == shell {
                    continue;
                }
                if let Some(what) = meeting(corners, low.z, p) {
                    met.push(Met { probe: i, shell, what });
                }
            }
        }
    }
}

/// What the ray from `p` finds of a face; `low` is the face's lowest z.
fn meeting(corners: [Point; 3], low: f64, p: &Point) -> Option<Meeting> {
    let turn = turn_round(&corners, p);
    if turn.is_none() && p.z < low {
        return None;
    }
    let [a, b, c] = corners;
    let below = orient_3d(&a, &b, &c, p);
    if below == 0.0 && p.z >= low {
        return Some(Meeting::Touched);
    }
    turn.filter(|turn| below * f64::from(*turn) > 0.0).map(Meeting::Through)
}

/// How often a shell goes round a place on it: a whole time where more than half of all directions lead out through it.
fn turns_on(mesh: &Mesh, faces: &[Range<usize>], p: &Point) -> i32 {
    (winding(mesh, faces, p) - MORE_THAN_HALF).ceil() as i32
}

/// A place on a flat wall sees half of everything through it; rounding must not make more of it. The sum over n faces is off
/// by n · 2⁻⁵³ or so: for ten million, a thousandth of what is added here.
const MORE_THAN_HALF: f64 = 0.5 + 1.0 / (1u64 << 20) as f64;

/// How often faces go round `p`: the sum of their solid angles over 4π (Van Oosterom and Strackee, "The solid angle of a
/// plane triangle", 1983). 1 inside a closed outward shell, 0 outside, in between on it.
fn winding(mesh: &Mesh, faces: &[Range<usize>], p: &Point) -> f64 {
    let angle = |t: usize| {
        let [a, b, c] = mesh.corners(t).map(|q| q - p);
        let (la, lb, lc) = (a.norm(), b.norm(), c.norm());
        let below = la * lb * lc + a.dot(&b) * lc + b.dot(&c) * la + c.dot(&a) * lb;
        2.0 * a.dot(&b.cross(&c)).atan2(below)
    };
    faces.iter().cloned().flatten().map(angle).sum::<f64>() / (4.0 * std::f64::consts::PI)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{EdgeTable, Vector, solids};
    use proptest::prelude::*;

    /// Against solid angles, at all corners of all shells.
    fn check(parts: &[&Mesh]) -> Result<(), TestCaseError> {
        let mesh = solids::joined(parts);
        let edges = EdgeTable::new(&mesh);
        let shells = Shells::of_edges(&edges);
        let reports = shells.reports(&mesh, &edges);
        let probe = |(t, shell): (usize, &u32)| mesh.corners(t).map(|at| Probe { at, shell: *shell });
        let probes: Vec<Probe> = shells.of_triangle.iter().enumerate().flat_map(probe).collect();
        let around = Columns::of(&probes).around(&mesh, &shells, &reports, &Progress::new()).unwrap();
        let faces = parts::runs(shells.of_triangle.iter().copied(), reports.len());
        for (probe, around) in probes.iter().zip(around) {
            let turns = |shell: &u32| (*shell, turns_on(&mesh, &faces[*shell as usize], &probe.at));
            let others = (0..shells.count).filter(|s| *s != probe.shell && reports[*s as usize].closed);
            let expected: Vec<(u32, i32)> = others.map(|s| turns(&s)).filter(|(_, turns)| *turns != 0).collect();
            prop_assert_eq!(around, expected);
        }
        Ok(())
    }

    proptest! {
        // Trying every corner against every face is slow.
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// Boxes of a lattice, that touch at faces, edges and corners, some turned inside out.
        #[test]
        fn boxes_go_round_places_as_often_as_their_solid_angles_say(
            boxes in prop::collection::vec((prop::array::uniform3(0..5_i32), prop::array::uniform3(1..4_i32), any::<bool>()), 1..6),
        ) {
            let made = |(low, size, turned): &([i32; 3], [i32; 3], bool)| {
                let at = |k: i32| Point::from([0, 1, 2].map(|i| f64::from(low[i] + k * size[i])));
                let outward = solids::cuboid(at(0), at(1));
                if *turned { solids::inverted(&outward) } else { outward }
            };
            let made: Vec<Mesh> = boxes.iter().map(made).collect();
            check(&made.iter().collect::<Vec<_>>())?;
        }

        #[test]
        fn balls_go_round_places_as_often_as_their_solid_angles_say(
            balls in prop::collection::vec((prop::array::uniform3(-3.0..3.0_f64), 0.5..6.0_f64, any::<bool>()), 1..6),
        ) {
            let made = |(centre, radius, turned): &([f64; 3], f64, bool)| {
                let outward = solids::sphere(Point::from(*centre), *radius, 2);
                if *turned { solids::inverted(&outward) } else { outward }
            };
            let made: Vec<Mesh> = balls.iter().map(made).collect();
            check(&made.iter().collect::<Vec<_>>())?;
        }
    }

    #[test]
    fn places_that_are_nowhere_are_in_nothing() {
        let around = solids::cuboid(Point::origin(), Point::new(9.0, 9.0, 9.0));
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX] {
            let mut inner = solids::cuboid(Point::new(1.0, 1.0, 1.0), Point::new(2.0, 2.0, 2.0));
            inner.vertices.iter_mut().for_each(|p| *p += Vector::new(bad, 0.0, bad));
            let mesh = solids::joined(&[&around, &inner]);
            let edges = EdgeTable::new(&mesh);
            let shells = Shells::of_edges(&edges);
            let probes = [Probe { at: mesh.vertices[8], shell: 1 }];
            let reports = shells.reports(&mesh, &edges);
            let found = Columns::of(&probes).around(&mesh, &shells, &reports, &Progress::new()).unwrap();
            assert_eq!(found, [vec![]], "{bad}");
        }
    }
}
