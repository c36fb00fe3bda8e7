//! Solids united and taken away from each other: the one place where the library for that is used.

use std::time::Duration;

use manifold_rust::cancel::CancelToken;
use manifold_rust::manifold::Manifold;
use manifold_rust::types::{BooleanEngine, Error, MeshGL64, OpType, WindingRule};

use crate::mend::NEW_FACE;
use crate::{Mesh, Point, Progress, edge_report};

/// What the library made, and for each face the number of the one that it is part of.
pub(crate) struct Made {
    pub mesh: Mesh,
    pub came_from: Vec<u32>,
}

/// Why it made nothing.
pub(crate) enum Refusal {
    Cancelled,
    Because(String),
}

/// The solid of all places that these faces go round at least once. Faces are known by `numbers`.
pub(crate) fn united(faces: &Mesh, numbers: &[u32], progress: &Progress) -> Result<Made, Refusal> {
    let input = handed_over(faces, numbers.iter().copied());
    let output = off_thread(progress, move |token| {
        let given = taken(&input)?;
        finished(&given.rebuild_solid_with_token(WindingRule::Positive, Some(token)))
    })?;
    let made = received(&output);
    if made.mesh.triangles.is_empty() { Err(open()) } else { closed(made) }
}

/// How what overlaps within one of the two is taken.
#[derive(Clone, Copy)]
pub(crate) enum Overlaps {
    /// What its faces go round at least once is solid.
    Solid,
    /// As the library takes it; neither of the two should have any.
    None,
}

/// What is left of `solid` without `other`. Faces of `solid` keep their numbers, those of `other` are [`NEW_FACE`]. May be
/// nothing.
pub(crate) fn without(solid: &Mesh, other: &Mesh, overlaps: Overlaps, progress: &Progress) -> Result<Made, Refusal> {
    // The library has no room for `NEW_FACE`: those of the other are numbered on.
    let own = solid.triangles.len() as u32;
    let inputs = [handed_over(solid, 0..own), handed_over(other, (own..).take(other.triangles.len()))];
    let output = off_thread(progress, move |token| {
        let [from, away] = [taken(&inputs[0])?, taken(&inputs[1])?];
        let (op, token) = (OpType::Subtract, Some(token));
        finished(&match overlaps {
            Overlaps::Solid => {
                let (engine, rule) = (BooleanEngine::Robust, WindingRule::Positive);
                from.boolean_with_engine_rule_and_progress(&away, op, engine, rule, token, None)
            }
            Overlaps::None => from.boolean_with_engine_and_token(&away, op, BooleanEngine::Auto, token),
        })
    })?;
    let mut made = received(&output);
    made.came_from.iter_mut().filter(|from| **from >= own).for_each(|from| *from = NEW_FACE);
    closed(made)
}

fn handed_over(mesh: &Mesh, numbers: impl Iterator<Item = u32>) -> MeshGL64 {
    MeshGL64 {
        num_prop: 3,
        vert_properties: mesh.vertices.iter().flat_map(|p| [p.x, p.y, p.z]).collect(),
        tri_verts: mesh.triangles.iter().flatten().map(|&v| u64::from(v)).collect(),
        face_id: numbers.map(u64::from).collect(),
        ..MeshGL64::default()
    }
}

fn taken(input: &MeshGL64) -> Result<Manifold, String> {
    let given = Manifold::from_mesh_gl64_robust(input);
    match given.status() {
        Error::NoError => Ok(given),
        refused => Err(format!("{refused:?}")),
    }
}

fn finished(made: &Manifold) -> Result<MeshGL64, String> {
    match made.status() {
        Error::NoError => Ok(made.get_mesh_gl64(-1)),
        refused => Err(format!("{refused:?}")),
    }
}

fn received(output: &MeshGL64) -> Made {
    let stride = (output.num_prop as usize).max(3);
    let vertices = output.vert_properties.chunks_exact(stride).map(|p| Point::new(p[0], p[1], p[2])).collect();
    let triangles: Vec<[u32; 3]> = output.tri_verts.chunks_exact(3).map(|t| [0, 1, 2].map(|k| t[k] as u32)).collect();
    let from = |t: usize| output.face_id.get(t).and_then(|id| u32::try_from(*id).ok()).unwrap_or(NEW_FACE);
    let came_from = (0..triangles.len()).map(from).collect();
    Made { mesh: Mesh { vertices, triangles }, came_from }
}

fn closed(made: Made) -> Result<Made, Refusal> {
    let fits = made.mesh.triangles.iter().flatten().all(|v| (*v as usize) < made.mesh.vertices.len());
    if fits && edge_report(&made.mesh).closed() { Ok(made) } else { Err(open()) }
}

fn open() -> Refusal {
    Refusal::Because("what it makes is not closed".to_owned())
}

/// Runs the library beside this thread, which passes a wish to stop on, and keeps a panic of its from reaching anybody.
fn off_thread<T: Send>(
    progress: &Progress,
    work: impl FnOnce(&CancelToken) -> Result<T, String> + Send,
) -> Result<T, Refusal> {
    let token = CancelToken::new();
    let outcome = std::thread::scope(|scope| {
        let running = scope.spawn(|| work(&token));
        while !running.is_finished() {
            if progress.check().is_err() {
                token.cancel();
            }
            std::thread::sleep(LOOK_EVERY);
        }
        running.join()
    });
    if progress.check().is_err() {
        return Err(Refusal::Cancelled);
    }
    outcome.unwrap_or_else(|_| Err("it failed within".to_owned())).map_err(Refusal::Because)
}

/// A wish to stop is passed on within this: shorter than anybody notices, too seldom to cost anything.
const LOOK_EVERY: Duration = Duration::from_millis(5);
