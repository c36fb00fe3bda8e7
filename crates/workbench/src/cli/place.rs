//! `place`: the place nearest to where a cut is at which both its sides fit.

use std::fmt;

use seamwright_project::{Cache, Cut, CutPlane, Document, Edit, Nearest, Recipe, nearest_place, saved_beds};
use serde::Serialize;

use super::args::PlaceArgs;
use super::output::Answer;
use super::project;
use super::trouble::Trouble;
use super::waiting::Waiting;

/// Looks for the place, and writes the project with the cut there if a file for it is named.
pub fn run(args: &PlaceArgs) -> Result<Found, Trouble> {
    args.write.check_free()?;
    let waiting = Waiting::new();
    let (mut document, recipe) = opened(args)?;
    let cut = cut_named(&recipe, args.cut.as_deref())?;
    // What is wrong with the project is said as every verb says it.
    let cache = Cache::default();
    project::make_recipe(&args.project, &recipe, &document.folder(), &cache, waiting.progress())?;
    let nearest =
        nearest_place(&recipe, cut.id, &document.folder(), &cache, waiting.progress()).map_err(Trouble::said)?;
    let mut written = None;
    if let (Some(out), Nearest::Place(place)) = (&args.write.out, &nearest) {
        // The bed that was asked for is a question, and no change of the project.
        document.apply(&place.edit()).map_err(Trouble::said)?;
        document.save(Some(out)).map_err(Trouble::said)?;
        written = Some(out.display().to_string());
    }
    Ok(Found::new(args, cut, &nearest, written))
}

fn opened(args: &PlaceArgs) -> Result<(Document, Recipe), Trouble> {
    let document = Document::open(&args.project.file).map_err(Trouble::said)?;
    let mut recipe = document.recipe().clone();
    if let Some(bed) = &args.bed {
        let bed = bed.bed(saved_beds::default_path().as_deref())?;
        recipe = Edit::SetBed(bed).apply(&recipe).map_err(Trouble::said)?;
        recipe.more_beds.clear();
    }
    Ok((document, recipe))
}

/// A cut by its name, or by its number in the list from 1.
fn cut_named<'a>(recipe: &'a Recipe, name: Option<&str>) -> Result<&'a Cut, Trouble> {
    let by_name = || recipe.cuts.iter().find(|cut| Some(cut.name.as_str()) == name);
    let by_number = || name?.parse::<usize>().ok().and_then(|number| recipe.cuts.get(number.checked_sub(1)?));
    by_name().or_else(by_number).ok_or_else(|| {
        let names: Vec<&str> = recipe.cuts.iter().map(|cut| cut.name.as_str()).collect();
        let problem = match (names.is_empty(), name) {
            (true, _) => "this project has no cuts".to_owned(),
            (false, Some(name)) => format!("there is no cut \"{name}\" here; its cuts are: {}", names.join(", ")),
            (false, None) => format!("say for which cut: {}", names.join(", ")),
        };
        Trouble::Option { option: "--cut", problem }
    })
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Found {
    project: String,
    cut: String,
    /// `here`, `place`, `nowhere` or `parts-nothing`.
    found: &'static str,
    text: String,
    moved_mm: Option<f64>,
    tilted_deg: Option<f64>,
    plane: Option<ToldPlane>,
    out: Option<String>,
}

#[derive(Debug, Serialize)]
struct ToldPlane {
    normal: [f64; 3],
    offset_mm: f64,
    through_mm: [f64; 3],
}

impl ToldPlane {
    fn of(cut: &CutPlane) -> Option<ToldPlane> {
        let plane = cut.plane().ok()?;
        Some(ToldPlane { normal: plane.normal().into(), offset_mm: plane.offset_mm(), through_mm: cut.through_mm })
    }
}

impl Found {
    fn new(args: &PlaceArgs, cut: &Cut, nearest: &Nearest, out: Option<String>) -> Found {
        let (found, text, place) = match nearest {
            Nearest::Here => ("here", "both sides fit where it is".to_owned(), None),
            Nearest::Place(place) => ("place", place.text.clone(), Some(place)),
            Nearest::Nowhere => {
                let text = "both sides fit nowhere near: part it by further cuts, or use a larger bed";
                ("nowhere", text.to_owned(), None)
            }
            Nearest::PartsNothing => ("parts-nothing", "it parts nothing where it is".to_owned(), None),
        };
        let told = place.map_or(&cut.plane, |place| &place.plane);
        let is_somewhere = matches!(nearest, Nearest::Here | Nearest::Place(_));
        Found {
            project: args.project.file.display().to_string(),
            cut: cut.name.clone(),
            found,
            text,
            moved_mm: place.map(|place| place.moved_mm),
            tilted_deg: place.map(|place| place.tilted_deg),
            plane: if is_somewhere { ToldPlane::of(told) } else { None },
            out,
        }
    }
}

impl Answer for Found {
    fn is_yes(&self) -> bool {
        matches!(self.found, "here" | "place")
    }
}

impl fmt::Display for Found {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {}", self.cut, self.text)?;
        if let Some(plane) = self.plane.as_ref().filter(|_| self.found == "place") {
            let [x, y, z] = plane.normal.map(|x| (x * 1e6).round() / 1e6 + 0.0);
            writeln!(f, "  plane  {x},{y},{z},{:.3}", plane.offset_mm)?;
        }
        if let Some(out) = &self.out {
            writeln!(f, "  wrote  {out}")?;
        }
        Ok(())
    }
}
