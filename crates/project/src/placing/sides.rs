//! What one side of a moving cut is parted into by the cuts that are limited to that side.

use seamwright_geometry::Side;

use crate::evaluate::Node;
use crate::recipe::{CutId, PieceId, Recipe, Scope};

/// The recipe as it holds on one side of `moving`: without that cut, and with cuts that are limited to pieces on that
/// side limited to what those are part of. Cuts limited to the other side are left out. `None` where no other cut
/// speaks of `moving`: both sides are then as the other cuts leave them.
pub(super) fn recipe_on_side(recipe: &Recipe, moving: CutId, side: Side) -> Option<Recipe> {
    let speaks_of_it = |name: &PieceId| name.path.iter().any(|(cut, _)| *cut == moving);
    let mut on_side = recipe.clone();
    on_side.cuts.retain(|cut| cut.id != moving);
    let mut any = false;
    for cut in &mut on_side.cuts {
        let Scope::Pieces(names) = &mut cut.scope else { continue };
        if !names.iter().any(speaks_of_it) {
            continue;
        }
        any = true;
        let on_this_side = |name: &PieceId| !name.path.contains(&(moving, side.other()));
        let part_of = |name: &PieceId| PieceId {
            part: name.part,
            path: name.path.iter().copied().filter(|(cut, _)| *cut != moving).collect(),
            body: if speaks_of_it(name) { 0 } else { name.body },
        };
        *names = names.iter().filter(|name| on_this_side(name)).map(part_of).collect();
        cut.enabled &= !names.is_empty();
    }
    any.then_some(on_side)
}

/// Whether `part` was cut from `whole`: it lies on the same side of every cut that the whole met, and within its box.
pub(super) fn is_part_of(part: &Node, whole: &Node) -> bool {
    let same_sides = whole.sides.iter().all(|met| part.sides.contains(met));
    let (inner, outer) = (&part.body.bounds, &whole.body.bounds);
    same_sides && (0..3).all(|k| outer.min[k] <= inner.min[k] && inner.max[k] <= outer.max[k])
}
