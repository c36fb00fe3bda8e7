//! `inspect`: what state a model is in, and how large it is.

use std::fmt;

use seamwright_geometry::{EdgePlace, Report, ShellReport, inspect_with_shells, nesting};
use seamwright_project::health::{Finding, Look, look_closely};
use seamwright_project::mending;
use serde::Serialize;

use super::args::InspectArgs;
use super::measures::{Box3, place};
use super::output::Answer;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{stock, words};

/// Reads the model and looks it over.
pub fn run(args: &InspectArgs) -> Result<Inspected, Trouble> {
    let waiting = Waiting::new();
    let stock = stock::read(&args.stock, waiting.progress())?;
    waiting.progress().stage("looking it over");
    let (report, shells) = inspect_with_shells(&stock.mesh);
    let mut inspected = Inspected::new(&stock, &report);
    if report.shells.iter().any(ShellReport::turned_inwards) {
        let nesting = nesting(&stock.mesh, &shells, &report.shells, waiting.progress()).map_err(Trouble::said)?;
        for (shell, home) in inspected.shells.iter_mut().zip(nesting.cavity_of) {
            shell.cavity_of = home.map(|home| u64::from(home) + 1);
        }
    }
    if args.closely {
        if !args.print_width.is_finite() || args.print_width <= 0.0 {
            return Err(Trouble::said("--print-width is a length of more than 0 mm"));
        }
        let look = Look { print_width_mm: args.print_width, ..Look::default() };
        let health = look_closely(&stock.mesh, &look, waiting.progress()).map_err(Trouble::said)?;
        inspected.findings = Some(health.findings.iter().map(Found::new).collect());
    }
    Ok(inspected)
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Inspected {
    file: String,
    unit: &'static str,
    format: &'static str,
    facets: usize,
    set_aside: usize,
    remarks: Vec<String>,
    triangles: usize,
    vertices: usize,
    closed: bool,
    volume_mm3: Option<f64>,
    area_mm2: f64,
    bounds_mm: Option<Box3>,
    open_edges: usize,
    over_used_edges: usize,
    misturned_edges: usize,
    zero_area_faces: usize,
    duplicate_faces: usize,
    shells: Vec<Shell>,
    places_mm: Places,
    /// Of a close look.
    #[serde(skip_serializing_if = "Option::is_none")]
    findings: Option<Vec<Found>>,
    unit_guess: Option<String>,
}

#[derive(Debug, Serialize)]
struct Found {
    defect: &'static str,
    count: usize,
    text: String,
    place_mm: Option<[f64; 3]>,
    /// The steps of `mend` that deal with it.
    mends: Vec<&'static str>,
}

impl Found {
    fn new(finding: &Finding) -> Found {
        Found {
            defect: finding.defect.name(),
            count: finding.count,
            text: finding.text.clone(),
            place_mm: finding.place.as_ref().map(place),
            mends: finding.mends.iter().map(mending::key).collect(),
        }
    }
}

#[derive(Debug, Serialize)]
struct Shell {
    triangles: usize,
    closed: bool,
    volume_mm3: f64,
    area_mm2: f64,
    bounds_mm: Box3,
    inside_out: bool,
    /// The shell whose cavity this is the wall of, counted from 1 as in the text.
    cavity_of: Option<u64>,
}

/// Where to look for what is wrong: one example of each kind.
#[derive(Debug, Serialize)]
struct Places {
    open_edge: Option<[f64; 3]>,
    over_used_edge: Option<[f64; 3]>,
    misturned_edge: Option<[f64; 3]>,
    zero_area_face: Option<[f64; 3]>,
}

impl Inspected {
    fn new(stock: &stock::Stock, report: &Report) -> Inspected {
        let corner = |face: u32| place(&stock.mesh.corners(face as usize)[0]);
        Inspected {
            file: stock.file.display().to_string(),
            unit: stock.unit.name(),
            format: stock.format.name(),
            facets: stock.facets,
            set_aside: stock.set_aside,
            remarks: stock.remarks.clone(),
            triangles: report.triangles,
            vertices: report.vertices,
            closed: report.closed,
            volume_mm3: report.closed.then_some(report.volume_mm3),
            area_mm2: report.area_mm2,
            bounds_mm: report.bounds.map(Box3::from),
            open_edges: report.open_edges,
            over_used_edges: report.over_used_edges,
            misturned_edges: report.misturned_edges,
            zero_area_faces: report.zero_area_faces,
            duplicate_faces: report.duplicate_faces,
            shells: report.shells.iter().map(Shell::new).collect(),
            places_mm: Places {
                open_edge: report.longest_open_edge.as_ref().map(middle),
                over_used_edge: report.first_over_used_edge.as_ref().map(middle),
                misturned_edge: report.first_misturned_edge.as_ref().map(middle),
                zero_area_face: report.first_zero_area_face.map(corner),
            },
            findings: None,
            unit_guess: stock.unit_guess(),
        }
    }
}

impl Shell {
    fn new(report: &ShellReport) -> Shell {
        Shell {
            triangles: report.triangles,
            closed: report.closed,
            volume_mm3: report.volume_mm3,
            area_mm2: report.area_mm2,
            bounds_mm: report.bounds.into(),
            inside_out: report.turned_inwards(),
            cavity_of: None,
        }
    }
}

fn middle(edge: &EdgePlace) -> [f64; 3] {
    place(&nalgebra::center(&edge.ends[0], &edge.ends[1]))
}

impl Answer for Inspected {
    /// The question is what state the model is in, not whether it is a good one.
    fn is_yes(&self) -> bool {
        true
    }
}

/// More shells than this are counted, not listed.
const LISTED_SHELLS: usize = 12;

impl fmt::Display for Inspected {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let state = if self.closed { "closed" } else { "open" };
        writeln!(f, "{}: {}, {state}", self.file, words::count(self.shells.len(), "shell", "shells"))?;
        if let Some(bounds) = &self.bounds_mm {
            writeln!(f, "  size       {}", words::size(&bounds.size()))?;
            writeln!(f, "  from, to   {} {}", words::place(&bounds.min), words::place(&bounds.max))?;
        }
        match self.volume_mm3 {
            Some(volume_mm3) => writeln!(f, "  volume     {}", words::volume(volume_mm3))?,
            None => writeln!(f, "  volume     not known while it is open")?,
        }
        writeln!(f, "  surface    {}", words::area(self.area_mm2))?;
        writeln!(f, "  triangles  {} on {}", self.triangles, words::count(self.vertices, "vertex", "vertices"))?;
        self.write_faults(f)?;
        if self.shells.len() > 1 {
            self.write_shells(f)?;
        }
        Ok(())
    }
}

impl Inspected {
    fn write_faults(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let at = &self.places_mm;
        let faults = [
            (self.set_aside, "face", "faces", "set aside: a coordinate is not a number", None),
            (self.open_edges, "edge", "edges", "open", at.open_edge),
            (self.over_used_edges, "edge", "edges", "with more than two faces", at.over_used_edge),
            (self.misturned_edges, "edge", "edges", "where a face is turned the wrong way", at.misturned_edge),
            (self.zero_area_faces, "face", "faces", "without area", at.zero_area_face),
            (self.duplicate_faces, "face", "faces", "stored twice", None),
        ];
        for (n, one, many, what, place) in faults {
            if n > 0 {
                let place = place.map_or(String::new(), |p| format!(", see {}", words::place(&p)));
                writeln!(f, "  noticed    {} {what}{place}", words::count(n, one, many))?;
            }
        }
        for remark in &self.remarks {
            writeln!(f, "  noticed    {remark}")?;
        }
        let inside_out = self.shells.iter().filter(|shell| shell.inside_out && shell.cavity_of.is_none()).count();
        if inside_out > 0 {
            let shells = words::count(inside_out, "shell is", "shells are");
            writeln!(f, "  noticed    {shells} inside out")?;
        }
        for found in self.findings.iter().flatten() {
            let place = found.place_mm.map_or(String::new(), |p| format!(", see {}", words::place(&p)));
            let mends = if found.mends.is_empty() { String::new() } else { format!("; {}", found.mends.join(", ")) };
            writeln!(f, "  closely    {}{place}{mends}", found.text)?;
        }
        if self.findings.as_ref().is_some_and(Vec::is_empty) {
            writeln!(f, "  closely    nothing is wrong with it")?;
        }
        if let Some(guess) = &self.unit_guess {
            writeln!(f, "  noticed    {guess}")?;
        }
        Ok(())
    }

    fn write_shells(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, shell) in self.shells.iter().take(LISTED_SHELLS).enumerate() {
            let triangles = words::count(shell.triangles, "triangle", "triangles");
            let (size, volume) = (words::size(&shell.bounds_mm.size()), words::volume(shell.volume_mm3));
            let state = match (shell.closed, shell.cavity_of) {
                (false, _) => "open".to_owned(),
                (true, None) => format!("closed, {volume}"),
                (true, Some(solid)) => format!("cavity of {solid}, {volume}"),
            };
            writeln!(f, "  shell {:<4} {triangles}, {size}, {state}", i + 1)?;
        }
        if self.shells.len() > LISTED_SHELLS {
            writeln!(f, "  and {} more shells; --json lists all", self.shells.len() - LISTED_SHELLS)?;
        }
        Ok(())
    }
}
