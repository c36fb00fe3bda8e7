//! Our side of what is done to a stock before it is cut: reading, merging, looking it over, mending.

use seamwright_geometry::exchange::{ModelFile, ReadOptions, read};
use seamwright_geometry::mend::{MendStep, mend_all_safe};
use seamwright_geometry::{Facet, Meeting, Mesh, Progress, crossings, edge_report, inspect, merge_exact};
use seamwright_project::health::{Look, look_closely};

use super::job::{Measured, Work};
use super::model::read_arrays;
use super::own::{Task, repeat};
use xtask::steps::StepError;

/// Rims with more edges than this are not there.
const MOST_EDGES: usize = 100;

/// Does the job, if it is one of these.
pub fn measure(task: &Task) -> Option<Result<Measured, StepError>> {
    let job = task.job;
    if let Some(ending) = job.work.file() {
        let path = job.model.with_extension(ending);
        let read = || read(&path, &ReadOptions::default(), &Progress::new()).map_err(|error| error.to_string());
        let volume = |model: ModelFile| model.parts.iter().map(|part| part.mesh.volume_mm3()).sum::<f64>();
        return Some(repeat(task, || (), |()| read(), |model| Ok(vec![volume(model?)])));
    }
    job.work.is_on_stock().then(|| read_arrays(&job.model).and_then(|mesh| on_mesh(task, mesh)))
}

fn on_mesh(task: &Task, mesh: Mesh) -> Result<Measured, StepError> {
    let progress = Progress::new();
    let mended = |step: MendStep| step.apply(&mesh, &progress).map_err(|error| error.to_string());
    match task.job.work {
        Work::Merge => {
            let facets = loose(mesh);
            let merge = |()| merge_exact(&facets).map_err(|error| error.to_string());
            repeat(task, || (), merge, |merged| Ok(vec![merged?.mesh.vertices.len() as f64]))
        }
        Work::Edges => {
            repeat(task, || (), |()| edge_report(&mesh), |report| Ok(vec![(report.open + report.over_used) as f64]))
        }
        Work::Report => repeat(task, || (), |()| inspect(&mesh), |report| Ok(vec![report.open_edges as f64])),
        Work::Crossings => {
            let count = |found: seamwright_geometry::Crossings| found.count(Meeting::Crossing) as f64;
            repeat(task, || (), |()| crossings(&mesh, &progress), |found| Ok(vec![count(found.map_err(said)?)]))
        }
        Work::Close => {
            let look = |()| look_closely(&mesh, &Look::default(), &progress);
            repeat(task, || (), look, |health| Ok(vec![health.map_err(said)?.findings.len() as f64]))
        }
        Work::Turn => {
            repeat(task, || (), |()| mended(MendStep::TurnOutward), |mended| Ok(vec![mended?.mesh.volume_mm3()]))
        }
        Work::Fill => {
            let fill = MendStep::FillHoles { most_edges: MOST_EDGES, curved: true };
            repeat(task, || (), |()| mended(fill), |mended| Ok(vec![mended?.mesh.triangles.len() as f64]))
        }
        _ => {
            let mend = |()| mend_all_safe(&mesh, &progress).map_err(|error| error.to_string());
            repeat(task, || (), mend, |mended| Ok(vec![mended?.mesh.volume_mm3()]))
        }
    }
}

fn said(error: impl ToString) -> StepError {
    error.to_string()
}

/// Every face by itself, as an STL file has them.
fn loose(mesh: Mesh) -> Vec<Facet> {
    (0..mesh.triangles.len()).map(|t| mesh.corners(t).map(|p| [p.x, p.y, p.z].map(|x| x as f32))).collect()
}
