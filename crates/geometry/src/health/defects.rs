//! Where the defects are that a look at faces, edges and shells tells.

use rayon::prelude::*;

use super::loops::{OpenLoop, open_loops};
use crate::predicates::on_one_line;
use crate::{Bounds, Cancelled, EdgePlace, EdgeTable, Mesh, Nesting, Progress, ShellReport, Shells, nesting};

/// Every defect of a mesh but those that [`crossings`](crate::crossings), [`gaps`](crate::gaps) and
/// [`thin_walls`](crate::thin_walls) find, with its places; the worst first in each list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Defects {
    /// Rims of holes, longest first.
    pub open: Vec<OpenLoop>,
    /// Edges with more than two faces, longest first.
    pub over_used: Vec<EdgePlace>,
    /// Edges with two faces, one of which is turned the wrong way; longest first.
    pub misturned: Vec<EdgePlace>,
    /// Faces whose corners lie exactly on one line, longest first.
    pub zero_area: Vec<u32>,
    /// Faces on the same three vertices as an earlier one, turned either way, largest first.
    pub duplicates: Vec<Duplicate>,
    /// Faces with a corner that is no number or infinite, in their order. Readers set such faces aside.
    pub not_numbers: Vec<u32>,
    /// Closed shells that face inwards and are the wall of no cavity, largest first.
    pub inside_out: Vec<u32>,
    /// Shells smaller than [`DEBRIS_SHARE`] of the whole, largest first: the largest is the one whose loss would be seen.
    pub debris: Vec<u32>,
    /// Which shell lies in which.
    pub nesting: Nesting,
    /// Measures of all shells.
    pub shells: Vec<ShellReport>,
}

/// A face on the same three vertices as an earlier one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Duplicate {
    /// The face.
    pub face: u32,
    /// The first face on these vertices.
    pub first: u32,
    /// Whether both are turned the same way.
    pub same_way: bool,
}

/// A shell whose box has a diagonal of at most this share of that of the whole is debris: 3 mm on a helm of 30 cm. Our own
/// choice, no source; rivets and eyes may be as small, so that nobody drops debris unasked.
pub const DEBRIS_SHARE: f64 = 0.01;

/// Finds every defect that needs no comparing of faces with faces. Takes a few times as long as
/// [`inspect`](crate::inspect()).
pub fn defects(mesh: &Mesh, progress: &Progress) -> Result<Defects, Cancelled> {
    progress.stage("looking for defects");
    let edges = EdgeTable::new(mesh);
    let shells = Shells::of_edges(&edges);
    progress.check()?;
    let reports = shells.reports(mesh, &edges);
    let (mut over_used, mut misturned) = (Vec::new(), Vec::new());
    for edge in edges.edges().filter(|edge| edge.count() != 1 && (edge.count() > 2 || edge.balance() != 0)) {
        let Some((face, _)) = edge.faces().next() else { continue };
        let ends = [edge.low, edge.high].map(|v| mesh.vertices[v as usize]);
        let place = EdgePlace { face, ends, length_mm: nalgebra::distance(&ends[0], &ends[1]) };
        if edge.count() > 2 { over_used.push(place) } else { misturned.push(place) }
    }
    for list in [&mut over_used, &mut misturned] {
        list.sort_by(|a, b| b.length_mm.total_cmp(&a.length_mm).then(a.face.cmp(&b.face)));
    }
    let nesting = nesting(mesh, &shells, &reports, progress)?;
    let diagonal = |shell: &u32| reports[*shell as usize].bounds.diagonal();
    let larger = |a: &u32, b: &u32| diagonal(b).total_cmp(&diagonal(a)).then(a.cmp(b));
    let mut inside_out = nesting.inside_out.clone();
    inside_out.sort_by(larger);
    progress.check()?;
    let mut debris = debris(&reports);
    debris.sort_by(larger);
    Ok(Defects {
        open: open_loops(mesh, &edges),
        over_used,
        misturned,
        zero_area: zero_area(mesh),
        duplicates: by_area(mesh, duplicates(mesh)),
        not_numbers: not_numbers(mesh),
        inside_out,
        debris,
        nesting,
        shells: reports,
    })
}

/// Shells that are [debris](DEBRIS_SHARE), in their order.
fn debris(reports: &[ShellReport]) -> Vec<u32> {
    let Some(whole) = reports.iter().map(|report| report.bounds).reduce(|a, b| Bounds::union(&a, &b)) else {
        return Vec::new();
    };
    let most = whole.diagonal() * DEBRIS_SHARE;
    (0..reports.len() as u32).filter(|&i| reports[i as usize].bounds.diagonal() <= most).collect()
}

fn zero_area(mesh: &Mesh) -> Vec<u32> {
    let flat = |t: &u32| on_one_line(mesh.corners(*t as usize).each_ref());
    let mut faces: Vec<u32> = (0..mesh.triangles.len() as u32).into_par_iter().filter(flat).collect();
    let longest = |face: &u32| {
        let [a, b, c] = mesh.corners(*face as usize);
        (b - a).norm().max((c - b).norm()).max((a - c).norm())
    };
    faces.sort_by(|a, b| longest(b).total_cmp(&longest(a)).then(a.cmp(b)));
    faces
}

fn not_numbers(mesh: &Mesh) -> Vec<u32> {
    let is_none = |t: &u32| mesh.corners(*t as usize).iter().any(|p| !p.iter().all(|x| x.is_finite()));
    (0..mesh.triangles.len() as u32).into_par_iter().filter(is_none).collect()
}

fn by_area(mesh: &Mesh, mut duplicates: Vec<Duplicate>) -> Vec<Duplicate> {
    let area = |d: &Duplicate| {
        let [a, b, c] = mesh.corners(d.face as usize);
        (b - a).cross(&(c - a)).norm()
    };
    duplicates.sort_by(|a, b| area(b).total_cmp(&area(a)).then(a.cmp(b)));
    duplicates
}

/// Faces on the same three vertices as an earlier one, in their order.
pub(crate) fn duplicates(mesh: &Mesh) -> Vec<Duplicate> {
    let key = |face: usize| {
        let mut corners = mesh.triangles[face];
        corners.sort_unstable();
        (corners, face as u32)
    };
    let mut keys: Vec<([u32; 3], u32)> = (0..mesh.triangles.len()).into_par_iter().map(key).collect();
    keys.par_sort_unstable();
    let mut found: Vec<Duplicate> = keys
        .par_chunk_by(|a, b| a.0 == b.0)
        .filter(|group| group.len() > 1)
        .flat_map_iter(|group| {
            let first = group[0].1;
            let turn = |face: u32| is_even(mesh.triangles[face as usize]);
            group[1..].iter().map(move |(_, face)| Duplicate {
                face: *face,
                first,
                same_way: turn(*face) == turn(first),
            })
        })
        .collect();
    found.par_sort_unstable();
    found
}

/// Whether the corners are in rising order but for a cyclic turn.
fn is_even([a, b, c]: [u32; 3]) -> bool {
    [(a < b), (b < c), (c < a)].into_iter().filter(|rising| *rising).count() == 2
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Point, inspect, solids};

    fn found(mesh: &Mesh) -> Defects {
        defects(mesh, &Progress::new()).unwrap()
    }

    #[test]
    fn a_sound_hollow_ball_has_no_defects() {
        let ball = |r: f64| solids::sphere(Point::origin(), r, 6);
        let sound = found(&solids::hollow(&ball(9.0), &ball(8.0)));
        assert_eq!(sound.nesting.cavity_of, [None, Some(0)]);
        assert_eq!(sound.shells.len(), 2);
        assert_eq!(Defects { nesting: Nesting::default(), shells: vec![], ..sound }, Defects::default());
    }

    #[test]
    fn every_defect_is_found_in_its_place() {
        let ball = solids::sphere(Point::origin(), 100.0, 6);
        let mut mesh = solids::joined(&[
            &ball,
            &solids::sphere(Point::new(300.0, 0.0, 0.0), 0.5, 2),
            &solids::inverted(&solids::sphere(Point::new(400.0, 0.0, 0.0), 20.0, 4)),
        ]);
        let hole = mesh.triangles.swap_remove(100);
        mesh.triangles[5].swap(0, 1);
        let [a, b, c] = mesh.triangles[50];
        mesh.triangles.extend([[b, c, a], [c, b, a]]);
        let n = mesh.vertices.len() as u32;
        mesh.vertices.extend([0.0, 1.0, 3.0].map(|x| Point::new(x, 2.0 * x, 500.0)));
        mesh.vertices.push(Point::new(0.0, f64::NAN, 0.0));
        mesh.triangles.extend([[n, n + 1, n + 2], [0, 1, n + 3]]);
        let found = found(&mesh);
        let mut expected = hole;
        expected.sort_unstable();
        assert!(found.open.iter().any(|l| {
            let mut vertices = l.vertices.clone();
            vertices.sort_unstable();
            vertices == expected
        }));
        assert_eq!(found.over_used.len(), 3);
        assert_eq!(found.misturned.len(), 3);
        assert!(found.misturned.windows(2).all(|w| w[0].length_mm >= w[1].length_mm));
        let last = mesh.triangles.len() as u32 - 1;
        assert_eq!(found.zero_area, [last - 1]);
        assert_eq!(
            found.duplicates,
            [
                Duplicate { face: last - 3, first: 50, same_way: true },
                Duplicate { face: last - 2, first: 50, same_way: false }
            ]
        );
        assert_eq!(found.not_numbers, [last]);
        assert_eq!(found.inside_out.len(), 1);
        assert!((found.shells[found.inside_out[0] as usize].bounds.min.x - 380.0).abs() < 1.0);
    }

    #[test]
    fn small_shells_are_debris() {
        let mesh = solids::joined(&[
            &solids::sphere(Point::origin(), 100.0, 6),
            &solids::sphere(Point::new(30.0, 0.0, 0.0), 0.5, 2),
            &solids::sphere(Point::new(150.0, 0.0, 0.0), 0.9, 2),
            &solids::sphere(Point::new(170.0, 0.0, 0.0), 5.0, 2),
        ]);
        assert_eq!(found(&mesh).debris, [2, 1]);
    }

    #[test]
    fn lists_are_as_long_as_the_counts_of_the_report() {
        let mut mesh = solids::torus(Point::origin(), 9.0, 3.0, 20, 12);
        for i in 0..40 {
            mesh.triangles[i * 7].swap(0, i % 3);
        }
        mesh.triangles.extend_from_within(10..30);
        let (found, report) = (found(&mesh), inspect(&mesh));
        assert_eq!(found.misturned.len(), report.misturned_edges);
        assert_eq!(found.over_used.len(), report.over_used_edges);
        assert_eq!(found.duplicates.len(), report.duplicate_faces);
    }
}
