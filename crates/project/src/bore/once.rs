//! One bore through one solid, with no project around it.

use seamwright_geometry::bore::{Walls, distance_to_surface};
use seamwright_geometry::{Point, Progress, Solid};

use super::{Bore, Stop, Unbored, whole_channel};
use crate::evaluate::{facts_of_bore, runs_of_bore};
use crate::outcome::BoreFacts;
use crate::rods::{RodList, rod_list};

/// A solid with a bore in it.
#[derive(Debug)]
pub struct BoredSolid {
    /// The solid.
    pub solid: Solid,
    /// Measures of the bore.
    pub facts: BoreFacts,
    /// The rod for it.
    pub rods: RodList,
    /// The least wall before and after it was centred, mm, where it was.
    pub gain: Option<[f64; 2]>,
}

/// A point this near to the surface lies on it, mm: below what a printer resolves, above the rounding of single precision
/// for a model of ten metres.
const ON_SURFACE_MM: f64 = 0.01;

/// Bores `solid`. An end that stops at its point, and whose point lies on the surface, is led out by one diameter, so that
/// no skin is left there. Where `centre`, it is moved to where its least wall is greatest first. Fails, in the maker's
/// words, where nothing can be bored.
pub fn bore_solid(bore: &Bore, solid: Solid, centre: bool, progress: &Progress) -> Result<BoredSolid, String> {
    once(bore, solid, centre, progress).map_err(|unbored| match unbored {
        Unbored::Cancelled => "cancelled".into(),
        Unbored::Because(why, _) => why,
    })
}

fn once(bore: &Bore, solid: Solid, centre: bool, progress: &Progress) -> Result<BoredSolid, Unbored> {
    progress.stage("boring");
    let walls = Walls::build(&solid, progress)?;
    let mut bore = Bore { line_mm: led_out(bore, &solid), ..bore.clone() };
    let mut gain = None;
    if centre {
        let centred = bore.centred(&solid, &walls, &bore.channel(&solid, &walls)?, progress)?;
        gain = Some([centred.before_mm, centred.after_mm]);
        bore.line_mm = centred.channel.line().iter().map(|p| p.coords.into()).collect();
        progress.stage("boring");
    }
    let (channel, bored) = whole_channel(&bore, &solid, &walls, progress)?;
    let profile = bore.profile(&solid, &walls, &channel, 0.0);
    let facts = facts_of_bore(&bore, &channel, &bored, profile);
    let rods = if facts.removed_mm3 > 0.0 {
        rod_list(&[(&bore, runs_of_bore(&facts, 0.0))], progress)?
    } else {
        RodList::default()
    };
    Ok(BoredSolid { solid: bored.solid, facts, rods, gain })
}

/// Its line, with ends on the surface led out.
fn led_out(bore: &Bore, solid: &Solid) -> Vec<[f64; 3]> {
    let mut line: Vec<Point> = bore.line_mm.iter().map(|p| Point::from(*p)).collect();
    let last = line.len() - 1;
    for (end, at, before) in [(0, 0, 1), (1, last, last - 1)] {
        let on_surface = || distance_to_surface(&solid.mesh, &line[at]).is_some_and(|mm| mm <= ON_SURFACE_MM);
        if bore.ends[end].stop == Stop::At && on_surface() {
            let out = (line[at] - line[before]).normalize();
            line[at] += out * bore.diameter_mm();
        }
    }
    line.into_iter().map(|p| p.coords.into()).collect()
}
