//! Any bytes read as STL: a mesh in order or a told problem, and no facet unaccounted for.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::exchange::parse_stl;
use seamwright_geometry::{Progress, Solid};
use seamwright_geometry_fuzz::assert_in_order;

fuzz_target!(|bytes: &[u8]| {
    match parse_stl(bytes, &Progress::new()) {
        Ok(read) => {
            assert_eq!(read.mesh.triangles.len() + read.set_aside_not_finite + read.collapsed, read.facets);
            assert!(read.mesh.vertices.iter().all(|p| p.iter().all(|x| x.is_finite())));
            // Fifty bytes make a facet of a binary file, and no shorter text does.
            assert!(read.facets <= bytes.len() / 50, "{} facets in {} bytes", read.facets, bytes.len());
            assert_in_order(&Solid::from_stock(read.mesh));
        }
        Err(problem) => assert!(!problem.to_string().is_empty()),
    }
});
