//! A patch takes up the form of what is around it.

use super::envelope::Envelope;
use super::refine::{Links, Patch, cotangent};
use crate::{Cancelled, Point, Progress, Vector};

/// The faces of the mesh around a hole that have a corner on its rim.
pub(super) struct Around {
    /// Their corners that are not on the rim.
    pub places: Vec<Point>,
    /// Faces, with the vertices of the rim by their numbers along it, and the others after those.
    pub faces: Vec<[usize; 3]>,
}

/// Moves the vertices within a patch so that it leaves the rim in the direction in which the surface arrives there, and its
/// mean curvature changes as evenly as it can: spheres and cylinders go on as what they are. `false`, and the patch as it was,
/// where that cannot be solved.
///
/// What is solved for is ΔH = 0, with Δx = −2Hn on the surface: of fourth order in x, so that both place and direction hold at the
/// rim. Written as Δ²x = 2H(κ₁² + κ₂²)n it is linear but for the right side and the weights of Δ (cotangents: Pinkall and
/// Polthier, "Computing discrete minimal surfaces", 1993), which are those of the form before; some rounds bring it to rest.
/// (Schneider and Kobbelt, "Geometric fairing of irregular meshes for free-form surface design", 2001, solve the same in two
/// steps; Liepa, 2003, leaves the right side out, which pulls a cap of a sphere by some percent of its height.)
pub(super) fn fair(
    patch: &mut Patch,
    around: &Around,
    is_free: &dyn Fn(usize, usize) -> bool,
    progress: &Progress,
) -> Result<bool, Cancelled> {
    if patch.places.len() == patch.rim {
        return Ok(true);
    }
    let before = (patch.places.clone(), patch.faces.clone());
    for round in 0..ROUNDS {
        progress.check()?;
        let Some(moved) = step(patch, around, round > 0) else {
            (patch.places, patch.faces) = before;
            return Ok(false);
        };
        let size = nalgebra::distance(&patch.places[0], &patch.places[1]);
        Links::of(patch, is_free).relax();
        if moved <= size * AT_REST {
            break;
        }
    }
    Ok(true)
}

/// A cap of half a ball is at rest after ten. Our own choice, no source.
const ROUNDS: usize = 20;
/// At rest once no vertex moves farther than this share of an edge. Our own choice, no source.
const AT_REST: f64 = 1e-3;

/// Cotangents of angles below half a degree, of slivers around the hole, are taken to be no larger than this: they would drown
/// all others. Our own choice, no source.
const STEEPEST: f64 = 100.0;

/// One solution; how far a vertex moved at most.
fn step(patch: &mut Patch, around: &Around, curved: bool) -> Option<f64> {
    let form = Form::of(patch, around);
    let within = patch.rim..patch.places.len();
    let unknown = |v: usize| v.checked_sub(patch.rim).filter(|i| *i < within.len());
    // Unknowns share an entry where a vertex is beside both.
    let mut neighbours = vec![Vec::new(); within.len()];
    let rows = (0..patch.places.len()).filter(|v| form.is_whole[*v]);
    for v in rows.clone() {
        let near: Vec<usize> = form.weights[v].iter().map(|(j, _)| *j).chain([v]).filter_map(unknown).collect();
        for &i in &near {
            neighbours[i].extend(near.iter().copied().filter(|j| *j != i));
        }
    }
    for list in &mut neighbours {
        list.sort_unstable();
        list.dedup();
    }
    let mut matrix = Envelope::new(&neighbours);
    let mut right = vec![[0.0; 3]; within.len()];
    for v in rows {
        // Of this row of Δ: the weight of each vertex.
        let total: f64 = form.weights[v].iter().map(|(_, w)| w).sum();
        let row: Vec<(usize, f64)> = form.weights[v].iter().copied().chain([(v, -total)]).collect();
        let known: Vector =
            row.iter().filter(|(j, _)| unknown(*j).is_none()).map(|(j, w)| form.places[*j].coords * *w).sum();
        for (a, (j, w)) in row.iter().enumerate() {
            let Some(i) = unknown(*j) else { continue };
            for k in 0..3 {
                right[i][k] -= w * known[k] / form.area[v];
            }
            for (k, u) in &row[..=a] {
                if let Some(k) = unknown(*k) {
                    matrix.add(i, k, w * u / form.area[v]);
                }
            }
        }
    }
    if curved {
        for v in within.clone() {
            let bend = form.bend(v);
            for k in 0..3 {
                right[v - patch.rim][k] += bend[k];
            }
        }
    }
    let solved = matrix.solve(&right)?;
    let mut moved = 0.0_f64;
    for (place, solved) in patch.places[within].iter_mut().zip(solved) {
        let solved = Point::from(solved);
        if !solved.iter().all(|x| x.is_finite()) {
            return None;
        }
        moved = moved.max(nalgebra::distance(place, &solved));
        *place = solved;
    }
    Some(moved)
}

/// A patch and what is around it, measured.
struct Form {
    /// Of the patch, then those around.
    places: Vec<Point>,
    /// Neighbours with the cotangents of the angles opposite, halved.
    weights: Vec<Vec<(usize, f64)>>,
    /// A third of the faces around each vertex, mm².
    area: Vec<f64>,
    normals: Vec<Vector>,
    /// Whether there are faces all round a vertex.
    is_whole: Vec<bool>,
}

impl Form {
    fn of(patch: &Patch, around: &Around) -> Form {
        let (rim, own) = (patch.rim, patch.places.len());
        let places: Vec<Point> = patch.places.iter().chain(&around.places).copied().collect();
        // Those around are numbered after the rim; here they come after the vertices within.
        let shifted = around.faces.iter().map(|face| face.map(|v| if v < rim { v } else { v - rim + own }));
        let mut weights: Vec<Vec<(usize, f64)>> = vec![Vec::new(); places.len()];
        let (mut area, mut normals) = (vec![0.0; places.len()], vec![Vector::zeros(); places.len()]);
        let mut sides = vec![0_usize; places.len()];
        for face in patch.faces.iter().copied().chain(shifted) {
            let corners = face.map(|v| places[v]);
            let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0]));
            for k in 0..3 {
                let [a, b, c] = [face[k], face[(k + 1) % 3], face[(k + 2) % 3]];
                area[a] += normal.norm() / 6.0;
                normals[a] += normal;
                sides[a] += 1;
                let weight = cotangent(&places[a], &places[b], &places[c]).clamp(-STEEPEST, STEEPEST) / 2.0;
                for (from, to) in [(b, c), (c, b)] {
                    match weights[from].iter_mut().find(|(v, _)| *v == to) {
                        Some((_, known)) => *known += weight,
                        None => weights[from].push((to, weight)),
                    }
                }
            }
        }
        let is_whole = (0..places.len()).map(|v| v < own && sides[v] == weights[v].len() && area[v] > 0.0).collect();
        let normals = normals.into_iter().map(|n| n.try_normalize(0.0).unwrap_or_else(Vector::zeros)).collect();
        Form { places, weights, area, normals, is_whole }
    }

    /// The right side at a vertex within: 2H(κ₁² + κ₂²)n times its area.
    fn bend(&self, v: usize) -> Vector {
        let normal = self.normals[v];
        let of = |value: &dyn Fn(usize) -> Vector| -> Vector {
            self.weights[v].iter().map(|(j, w)| (value(*j) - value(v)) * *w).sum()
        };
        // Both with the area of the vertex in them.
        let mean = -of(&|j| self.places[j].coords).dot(&normal) / 2.0;
        let squares = -of(&|j| self.normals[j]).dot(&normal) / self.area[v];
        normal * (2.0 * mean * squares.max(0.0))
    }
}
