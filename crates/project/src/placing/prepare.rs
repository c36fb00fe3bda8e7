//! What is prepared once, before a cut moves: the pieces as all other cuts leave them.

use std::path::Path;

use rayon::prelude::*;
use seamwright_geometry::{HalfSupport, Progress, SectionSupport, Side};

use super::{Placing, PlacingError, PlacingPiece, SidePart, sides};
use crate::cache::{Cache, Weigh};
use crate::evaluate::{Node, Stop, all_bores, bore_part, nothing_kept, part, part_by_cuts, scope_names, stock};
use crate::recipe::{CutId, PartId, Recipe, Scope};

impl Placing {
    /// Prepares the pieces that all cuts but `moving` leave; `None` for a cut that is not in the recipe yet. Runs on a
    /// worker: it may read the model and make all the other cuts, though most is in the cache already.
    pub fn prepare(
        recipe: &Recipe,
        moving: Option<CutId>,
        project_dir: &Path,
        cache: &Cache,
        progress: &Progress,
    ) -> Result<Placing, PlacingError> {
        let part = moving.and_then(|id| recipe.cut(id)).map_or(PartId::MAIN, |cut| cut.part);
        Placing::prepare_of(recipe, moving, part, project_dir, cache, progress)
    }

    /// Prepares the pieces of a part as they are, for another cut.
    pub(crate) fn prepare_part(
        recipe: &Recipe,
        part: PartId,
        project_dir: &Path,
        cache: &Cache,
        progress: &Progress,
    ) -> Result<Placing, PlacingError> {
        Placing::prepare_of(recipe, None, part, project_dir, cache, progress)
    }

    fn prepare_of(
        recipe: &Recipe,
        moving: Option<CutId>,
        id: PartId,
        project_dir: &Path,
        cache: &Cache,
        progress: &Progress,
    ) -> Result<Placing, PlacingError> {
        let scope = moving.and_then(|id| recipe.cut(id)).map_or(Scope::All, |cut| cut.scope.clone());
        let mut others = recipe.clone();
        others.cuts.retain(|cut| Some(cut.id) != moving);
        if others.stock.is_none() {
            return Err(PlacingError::NoStock);
        }
        let (stock_key, stock) = stock(&others, project_dir, cache, progress)?;
        let made = part(&others, id, stock_key, &stock, cache, progress)?;
        let (part_key, part) = made.ok_or_else(nothing_kept)?;
        let bored = bore_part(&others, id, part_key, part.solid, all_bores, cache, progress)?;
        let parting = part_by_cuts(&others, id, bored.key, bored.solid.clone(), cache, progress)?;
        let on_side = |side: Side| -> Result<Vec<Node>, Stop> {
            match moving.and_then(|moving| sides::recipe_on_side(recipe, moving, side)) {
                Some(recipe) => Ok(part_by_cuts(&recipe, id, bored.key, bored.solid.clone(), cache, progress)?.nodes),
                None => Ok(Vec::new()),
            }
        };
        let on_sides = [on_side(Side::Below)?, on_side(Side::Above)?];
        progress.stage("preparing to place the cut");
        let support = |node: &Node| {
            cache.get_or_make(node.key.then("halves"), || {
                let support = HalfSupport::build(&node.body.solid.mesh, progress)?;
                Ok::<_, Stop>(Weighed { support, bytes: node.body.solid.bytes() })
            })
        };
        let section = |node: &Node| {
            cache.get_or_make(node.key.then("section"), || {
                Ok::<_, Stop>(SectionSupport::build(&node.body.solid, progress)?)
            })
        };
        let parts = |nodes: &[Node], whole: &Node| -> Result<Vec<SidePart>, Stop> {
            let parts = nodes.iter().filter(|node| sides::is_part_of(node, whole));
            parts.map(|node| Ok(SidePart { id: node.id.clone(), support: support(node)? })).collect()
        };
        let piece = |node: &Node| -> Result<PlacingPiece, Stop> {
            let in_scope = scope_names(&scope, node);
            Ok(PlacingPiece {
                id: node.id.clone(),
                solid: node.body.solid.clone(),
                bounds: node.body.bounds,
                in_scope,
                support: support(node)?,
                section: in_scope.then(|| section(node)).transpose()?,
                parts: [parts(&on_sides[0], node)?, parts(&on_sides[1], node)?],
            })
        };
        let pieces = parting.nodes.par_iter().map(piece).collect::<Result<_, Stop>>()?;
        Ok(Placing { pieces, beds: recipe.beds().cloned().collect() })
    }
}

/// What a half-space asks of a piece, with the room that it takes in the cache (about that of the piece itself).
#[derive(Debug)]
pub(super) struct Weighed {
    pub(super) support: HalfSupport,
    bytes: usize,
}

impl Weigh for Weighed {
    fn bytes(&self) -> usize {
        self.bytes
    }
}

impl Weigh for SectionSupport {
    fn bytes(&self) -> usize {
        SectionSupport::bytes(self)
    }
}
