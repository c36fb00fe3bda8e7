//! Where pieces meet: the caps of a cut, laid over one another.

mod overlap;
mod strips;

use std::collections::BTreeMap;

use seamwright_geometry::{Point, Side};

use crate::outcome::{Piece, Seam};
use crate::recipe::{CutId, Recipe};
use overlap::Laid;
use strips::Strips;

/// An overlap below this is rounding along a common border, mm²: a square of a thousandth of a millimetre, which no
/// printer resolves.
const ROUNDING_MM2: f64 = 1e-6;

/// Finds which pieces share which part of which cut.
///
/// Most faces of a cap are in the other cap too, to the last bit. Where later cuts went through one side only, or
/// through the two sides differently, and where the cut left a gap, the faces that are left over are laid over one
/// another: for a cut along a profile, strip by strip.
pub(super) fn between(recipe: &Recipe, pieces: &[Piece]) -> Vec<Seam> {
    let mut caps: BTreeMap<u32, Caps> = BTreeMap::new();
    for (i, piece) in pieces.iter().enumerate() {
        for (t, origin) in piece.solid.origins.iter().enumerate() {
            let (Some(cut), Some(side)) = (origin.cap_label(), origin.cap_side()) else { continue };
            let face = CapFace { piece: i, corners: piece.solid.mesh.corners(t) };
            caps.entry(cut).or_default().side_mut(side).push(face);
        }
    }
    let seams = |(cut, caps): (u32, Caps)| {
        let cut = CutId(cut);
        shared(recipe, cut, caps).into_iter().map(move |((below, above), area_mm2)| Seam {
            cut,
            below: pieces[below].id.clone(),
            above: pieces[above].id.clone(),
            area_mm2,
        })
    };
    caps.into_iter().flat_map(seams).collect()
}

/// The faces of a cut's caps on both sides.
#[derive(Default)]
struct Caps {
    below: Vec<CapFace>,
    above: Vec<CapFace>,
}

impl Caps {
    fn side_mut(&mut self, side: Side) -> &mut Vec<CapFace> {
        match side {
            Side::Below => &mut self.below,
            Side::Above => &mut self.above,
        }
    }
}

/// A face of a cap, with the index of its piece.
struct CapFace {
    piece: usize,
    corners: [Point; 3],
}

/// Shared area of every pair of pieces, (below, above).
fn shared(recipe: &Recipe, cut: CutId, caps: Caps) -> BTreeMap<(usize, usize), f64> {
    // In an order of its own, so that areas are added up alike on every run.
    let mut upper: BTreeMap<[[u64; 3]; 3], Vec<CapFace>> = BTreeMap::new();
    for face in caps.above {
        upper.entry(key(face.corners)).or_default().push(face);
    }
    let mut shared: BTreeMap<(usize, usize), f64> = BTreeMap::new();
    let mut left_below = Vec::new();
    for face in caps.below {
        match upper.get_mut(&key(face.corners)).and_then(Vec::pop) {
            Some(above) => *shared.entry((face.piece, above.piece)).or_default() += area_mm2(face.corners),
            None => left_below.push(face),
        }
    }
    let left_above: Vec<CapFace> = upper.into_values().flatten().collect();
    if left_below.is_empty() || left_above.is_empty() {
        return shared;
    }
    let Some(strips) = recipe.cut(cut).and_then(Strips::of) else { return shared };
    let (mut below, mut above) = (strips.sort(left_below), strips.sort(left_above));
    let mut overlaps: BTreeMap<(usize, usize), f64> = BTreeMap::new();
    for (strip, faces) in &mut below {
        let Some(upper) = above.remove(strip) else { continue };
        let plane = strips.plane(*strip);
        let laid = |faces: &[CapFace]| faces.iter().map(|f| Laid::on(plane, f.corners, f.piece)).collect();
        for (pair, area_mm2) in overlap::areas(laid(faces), laid(&upper)) {
            *overlaps.entry(pair).or_default() += area_mm2;
        }
    }
    for (pair, area_mm2) in overlaps.into_iter().filter(|(_, area_mm2)| *area_mm2 > ROUNDING_MM2) {
        *shared.entry(pair).or_default() += area_mm2;
    }
    shared
}

fn area_mm2([a, b, c]: [Point; 3]) -> f64 {
    (b - a).cross(&(c - a)).norm() / 2.0
}

/// The corners by their exact bits, in an order of their own.
fn key(corners: [Point; 3]) -> [[u64; 3]; 3] {
    let mut key = corners.map(|p| [p.x, p.y, p.z].map(f64::to_bits));
    key.sort_unstable();
    key
}
