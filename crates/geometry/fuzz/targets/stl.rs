//! Any bytes read as STL: a mesh in order or a told problem, and no facet unaccounted for.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::Progress;
use seamwright_geometry::exchange::{Format, parse_stl};
use seamwright_geometry_fuzz::read;

fuzz_target!(|bytes: &[u8]| {
    // What only this way refuses.
    if let Err(problem) = parse_stl(bytes, &Progress::new()) {
        assert!(!problem.to_string().is_empty());
    }
    read(bytes, Some(Format::Stl));
});
