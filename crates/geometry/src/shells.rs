//! Connected surfaces: telling them apart, measuring each, taking some out.

mod faces;

use crate::parts;
use crate::topology::EdgeTable;
use crate::{Bounds, Mesh, Point};
use rayon::prelude::*;

/// Which shell every face belongs to. Two faces are of one shell if one can walk from one to the other across
/// shared edges; a shared vertex alone does not join.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shells {
    /// The shell of each face, from 0. Shells are numbered in the order of their first face.
    pub of_triangle: Vec<u32>,
    /// How many shells there are.
    pub count: u32,
}

/// Measures of one shell.
#[derive(Clone, Debug, PartialEq)]
pub struct ShellReport {
    /// Number of faces.
    pub triangles: usize,
    /// Whether it bounds a volume: each of its edges is used as often forwards as backwards.
    pub closed: bool,
    /// Enclosed volume, mm³; negative where it is turned inwards. Meaningless unless `closed`.
    pub volume_mm3: f64,
    /// Surface area, mm².
    pub area_mm2: f64,
    /// The smallest upright box around it.
    pub bounds: Bounds,
}

impl ShellReport {
    /// Whether it is closed and its faces look inwards: the wall of a cavity, or a solid turned inside out.
    pub fn turned_inwards(&self) -> bool {
        self.closed && self.volume_mm3 < 0.0
    }
}

impl Shells {
    /// Finds the shells of a mesh.
    pub fn of(mesh: &Mesh) -> Shells {
        Shells::with_owners(mesh).0
    }

    /// Finds the shells of a mesh and gives every one as a mesh of its own: [`of`](Self::of) and
    /// [`split`](Self::split) in less time.
    pub fn apart(mesh: &Mesh) -> (Shells, Vec<Mesh>) {
        let (shells, owners) = Shells::with_owners(mesh);
        let parts = parts::split_owned(mesh, &shells.of_triangle, shells.count as usize, owners);
        (shells, parts.into_iter().map(|part| part.mesh).collect())
    }

    /// Finds the shells of the mesh that the table was made from.
    pub fn of_edges(edges: &EdgeTable) -> Shells {
        Shells::numbered(faces::parents_of(edges))
    }

    /// The shells, and which of them uses each vertex (see [`parts::owners`]).
    fn with_owners(mesh: &Mesh) -> (Shells, Vec<u32>) {
        Shells::joined_at_edges(mesh, Shells::numbered(faces::parents(mesh)))
    }

    /// Joins shells that have an edge in common, which [`faces::parents`] may have left apart. Both its ends are then
    /// vertices of several, of which a mesh has few or none.
    fn joined_at_edges(mesh: &Mesh, shells: Shells) -> (Shells, Vec<u32>) {
        let owners = parts::owners(mesh, &shells.of_triangle, shells.count);
        let joined = faces::join_at_edges(mesh, &shells.of_triangle, shells.count, &owners);
        if (0..).zip(&joined).all(|(shell, lowest)| shell == *lowest) {
            return (shells, owners);
        }
        let lowest = Shells::numbered(joined);
        let of_triangle = shells.of_triangle.iter().map(|shell| lowest.of_triangle[*shell as usize]).collect();
        let shells = Shells { of_triangle, count: lowest.count };
        let owners = parts::owners(mesh, &shells.of_triangle, shells.count);
        (shells, owners)
    }

    /// Numbers the shells; each face comes with a lower one of its shell, or itself if it is the lowest.
    fn numbered(parents: Vec<u32>) -> Shells {
        let mut of_triangle = parents;
        let mut count = 0;
        // Every face is numbered before those that ask for its number.
        for face in 0..of_triangle.len() {
            let parent = of_triangle[face] as usize;
            of_triangle[face] = if parent == face {
                count += 1;
                count - 1
            } else {
                of_triangle[parent]
            };
        }
        Shells { of_triangle, count }
    }

    /// Measures every shell, in order. `edges` must be the table of `mesh`.
    pub fn reports(&self, mesh: &Mesh, edges: &EdgeTable) -> Vec<ShellReport> {
        let start = self.starting_points(mesh);
        let measures = if start.len() <= FEW_SHELLS {
            // Blocks of a fixed size, joined in their order: the sums come out the same on any number of cores.
            self.of_triangle
                .par_chunks(BLOCK)
                .enumerate()
                .map(|(block, shells)| measure(mesh, &start, block * BLOCK, shells))
                .collect::<Vec<_>>()
                .into_iter()
                .reduce(|sum, block| sum.iter().zip(&block).map(|(a, b)| a.and(b)).collect())
                .unwrap_or_default()
        } else {
            measure(mesh, &start, 0, &self.of_triangle)
        };
        let mut closed = vec![true; measures.len()];
        for face in edges.unbalanced_faces() {
            closed[self.of_triangle[face as usize] as usize] = false;
        }
        let report = |(m, closed): (&Measures, bool)| ShellReport {
            triangles: m.triangles,
            closed,
            volume_mm3: m.volume_sixfold / 6.0,
            area_mm2: m.area_twofold / 2.0,
            bounds: m.bounds,
        };
        measures.iter().zip(closed).map(report).collect()
    }

    /// One corner of the first face of each shell.
    fn starting_points(&self, mesh: &Mesh) -> Vec<Point> {
        let mut start = Vec::with_capacity(self.count as usize);
        for (t, &shell) in self.of_triangle.iter().enumerate() {
            if shell as usize == start.len() {
                start.push(mesh.corners(t)[0]);
            }
        }
        start
    }

    /// Every shell as a mesh of its own, in order: its faces in theirs, with the vertices they need. Takes hardly longer
    /// than [`extract`](Self::extract) for one of them.
    pub fn split(&self, mesh: &Mesh) -> Vec<Mesh> {
        parts::split(mesh, &self.of_triangle, self.count as usize).into_iter().map(|part| part.mesh).collect()
    }

    /// The faces of the named shells, in their order, with the vertices they need. Numbers that no shell has are
    /// ignored.
    pub fn extract(&self, mesh: &Mesh, shells: &[u32]) -> Mesh {
        // Part 0 is what is wanted, 1 the rest.
        let mut part_of = vec![1; self.count as usize];
        for &shell in shells {
            if let Some(part) = part_of.get_mut(shell as usize) {
                *part = 0;
            }
        }
        let of_face: Vec<u32> = self.of_triangle.par_iter().map(|shell| part_of[*shell as usize]).collect();
        parts::split(mesh, &of_face, 1).pop().map(|part| part.mesh).unwrap_or_default()
    }
}

/// With more shells than this, adding up block by block would cost more than it saves.
const FEW_SHELLS: usize = 64;
/// Faces measured at a time.
const BLOCK: usize = 1 << 16;

/// Sums over the faces of one shell.
#[derive(Clone, Copy, Debug)]
struct Measures {
    triangles: usize,
    volume_sixfold: f64,
    area_twofold: f64,
    bounds: Bounds,
}

impl Measures {
    fn and(&self, other: &Measures) -> Measures {
        Measures {
            triangles: self.triangles + other.triangles,
            volume_sixfold: self.volume_sixfold + other.volume_sixfold,
            area_twofold: self.area_twofold + other.area_twofold,
            bounds: self.bounds.union(&other.bounds),
        }
    }
}

/// Measures of all shells over the faces from `first` on. Volumes are taken about a point of the shell, which keeps
/// rounding small far from the origin.
fn measure(mesh: &Mesh, start: &[Point], first: usize, shells: &[u32]) -> Vec<Measures> {
    let none = |&p: &Point| Measures {
        triangles: 0,
        volume_sixfold: 0.0,
        area_twofold: 0.0,
        bounds: Bounds { min: p, max: p },
    };
    let mut measures: Vec<_> = start.iter().map(none).collect();
    for (t, &shell) in (first..).zip(shells) {
        let corners = mesh.corners(t);
        let [a, b, c] = corners.map(|p| p - start[shell as usize]);
        let across = (b - a).cross(&(c - a));
        let m = &mut measures[shell as usize];
        m.triangles += 1;
        // a · (b × c) = a · ((b − a) × (c − a)).
        m.volume_sixfold += a.dot(&across);
        m.area_twofold += across.norm();
        for p in corners {
            m.bounds = Bounds { min: m.bounds.min.inf(&p), max: m.bounds.max.sup(&p) };
        }
    }
    measures
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids;
    use proptest::prelude::*;

    fn reports(mesh: &Mesh) -> Vec<ShellReport> {
        let edges = EdgeTable::new(mesh);
        Shells::of_edges(&edges).reports(mesh, &edges)
    }

    #[test]
    fn a_hollow_sphere_is_an_outer_shell_and_one_turned_inwards() {
        let (outer, inner) = (solids::sphere(Point::origin(), 50.0, 10), solids::sphere(Point::origin(), 46.0, 7));
        let shells = reports(&solids::hollow(&outer, &inner));
        assert_eq!(shells.len(), 2);
        assert_eq!(shells.iter().map(|s| s.triangles).collect::<Vec<_>>(), [2000, 980]);
        assert!(shells.iter().all(|s| s.closed));
        assert_eq!(shells.iter().map(ShellReport::turned_inwards).collect::<Vec<_>>(), [false, true]);
        assert!((shells[0].volume_mm3 / outer.volume_mm3() - 1.0).abs() < 1e-12);
        assert!((shells[1].volume_mm3 / -inner.volume_mm3() - 1.0).abs() < 1e-12);
        assert!((shells[1].area_mm2 / inner.area_mm2() - 1.0).abs() < 1e-12);
        assert_eq!(Some(shells[1].bounds), inner.bounds());
    }

    #[test]
    fn a_shared_vertex_does_not_join_and_a_shared_edge_does() {
        let vertices = (0..7).map(|i| Point::new(f64::from(i), f64::from(i * i % 5), 0.0)).collect();
        let at_a_vertex = Mesh { vertices, triangles: vec![[0, 1, 2], [2, 3, 4]] };
        assert_eq!(Shells::of(&at_a_vertex), Shells { of_triangle: vec![0, 1], count: 2 });
        let at_an_edge = Mesh { triangles: vec![[0, 1, 2], [4, 5, 6], [1, 2, 3]], ..at_a_vertex };
        assert_eq!(Shells::of(&at_an_edge), Shells { of_triangle: vec![0, 1, 0], count: 2 });
    }

    #[test]
    fn an_opened_shell_does_not_open_its_neighbour() {
        let mut two = solids::joined(&[
            &solids::cuboid(Point::origin(), Point::new(1.0, 1.0, 1.0)),
            &solids::cuboid(Point::new(5.0, 0.0, 0.0), Point::new(6.0, 1.0, 1.0)),
        ]);
        two.triangles.pop();
        let shells = reports(&two);
        assert_eq!(shells.iter().map(|s| (s.triangles, s.closed)).collect::<Vec<_>>(), [(12, true), (11, false)]);
    }

    #[test]
    fn extracting_gives_back_what_was_joined() {
        let ball = solids::sphere(Point::new(100.0, 0.0, 0.0), 5.0, 5);
        let brick = solids::cuboid(Point::origin(), Point::new(1.0, 2.0, 3.0));
        let ring = solids::torus(Point::new(0.0, 90.0, 0.0), 5.0, 1.0, 9, 7);
        let all = solids::joined(&[&ball, &brick, &ring]);
        let shells = Shells::of(&all);
        assert_eq!(shells.count, 3);
        for (shell, solid) in [&ball, &brick, &ring].into_iter().enumerate() {
            assert_eq!(&shells.extract(&all, &[shell as u32]), solid);
        }
        assert_eq!(shells.split(&all), [ball.clone(), brick, ring.clone()]);
        assert_eq!(shells.extract(&all, &[2, 0]), solids::joined(&[&ball, &ring]));
        assert_eq!(shells.extract(&all, &[]), Mesh::default());
        assert_eq!(shells.extract(&all, &[7]), Mesh::default());
    }

    #[test]
    fn many_shells_are_measured_as_well_as_few() {
        let one = solids::sphere(Point::new(5.0, 6.0, 7.0), 4.0, 4);
        let alone = reports(&one).remove(0);
        for copies in [1, 3, FEW_SHELLS, FEW_SHELLS + 1, 300] {
            let measured = reports(&solids::joined(&vec![&one; copies]));
            assert_eq!(measured, vec![alone.clone(); copies]);
        }
    }

    #[test]
    fn a_shell_of_several_blocks_is_summed_up_whole() {
        let fine = solids::sphere(Point::origin(), 50.0, 100);
        assert!(fine.triangles.len() > 3 * BLOCK);
        let both = reports(&solids::joined(&[&fine, &solids::inverted(&fine)]));
        assert_eq!(both.iter().map(|s| s.triangles).collect::<Vec<_>>(), [200_000; 2]);
        assert!((both[0].volume_mm3 / fine.volume_mm3() - 1.0).abs() < 1e-12);
        assert!((both[1].volume_mm3 / fine.volume_mm3() + 1.0).abs() < 1e-12);
        assert!((both[1].area_mm2 / fine.area_mm2() - 1.0).abs() < 1e-12);
        assert_eq!(Some(both[1].bounds), fine.bounds());
    }

    proptest! {
        #[test]
        fn the_order_of_faces_does_not_change_what_the_shells_are(
            order in Just((0..500_usize).collect::<Vec<_>>()).prop_shuffle()
        ) {
            let ball = solids::sphere(Point::new(10.0, 0.0, 0.0), 4.0, 3);
            let ring = solids::torus(Point::origin(), 5.0, 1.0, 16, 10);
            let straight = solids::joined(&[&ball, &ring]);
            prop_assert_eq!(straight.triangles.len(), 500);
            let shuffled = Mesh {
                vertices: straight.vertices.clone(),
                triangles: order.iter().map(|&t| straight.triangles[t]).collect(),
            };
            let shells = Shells::of(&shuffled);
            prop_assert_eq!(shells.count, 2);
            prop_assert_eq!(shells.of_triangle[0], 0);
            let first_is_ball = order[0] < 180;
            for (t, &shell) in order.iter().zip(&shells.of_triangle) {
                prop_assert_eq!(shell == 0, (*t < 180) == first_is_ball);
            }
            let measured = reports(&shuffled);
            let total: f64 = measured.iter().map(|s| s.volume_mm3).sum();
            prop_assert!((total / straight.volume_mm3() - 1.0).abs() < 1e-12);
            prop_assert!(measured.iter().all(|s| s.closed));
        }
    }
}
