//! Bores as a manifest has them.

use serde::Serialize;

use crate::outcome::{BoreDone, Outcome, Piece};

/// A channel for a rod. Lengths in mm; places in the frame of the assembled whole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitBore {
    /// Its name.
    pub bore: String,
    /// What goes in.
    pub rod: String,
    /// Diameter of that.
    pub rod_mm: f64,
    /// What was bored, from flat to flat.
    pub diameter_mm: f64,
    /// Where that comes from, without what the printer takes away.
    pub diameter_from: String,
    /// Whether it was made.
    pub bored: bool,
    /// Why not.
    pub problem: Option<String>,
    /// The points of its line, blind ends where they came to lie.
    pub line_mm: Vec<[f64; 3]>,
    /// From end to end.
    pub length_mm: f64,
    /// Where it comes through the surface.
    pub mouths_mm: Vec<[f64; 3]>,
    /// The thinnest wall around it; 0 where it breaks through, `null` where it meets no material.
    pub least_wall_mm: Option<f64>,
    /// Where on the surface that is.
    pub least_wall_at_mm: Option<[f64; 3]>,
    /// Marks of the pieces that it crosses, in order along it.
    pub pieces: Vec<String>,
    /// Where it holds magnets, one in each of its two pieces.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub magnets: Option<KitMagnets>,
    /// Whether its roof is turned in each piece to where up is as that lies.
    pub roof_as_laid: bool,
}

/// Two magnets that hold a seam together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitMagnets {
    /// The cut between them.
    pub cut: String,
    /// How thick each is.
    pub thickness_mm: f64,
    /// How deep the pocket in each piece is.
    pub pocket_mm: f64,
    /// Where the two meet.
    pub at_mm: [f64; 3],
}

/// Magnets of one size, to be bought.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitMagnetsToBuy {
    /// Their diameter.
    pub diameter_mm: f64,
    /// How thick they are.
    pub thickness_mm: f64,
    /// How many.
    pub count: usize,
}

/// The magnets of all pockets that were made.
pub(super) fn magnets_to_buy(outcome: &Outcome) -> Vec<KitMagnetsToBuy> {
    let mut all: Vec<KitMagnetsToBuy> = Vec::new();
    for done in outcome.bores.iter().filter(|done| done.result.is_ok()) {
        let Some(bore) = outcome.recipe.bore(done.bore) else { continue };
        let Some(seam) = bore.seam else { continue };
        let (diameter_mm, thickness_mm) = (bore.rod.diameter_mm(), seam.thickness_mm);
        match all.iter_mut().find(|kind| kind.diameter_mm == diameter_mm && kind.thickness_mm == thickness_mm) {
            Some(kind) => kind.count += 2,
            None => all.push(KitMagnetsToBuy { diameter_mm, thickness_mm, count: 2 }),
        }
    }
    all
}

/// A bore within a piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitBoreInPiece {
    /// Its name.
    pub bore: String,
    /// Where it begins in the piece, from the first point of its line.
    pub from_mm: f64,
    /// Where it ends.
    pub to_mm: f64,
    /// The two places, in the frame of the assembled whole.
    pub ends_mm: [[f64; 3]; 2],
}

/// All bores that are switched on.
pub fn all_bores(outcome: &Outcome) -> Vec<KitBore> {
    outcome.bores.iter().filter_map(|done| kit_bore(outcome, done)).collect()
}

fn kit_bore(outcome: &Outcome, done: &BoreDone) -> Option<KitBore> {
    let bore = outcome.recipe.bore(done.bore)?;
    let facts = done.result.as_ref().ok();
    let within = |piece: &Piece| {
        let within = piece.facts.bores.iter().find(|within| within.bore == done.bore)?;
        Some((within.from_mm, piece.mark.clone()))
    };
    let mut pieces: Vec<(f64, String)> = outcome.pieces.iter().filter_map(within).collect();
    pieces.sort_by(|a, b| a.0.total_cmp(&b.0));
    let hole = bore.hole();
    Some(KitBore {
        bore: bore.name.clone(),
        rod: bore.contents(),
        rod_mm: bore.rod.diameter_mm(),
        diameter_mm: bore.diameter_mm(),
        diameter_from: hole.source.to_owned(),
        bored: facts.is_some(),
        problem: done.result.as_ref().err().map(|failed| failed.why.clone()),
        line_mm: facts.map_or_else(|| bore.line_mm.clone(), |f| f.line.iter().map(|p| p.coords.into()).collect()),
        length_mm: facts.map_or(0.0, |facts| facts.length_mm()),
        mouths_mm: facts.map_or_else(Vec::new, |f| f.mouths.iter().map(|p| p.coords.into()).collect()),
        least_wall_mm: facts.and_then(|facts| facts.least_wall_mm()),
        least_wall_at_mm: facts.and_then(|facts| Some(facts.profile.least?.towards.coords.into())),
        pieces: pieces.into_iter().map(|(_, mark)| mark).collect(),
        magnets: bore.seam.map(|seam| KitMagnets {
            cut: outcome.recipe.cut(seam.cut).map_or_else(String::new, |cut| cut.name.clone()),
            thickness_mm: seam.thickness_mm,
            pocket_mm: seam.depth_mm(),
            at_mm: bore.placed_in(&outcome.recipe).as_ref().unwrap_or(bore).middle().coords.into(),
        }),
        roof_as_laid: bore.follows_lays(),
    })
}

/// The bores that cross a piece.
pub fn bores_in_piece(outcome: &Outcome, piece: &Piece) -> Vec<KitBoreInPiece> {
    let told = |within: &crate::outcome::BoreInPiece| {
        Some(KitBoreInPiece {
            bore: outcome.recipe.bore(within.bore)?.name.clone(),
            from_mm: within.from_mm,
            to_mm: within.to_mm,
            ends_mm: within.ends.map(|p| p.coords.into()),
        })
    };
    piece.facts.bores.iter().filter_map(told).collect()
}
