//! Where pieces meet: faces of caps that two pieces share to the last bit.

use std::collections::{BTreeMap, HashMap};

use seamwright_geometry::{Point, Side};

use crate::outcome::{Piece, Seam};
use crate::recipe::CutId;

/// Finds which pieces share which part of which cut.
pub(super) fn between(pieces: &[Piece]) -> Vec<Seam> {
    let mut upper: HashMap<(u32, [[u64; 3]; 3]), usize> = HashMap::new();
    for_each_cap_face(pieces, Side::Above, |piece, cut, corners| {
        upper.insert((cut, key(corners)), piece);
    });
    let mut shared: BTreeMap<(u32, usize, usize), f64> = BTreeMap::new();
    for_each_cap_face(pieces, Side::Below, |piece, cut, corners| {
        if let Some(&above) = upper.get(&(cut, key(corners))) {
            let [a, b, c] = corners;
            *shared.entry((cut, piece, above)).or_default() += (b - a).cross(&(c - a)).norm() / 2.0;
        }
    });
    let seam = |((cut, below, above), area_mm2): ((u32, usize, usize), f64)| Seam {
        cut: CutId(cut),
        below: pieces[below].id.clone(),
        above: pieces[above].id.clone(),
        area_mm2,
    };
    shared.into_iter().map(seam).collect()
}

fn for_each_cap_face(pieces: &[Piece], side: Side, mut visit: impl FnMut(usize, u32, [Point; 3])) {
    for (i, piece) in pieces.iter().enumerate() {
        for (t, origin) in piece.solid.origins.iter().enumerate() {
            if let Some(cut) = origin.cap_label()
                && piece.id.path.contains(&(CutId(cut), side))
            {
                visit(i, cut, piece.solid.mesh.corners(t));
            }
        }
    }
}

/// The corners by their exact bits, in an order of their own.
fn key(corners: [Point; 3]) -> [[u64; 3]; 3] {
    let mut key = corners.map(|p| [p.x, p.y, p.z].map(f64::to_bits));
    key.sort_unstable();
    key
}
