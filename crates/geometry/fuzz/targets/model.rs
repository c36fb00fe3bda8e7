//! Any bytes read as a mesh file of any format: parts in order or a told problem, and no triangle unaccounted for.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::exchange::{Format, ReadOptions, parse};
use seamwright_geometry::{Progress, Solid};
use seamwright_geometry_fuzz::assert_in_order;

/// Triangles that a package may place in any case, however short it is: see `exchange`.
const ALWAYS_PLACED: usize = 1 << 24;

fuzz_target!(|input: (u8, &[u8])| {
    let (which, bytes) = input;
    let mut options = ReadOptions::default();
    options.format = Format::ALL.get(usize::from(which)).copied();
    match parse(bytes, &options, &Progress::new()) {
        Ok(model) => {
            let kept: usize = model.parts.iter().map(|part| part.mesh.triangles.len()).sum();
            assert_eq!(kept + model.set_aside_not_finite + model.collapsed, model.facets);
            let most = if model.format == Format::ThreeMf { ALWAYS_PLACED } else { bytes.len() };
            assert!(model.facets <= most, "{} facets in {} bytes", model.facets, bytes.len());
            for part in model.parts {
                assert!(part.mesh.vertices.iter().all(|p| p.iter().all(|x| x.is_finite())));
                assert_in_order(&Solid::from_stock(part.mesh));
            }
        }
        Err(problem) => assert!(!problem.to_string().is_empty()),
    }
});
