//! The unconnected bodies that a solid consists of.

mod columns;
mod nest;

use rayon::prelude::*;

use crate::parts::{self, Part};
use crate::{Cancelled, CutOutcome, EdgeTable, Mesh, Plane, Progress, Shells, Side, Solid, cut};
use nest::Nest;

/// Parts `solid` into its bodies, in the order of their first faces.
///
/// A body is a shell together with what begins inside it: its cavities (inward shells directly inside it) and shells
/// that begin in its material, which could not be printed apart. Only closed shells have an inside. Shells that merely
/// cross without one having a vertex of [`PROBES`] inside the other count as separate.
pub fn bodies(solid: Solid) -> Vec<Solid> {
    // Nobody else holds this handle, so that it is never cancelled.
    bodies_with(solid, &Progress::new()).unwrap_or_default()
}

/// Like [`bodies`], for models of so many shells that it may take long.
pub fn bodies_with(solid: Solid, progress: &Progress) -> Result<Vec<Solid>, Cancelled> {
    let (shells, body_of_shell) = told_apart(&solid.mesh, progress)?;
    let count = count_in(&body_of_shell);
    if count <= 1 {
        return Ok(vec![solid]);
    }
    progress.check()?;
    Ok(gather(&solid, &shells, &body_of_shell, count))
}

/// The faces of the shells of each of `count` groups as solids of their own.
pub(crate) fn gather(solid: &Solid, shells: &Shells, group_of_shell: &[u32], count: usize) -> Vec<Solid> {
    let of_face: Vec<u32> = shells.of_triangle.par_iter().map(|shell| group_of_shell[*shell as usize]).collect();
    let body = |Part { mesh, faces }: Part| {
        let mut origins = Vec::with_capacity(mesh.triangles.len());
        faces.into_iter().for_each(|run| origins.extend_from_slice(&solid.origins[run]));
        Solid { mesh, origins, resolution: solid.resolution }
    };
    parts::split(&solid.mesh, &of_face, count).into_par_iter().map(body).collect()
}

/// For each shell that is asked for, the one that it belongs to, if any: see [`bodies`].
pub(crate) fn homes(mesh: &Mesh, shells: &Shells, edges: &EdgeTable, of: &[bool]) -> Vec<Option<usize>> {
    if !of.contains(&true) {
        return vec![None; of.len()];
    }
    // Nobody else holds this handle, so that it is never cancelled.
    let nest = Nest::of(mesh, shells, edges, |shell| of[shell as usize], &Progress::new());
    nest.map_or_else(|_| vec![None; of.len()], |nest| nest.homes())
}

/// How many bodies [`bodies`] would find, without making them; 0 for a solid without faces.
pub fn count_bodies(solid: &Solid, progress: &Progress) -> Result<usize, Cancelled> {
    told_apart(&solid.mesh, progress).map(|(_, body_of_shell)| count_in(&body_of_shell))
}

/// How many bodies a cut of `solid` by `plane` would leave below and above: for when the hand that moves a plane rests.
/// Makes the cut and counts, so that what is told is what comes. 4 ms for the 80 000 faces of the demo helm
/// (`examples/wall_speed.rs`).
pub fn count_bodies_of_sides(solid: &Solid, plane: &Plane, progress: &Progress) -> Result<[usize; 2], Cancelled> {
    match cut(solid, plane, 0, progress)? {
        // Only finite planes leave something unreached.
        CutOutcome::Missed(Side::Below) | CutOutcome::Unreached { .. } => Ok([count_bodies(solid, progress)?, 0]),
        CutOutcome::Missed(Side::Above) => Ok([0, count_bodies(solid, progress)?]),
        CutOutcome::Parted(parted) => {
            let count = |side| count_bodies(side, progress);
            let (below, above) = rayon::join(|| count(&parted.below), || count(&parted.above));
            Ok([below?, above?])
        }
    }
}

/// The shells of a mesh, and the body that each belongs to.
fn told_apart(mesh: &Mesh, progress: &Progress) -> Result<(Shells, Vec<u32>), Cancelled> {
    progress.check()?;
    let edges = EdgeTable::new(mesh);
    let shells = Shells::of_edges(&edges);
    let body_of_shell = match shells.count {
        0 | 1 => vec![0; shells.count as usize],
        _ => Nest::of(mesh, &shells, &edges, |_| true, progress)?.bodies(),
    };
    Ok((shells, body_of_shell))
}

fn count_in(body_of_shell: &[u32]) -> usize {
    body_of_shell.iter().max().map_or(0, |last| *last as usize + 1)
}

/// Vertices of a shell that are tried for lying inside another one, spread evenly over its faces. More would find more
/// of the shells that only just cross; eight decide all nested and all deeply crossing ones.
pub const PROBES: usize = 8;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Point, Vector, solids};

    fn sides(mesh: Mesh, normal: Vector, offset_mm: f64) -> [usize; 2] {
        let (solid, plane) = (Solid::from_stock(mesh), Plane::new(normal, offset_mm).unwrap());
        let counted = count_bodies_of_sides(&solid, &plane, &Progress::new()).unwrap();
        // The law: what a cut and its bodies give.
        let made = |side: Solid| if side.mesh.triangles.is_empty() { 0 } else { bodies(side).len() };
        let wanted = match cut(&solid, &plane, 0, &Progress::new()).unwrap() {
            CutOutcome::Missed(Side::Below) | CutOutcome::Unreached { .. } => [made(solid), 0],
            CutOutcome::Missed(Side::Above) => [0, made(solid)],
            CutOutcome::Parted(parted) => [made(parted.below), made(parted.above)],
        };
        assert_eq!(counted, wanted);
        counted
    }

    #[test]
    fn an_arch_falls_into_its_bow_and_its_two_legs() {
        let ring = solids::torus(Point::origin(), 20.0, 5.0, 60, 30);
        assert_eq!(sides(ring.clone(), Vector::x(), 0.1), [1, 1]);
        assert_eq!(sides(ring.clone(), Vector::x(), 40.0), [1, 0]);
        assert_eq!(sides(ring.clone(), Vector::x(), -40.0), [0, 1]);
        let half = Plane::new(Vector::x(), 0.1).unwrap();
        let CutOutcome::Parted(halves) = cut(&Solid::from_stock(ring), &half, 0, &Progress::new()).unwrap() else {
            panic!("the plane goes through the ring")
        };
        assert_eq!(sides(halves.below.mesh, Vector::x(), -10.0), [1, 2]);
    }

    #[test]
    fn a_cavity_is_no_body_whether_the_plane_opens_it_or_not() {
        let ball = |radius_mm| solids::sphere(Point::origin(), radius_mm, 12);
        let hollow = solids::hollow(&ball(10.0), &ball(6.0));
        assert_eq!(sides(hollow.clone(), Vector::z(), 1.0), [1, 1]);
        assert_eq!(sides(hollow.clone(), Vector::z(), 8.0), [1, 1]);
        assert_eq!(sides(solids::joined(&[&hollow, &ball(3.0)]), Vector::z(), 8.0), [2, 1]);
        assert_eq!(sides(Mesh::default(), Vector::z(), 8.0), [0, 0]);
    }

    #[test]
    fn counting_can_be_cancelled() {
        let solid = Solid::from_stock(solids::sphere(Point::origin(), 5.0, 3));
        let progress = Progress::new();
        progress.cancel();
        assert!(count_bodies(&solid, &progress).is_err());
        assert!(count_bodies_of_sides(&solid, &Plane::new(Vector::z(), 0.0).unwrap(), &progress).is_err());
    }
}
