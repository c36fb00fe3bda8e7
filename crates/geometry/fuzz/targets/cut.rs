//! Cuts anything by several planes, one after another: no panic, bounded output, and the laws where the stock is sound.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::{CutOutcome, Progress, Solid, cut, edge_report};
use seamwright_geometry_fuzz::{Input, assert_in_order, assert_volume, cap_faces, is_sound, most_faces};

fuzz_target!(|input: Input| {
    let Some(stock) = input.solid() else { return };
    let planes: Vec<_> = input.planes(&stock.mesh).collect();
    let mut pieces: Vec<Solid> = vec![stock];
    for (label, plane) in planes.iter().enumerate() {
        let label = label as u32;
        let mut next = Vec::new();
        for piece in pieces {
            match cut(&piece, plane, label, &Progress::new()) {
                Ok(CutOutcome::Parted(parted)) => {
                    let sides = [&parted.below, &parted.above];
                    sides.iter().for_each(|side| assert_in_order(side));
                    let faces: usize = sides.iter().map(|side| side.mesh.triangles.len()).sum();
                    assert!(faces <= most_faces(piece.mesh.triangles.len()), "{faces} faces");
                    if is_sound(&piece) {
                        assert!(parted.left_open.is_empty(), "left open at {:?}", parted.left_open);
                        for side in sides {
                            assert!(edge_report(&side.mesh).closed(), "open: {:?}", edge_report(&side.mesh));
                        }
                        assert_volume(&piece, &sides.map(|side| &side.mesh));
                        assert_eq!(
                            cap_faces(&parted.below, label, false),
                            cap_faces(&parted.above, label, true),
                            "the caps of the seam differ"
                        );
                    }
                    next.extend([parted.below, parted.above]);
                }
                Ok(_) => next.push(piece),
                Err(cancelled) => panic!("nobody cancelled, but it is {cancelled}"),
            }
        }
        pieces = next;
    }
});
