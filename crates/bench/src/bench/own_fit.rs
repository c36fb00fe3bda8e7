//! Our side of fit: exact verdicts, and those of every frame while a plane moves.

use std::time::Instant;

use seamwright_geometry::exchange::{ReadOptions, read};
use seamwright_geometry::{Bed, HalfSupport, Hull, Plane, Progress, Search, Side, Solid, Vector, Verdict, fit};

use super::job::{Job, Measured};
use super::own::{Task, repeat};
use xtask::steps::StepError;

/// Five beds of sizes that are common (common practice, no source): small, middling with margins and a raft, low and wide, a cube, round.
pub fn beds() -> [Bed; 5] {
    let middling = Bed { margin_mm: 4.0, raft_mm: 1.0, ..Bed::rectangle(220.0, 220.0, 250.0) };
    [
        Bed::rectangle(120.0, 120.0, 120.0),
        middling,
        Bed::rectangle(300.0, 150.0, 100.0),
        Bed::rectangle(256.0, 256.0, 256.0),
        Bed::round(240.0, 300.0),
    ]
}

/// Diagonal that every mesh is brought to, mm, so that these beds give verdicts of every kind.
const DIAGONAL_MM: f64 = 400.0;

/// One exact verdict for each bed, from the hull that a piece has anyway. Figure: how many were undecided.
pub fn exact(job: &Job) -> Result<Measured, StepError> {
    let said = |error: &dyn std::fmt::Display| format!("{}: {error}", job.model.display());
    let model = read(&job.model, &ReadOptions::default(), &Progress::new()).map_err(|error| said(&error))?;
    let mut mesh = model.into_mesh().map_err(|error| said(&error))?;
    let factor = DIAGONAL_MM / mesh.bounds().ok_or_else(|| said(&"it has no faces"))?.diagonal();
    mesh.vertices.iter_mut().for_each(|p| p.coords *= factor);
    let hull = Hull::of(&mesh.vertices).vertices;
    let (mut seconds, mut undecided) = (Vec::new(), 0);
    for bed in beds() {
        let begun = Instant::now();
        let answer = fit(&hull, &bed, Search::AnyPose);
        seconds.push(begun.elapsed().as_secs_f64());
        undecided += usize::from(answer.verdict == Verdict::Undecided);
    }
    let version = env!("CARGO_PKG_VERSION").to_owned();
    let figures = vec![undecided as f64];
    Ok(Measured { version, seconds, before_mib: None, peak_mib: None, live_mib: None, figures })
}

/// What the plane moves by from frame to frame, mm: as a hand does.
const STEP_MM: f64 = 0.37;

/// The verdicts on both sides of a plane that moves, the tree of boxes built before. Figure: what the two sides measure
/// where the plane was first.
pub fn live(task: &Task, solid: &Solid, at: &Plane) -> Result<Measured, StepError> {
    let support = HalfSupport::build(&solid.mesh, &Progress::new()).map_err(|error| error.to_string())?;
    let [_, bed, ..] = beds();
    let mut moved_mm = 0.0;
    let mut next = || {
        moved_mm += STEP_MM;
        Plane::new(at.normal(), at.offset_mm() + moved_mm).unwrap_or(*at)
    };
    let frame = |plane: Plane| support.split(&plane).fit_both(&bed, Search::AnyPose);
    repeat(task, &mut next, frame, |_| {
        let sizes = frame(*at).into_iter().flatten().map(|fit| Vector::from(fit.sizes_mm).sum());
        Ok(vec![sizes.sum()])
    })
}

/// The exact verdicts on both sides of a plane that has come to rest, both at the same time; the next time it rests
/// elsewhere. Figure: how many of the first place were undecided.
pub fn at_rest(task: &Task, solid: &Solid, at: &Plane) -> Result<Measured, StepError> {
    let support = HalfSupport::build(&solid.mesh, &Progress::new()).map_err(|error| error.to_string())?;
    let [_, bed, ..] = beds();
    let mut rests = RESTS_MM.iter().cycle();
    let mut next = || {
        let moved_mm = rests.next().unwrap_or(&0.0);
        Plane::new(at.normal(), at.offset_mm() + moved_mm).unwrap_or(*at)
    };
    let exact = |plane: Plane| {
        let halves = support.split(&plane);
        let side = |side| halves.exact_fit(side, &bed, Search::AnyPose, &Progress::new()).ok().flatten();
        rayon::join(|| side(Side::Below), || side(Side::Above))
    };
    repeat(task, &mut next, exact, |_| {
        let (below, above) = exact(*at);
        let undecided = [below, above].into_iter().flatten().filter(|fit| fit.verdict == Verdict::Undecided);
        Ok(vec![undecided.count() as f64])
    })
}

/// Where the plane rests, mm from the middle: places over the whole length of the model, so that sides of all sizes are asked about.
const RESTS_MM: [f64; 9] = [0.0, 37.0, -52.0, 81.0, -95.0, 12.0, 60.0, -23.0, 110.0];

/// What a model is made ready for both by. Figure: its extent along z.
pub fn prepared(task: &Task, solid: &Solid) -> Result<Measured, StepError> {
    let build = |()| HalfSupport::build(&solid.mesh, &Progress::new());
    repeat(
        task,
        || (),
        build,
        |support| {
            let support = support.map_err(|error| error.to_string())?;
            let [low, high] = support.extent_mm(&Vector::z()).ok_or("it has no faces")?;
            Ok(vec![high - low])
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::job::Work;
    use seamwright_geometry::exchange::{Overwrite, write_stl};
    use seamwright_geometry::{Point, solids};

    fn job(work: Work, model: &std::path::Path) -> Job {
        let (normal, offsets_mm) = ([0.0, 0.0, 1.0], vec![1.0]);
        let (model, threads, least_runs, most_runs, enough_s) = (model.into(), Some(1), 3, 3, 1.0);
        Job { work, model, normal, offsets_mm, threads, least_runs, most_runs, enough_s }
    }

    #[test]
    fn a_mesh_has_one_timed_verdict_for_each_bed() {
        let folder = std::env::temp_dir().join(format!("exact-verdicts-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join("block.stl");
        let block = solids::cuboid(Point::origin(), Point::new(3.0, 2.0, 1.0));
        write_stl(&file, &block, "block", Overwrite::Allow).unwrap();
        let measured = exact(&job(Work::Fit, &file)).unwrap();
        assert_eq!((measured.seconds.len(), measured.figures), (beds().len(), vec![0.0]));
        assert!(exact(&job(Work::Fit, &folder.join("none.stl"))).unwrap_err().contains("none.stl"));
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn places_of_rest_are_timed_and_undecided_sides_counted() {
        let ball = Solid::from_stock(solids::sphere(Point::origin(), 30.0, 24));
        let asked = job(Work::RestFit, std::path::Path::new(""));
        let task = Task { job: &asked, counting: None };
        let measured = at_rest(&task, &ball, &Plane::new(Vector::z(), 1.0).unwrap()).unwrap();
        assert_eq!((measured.seconds.len(), measured.figures), (3, vec![0.0]));
        assert!((prepared(&task, &ball).unwrap().figures[0] - 60.0).abs() < 0.1);
    }

    #[test]
    fn frames_are_timed_and_the_figure_is_that_of_the_first_plane() {
        let ball = Solid::from_stock(solids::sphere(Point::origin(), 30.0, 24));
        let asked = job(Work::LiveFit, std::path::Path::new(""));
        let task = Task { job: &asked, counting: None };
        let measured = live(&task, &ball, &Plane::new(Vector::z(), 1.0).unwrap()).unwrap();
        // Below 31 mm high, above 29 mm; both 60 mm wide and deep, or hardly less.
        assert_eq!(measured.seconds.len(), 3);
        assert!((measured.figures[0] - 300.0).abs() < 1.0, "{:?}", measured.figures);
    }
}
