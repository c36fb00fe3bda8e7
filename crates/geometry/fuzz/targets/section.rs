//! Sections of anything: the same with a tree of boxes and without, loops closed where the stock is sound, its area
//! that of the cap, and a thinnest wall that is a length.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::{CutOutcome, Progress, Section, SectionSupport, cut, section};
use seamwright_geometry_fuzz::{Input, is_sound};

fuzz_target!(|input: Input| {
    let Some(stock) = input.solid() else { return };
    let Ok(support) = SectionSupport::build(&stock, &Progress::new()) else { return };
    for plane in input.planes(&stock.mesh) {
        let found = section(&stock, &plane);
        assert_eq!(bits(&support.section(&stock, &plane)), bits(&found), "with the tree and without");
        if let Some(wall) = found.thinnest_wall(&plane) {
            assert!(wall.mm >= 0.0, "{wall:?}");
        }
        if !is_sound(&stock) {
            continue;
        }
        assert!(found.loops.iter().all(|line| line.closed), "an open line of a closed solid");
        if let Ok(CutOutcome::Parted(parted)) = cut(&stock, &plane, 0, &Progress::new()) {
            let size = stock.mesh.vertices.iter().map(|p| p.coords.amax()).fold(0.0, f64::max);
            let off = (found.area_mm2() - parted.cap_area_mm2).abs();
            // Rounding is near 10⁻¹⁶ of the square of the largest coordinate for each of some hundred edges; vertices
            // that count as on the plane lie up to 2⁻²² of it beside, on either side.
            assert!(off <= 1e-5 * size * size, "{} by loops, {} by the cap", found.area_mm2(), parted.cap_area_mm2);
        }
    }
});

/// All that a section says, so that NaN is equal to itself.
fn bits(section: &Section) -> Vec<(bool, u64, u64, Vec<[u64; 3]>)> {
    let all = section.loops.iter().map(|line| {
        let points = line.points.iter().map(|p| [p.x, p.y, p.z].map(f64::to_bits)).collect();
        (line.closed, line.length_mm.to_bits(), line.area_mm2.to_bits(), points)
    });
    all.collect()
}
