//! Cuts anything along profiles and by planes that end, with and without a kerf: no panic, bounded output, and the laws
//! where the stock is sound.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::{
    CutOutcome, CutSurface, FinitePlane, Parted, Point, Profile, Progress, Solid, edge_report, part,
};
use seamwright_geometry_fuzz::{Input, assert_in_order, assert_volume, cap_faces, is_sound};

/// Points of the curve, in the frame of a plane; few, since a curve of many meets itself.
type Curve = [[i8; 2]; 4];

fuzz_target!(|input: (Input, Curve, u8)| {
    let (input, curve, choice) = input;
    let Some(stock) = input.solid() else { return };
    let Some(plane) = input.planes(&stock.mesh).next() else { return };
    let (u, v) = plane.basis();
    let place = stock.mesh.vertices.first().map_or(plane.project(&Point::origin()), |p| plane.project(p));
    let surface = if choice % 4 == 0 {
        FinitePlane::new(plane, place, if choice & 4 == 0 { u } else { v }).map(CutSurface::FinitePlane)
    } else {
        let points = curve.iter().map(|p| p.map(f64::from)).collect();
        Profile::new(place, u, plane.normal(), points).map(CutSurface::Profile)
    };
    let Ok(surface) = surface else { return };
    let kerf_mm = if choice & 8 == 0 { 0.0 } else { f64::from(choice >> 4) / 4.0 };
    match part(&stock, &surface, kerf_mm, 1, &Progress::new()) {
        Ok(CutOutcome::Parted(parted)) => check(&stock, &parted, kerf_mm),
        Ok(_) => {}
        Err(cancelled) => panic!("nobody cancelled, but it is {cancelled}"),
    }
});

fn check(stock: &Solid, parted: &Parted, kerf_mm: f64) {
    let pieces: Vec<&Solid> = [&parted.below, &parted.above].into_iter().chain(&parted.around).collect();
    pieces.iter().for_each(|piece| assert_in_order(piece));
    if !is_sound(stock) {
        return;
    }
    assert!(parted.left_open.is_empty(), "left open at {:?}", parted.left_open);
    for piece in &pieces {
        assert!(edge_report(&piece.mesh).closed(), "open: {:?}", edge_report(&piece.mesh));
    }
    if kerf_mm == 0.0 {
        assert_volume(stock, &pieces.iter().map(|piece| &piece.mesh).collect::<Vec<_>>());
        if parted.around.is_none() {
            assert_eq!(cap_faces(&parted.below, 1, false), cap_faces(&parted.above, 1, true), "the caps of the seam differ");
        }
    }
}
