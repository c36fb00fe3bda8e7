//! `bore`: a channel for a rod taken away from a model, and the model written.

use std::fmt;

use seamwright_geometry::{Solid, edge_report};
use seamwright_project::rods::{Clearance, PRINTER_MM, ToldRods};
use seamwright_project::{
    Bore, BoreChange, BoreId, BoreTrouble, BoredSolid, Fitting, PartId, RodChoice, Stop, bore_solid,
};
use serde::Serialize;

use super::args::BoreArgs;
use super::measures::place;
use super::output::Answer;
use super::size::write_model;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{stock, words};

/// Reads the model, bores it, and writes it once it is sure that nothing is replaced.
pub fn run(args: &BoreArgs) -> Result<BoredOnce, Trouble> {
    let bore = asked(args).map_err(Trouble::said)?;
    args.write.check_free()?;
    let waiting = Waiting::new();
    let progress = waiting.progress();
    let stock = stock::read(&args.stock, progress)?;
    let (file, unit) = (stock.file.display().to_string(), stock.unit.name());
    let solid = Solid::from_stock(stock.mesh);
    let bored =
        bore_solid(&bore, solid, args.centre, progress).map_err(|why| Trouble::Said(format!("{file}: {why}")))?;
    if let Some(out) = &args.write.out {
        progress.stage("writing");
        write_model(out, &bored.solid.mesh, args.write.force.overwrite())?;
    }
    Ok(BoredOnce::new(file, unit, args, &bore, &bored))
}

/// The bore that was asked for.
fn asked(args: &BoreArgs) -> Result<Bore, BoreTrouble> {
    let line: Vec<[f64; 3]> = [args.from].into_iter().chain(args.via.iter().copied()).chain([args.to]).collect();
    let rod = match (&args.rod, args.diameter) {
        (Some(name), _) => RodChoice::Listed(name.clone()),
        (None, Some(mm)) => RodChoice::Typed(mm),
        // Not reached: one of the two is required.
        (None, None) => RodChoice::Typed(0.0),
    };
    // Names of rods are typed in any case.
    let rod = rod.listed().map_or(rod, |known| RodChoice::Listed(known.name.to_owned()));
    let typed = matches!(args.clearance, Clearance::Typed(_));
    let mut bore = Bore::new(BoreId(1), "bore".into(), PartId::MAIN, line, rod);
    bore.clearance = args.clearance;
    // What is typed as a number is all that is added.
    bore.printer_mm = args.printer.unwrap_or(if typed { 0.0 } else { PRINTER_MM });
    bore.shape = args.shape.into();
    // One piece by itself: nothing says how it lies.
    bore.up_as_laid = false;
    if let Some(up) = args.up {
        bore.up = up;
    }
    bore.least_wall_mm = args.wall;
    for (end, blind) in [args.blind_from, args.blind_to].into_iter().enumerate() {
        bore.ends[end].stop = match blind {
            Some(mm) => Stop::Blind(mm),
            None if args.open => Stop::Open,
            None => Stop::At,
        };
    }
    let fittings =
        [(args.countersink, Fitting::Countersink as fn(f64) -> Fitting), (args.nut_pocket, Fitting::NutPocket)];
    for (mm, fitting) in fittings {
        if let Some(mm) = mm {
            bore = BoreChange::Fitting { end: 1, fitting: fitting(mm) }.apply(&bore)?;
        }
    }
    bore.check()?;
    Ok(bore)
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct BoredOnce {
    file: String,
    unit: &'static str,
    out: Option<String>,
    closed: bool,
    triangles: usize,
    volume_mm3: Option<f64>,
    removed_mm3: f64,
    rod: String,
    rod_mm: f64,
    diameter_mm: f64,
    diameter_from: &'static str,
    line_mm: Vec<[f64; 3]>,
    length_mm: f64,
    mouths_mm: Vec<[f64; 3]>,
    least_wall_mm: Option<f64>,
    least_wall_at_mm: Option<[f64; 3]>,
    breaks_through_mm: Option<[f64; 3]>,
    centred: Option<Gain>,
    rods: ToldRods,
}

#[derive(Clone, Copy, Debug, Serialize)]
struct Gain {
    before_mm: f64,
    after_mm: f64,
}

impl BoredOnce {
    fn new(file: String, unit: &'static str, args: &BoreArgs, bore: &Bore, bored: &BoredSolid) -> BoredOnce {
        let mesh = &bored.solid.mesh;
        let closed = edge_report(mesh).closed();
        let facts = &bored.facts;
        let least = facts.profile.least.as_ref();
        BoredOnce {
            file,
            unit,
            out: args.write.told(),
            closed,
            triangles: mesh.triangles.len(),
            volume_mm3: closed.then(|| mesh.volume_mm3()),
            removed_mm3: facts.removed_mm3,
            rod: bore.rod.words(),
            rod_mm: bore.rod.diameter_mm(),
            diameter_mm: bore.diameter_mm(),
            diameter_from: bore.hole().source,
            line_mm: facts.line.iter().map(place).collect(),
            length_mm: facts.length_mm(),
            mouths_mm: facts.mouths.iter().map(place).collect(),
            least_wall_mm: facts.least_wall_mm(),
            least_wall_at_mm: least.map(|wall| place(&wall.towards)),
            breaks_through_mm: facts.profile.broken.first().map(|broken| place(&broken.place)),
            centred: bored.gain.map(|[before_mm, after_mm]| Gain { before_mm, after_mm }),
            rods: bored.rods.told(),
        }
    }
}

impl Answer for BoredOnce {
    fn is_yes(&self) -> bool {
        self.closed
    }
}

impl fmt::Display for BoredOnce {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let state = match self.volume_mm3 {
            Some(volume_mm3) => format!("closed, {}", words::volume(volume_mm3)),
            None => "open".to_owned(),
        };
        writeln!(f, "{}: {}, {state}", self.file, words::count(self.triangles, "triangle", "triangles"))?;
        let wide = format!("{:.2} mm wide by {}", self.diameter_mm, self.diameter_from);
        writeln!(f, "  bored      {} for {}, {:.1} mm long", wide, self.rod, self.length_mm)?;
        writeln!(f, "  taken away {}", words::volume(self.removed_mm3))?;
        match (self.least_wall_mm, self.least_wall_at_mm) {
            (Some(mm), Some(at)) => writeln!(f, "  least wall {mm:.2} mm, at {}", words::place(&at))?,
            _ if self.removed_mm3 == 0.0 => writeln!(f, "  noticed    it goes through no material")?,
            _ if self.breaks_through_mm.is_none() => writeln!(f, "  least wall none beside its mouths")?,
            _ => {}
        }
        if let Some(gain) = self.centred {
            writeln!(f, "  centred    least wall {:.2} mm, was {:.2} mm", gain.after_mm, gain.before_mm)?;
        }
        if let Some(at) = self.breaks_through_mm {
            writeln!(f, "  noticed    it breaks through the surface, see {}", words::place(&at))?;
        }
        write!(f, "{}", self.rods)?;
        if let Some(out) = &self.out {
            writeln!(f, "  written to {out}")?;
        }
        Ok(())
    }
}
