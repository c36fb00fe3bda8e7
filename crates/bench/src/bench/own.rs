//! Our side: a job done by the geometry, in a process of its own.

use std::io::Read;
use std::time::Instant;

use seamwright_geometry::bore::{Walls, bore};
use seamwright_geometry::{
    CutOutcome, Mesh, Plane, Progress, SectionSupport, Shells, Side, Solid, Vector, bodies, cut, cut_parallel, section,
};

use super::job::{Answer, Job, Measured, Work};
use super::memory::{self, Counting};
use super::{model, own_fit, own_stock, rod};
use xtask::steps::StepError;

/// Reads a job from standard input, does it and prints the answer; with `counting`, bytes that were live as well.
pub fn answer_job(counting: Option<Counting>) -> Result<(), StepError> {
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text).map_err(|error| error.to_string())?;
    let job: Job = serde_json::from_str(&text).map_err(|error| format!("no job: {error}"))?;
    let pool = rayon::ThreadPoolBuilder::new().num_threads(job.threads.unwrap_or(0)).build();
    let measured = pool
        .map_err(|error| error.to_string())
        .and_then(|pool| pool.install(|| measure(&Task { job: &job, counting })));
    let answer = measured.map_or_else(|error| Answer::Failed { error }, Answer::Measured);
    println!("{}", serde_json::to_string(&answer).map_err(|error| error.to_string())?);
    Ok(())
}

/// The pieces, lowest first: by all planes at once where that can be done, and otherwise one by one.
pub fn parted(solid: &Solid, normal: Vector, offsets_mm: &[f64]) -> Result<Vec<Solid>, StepError> {
    if offsets_mm.len() > 1 {
        let plane = |(offset_mm, label)| Plane::new(normal, offset_mm).map(|plane| (plane, label));
        let planes: Result<Vec<_>, _> = offsets_mm.iter().copied().zip(0..).map(plane).collect();
        let planes = planes.map_err(|error| error.to_string())?;
        let at_once = cut_parallel(solid, &planes, &Progress::new()).map_err(|error| error.to_string())?;
        if let Some(pieces) = at_once {
            return Ok(pieces);
        }
    }
    one_by_one(solid, normal, offsets_mm)
}

/// The middle cut comes first, so that each cut has less to go through; what lies on its two sides is then parted in
/// parallel.
fn one_by_one(solid: &Solid, normal: Vector, offsets_mm: &[f64]) -> Result<Vec<Solid>, StepError> {
    let middle = offsets_mm.len() / 2;
    let (lower, upper) = (&offsets_mm[..middle], offsets_mm.get(middle + 1..).unwrap_or_default());
    let Some(&offset_mm) = offsets_mm.get(middle) else { return Ok(vec![solid.clone()]) };
    let plane = Plane::new(normal, offset_mm).map_err(|error| error.to_string())?;
    match cut(solid, &plane, middle as u32, &Progress::new()).map_err(|error| error.to_string())? {
        CutOutcome::Missed(Side::Below) => one_by_one(solid, normal, lower),
        CutOutcome::Missed(Side::Above) => one_by_one(solid, normal, upper),
        CutOutcome::Unreached { .. } => unreachable!("only finite planes leave what they cross"),
        CutOutcome::Parted(sides) => {
            let sides = *sides;
            let go_on = |side: Solid, offsets_mm: &[f64]| {
                if offsets_mm.is_empty() { Ok(vec![side]) } else { one_by_one(&side, normal, offsets_mm) }
            };
            let (below, above) = rayon::join(|| go_on(sides.below, lower), || go_on(sides.above, upper));
            let mut pieces = below?;
            pieces.extend(above?);
            Ok(pieces)
        }
    }
}

/// What a solid takes in memory, MiB.
pub fn size_mib(solid: &Solid) -> f64 {
    let Mesh { vertices, triangles } = &solid.mesh;
    let bytes = size_of_val(vertices.as_slice()) + size_of_val(triangles.as_slice()) + size_of_val(&solid.origins[..]);
    bytes as f64 / f64::from(1 << 20)
}

/// A job, and how its memory is counted.
#[derive(Clone, Copy, Debug)]
pub struct Task<'a> {
    pub job: &'a Job,
    pub counting: Option<Counting>,
}

fn measure(task: &Task) -> Result<Measured, StepError> {
    let job = task.job;
    let normal = Vector::from(job.normal);
    if let Some(measured) = own_stock::measure(task) {
        return measured;
    }
    if job.work == Work::Fit {
        return own_fit::exact(job);
    }
    let solid = Solid::from_stock(model::read_arrays(&job.model)?);
    match job.work {
        Work::Copy => repeat(task, || (), |()| solid.clone(), |copy| Ok(vec![copy.mesh.volume_mm3()])),
        Work::Cuts => repeat(
            task,
            || (),
            |()| parted(&solid, normal, &job.offsets_mm),
            |pieces| Ok(volumes_mm3(meshes(&pieces?))),
        ),
        Work::Section => {
            let plane = first_plane(job)?;
            repeat(task, || (), |()| section(&solid, &plane), |outline| Ok(vec![outline.length_mm()]))
        }
        Work::Live => {
            let (plane, support) = (first_plane(job)?, support(&solid)?);
            repeat(task, || (), |()| support.section(&solid, &plane), |outline| Ok(vec![outline.length_mm()]))
        }
        Work::LiveFit => own_fit::live(task, &solid, &first_plane(job)?),
        Work::RestFit => own_fit::at_rest(task, &solid, &first_plane(job)?),
        Work::FitSupport => own_fit::prepared(task, &solid),
        Work::Support => {
            let plane = first_plane(job)?;
            let length_mm = |support: SectionSupport| support.section(&solid, &plane).length_mm();
            repeat(task, || (), |()| support(&solid), |support| Ok(vec![length_mm(support?)]))
        }
        Work::Bore => {
            let channel = rod::channel(job, &solid)?;
            repeat(
                task,
                || (),
                |()| bore(&solid, &channel, 0, &Progress::new()),
                |bored| Ok(vec![bored.map_err(|error| error.to_string())?.solid.mesh.volume_mm3()]),
            )
        }
        Work::Wall => {
            let channel = rod::spine()?;
            let walls = Walls::build(&solid, &Progress::new()).map_err(|error| error.to_string())?;
            repeat(
                task,
                || (),
                |()| walls.least(&solid, &channel, 2.0),
                |wall| Ok(vec![wall.least.ok_or("no wall around the rod")?.wall_mm]),
            )
        }
        Work::Centre => {
            let channel = rod::spine()?;
            let walls = Walls::build(&solid, &Progress::new()).map_err(|error| error.to_string())?;
            repeat(
                task,
                || (),
                |()| walls.centred(&solid, &channel, &[], &Progress::new()),
                |centred| Ok(vec![centred.map_err(|error| error.to_string())?.after_mm]),
            )
        }
        Work::Shells => repeat(task, || (), |()| shells(&solid.mesh), |shells| Ok(rising(volumes_mm3(&shells)))),
        Work::Bodies => repeat(task, || solid.clone(), bodies, |bodies| Ok(rising(volumes_mm3(meshes(&bodies))))),
        _ => Err("nobody does this work".to_owned()),
    }
}

fn first_plane(job: &Job) -> Result<Plane, StepError> {
    let offset_mm = *job.offsets_mm.first().ok_or("no plane for the section")?;
    Plane::new(Vector::from(job.normal), offset_mm).map_err(|error| error.to_string())
}

fn support(solid: &Solid) -> Result<SectionSupport, StepError> {
    SectionSupport::build(solid, &Progress::new()).map_err(|error| error.to_string())
}

fn shells(mesh: &Mesh) -> Vec<Mesh> {
    Shells::apart(mesh).1
}

fn volumes_mm3<'a>(meshes: impl IntoIterator<Item = &'a Mesh>) -> Vec<f64> {
    meshes.into_iter().map(Mesh::volume_mm3).collect()
}

fn meshes(solids: &[Solid]) -> impl Iterator<Item = &Mesh> {
    solids.iter().map(|solid| &solid.mesh)
}

fn rising(mut figures: Vec<f64>) -> Vec<f64> {
    figures.sort_by(f64::total_cmp);
    figures
}

/// Times `work` on what `prepare` makes, which is not counted, until there are enough runs; `figures` of the last.
pub fn repeat<P, M>(
    task: &Task,
    mut prepare: impl FnMut() -> P,
    mut work: impl FnMut(P) -> M,
    figures: impl FnOnce(M) -> Result<Vec<f64>, StepError>,
) -> Result<Measured, StepError> {
    let job = task.job;
    let prepared = prepare();
    let live_before = task.counting.map(|counting| (counting.live)());
    let before_mib = memory::begin();
    let begun = Instant::now();
    let mut made = work(prepared);
    let mut seconds = vec![begun.elapsed().as_secs_f64()];
    let peak_mib = memory::peak();
    let live = task.counting.map(|counting| (counting.most)()).zip(live_before);
    let live_mib = live.map(|(most, before)| most.saturating_sub(before) as f64 / f64::from(1 << 20));
    while seconds.len() < job.most_runs
        && (seconds.len() < job.least_runs || seconds.iter().sum::<f64>() < job.enough_s)
    {
        drop(made);
        let prepared = prepare();
        let begun = Instant::now();
        made = work(prepared);
        seconds.push(begun.elapsed().as_secs_f64());
    }
    let version = env!("CARGO_PKG_VERSION").to_owned();
    Ok(Measured { version, seconds, before_mib, peak_mib, live_mib, figures: figures(made)? })
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::{Point, solids};

    #[test]
    fn many_planes_part_a_ball_into_pieces_in_their_order() {
        let ball = Solid::from_stock(solids::torus(Point::origin(), 30.0, 10.0, 64, 32));
        let along = Vector::new(0.0, 0.0, 1.0);
        for by in [parted, one_by_one] {
            let pieces = by(&ball, along, &[-50.0, -6.0, -1.0, 0.5, 7.0, 60.0]).unwrap();
            assert_eq!(pieces.len(), 5, "planes that miss part nothing");
            let middles: Vec<f64> = pieces.iter().map(|piece| piece.mesh.bounds().unwrap().centre().z).collect();
            assert!(middles.is_sorted(), "{middles:?}");
            let sum: f64 = volumes_mm3(meshes(&pieces)).iter().sum();
            assert!((sum / ball.mesh.volume_mm3() - 1.0).abs() < 1e-12);
        }
    }
}
