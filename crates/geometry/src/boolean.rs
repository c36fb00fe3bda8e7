//! The library for booleans of meshes: handing meshes over, running it beside, taking meshes back.
//!
//! It is slow beside the ways of our own and moves vertices, but asks little of its input: what those cannot do goes
//! through it.

use std::time::Duration;

use manifold_rust::cancel::CancelToken;
use manifold_rust::manifold::Manifold;
use manifold_rust::types::{BooleanEngine, Error, MeshGL64, OpType, WindingRule};

use crate::{Mesh, Point, Progress, edge_report};

/// Why the library made nothing.
pub(crate) enum Refusal {
    Cancelled,
    Because(String),
}

/// What it made: a closed mesh, and the number that came with the face that each of its faces is part of, where it has one.
pub(crate) struct Made {
    pub mesh: Mesh,
    pub numbers: Vec<Option<u32>>,
}

/// A mesh, with a number for each face.
pub(crate) struct Numbered {
    pub mesh: Mesh,
    pub numbers: Vec<u32>,
}

/// The solid of all places that the faces go round at least once.
pub(crate) fn united(given: Numbered, progress: &Progress) -> Result<Made, Refusal> {
    let input = hand_over(&given);
    let output = off_thread(progress, move |token| {
        given_out(taken_in(&input)?.rebuild_solid_with_token(WindingRule::Positive, Some(token)))
    })?;
    take_back(&output, false)
}

/// `whole` without what lies in `tool`. May be nothing.
pub(crate) fn subtracted(whole: Numbered, tool: Numbered, progress: &Progress) -> Result<Made, Refusal> {
    let inputs = [hand_over(&whole), hand_over(&tool)];
    let output = off_thread(progress, move |token| {
        let [whole, tool] = [taken_in(&inputs[0])?, taken_in(&inputs[1])?];
        let engine = BooleanEngine::Auto;
        given_out(whole.boolean_with_engine_and_token(&tool, OpType::Subtract, engine, Some(token)))
    })?;
    take_back(&output, true)
}

fn hand_over(given: &Numbered) -> MeshGL64 {
    MeshGL64 {
        num_prop: 3,
        vert_properties: given.mesh.vertices.iter().flat_map(|p| [p.x, p.y, p.z]).collect(),
        tri_verts: given.mesh.triangles.iter().flatten().map(|&v| u64::from(v)).collect(),
        face_id: given.numbers.iter().map(|&face| u64::from(face)).collect(),
        ..MeshGL64::default()
    }
}

fn taken_in(input: &MeshGL64) -> Result<Manifold, String> {
    let given = Manifold::from_mesh_gl64_robust(input);
    match given.status() {
        Error::NoError => Ok(given),
        refused => Err(format!("{refused:?}")),
    }
}

fn given_out(made: Manifold) -> Result<MeshGL64, String> {
    match made.status() {
        Error::NoError => Ok(made.get_mesh_gl64(-1)),
        refused => Err(format!("{refused:?}")),
    }
}

fn take_back(output: &MeshGL64, may_be_nothing: bool) -> Result<Made, Refusal> {
    let stride = (output.num_prop as usize).max(3);
    let vertices = output.vert_properties.chunks_exact(stride).map(|p| Point::new(p[0], p[1], p[2])).collect();
    let triangles = output.tri_verts.chunks_exact(3).map(|t| [t[0] as u32, t[1] as u32, t[2] as u32]).collect();
    let mesh = Mesh { vertices, triangles };
    let fits = mesh.triangles.iter().flatten().all(|v| (*v as usize) < mesh.vertices.len());
    if !fits || (mesh.triangles.is_empty() && !may_be_nothing) || !edge_report(&mesh).closed() {
        return Err(Refusal::Because("what it makes is not closed".to_owned()));
    }
    let number = |t: usize| output.face_id.get(t).and_then(|id| u32::try_from(*id).ok());
    let numbers = (0..mesh.triangles.len()).map(number).collect();
    Ok(Made { mesh, numbers })
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
