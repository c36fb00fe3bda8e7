//! Planes that mirror a model.
//!
//! Planes square to the axes of the frame and to the principal axes of the surface, through its middle, are tried: points of
//! the surface are mirrored, and the plane is moved to where mirrored points and the surface nearest to them agree best, some
//! times over (as in Besl and McKay, "A method for registration of 3-D shapes", 1992; the mirror that best fits pairs of points
//! has the direction in which they lie apart as its normal).

use nalgebra::Matrix3;

use super::{Detail, DetailKind};
use crate::closest::on_triangle;
use crate::tree::FaceTree;
use crate::{Bounds, Cancelled, Mesh, Plane, Point, Progress, Vector};

/// Places mirrored. Our own choice, no source.
const SAMPLES: usize = 1500;
/// Distance of a mirrored place from the surface that counts as on it, as a share of the model's diagonal. Our own choice, no
/// source.
const OFF_SHARE: f64 = 0.004;
/// Share of the surface that must be mirrored onto the surface. Our own choice, no source.
const MIRRORED_SHARE: f64 = 0.9;
/// Cosine of two and a half degrees: planes nearer than that in direction are the same one, found from two sides. Our own
/// choice, no source.
const SAME_DIRECTION: f64 = 0.999;
/// Times that a plane is moved at most. Our own choice, no source.
const ROUNDS: usize = 6;

pub(super) fn find(mesh: &Mesh, bounds: &Bounds, progress: &Progress) -> Result<Vec<Detail>, Cancelled> {
    let size = bounds.diagonal();
    let places = samples(mesh);
    if places.len() < 3 {
        return Ok(Vec::new());
    }
    let tree = FaceTree::build(mesh, progress)?;
    let nearest = |p: &Point| -> Option<(Point, f64)> {
        let mut best: Option<(Point, f64)> = None;
        // Farther off than this nothing is a counterpart.
        let far = size * 0.1;
        tree.near(p, far, &mut |face| {
            let on = on_triangle(p, &mesh.corners(face as usize));
            let off = nalgebra::distance(p, &on);
            if off <= best.map_or(far, |(_, off)| off) {
                best = Some((on, off));
            }
            best.map_or(far, |(_, off)| off)
        });
        best
    };
    let middle = places.iter().map(|p| p.coords).sum::<Vector>() / places.len() as f64;
    let spread: Matrix3<f64> = places.iter().map(|p| p.coords - middle).map(|d| d * d.transpose()).sum();
    let own = spread.symmetric_eigen().eigenvectors;
    let normals = (0..3).map(|k| Vector::ith(k, 1.0)).chain((0..3).map(|k| own.column(k).into_owned()));
    let starts = normals.flat_map(|normal| [middle, bounds.centre().coords].map(|at| (normal, Point::from(at))));
    let mut found: Vec<Detail> = Vec::new();
    for (normal, at) in starts {
        progress.check()?;
        let Ok(mut plane) = Plane::through(at, normal) else { continue };
        let mut last = None;
        for _ in 0..ROUNDS {
            let pairs: Vec<(Point, Point, f64)> =
                places.iter().filter_map(|p| nearest(&mirrored(&plane, p)).map(|(on, off)| (*p, on, off))).collect();
            let on_it = pairs.iter().filter(|(.., off)| *off <= OFF_SHARE * size).count();
            let share = on_it as f64 / places.len() as f64;
            if last.as_ref().is_some_and(|(best, _)| share <= *best) {
                break;
            }
            last = Some((share, plane));
            let Some(better) = fitted(&pairs, &plane, OFF_SHARE * size * 4.0) else { break };
            plane = better;
        }
        let Some((share, plane)) = last.filter(|(share, _)| *share >= MIRRORED_SHARE) else { continue };
        // Two parallel planes cannot both mirror what has an end.
        let is_known = |detail: &Detail| detail.plane.normal().dot(&plane.normal()).abs() > SAME_DIRECTION;
        if !found.iter().any(is_known) {
            let off_mm = OFF_SHARE * size;
            found.push(Detail { plane, kind: DetailKind::Symmetry, off_mm, extent: share, places: Vec::new() });
        }
    }
    found.sort_by(|a, b| b.extent.total_cmp(&a.extent));
    Ok(found)
}

fn mirrored(plane: &Plane, p: &Point) -> Point {
    p - plane.normal() * (2.0 * plane.distance_mm(p))
}

/// The mirror that fits pairs best that are no farther off than `within_mm`.
fn fitted(pairs: &[(Point, Point, f64)], plane: &Plane, within_mm: f64) -> Option<Plane> {
    let near = || pairs.iter().filter(|(.., off)| *off <= within_mm);
    let apart: Matrix3<f64> = near().map(|(p, q, _)| q - p).map(|d| d * d.transpose()).sum();
    let eigen = apart.symmetric_eigen();
    let normal = eigen.eigenvectors.column(eigen.eigenvalues.imax()).into_owned();
    let normal = if normal.dot(&plane.normal()) < 0.0 { -normal } else { normal };
    let count = near().count();
    let middle = near().map(|(p, q, _)| (p.coords + q.coords) / 2.0).sum::<Vector>() / count.max(1) as f64;
    // A first guess that is far off may turn over to another axis, which is tried by itself.
    (count > 2 && normal.dot(&plane.normal()) > 0.9).then(|| Plane::through(Point::from(middle), normal).ok()).flatten()
}

/// Places spread evenly over the surface: the middles of the faces that every so much of its area falls on.
fn samples(mesh: &Mesh) -> Vec<Point> {
    let step = mesh.area_mm2() / SAMPLES as f64;
    if !(step > 0.0 && step.is_finite()) {
        return Vec::new();
    }
    let mut walked = 0.0;
    let mut places = Vec::with_capacity(SAMPLES);
    for face in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners(face);
        let area = (b - a).cross(&(c - a)).norm() / 2.0;
        let before = (walked / step).floor();
        walked += area;
        let count = ((walked / step).floor() - before) as usize;
        for i in 0..count.min(SAMPLES) {
            // Spread over a large face by the golden section.
            let (u, v) = ((i as f64 + 0.5) / count as f64, (i as f64 * 0.618_033_988_749_895 + 0.5).fract());
            let root = u.sqrt();
            places.push(a + (b - a) * (root * (1.0 - v)) + (c - a) * (root * v));
        }
    }
    places
}
