//! Open shells whose holes are so clearly holes that what they go round is known all the same.

use super::{Mended, Work, holes};
use crate::{Cancelled, EdgeTable, Mesh, Point, Progress, ShellReport, Shells, Vector, open_loops};

/// Holes that are together no larger than this share of the surface of their shell are clearly holes; larger ones may be meant: the
/// neck of a helm, the mouth of a cup. Our own choice, no source.
pub(super) const CLEAR_SHARE: f64 = 0.1;
/// Rims of clear holes have at most this many edges. Our own choice, no source.
const CLEAR_EDGES: usize = 200;

/// The mesh with the holes of those of the `wanted` shells filled of which all holes are clear: closed rims, that go round no more
/// than [`CLEAR_SHARE`] of the shell's area. The faces of before keep their places. `None` where there are none.
pub(super) fn closed(
    mesh: &Mesh,
    edges: &EdgeTable,
    shells: &Shells,
    reports: &[ShellReport],
    wanted: &[bool],
    progress: &Progress,
) -> Result<Option<Mended>, Cancelled> {
    let is_open = |shell: usize| wanted[shell] && !reports[shell].closed;
    if !(0..reports.len()).any(is_open) {
        return Ok(None);
    }
    let mut shell_of_vertex = vec![u32::MAX; mesh.vertices.len()];
    for (face, &shell) in mesh.triangles.iter().zip(&shells.of_triangle) {
        face.iter().for_each(|v| shell_of_vertex[*v as usize] = shell);
    }
    let shell_of = |vertices: &[u32]| vertices.first().map(|v| shell_of_vertex[*v as usize] as usize);
    let mut clear: Vec<bool> = (0..reports.len()).map(is_open).collect();
    let mut holes_mm2 = vec![0.0; reports.len()];
    for rim in open_loops(mesh, edges) {
        let Some(shell) = shell_of(&rim.vertices).filter(|shell| *shell < reports.len()) else { continue };
        holes_mm2[shell] += area(mesh, &rim.vertices);
        clear[shell] &= rim.closed && rim.vertices.len() <= CLEAR_EDGES;
    }
    for shell in 0..reports.len() {
        clear[shell] &= holes_mm2[shell] > 0.0 && holes_mm2[shell] <= CLEAR_SHARE * reports[shell].area_mm2;
    }
    if !clear.contains(&true) {
        return Ok(None);
    }
    let is_wanted = |vertices: &[u32]| shell_of(vertices).is_some_and(|shell| clear.get(shell) == Some(&true));
    let filling = holes::Filling { most_edges: CLEAR_EDGES, curved: true, anywhere: true };
    holes::fill_those(Work::new(mesh), filling, &is_wanted, progress).map(Some)
}

/// What a rim goes round, mm² (Newell).
fn area(mesh: &Mesh, rim: &[u32]) -> f64 {
    let places: Vec<Point> = rim.iter().map(|&v| mesh.vertices[v as usize]).collect();
    let Some(origin) = places.first().copied() else { return 0.0 };
    let next = places.iter().cycle().skip(1);
    let twice: Vector = places.iter().zip(next).map(|(a, b)| (a - origin).cross(&(b - origin))).sum();
    twice.norm() / 2.0
}
