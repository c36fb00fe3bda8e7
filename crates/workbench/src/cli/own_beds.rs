//! `beds`: the beds that the user owns, kept on their machine.

use std::fmt;
use std::path::PathBuf;

use seamwright_geometry::Bed;
use seamwright_project::{NamedBed, saved_beds};
use serde::Serialize;

use super::args::BedsArgs;
use super::output::Answer;
use super::trouble::Trouble;
use super::words;

/// Keeps or forgets a bed if asked to, and tells which there are.
pub fn run(args: &BedsArgs) -> Result<OwnBeds, Trouble> {
    let path = args.kept_in.clone().or_else(saved_beds::default_path).ok_or_else(|| {
        Trouble::said("this machine names no folder for settings: say where beds are kept with --kept-in FILE")
    })?;
    let mut found = true;
    match (&args.keep, &args.bed, &args.forget) {
        (Some(name), Some(bed), _) => {
            let bed = NamedBed { name: checked(name)?, bed: bed.bed(Some(&path))? };
            saved_beds::keep(&path, bed).map_err(Trouble::said)?;
        }
        (_, _, Some(name)) => found = saved_beds::forget(&path, name).map_err(Trouble::said)?,
        _ => {}
    }
    let beds = saved_beds::load(&path).map_err(Trouble::said)?;
    Ok(OwnBeds { kept_in: path, found, beds: beds.iter().map(Told::of).collect() })
}

fn checked(name: &str) -> Result<String, Trouble> {
    let name = name.trim();
    if super::beds::is_own_name(name) {
        return Ok(name.to_owned());
    }
    let problem = format!("\"{name}\" would be read as numbers or words of a bed: begin with a letter");
    Err(Trouble::Option { option: "--keep", problem })
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct OwnBeds {
    kept_in: PathBuf,
    /// Whether the bed that was to be forgotten was there.
    found: bool,
    beds: Vec<Told>,
}

#[derive(Debug, Serialize)]
struct Told {
    name: String,
    size_mm: [f64; 3],
    room_mm: [f64; 3],
    outline_mm: Vec<[f64; 2]>,
    keep_outs: usize,
}

impl Told {
    fn of(named: &NamedBed) -> Told {
        let bed: &Bed = &named.bed;
        let [x, y] = bed.size_mm();
        Told {
            name: named.name.clone(),
            size_mm: [x, y, bed.height_mm],
            room_mm: bed.room_mm(),
            outline_mm: bed.drawn_outline_mm(),
            keep_outs: bed.keep_outs.len(),
        }
    }
}

impl Answer for OwnBeds {
    fn is_yes(&self) -> bool {
        self.found
    }
}

impl fmt::Display for OwnBeds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.found {
            writeln!(f, "there is no bed of that name")?;
        }
        writeln!(f, "{} in {}", words::count(self.beds.len(), "bed", "beds"), self.kept_in.display())?;
        for bed in &self.beds {
            writeln!(f, "  {}: {}, room {}", bed.name, words::size(&bed.size_mm), words::size(&bed.room_mm))?;
        }
        Ok(())
    }
}
