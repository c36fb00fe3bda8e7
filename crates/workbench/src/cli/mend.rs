//! `mend`: a model mended step by step, with what each step did, and written.

use std::fmt;

use seamwright_geometry::mend::{MendStep, mend_all_safe};
use seamwright_geometry::{Mesh, edge_report};
use seamwright_project::mending::{self, RIM_EDGES};
use serde::Serialize;

use super::args::MendArgs;
use super::output::Answer;
use super::size::write_model;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{stock, targets, words};

/// Reads the model, mends it, and writes it.
pub fn run(args: &MendArgs) -> Result<Mended, Trouble> {
    if let Some(out) = &args.out {
        targets::check_free([out], args.force.force)?;
    }
    let waiting = Waiting::new();
    let progress = waiting.progress();
    let stock = stock::read(&args.stock, progress)?;
    let before = State::of(&stock.mesh);
    let mut mesh = stock.mesh;
    let mut steps = Vec::new();
    if args.safe || asked(args).is_empty() {
        let all = mend_all_safe(&mesh, progress).map_err(Trouble::said)?;
        steps.extend(all.steps.iter().map(|(step, report)| Step {
            step: mending::key(step),
            did: mending::words(report, 1.0),
            left: report.left,
        }));
        mesh = all.mesh;
    }
    for step in asked(args) {
        mending::check(&step).map_err(Trouble::said)?;
        let mended = step.apply(&mesh, progress).map_err(Trouble::said)?;
        let did = mending::words(&mended.report, 1.0);
        steps.push(Step { step: mending::key(&step), did, left: mended.report.left });
        mesh = mended.mesh;
    }
    if let Some(out) = &args.out {
        progress.stage("writing");
        write_model(out, &mesh, args.force.force)?;
    }
    Ok(Mended {
        file: stock.file.display().to_string(),
        steps,
        before,
        after: State::of(&mesh),
        out: args.out.as_ref().map(|out| out.display().to_string()),
    })
}

/// The steps that were asked for by name, in the order in which they work best.
fn asked(args: &MendArgs) -> Vec<MendStep> {
    let mut steps = Vec::new();
    steps.extend(args.merge_near.map(|tolerance_mm| MendStep::MergeNear { tolerance_mm }));
    if args.fill_holes {
        steps.push(MendStep::FillHoles { most_edges: RIM_EDGES, curved: true });
    }
    if args.fill_flat_holes {
        steps.push(MendStep::FillHoles { most_edges: RIM_EDGES, curved: false });
    }
    if args.unite {
        steps.push(MendStep::UniteCrossing);
    }
    if args.keep_outer {
        steps.push(MendStep::KeepOuter);
    }
    steps.sort_by_key(mending::order);
    steps
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Mended {
    file: String,
    steps: Vec<Step>,
    before: State,
    after: State,
    out: Option<String>,
}

#[derive(Debug, Serialize)]
struct Step {
    step: &'static str,
    did: String,
    left: usize,
}

#[derive(Debug, Serialize)]
struct State {
    triangles: usize,
    closed: bool,
    volume_mm3: Option<f64>,
}

impl State {
    fn of(mesh: &Mesh) -> State {
        let closed = edge_report(mesh).closed();
        State { triangles: mesh.triangles.len(), closed, volume_mm3: closed.then(|| mesh.volume_mm3()) }
    }

    fn words(&self) -> String {
        let state = match self.volume_mm3 {
            Some(volume_mm3) => format!("closed, {}", words::volume(volume_mm3)),
            None => "open".to_owned(),
        };
        format!("{}, {state}", words::count(self.triangles, "triangle", "triangles"))
    }
}

impl Answer for Mended {
    fn is_yes(&self) -> bool {
        self.after.closed
    }
}

impl fmt::Display for Mended {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {}", self.file, self.before.words())?;
        for step in &self.steps {
            writeln!(f, "  {:<16} {}", step.step, step.did)?;
        }
        writeln!(f, "  now              {}", self.after.words())?;
        if let Some(out) = &self.out {
            writeln!(f, "  written to {out}")?;
        }
        Ok(())
    }
}
