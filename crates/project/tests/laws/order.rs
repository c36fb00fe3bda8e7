//! The order of cuts that all may cross everything.

use std::collections::BTreeSet;

use proptest::prelude::*;
use seamwright_geometry::Mesh;
use seamwright_project::{Axis, CutId, CutPlane, Edit, Outcome};

use crate::workshop::{Workshop, assert_near, by_id, ids, ring, shell, slanted, some_cases};

fn with_cuts(mesh: &Mesh, planes: &[CutPlane]) -> Workshop {
    let mut workshop = Workshop::with(mesh);
    for plane in planes {
        workshop.cut(*plane);
    }
    workshop
}

/// The same recipe with its cuts in another order.
fn reordered(workshop: &mut Workshop, order: &[u32]) -> Outcome {
    for (to, cut) in order.iter().enumerate() {
        workshop.edit(&Edit::MoveCut { cut: CutId(*cut), to });
    }
    assert!(workshop.recipe.cuts.iter().map(|cut| cut.id.0).eq(order.iter().copied()));
    workshop.made()
}

fn places(mesh: &Mesh) -> BTreeSet<[u64; 3]> {
    mesh.vertices.iter().map(|p| [p.x, p.y, p.z].map(f64::to_bits)).collect()
}

#[test]
fn cuts_that_do_not_meet_give_the_same_pieces_to_the_last_bit_in_any_order() {
    let planes = [
        slanted([-40.0, 0.0, 0.0], [1.0, 0.1, 0.05]),
        slanted([5.0, 0.0, 20.0], [1.0, 0.0, 0.1]),
        slanted([38.0, 0.0, 0.0], [1.0, -0.1, 0.0]),
    ];
    for mesh in [shell(), ring()] {
        let mut workshop = with_cuts(&mesh, &planes);
        let first = workshop.made();
        for order in [[3, 1, 2], [2, 3, 1], [3, 2, 1]] {
            let other = reordered(&mut workshop, &order);
            assert_eq!(ids(&other), ids(&first));
            for (id, piece) in by_id(&other) {
                let before = by_id(&first)[&id];
                assert_eq!(places(&piece.solid.mesh), places(&before.solid.mesh), "{id}");
                assert_near(piece.facts.volume_mm3, before.facts.volume_mm3, 1e-13);
                assert_eq!(piece.mark, before.mark);
            }
        }
    }
}

fn plane() -> impl Strategy<Value = CutPlane> {
    (prop::sample::select(Axis::ALL.to_vec()), prop::array::uniform3(-30.0..30.0f64), [-40.0..40.0, -40.0..40.0f64])
        .prop_map(|(axis, through_mm, tilt_deg)| CutPlane { axis, through_mm, tilt_deg })
}

proptest! {
    #![proptest_config(some_cases())]

    #[test]
    fn cuts_that_cross_give_the_same_pieces_within_rounding_in_any_order(
        planes in prop::collection::vec(plane(), 2..5), round in any::<bool>(), seed in any::<prop::sample::Index>(),
    ) {
        let mut workshop = with_cuts(&if round { shell() } else { ring() }, &planes);
        let first = workshop.made();
        let mut order: Vec<u32> = (1..=planes.len() as u32).collect();
        order.rotate_left(1 + seed.index(planes.len() - 1));
        let other = reordered(&mut workshop, &order);
        prop_assert_eq!(ids(&other), ids(&first));
        // A corner that one order makes may lie so near to the next plane that it counts as on it and stays.
        let snap_mm = first.whole().unwrap().resolution.on_plane_mm;
        for (id, piece) in by_id(&other) {
            let (now, before) = (&piece.facts, &by_id(&first)[&id].facts);
            prop_assert!((now.volume_mm3 - before.volume_mm3).abs() < snap_mm * before.area_mm2, "{}", id);
            // Along the edge of two caps at a narrow angle it goes further than across.
            let reach_mm = 100.0 * snap_mm;
            prop_assert!((now.bounds.min - before.bounds.min).amax() < reach_mm, "{}", id);
            prop_assert!((now.bounds.max - before.bounds.max).amax() < reach_mm, "{}", id);
        }
    }
}
