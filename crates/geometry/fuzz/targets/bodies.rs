//! Bodies of anything: counted as they are made, no face lost, closed bodies of closed solids.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::{Progress, Shells, bodies, count_bodies, edge_report, inspect};
use seamwright_geometry_fuzz::{Input, assert_in_order, assert_volume, is_sound};

fuzz_target!(|input: Input| {
    let Some(stock) = input.solid() else { return };
    inspect(&stock.mesh);
    let shells = Shells::of(&stock.mesh).count as usize;
    let counted = count_bodies(&stock, &Progress::new()).unwrap_or(usize::MAX);
    let made = bodies(stock.clone());
    if !stock.mesh.triangles.is_empty() {
        assert_eq!(counted, made.len(), "bodies counted and made");
    }
    assert!(counted <= shells, "{counted} bodies of {shells} shells");
    made.iter().for_each(assert_in_order);
    let mut origins: Vec<_> = made.iter().flat_map(|body| &body.origins).copied().collect();
    origins.sort_unstable();
    assert_eq!(origins, stock.origins, "the faces of the bodies are those of the stock");
    if is_sound(&stock) {
        assert!(made.iter().all(|body| edge_report(&body.mesh).closed()), "an open body of a closed solid");
        assert_volume(&stock, &made.iter().map(|body| &body.mesh).collect::<Vec<_>>());
    }
});
