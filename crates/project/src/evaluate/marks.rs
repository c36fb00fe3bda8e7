//! Short marks for the pieces.

use crate::outcome::{Part, Piece, tell_crumbs};
use crate::recipe::PartId;

/// Sorts the pieces part by part, along the longest side of their part, low to high, and marks them A1, A2, A3 … in that
/// order, so that neighbours on the model are neighbours on the list. The pieces of loose parts are B1 …, C1 … and so on.
/// Crumbs come last, so that no other piece is called anew where they are left out.
pub(super) fn give(pieces: &mut [Piece], parts: &[Part]) {
    let along = |id: PartId| {
        let part = parts.iter().find(|part| part.id == id);
        part.and_then(|part| part.solid.mesh.bounds()).map_or(2, |bounds| bounds.size().iamax())
    };
    pieces.sort_by_key(|piece| piece.id.part);
    pieces.chunk_by_mut(|a, b| a.id.part == b.id.part).for_each(tell_crumbs);
    pieces.sort_by(|a, b| {
        let centre = |piece: &Piece| piece.facts.bounds.centre();
        let order = |k: usize| centre(a)[k].total_cmp(&centre(b)[k]);
        let first = along(a.id.part);
        let others = [(first + 1) % 3, (first + 2) % 3];
        let within = || order(first).then(order(others[0])).then(order(others[1])).then_with(|| a.id.cmp(&b.id));
        a.id.part.cmp(&b.id.part).then(a.is_crumb().cmp(&b.is_crumb())).then_with(within)
    });
    for family in pieces.chunk_by_mut(|a, b| a.id.part == b.id.part) {
        let letters = letters(family[0].id.part);
        for (i, piece) in family.iter_mut().enumerate() {
            piece.mark = format!("{letters}{}", i + 1);
        }
    }
}

/// A for the main part, then B to Z, AA, AB … by the identity of the part, so that marks stay when another is put back.
fn letters(part: PartId) -> String {
    let mut rest = u64::from(part.0) + 1;
    let mut letters = Vec::new();
    while rest > 0 {
        rest -= 1;
        letters.push(char::from(b'A' + (rest % 26) as u8));
        rest /= 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_lettered_as_columns_of_a_table_are() {
        let said: Vec<String> = [0, 1, 25, 26, 27, 701, 702].map(|id| letters(PartId(id))).into();
        assert_eq!(said, ["A", "B", "Z", "AA", "AB", "ZZ", "AAA"]);
    }
}
