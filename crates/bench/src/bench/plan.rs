//! What is measured, in which order.

use std::path::PathBuf;

use seamwright_geometry::exchange::Format;

use super::contender::{self, Contender};
use super::job::{Answer, Job, Work};
use super::machine;
use super::model::Model;
use super::results::{Against, Fits, Results, Row, Scaled};
use xtask::steps::StepError;

/// The scaling tables are of the largest model up to this size: the size that most scans and sculpts have.
pub const SCALED_UP_TO: usize = 1_200_000;

/// Runs everything, printing each time as it comes.
pub fn measure_all(models: &[Model], quick: bool, only: &str, results: &mut Results) -> Result<(), StepError> {
    let work = |model| work(model, quick).into_iter().filter(|(title, _)| title.contains(only));
    for model in models {
        for (title, job) in work(model) {
            let row = by_all(title, model, job, &results.rows);
            results.rows.push(row);
        }
    }
    if !only.is_empty() {
        return Ok(());
    }
    if let Some(model) = models.iter().filter(|model| model.triangles <= SCALED_UP_TO).max_by_key(|m| m.triangles) {
        results.scaling.extend([1, 2, 4, 8].map(|count| against_cuts(model, count, quick)));
        let mut threads = 1;
        while threads <= results.machine.cores {
            let of_work = |(title, job)| against_threads(title, job, model, threads);
            results.scaling.extend(work(model).map(of_work));
            threads *= 2;
        }
    }
    results.load_at_end = machine::load();
    Ok(())
}

/// Times exact verdicts on the meshes of the folder that `SEAMWRIGHT_MESHES` names, each mesh in a process of its own.
pub fn measure_fits(quick: bool, only: &str, results: &mut Results) -> Result<(), StepError> {
    let Some(folder) = std::env::var_os(MESHES).filter(|_| EXACT_FIT.contains(only)) else {
        eprintln!("{EXACT_FIT}: not asked; {MESHES} names the folder of meshes that this takes");
        return Ok(());
    };
    let entries = std::fs::read_dir(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let mut files: Vec<PathBuf> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
    files.retain(|file| Format::of_name(file).is_some());
    files.sort();
    if quick {
        files.truncate(QUICK_MESHES);
    }
    let mut fits = Fits::default();
    for file in files {
        let name = file.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let (normal, offsets_mm) = ([0.0, 0.0, 1.0], Vec::new());
        let (least_runs, most_runs, enough_s) = (1, 1, 0.0);
        let job =
            Job { work: Work::Fit, model: file, normal, offsets_mm, threads: None, least_runs, most_runs, enough_s };
        match Contender::Ours.answer(&job) {
            Answer::Measured(measured) => {
                eprintln!("{EXACT_FIT}, {name}: {:.4} s at most", measured.seconds.iter().copied().fold(0.0, f64::max));
                fits.meshes += 1;
                fits.undecided += measured.figures.iter().sum::<f64>() as usize;
                fits.seconds.extend(measured.seconds);
            }
            // Some of the meshes are spoilt on purpose.
            Answer::Failed { error } => {
                eprintln!("{EXACT_FIT}, {name}: {error}");
                fits.failed.push(name);
            }
        }
    }
    results.fits = Some(fits);
    Ok(())
}

/// Names the folder of meshes made by others.
const MESHES: &str = "SEAMWRIGHT_MESHES";
/// Meshes looked at in a quick run.
const QUICK_MESHES: usize = 4;

fn work(model: &Model, quick: bool) -> Vec<(&'static str, Job)> {
    let middle = vec![model.middle_mm];
    let on_stock = |work| job(work, model, Vec::new(), quick);
    vec![
        (READ_STL, on_stock(Work::Read)),
        ("read OBJ", on_stock(Work::ReadObj)),
        (READ_PLY, on_stock(Work::ReadPly)),
        ("read 3MF", on_stock(Work::ReadThreeMf)),
        (MERGE, on_stock(Work::Merge)),
        ("count edges without two faces", on_stock(Work::Edges)),
        (REPORT, on_stock(Work::Report)),
        (CROSSINGS, on_stock(Work::Crossings)),
        (CLOSE, on_stock(Work::Close)),
        ("turn faces one way and outwards", on_stock(Work::Turn)),
        ("fill holes", on_stock(Work::Fill)),
        (MEND, on_stock(Work::Mend)),
        (ONE_CUT, job(Work::Cuts, model, middle.clone(), quick)),
        (EIGHT_CUTS, job(Work::Cuts, model, model.eight_mm.clone(), quick)),
        ("section outline", job(Work::Section, model, middle.clone(), quick)),
        (LIVE, job(Work::Live, model, middle.clone(), quick)),
        (LIVE_FIT, Job { threads: Some(1), ..job(Work::LiveFit, model, middle.clone(), quick) }),
        (REST_FIT, job(Work::RestFit, model, middle.clone(), quick)),
        ("preparing a model for both", job(Work::FitSupport, model, Vec::new(), quick)),
        ("building the tree of boxes", job(Work::Support, model, middle, quick)),
        (SHELLS, job(Work::Shells, model, Vec::new(), quick)),
        ("nine shells into bodies, nested ones kept together", job(Work::Bodies, model, Vec::new(), quick)),
        (BORE, job(Work::Bore, model, Vec::new(), quick)),
        (WALL, job(Work::Wall, model, Vec::new(), quick)),
        ("centring that rod, tree of boxes built before", job(Work::Centre, model, Vec::new(), quick)),
        ("copy of the mesh in memory", job(Work::Copy, model, Vec::new(), quick)),
    ]
}

/// Title of reading the format that most models come in.
pub const READ_STL: &str = "read binary STL, merge corners";
/// Title of reading the format that most scans come in.
pub const READ_PLY: &str = "read binary PLY";
/// Title of merging.
pub const MERGE: &str = "merge corners of loose facets";
/// Title of the report that every stock gets.
pub const REPORT: &str = "report: edges, shells, volume, degenerate faces";
/// Title of the search for crossings.
pub const CROSSINGS: &str = "faces that cross, two shells";
/// Title of the close look.
pub const CLOSE: &str = "close look: crossings, thin walls, gaps, all defects";
/// Title of mending.
pub const MEND: &str = "mend all that is safe";
/// Title of the single cut.
pub const ONE_CUT: &str = "one oblique cut, two capped pieces";
/// Title of the eight cuts.
pub const EIGHT_CUTS: &str = "eight parallel cuts, nine pieces";

/// Title of the bore.
pub const BORE: &str = "boring for a rod, 64 sides";
/// Title of the wall readout.
pub const WALL: &str = "wall around a rod along the glaive, tree of boxes built before";
/// Title of the section while a plane moves.
pub const LIVE: &str = "section outline, tree of boxes built before";
/// Title of the verdicts while a plane moves.
pub const LIVE_FIT: &str = "do both sides of a moving plane fit, one frame on one core";
/// Title of the exact verdicts once it rests.
pub const REST_FIT: &str = "do both sides fit in any pose, exactly, once the plane rests";
/// Title of the exact verdicts.
pub const EXACT_FIT: &str = "exact verdict: does a piece fit, in any pose";
/// Title of the split into shells.
pub const SHELLS: &str = "nine shells into nine meshes";

fn job(work: Work, model: &Model, offsets_mm: Vec<f64>, quick: bool) -> Job {
    let files = match work {
        Work::Shells | Work::Bodies => model.pieces(),
        Work::Wall | Work::Centre => model.glaive(),
        Work::Edges | Work::Report | Work::Fill => model.torn(),
        Work::Turn => model.turned(),
        Work::Mend => model.untidy(),
        Work::Crossings | Work::Close => model.pushed(),
        _ => model.whole(),
    };
    // What is done to a stock is done once for a model, and takes some libraries long.
    let (least_runs, most_runs, enough_s) = match (quick, work.is_on_stock() && work != Work::Read) {
        (true, _) => (1, 3, 1.0),
        (false, false) => (3, 25, 4.0),
        (false, true) => (1, 9, 1.0),
    };
    Job { work, model: files, normal: model.normal, offsets_mm, threads: None, least_runs, most_runs, enough_s }
}

fn by_all(title: &str, model: &Model, job: Job, before: &[Row]) -> Row {
    let contenders = [Contender::Ours].into_iter().chain(Contender::PEERS).filter(|who| who.does(job.work));
    let answers = contenders.map(|who| (who, patiently(who, title, model.triangles, &job, before))).collect();
    let live_mib = remembers(job.work).then(|| contender::live_mib(&job)).flatten();
    let mesh_mib = if job.work.file().is_some() { model.bare_mib } else { model.mesh_mib };
    Row { title: title.to_owned(), triangles: model.triangles, mesh_mib, live_mib, job, answers }
}

/// Whether it is told how much memory the work takes.
fn remembers(work: Work) -> bool {
    work.file().is_some() || work == Work::Cuts
}

/// A library that took longer than this is not asked for more of the same, seconds.
const PATIENCE_S: f64 = 10.0;

/// Asks for the answer, unless it would take too long by what the same took on fewer triangles.
fn patiently(who: Contender, title: &str, triangles: usize, job: &Job, before: &[Row]) -> Answer {
    let smaller = before.iter().rfind(|row| row.title == title).filter(|row| row.triangles < triangles);
    let took_s = smaller.map(|row| row.measured(who).map_or(f64::INFINITY, |measured| measured.median_s()));
    match took_s {
        Some(took_s) if who != Contender::Ours && took_s > PATIENCE_S => {
            Answer::Failed { error: "not asked".to_owned() }
        }
        _ => announced(who, title, triangles, job),
    }
}

fn against_cuts(model: &Model, count: usize, quick: bool) -> Scaled {
    let job = job(Work::Cuts, model, model.spread_mm(count), quick);
    let title = "parallel cuts".to_owned();
    let answer = announced(Contender::Ours, &format!("{count} cuts"), model.triangles, &job);
    Scaled { against: Against::Cuts, count, title, answer }
}

fn against_threads(title: &str, job: Job, model: &Model, threads: usize) -> Scaled {
    let job = Job { threads: Some(threads), ..job };
    let answer = announced(Contender::Ours, &format!("{title}, threads: {threads}"), model.triangles, &job);
    Scaled { against: Against::Threads, count: threads, title: title.to_owned(), answer }
}

fn announced(who: Contender, title: &str, triangles: usize, job: &Job) -> Answer {
    let answer = who.answer(job);
    let said = match &answer {
        Answer::Measured(measured) => format!("{:.4} s ({} runs)", measured.median_s(), measured.seconds.len()),
        Answer::Failed { error } => error.clone(),
    };
    eprintln!("{triangles} triangles, {title}, {}: {said}", who.name());
    answer
}
