//! What is measured, in which order.

use super::contender::Contender;
use super::job::{Answer, Job, Work};
use super::machine;
use super::model::Model;
use super::results::{Against, Results, Row, Scaled};
use crate::steps::StepError;

/// The scaling tables are of the largest model up to this size: the size that most scans and sculpts have.
pub const SCALED_UP_TO: usize = 1_200_000;

/// Runs everything, printing each time as it comes.
pub fn measure_all(models: &[Model], quick: bool, results: &mut Results) -> Result<(), StepError> {
    for model in models {
        for (title, job) in work(model, quick) {
            results.rows.push(by_all(title, model, job));
        }
    }
    if let Some(model) = models.iter().filter(|model| model.triangles <= SCALED_UP_TO).max_by_key(|m| m.triangles) {
        results.scaling.extend([1, 2, 4, 8].map(|count| against_cuts(model, count, quick)));
        let mut threads = 1;
        while threads <= results.machine.cores {
            results.scaling.extend(against_threads(model, threads, quick));
            threads *= 2;
        }
    }
    results.load_at_end = machine::load();
    Ok(())
}

fn work(model: &Model, quick: bool) -> Vec<(&'static str, Job)> {
    let middle = vec![model.middle_mm];
    vec![
        ("read binary STL, merge corners", job(Work::Read, model, Vec::new(), quick)),
        (ONE_CUT, job(Work::Cuts, model, middle.clone(), quick)),
        (EIGHT_CUTS, job(Work::Cuts, model, model.eight_mm.clone(), quick)),
        ("section outline", job(Work::Section, model, middle.clone(), quick)),
        (LIVE, job(Work::Live, model, middle.clone(), quick)),
        ("building the tree of boxes", job(Work::Support, model, middle, quick)),
        (SHELLS, job(Work::Shells, model, Vec::new(), quick)),
        ("nine shells into bodies, nested ones kept together", job(Work::Bodies, model, Vec::new(), quick)),
        (BORE, job(Work::Bore, model, Vec::new(), quick)),
        ("wall around that rod, tree of boxes built before", job(Work::Wall, model, Vec::new(), quick)),
        ("copy of the mesh in memory", job(Work::Copy, model, Vec::new(), quick)),
    ]
}

/// Title of the single cut.
pub const ONE_CUT: &str = "one oblique cut, two capped pieces";
/// Title of the eight cuts.
pub const EIGHT_CUTS: &str = "eight parallel cuts, nine pieces";

/// Title of the bore.
pub const BORE: &str = "boring for a rod, 64 sides";
/// Title of the section while a plane moves.
pub const LIVE: &str = "section outline, tree of boxes built before";
/// Title of the split into shells.
pub const SHELLS: &str = "nine shells into nine meshes";

fn job(work: Work, model: &Model, offsets_mm: Vec<f64>, quick: bool) -> Job {
    let files = if matches!(work, Work::Shells | Work::Bodies) { model.pieces() } else { model.whole() };
    let (least_runs, most_runs, enough_s) = if quick { (1, 3, 1.0) } else { (3, 25, 4.0) };
    Job { work, model: files, normal: model.normal, offsets_mm, threads: None, least_runs, most_runs, enough_s }
}

fn by_all(title: &str, model: &Model, job: Job) -> Row {
    let contenders = [Contender::Ours].into_iter().chain(Contender::PEERS).filter(|who| who.does(job.work));
    let answers = contenders.map(|who| (who, announced(who, title, model.triangles, &job))).collect();
    Row { title: title.to_owned(), triangles: model.triangles, mesh_mib: model.mesh_mib, job, answers }
}

fn against_cuts(model: &Model, count: usize, quick: bool) -> Scaled {
    let job = job(Work::Cuts, model, model.spread_mm(count), quick);
    let title = "parallel cuts".to_owned();
    let answer = announced(Contender::Ours, &format!("{count} cuts"), model.triangles, &job);
    Scaled { against: Against::Cuts, count, title, answer }
}

fn against_threads(model: &Model, threads: usize, quick: bool) -> Vec<Scaled> {
    let of_work = |(title, job): (&str, Job)| {
        let job = Job { threads: Some(threads), ..job };
        let answer = announced(Contender::Ours, &format!("{title}, threads: {threads}"), model.triangles, &job);
        Scaled { against: Against::Threads, count: threads, title: title.to_owned(), answer }
    };
    work(model, quick).into_iter().map(of_work).collect()
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
