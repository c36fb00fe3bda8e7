//! The rods that the bores ask for.

use std::sync::Arc;

use seamwright_geometry::{Progress, Vector};

use super::Stop;
use crate::bore::Bore;
use crate::cache::{Cache, Key, Weigh};
use crate::outcome::{BoreDone, BoreFacts, Piece};
use crate::recipe::Recipe;
use crate::rods::{RodList, Runs, rod_list};

/// Density of what pieces are printed of, g/mm³: PLA, 1.24 g/cm³ (data sheet of a common grade, ASTM D792).
const PRINT_G_PER_MM3: f64 = 1.24e-3;

/// The list for the bores that were made and that met material.
pub(super) fn list(
    recipe: &Recipe,
    bores: &[BoreDone],
    pieces: &[Piece],
    cache: &Cache,
    progress: &Progress,
) -> Result<Arc<RodList>, Stop> {
    let made = |done: &BoreDone| {
        let (bore, facts) = (recipe.bore(done.bore)?, done.result.as_ref().ok()?);
        let carried = pieces.iter().filter(|piece| piece.facts.bores.iter().any(|within| within.bore == bore.id));
        let carried_g = carried.map(|piece| piece.facts.volume_mm3 * PRINT_G_PER_MM3).sum();
        (facts.removed_mm3 > 0.0).then(|| (bore, runs_of_bore(facts, carried_g)))
    };
    let bores: Vec<(&Bore, Runs)> = bores.iter().filter_map(made).collect();
    if bores.is_empty() {
        return Ok(Arc::default());
    }
    progress.stage("listing the rods");
    let told = |(bore, runs): &(&Bore, Runs)| {
        let Bore { id, name, rod, ends, glue_mm, .. } = bore;
        format!("{id:?} {name:?} {rod:?} {ends:?} {glue_mm} {runs:?}")
    };
    let key = bores.iter().fold(Key::new("rods"), |key, bore| key.with(told(bore).as_bytes()));
    cache.get_or_make(key, || Ok(rod_list(&bores, progress)?))
}

/// The straight runs of a bore that was made.
pub(crate) fn runs_of_bore(facts: &BoreFacts, carried_g: f64) -> Runs {
    let line = facts.channel_line();
    let ways: Vec<Vector> = line.windows(2).map(|pair| pair[1] - pair[0]).collect();
    Runs {
        lengths_mm: ways.iter().map(Vector::norm).collect(),
        bends_deg: ways.windows(2).map(|pair| pair[0].angle(&pair[1]).to_degrees()).collect(),
        blind: facts.blind,
        carried_g,
    }
}

impl Weigh for RodList {
    fn bytes(&self) -> usize {
        size_of::<Self>() + size_of_val(self.rods.as_slice())
    }
}
