//! Short marks for the pieces.

use seamwright_geometry::Solid;

use crate::outcome::Piece;

/// Sorts the pieces along the longest side of the whole, low to high, and marks them A1, A2, A3 … in that order, so
/// that neighbours on the model are neighbours on the list.
pub(super) fn give(pieces: &mut [Piece], whole: &Solid) {
    let along = whole.mesh.bounds().map_or(2, |bounds| bounds.size().iamax());
    let others = [(along + 1) % 3, (along + 2) % 3];
    pieces.sort_by(|a, b| {
        let centre = |piece: &Piece| piece.facts.bounds.centre();
        let order = |k: usize| centre(a)[k].total_cmp(&centre(b)[k]);
        order(along).then(order(others[0])).then(order(others[1])).then_with(|| a.id.cmp(&b.id))
    });
    for (i, piece) in pieces.iter_mut().enumerate() {
        piece.mark = format!("A{}", i + 1);
    }
}
