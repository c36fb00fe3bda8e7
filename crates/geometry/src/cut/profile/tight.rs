//! Whether what became of the near faces, with the caps, is closed again: a look at the near faces alone.

use rustc_hash::FxHashMap;

use crate::Solid;

/// Uses of undirected edges from the lower to the higher vertex, minus those the other way.
type Balance = FxHashMap<(u32, u32), i32>;

/// Whether both sides meet the faces that stayed whole as the near faces did, and themselves everywhere else. `near` are
/// the faces that were divided, `parts` what became of them below and above, `caps` the caps as the lower side has them.
pub(super) fn is_tight(solid: &Solid, near: &[u32], parts: &[Vec<([u32; 3], u32)>; 2], caps: &[[u32; 3]]) -> bool {
    let mut rim = Balance::default();
    near.iter().for_each(|face| add(&mut rim, solid.mesh.triangles[*face as usize]));
    let sides = [0, 1].map(|side| {
        let mut balance = Balance::default();
        parts[side].iter().for_each(|(part, _)| add(&mut balance, *part));
        caps.iter().for_each(|&[a, b, c]| add(&mut balance, if side == 0 { [a, b, c] } else { [a, c, b] }));
        balance.retain(|_, uses| *uses != 0);
        balance
    });
    rim.retain(|_, uses| *uses != 0);
    // Each edge of the rim is met by one side as it was before, and no side has another edge.
    let met: usize = sides.iter().map(|balance| balance.len()).sum();
    met == rim.len() && sides.iter().flatten().all(|(edge, uses)| rim.get(edge) == Some(uses))
}

fn add(balance: &mut Balance, [a, b, c]: [u32; 3]) {
    for (from, to) in [(a, b), (b, c), (c, a)] {
        if from != to {
            *balance.entry((from.min(to), from.max(to))).or_default() += if from < to { 1 } else { -1 };
        }
    }
}
