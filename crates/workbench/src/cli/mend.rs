//! `mend`: a model mended step by step, with what each step did, and written.

use std::fmt;

use seamwright_geometry::mend::{MendStep, NEW_FACE, mend_all_safe};
use seamwright_geometry::{Mesh, Shells, edge_report, relieve_among, solid_with, taken_out};
use seamwright_project::mending::{self, RIM_EDGES};
use seamwright_project::relief;
use serde::Serialize;

use super::args::MendArgs;
use super::output::Answer;
use super::size::write_model;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{stock, words};

/// Reads the model, mends it, and writes it.
pub fn run(args: &MendArgs) -> Result<Mended, Trouble> {
    args.write.check_free()?;
    let waiting = Waiting::new();
    let progress = waiting.progress();
    let stock = stock::read(&args.stock, progress)?;
    let before = State::of(&stock.mesh);
    let numbers = if args.reliefs.is_empty() { Vec::new() } else { numbers(args, &stock.mesh)? };
    let mut mesh = stock.mesh;
    let mut steps = Vec::new();
    // The face of the file that each face is part of, by which shells keep their numbers.
    let mut came_from: Vec<u32> = (0..mesh.triangles.len() as u32).collect();
    let follow = |came_from: &mut Vec<u32>, next: &[u32]| {
        *came_from = next.iter().map(|face| came_from.get(*face as usize).copied().unwrap_or(NEW_FACE)).collect();
    };
    if args.safe || (asked(args).is_empty() && args.reliefs.is_empty()) {
        let all = mend_all_safe(&mesh, progress).map_err(Trouble::said)?;
        steps.extend(all.steps.iter().map(|(step, report)| Step {
            step: mending::key(step),
            did: mending::words_of(step, report, 1.0),
            left: report.left,
        }));
        follow(&mut came_from, &all.came_from);
        mesh = all.mesh;
    }
    for step in asked(args) {
        mending::check(&step).map_err(Trouble::said)?;
        let mended = step.apply(&mesh, progress).map_err(Trouble::said)?;
        let did = mending::words_of(&step, &mended.report, 1.0);
        steps.push(Step { step: mending::key(&step), did, left: mended.report.left });
        follow(&mut came_from, &mended.came_from);
        mesh = mended.mesh;
    }
    // Every shell makes room for the others as they were before any did.
    let whole = mesh.clone();
    let shell_of =
        |came_from: &[u32], face: u32| -> Option<u32> { numbers.get(*came_from.get(face as usize)? as usize).copied() };
    let from_file = came_from.clone();
    for given in &args.reliefs {
        let of = |shell: u32, came_from: &[u32], mesh: &Mesh| {
            solid_with(mesh, |face| shell_of(came_from, face) == Some(shell), progress).map_err(Trouble::said)
        };
        let (other, _) = taken_out(&whole, &of(given.by, &from_file, &whole)?);
        let relieved = of(given.shell, &came_from, &mesh)?;
        let made = relieve_among(&mesh, &relieved, &other, given.clearance_mm, progress)
            .map_err(|error| Trouble::Said(format!("{}: {error}", relief::name(given))))?;
        steps.push(Step { step: "relieve", did: relief::words(&made.report, 1.0), left: 0 });
        follow(&mut came_from, &made.came_from);
        mesh = made.mesh;
    }
    if let Some(out) = &args.write.out {
        progress.stage("writing");
        write_model(out, &mesh, args.write.force.overwrite())?;
    }
    Ok(Mended {
        file: stock.file.display().to_string(),
        steps,
        before,
        after: State::of(&mesh),
        out: args.write.told(),
    })
}

/// The shell of each face; fails where a relief names one that is not there.
fn numbers(args: &MendArgs, mesh: &Mesh) -> Result<Vec<u32>, Trouble> {
    let shells = Shells::of(mesh);
    relief::check(&args.reliefs).map_err(Trouble::said)?;
    match args.reliefs.iter().flat_map(|relief| [relief.shell, relief.by]).find(|shell| *shell >= shells.count) {
        Some(missing) => Err(Trouble::Said(format!(
            "there is no shell {}: the model has {}; `inspect` lists them",
            u64::from(missing) + 1,
            words::count(shells.count as usize, "shell", "shells")
        ))),
        None => Ok(shells.of_triangle),
    }
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
