//! What was found at a close look, and inside the model.

use seamwright_geometry::{ClearSection, Passage, Point};
use seamwright_project::health::Health;
use seamwright_project::{BoreId, CutId, MeasureId, Recipe};

use super::State;

/// The clear inside of the model at a height.
#[derive(Clone, Debug, PartialEq)]
pub struct Inside {
    /// The recipe that it was measured for.
    pub recipe: Recipe,
    /// At which height, mm.
    pub z_mm: f64,
    /// What was found; `None` where there is no clear inside.
    pub clear: Option<ClearSection>,
    /// Whether it can be put on from below.
    pub way_out: Passage,
}

impl Inside {
    /// Whether it is about what stands on the bench now, at this height. Cuts change nothing about it.
    pub fn is_about(&self, state: &State, z_mm: f64) -> bool {
        let look = |recipe: &Recipe| (recipe.stock.clone(), recipe.size, recipe.stance, recipe.dropped_shells.clone());
        look(&self.recipe) == look(state.recipe()) && (self.z_mm - z_mm).abs() < SAME_HEIGHT_MM
    }
}

/// What a close look at the parts found.
#[derive(Clone, Debug, PartialEq)]
pub struct Looked {
    /// The recipe that it was made for.
    pub recipe: Recipe,
    /// The rims of the holes of each part, as lines, mm.
    pub rims: Vec<Vec<Vec<Point>>>,
    /// One for each part, in their order; where there are several, one more for what is wrong between them.
    pub parts: Vec<Health>,
}

impl Looked {
    /// Whether it is about the same shells, mended or not since: its list still says what was found.
    pub fn is_about_shells(&self, recipe: &Recipe) -> bool {
        self.is_about(&Recipe {
            mends: self.recipe.mends.clone(),
            reliefs: self.recipe.reliefs.clone(),
            ..recipe.clone()
        })
    }

    /// Whether it is about the parts as they are now. Bores and cuts change nothing about it.
    pub fn is_about(&self, recipe: &Recipe) -> bool {
        let without_cuts = |recipe: &Recipe| Recipe {
            cuts: Vec::new(),
            next_cut: CutId(0),
            bores: Vec::new(),
            next_bore: BoreId(0),
            measures: Vec::new(),
            next_measure: MeasureId(0),
            bed: seamwright_project::default_bed(),
            name: String::new(),
            costume: String::new(),
            keep_bodies_together: false,
            ..recipe.clone()
        };
        without_cuts(&self.recipe) == without_cuts(recipe)
    }
}

/// Heights that differ by less are one: far below what is shown of them.
const SAME_HEIGHT_MM: f64 = 1e-6;
