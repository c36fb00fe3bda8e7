//! What state a mesh is in: the report a maker sees before anything is cut.

mod crossings;
mod defects;
mod depth;
mod gaps;
mod loops;
mod meeting;
mod thin;

use crate::predicates::on_one_line;
use crate::topology::{Edge, EdgeTable};
use crate::tree::FaceTree;
use crate::{Bounds, Cancelled, EdgePlace, Mesh, Progress, ShellReport, Shells};
use rayon::prelude::*;
use rustc_hash::FxHashMap;

pub use crossings::{Crossings, FacePair, MOST_PAIRS, ShellPair, crossings};
pub(crate) use defects::duplicates;
pub use defects::{DEBRIS_SHARE, Defects, Duplicate, defects};
pub use depth::{DEPTH_SAMPLES, Depth, crossing_depths};
pub use gaps::{FINE_SHARE, Gap, gaps};
pub use loops::{OpenLoop, open_loops};
pub use meeting::Meeting;
pub(crate) use meeting::meeting;
pub use thin::{MOST_TAPER_DEG, THIN_SAMPLES, ThinPlace, ThinWalls, thin_walls};

/// Counts and measures of a mesh. See [`inspect`].
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// Number of faces.
    pub triangles: usize,
    /// Number of vertices that a face uses.
    pub vertices: usize,
    /// Whether every edge is used as often in one direction as in the other. True of no faces at all.
    pub closed: bool,
    /// Enclosed volume, mm³, shells turned inwards counting negative. Meaningless unless `closed`; where shells
    /// overlap, the overlap counts as often as it is covered.
    pub volume_mm3: f64,
    /// Surface area, mm².
    pub area_mm2: f64,
    /// The smallest upright box around all faces; `None` without faces.
    pub bounds: Option<Bounds>,
    /// Edges with one face.
    pub open_edges: usize,
    /// The longest of them.
    pub longest_open_edge: Option<EdgePlace>,
    /// Edges with more than two faces.
    pub over_used_edges: usize,
    /// The first of them, in the order of faces.
    pub first_over_used_edge: Option<EdgePlace>,
    /// Edges with two faces, one of which is turned the wrong way.
    pub misturned_edges: usize,
    /// The first of them, in the order of faces.
    pub first_misturned_edge: Option<EdgePlace>,
    /// Faces whose corners lie exactly on one line.
    pub zero_area_faces: usize,
    /// The first of them.
    pub first_zero_area_face: Option<u32>,
    /// Faces on the same three vertices as an earlier face, turned either way.
    pub duplicate_faces: usize,
    /// Vertices less edges plus faces: 2 for a sphere, 0 for a torus, added up over separate shells.
    pub euler: i64,
    /// Every shell, in the order of its first face.
    pub shells: Vec<ShellReport>,
}

/// Looks a mesh over. Nothing is changed or mended.
///
/// ```
/// use seamwright_geometry::{Point, inspect, solids};
/// let report = inspect(&solids::torus(Point::origin(), 40.0, 10.0, 60, 30));
/// assert!(report.closed);
/// assert_eq!((report.triangles, report.shells.len(), report.euler), (3600, 1, 0));
/// ```
pub fn inspect(mesh: &Mesh) -> Report {
    inspect_with_shells(mesh).0
}

/// As [`inspect`], and hands over which face belongs to which shell, which is found on the way.
pub fn inspect_with_shells(mesh: &Mesh) -> (Report, Shells) {
    let edges = EdgeTable::new(mesh);
    let shells = Shells::of_edges(&edges);
    let edge_report = edges.report(mesh);
    let vertices = used_vertices(mesh);
    let zero_area = zero_area_faces(mesh);
    let shell_reports = shells.reports(mesh, &edges);
    let report = Report {
        triangles: mesh.triangles.len(),
        vertices,
        closed: edge_report.closed(),
        volume_mm3: shell_reports.iter().map(|shell| shell.volume_mm3).sum(),
        area_mm2: shell_reports.iter().map(|shell| shell.area_mm2).sum(),
        bounds: shell_reports.iter().map(|shell| shell.bounds).reduce(|a, b| a.union(&b)),
        open_edges: edge_report.open,
        longest_open_edge: edge_report.longest_open,
        over_used_edges: edge_report.over_used,
        first_over_used_edge: edge_report.first_over_used,
        misturned_edges: edge_report.misturned,
        first_misturned_edge: edge_report.first_misturned,
        zero_area_faces: zero_area.len(),
        first_zero_area_face: zero_area.first().copied(),
        duplicate_faces: edges.sum_over_edges(|edge| duplicates_at(mesh, edge)),
        euler: vertices as i64 - edge_report.edges as i64 + mesh.triangles.len() as i64,
        shells: shell_reports,
    };
    (report, shells)
}

/// A tree of boxes over each of the named shells.
fn trees_of_shells(
    mesh: &Mesh,
    shells: &Shells,
    wanted: impl IntoIterator<Item = u32>,
    progress: &Progress,
) -> Result<FxHashMap<u32, FaceTree>, Cancelled> {
    let mut faces: FxHashMap<u32, Vec<u32>> = wanted.into_iter().map(|shell| (shell, Vec::new())).collect();
    for (face, shell) in (0..).zip(&shells.of_triangle) {
        if let Some(of_shell) = faces.get_mut(shell) {
            of_shell.push(face);
        }
    }
    faces.into_par_iter().map(|(shell, faces)| Ok((shell, FaceTree::build_among(mesh, &faces, progress)?))).collect()
}

fn used_vertices(mesh: &Mesh) -> usize {
    let mut used = vec![false; mesh.vertices.len()];
    for &i in mesh.triangles.iter().flatten() {
        used[i as usize] = true;
    }
    used.into_iter().filter(|used| *used).count()
}

fn zero_area_faces(mesh: &Mesh) -> Vec<u32> {
    let on_one_line = |t: &usize| on_one_line(mesh.corners(*t).each_ref());
    (0..mesh.triangles.len()).into_par_iter().filter(on_one_line).map(|t| t as u32).collect()
}

/// Faces that lie on the same three vertices as an earlier one, counted at the edge of their two lower vertices.
fn duplicates_at(mesh: &Mesh, edge: Edge<'_>) -> usize {
    if edge.count() < 2 {
        return 0;
    }
    let mut third: Vec<u32> = Vec::new();
    for (face, _) in edge.faces() {
        let highest = mesh.triangles[face as usize].into_iter().max().unwrap_or_default();
        if highest > edge.high {
            third.push(highest);
        }
    }
    third.sort_unstable();
    third.windows(2).filter(|pair| pair[0] == pair[1]).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Point, solids};
    use proptest::prelude::*;
    use std::collections::HashSet;

    #[test]
    fn a_hollow_sphere_is_reported_as_two_sound_shells() {
        let (outer, inner) = (solids::sphere(Point::origin(), 50.0, 12), solids::sphere(Point::origin(), 46.0, 9));
        let report = inspect(&solids::hollow(&outer, &inner));
        assert!(report.closed);
        assert_eq!(report.triangles, 20 * (144 + 81));
        assert_eq!(report.vertices, 10 * (144 + 81) + 4);
        assert_eq!((report.euler, report.shells.len()), (4, 2));
        assert_eq!(
            (
                report.open_edges,
                report.over_used_edges,
                report.misturned_edges,
                report.zero_area_faces,
                report.duplicate_faces
            ),
            (0, 0, 0, 0, 0)
        );
        assert!((report.volume_mm3 / (outer.volume_mm3() - inner.volume_mm3()) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_is_reported_as_nothing() {
        let report = inspect(&Mesh::default());
        assert_eq!((report.triangles, report.vertices, report.euler, report.bounds), (0, 0, 0, None));
        assert!(report.shells.is_empty());
    }

    #[test]
    fn a_face_on_one_line_is_found_whatever_the_line() {
        let third = 1.0 / 3.0;
        let vertices = vec![
            Point::new(0.1, 0.7, -0.3),
            Point::new(0.2, 1.4, -0.6), // twice the first, exactly
            Point::origin(),
            Point::new(third, third, third + f64::EPSILON), // nearly, but not, on the line of the next two
            Point::new(1.0, 1.0, 1.0),
        ];
        let mesh = Mesh { vertices, triangles: vec![[2, 3, 4], [0, 1, 2], [0, 1, 4]] };
        let report = inspect(&mesh);
        assert_eq!((report.zero_area_faces, report.first_zero_area_face), (1, Some(1)));
    }

    #[test]
    fn a_face_stored_twice_is_a_duplicate_either_way_round() {
        let mut mesh = solids::cuboid(Point::origin(), Point::new(1.0, 1.0, 1.0));
        let [a, b, c] = mesh.triangles[4];
        mesh.triangles.push([b, c, a]);
        assert_eq!(inspect(&mesh).duplicate_faces, 1);
        mesh.triangles.push([c, b, a]);
        let report = inspect(&mesh);
        assert_eq!((report.duplicate_faces, report.over_used_edges), (2, 3));
        assert!(report.closed, "one extra face each way is balanced");
    }

    #[test]
    fn used_vertices_are_counted_and_others_are_not() {
        let mut mesh = solids::cuboid(Point::origin(), Point::new(1.0, 1.0, 1.0));
        mesh.vertices.push(Point::new(9.0, 9.0, 9.0));
        let report = inspect(&mesh);
        assert_eq!((report.vertices, report.euler), (8, 2));
        assert_eq!(report.bounds.unwrap().max, Point::new(1.0, 1.0, 1.0));
    }

    proptest! {
        #[test]
        fn duplicates_agree_with_a_plain_count(triangles in prop::collection::vec(prop::array::uniform3(0u32..6), 0..60)) {
            let triangles: Vec<_> = triangles.into_iter().filter(|[a, b, c]| a != b && b != c && c != a).collect();
            let vertices = (0..6).map(|i| Point::new(f64::from(i), f64::from(i * i), 0.0)).collect();
            let distinct: HashSet<[u32; 3]> = triangles
                .iter()
                .map(|t| { let mut t = *t; t.sort_unstable(); t })
                .collect();
            let expected = triangles.len() - distinct.len();
            prop_assert_eq!(inspect(&Mesh { vertices, triangles }).duplicate_faces, expected);
        }
    }
}
