//! Parts of faces that lie in a strip.
//!
//! A part in the plane of a strip that reaches over a fold is divided there. What then lies in a strip belongs to what it
//! bounds: to the side that it faces away from, as with a plane. Without this, a face in a strip would leave a sheet
//! without thickness between itself and the cap.

use rustc_hash::FxHashMap;

use super::crossings::{Crossings, NONE};
use super::rings::{Rim, Ring};
use crate::Side;

/// Edges that got vertices between their ends, low → high.
pub(super) type Chains = FxHashMap<(u32, u32), Vec<u32>>;

/// Divides parts that lie in the plane of a strip at its folds.
pub(super) fn divide(crossings: &mut Crossings, rings: &mut Vec<Ring>, chains: &mut Chains) {
    let mut made: FxHashMap<(u32, u32, u32), u32> = FxHashMap::default();
    let mut strips = Vec::new();
    let mut i = 0;
    while i < rings.len() {
        let mut divided = None;
        strips_level_with(crossings, &rings[i], &mut strips);
        'strips: for &strip in &strips {
            let [begin, end] = crossings.curve.strips[strip as usize].extent_mm();
            // The fold before strip k has the number k − 1.
            for (at, fold) in [(begin, strip.wrapping_sub(1)), (end, strip)] {
                if at.is_finite() {
                    divided = divide_one(crossings, &rings[i], strip, at, fold, &mut made, chains);
                    if divided.is_some() {
                        break 'strips;
                    }
                }
            }
        }
        match divided {
            // Both may have to be divided at another fold.
            Some([left, right]) => {
                rings[i] = left;
                rings.push(right);
            }
            None => i += 1,
        }
    }
}

/// Strips whose plane has all of a part on it, and that the part overlaps.
fn strips_level_with(crossings: &Crossings, ring: &Ring, strips: &mut Vec<u32>) {
    strips.clear();
    if ring.rim.len() < 3 {
        return;
    }
    let spots: Vec<[f64; 2]> = ring.rim.iter().map(|r| crossings.spot(r.node)).collect();
    crossings.strips_near(&spots, strips);
    strips.retain(|&s| {
        let strip = &crossings.curve.strips[s as usize];
        let [begin, end] = strip.extent_mm();
        let seen: Vec<(f64, f64)> = spots.iter().map(|p| strip.along_and_off(*p)).collect();
        seen.iter().all(|(_, off)| off.abs() <= crossings.on_mm)
            && seen.iter().any(|(along, _)| *along > begin + crossings.on_mm)
            && seen.iter().any(|(along, _)| *along < end - crossings.on_mm)
    });
}

/// Divides a part of a face along the fold that lies `at` along a strip, if the part reaches over it on both sides.
fn divide_one(
    crossings: &mut Crossings,
    ring: &Ring,
    strip: u32,
    at: f64,
    fold: u32,
    made: &mut FxHashMap<(u32, u32, u32), u32>,
    chains: &mut Chains,
) -> Option<[Ring; 2]> {
    let beyond = |crossings: &Crossings, node: u32| {
        let d = crossings.curve.strips[strip as usize].along_and_off(crossings.spot(node)).0 - at;
        if d.abs() <= crossings.on_mm { 0.0 } else { d }
    };
    let rim = &ring.rim;
    let along: Vec<f64> = rim.iter().map(|r| beyond(crossings, r.node)).collect();
    let next = |i: usize| (i + 1) % rim.len();
    // A part like that is crossed by the fold twice. One with more bays than that is left as it is.
    let signs: Vec<f64> = along.iter().copied().filter(|d| *d != 0.0).map(f64::signum).collect();
    let turns = (0..signs.len()).filter(|&i| signs[i] != signs[(i + 1) % signs.len()]).count();
    if turns != 2 {
        return None;
    }
    let mut sides = [false, true].map(|_| Vec::new());
    for i in 0..rim.len() {
        let (here, there) = (along[i], along[next(i)]);
        for (side, sign) in sides.iter_mut().zip([-1.0, 1.0]) {
            if here * sign >= 0.0 {
                // From the fold the way on is the fold itself, where the part that comes next lies on the other side.
                let leaves = there * sign < 0.0 && here == 0.0;
                side.push(Rim { node: rim[i].node, strip: if leaves { NONE } else { rim[i].strip } });
            }
        }
        if here * there < 0.0 {
            let (a, b) = (rim[i].node, rim[next(i)].node);
            let (low, high) = (a.min(b), a.max(b));
            let node = match made.get(&(low, high, fold)) {
                Some(node) => *node,
                None => {
                    let (p, q) = (crossings.place(a), crossings.place(b));
                    let node = crossings.add(p + (q - p) * (here / (here - there)));
                    made.insert((low, high, fold), node);
                    insert_along(crossings, chains, (low, high), node);
                    node
                }
            };
            for (side, sign) in sides.iter_mut().zip([-1.0, 1.0]) {
                let leaves = here * sign > 0.0;
                side.push(Rim { node, strip: if leaves { NONE } else { rim[i].strip } });
            }
        }
    }
    let [left, right] = sides.map(|rim| Ring { rim, ..ring.clone() });
    (left.rim.len() >= 3 && right.rim.len() >= 3).then_some([left, right])
}

/// Puts a node on an edge, among those that are there, in the order in which they lie.
fn insert_along(crossings: &Crossings, chains: &mut Chains, (low, high): (u32, u32), node: u32) {
    let from = crossings.place(low);
    let far = |v: u32| (crossings.place(v) - from).norm_squared();
    let chain = chains.entry((low, high)).or_insert_with(|| vec![low, high]);
    let inner = &chain[1..chain.len() - 1];
    let before = 1 + inner.iter().position(|v| far(*v) > far(node)).unwrap_or(inner.len());
    chain.insert(before, node);
}

/// Moves parts that lie in a strip to the side that they face away from. Gives back, for each part moved, the strip that
/// its rim now bounds.
pub(super) fn sort(crossings: &Crossings, rings: &mut [Ring]) -> Vec<(usize, u32)> {
    let mut moved = Vec::new();
    let mut strips = Vec::new();
    for (i, ring) in rings.iter_mut().enumerate() {
        strips_level_with(crossings, ring, &mut strips);
        let within = |s: &u32| {
            let strip = &crossings.curve.strips[*s as usize];
            ring.rim.iter().all(|r| strip.distance_mm(crossings.spot(r.node)) <= 2.0 * crossings.on_mm)
        };
        let Some(strip) = strips.iter().copied().find(within) else { continue };
        let facing = ring.doubled(crossings).dot(&crossings.planes[strip as usize].normal());
        let side = if facing > 0.0 { Side::Below } else { Side::Above };
        if facing != 0.0 && side != ring.side {
            ring.side = side;
            moved.push((i, strip));
        }
    }
    moved
}
