//! What holds of every reader, whatever it is given.

use std::alloc::System;

use cap::Cap;
use seamwright_geometry::exchange::{Format, ModelFile, ReadOptions, ReadProblem, parse};
use seamwright_geometry::{Progress, Solid};

use crate::assert_in_order;

/// The allocator of the targets: it gives no more than is allowed, and a program that is refused memory ends, which is a
/// finding.
#[global_allocator]
static ALLOCATOR: Cap<System> = Cap::new(System, usize::MAX);

/// Readers may take so many bytes for each byte of the file. A face of PLY has 4 bytes at least (three indices of one byte
/// and their number) and takes 12 in each of three stages; a vertex of OBJ has 8 (`v 1 1 1` and a line end), and 24 in
/// each of three.
const TIMES_FILE: usize = 64;

/// And for each triangle that they give: a 3MF file may ask for copies. Three corners, half a vertex, and both once more
/// while they are put into place.
const EACH_TRIANGLE: usize = 128;

/// And so many in any case: tables and blocks of a size of their own (the table of one run of STL facets takes 650 kB, a
/// block of its text 2 MiB and twice that while it grows, the window of deflate and its like some 100 kB).
const ALWAYS: usize = 12 << 20;

/// Triangles that a package may place in any case, however short it is: see `exchange`.
const ALWAYS_PLACED: usize = 1 << 24;

/// Deflate makes at most so many bytes of one: 258 of the two bits that a repeat takes (RFC 1951, 3.2.5).
const MOST_INFLATED: usize = 1032;

/// Reads `bytes` with no more memory than is allowed for so long a file; one that may be packed counts unpacked.
///
/// A model is in order, holds no more than its file can, and no triangle is unaccounted for; a refusal says why.
pub fn read(bytes: &[u8], format: Option<Format>) {
    let packed = if bytes.starts_with(b"PK") { MOST_INFLATED } else { 1 };
    read_unpacked(bytes, packed * bytes.len(), format);
}

/// As [`read`], where it is known how much there is when all is unpacked.
pub fn read_unpacked(bytes: &[u8], length: usize, format: Option<Format>) {
    let placed = if bytes.starts_with(b"PK") { ALWAYS_PLACED } else { 0 };
    match bounded(bytes, length, placed, format) {
        Ok(model) => {
            if placed > 0 {
                // How many it places, is known only now.
                let again = bounded(bytes, length, model.facets, format);
                assert!(again.is_ok_and(|again| again.parts == model.parts), "read twice, it is not the same");
            }
            check(model, bytes.len());
        }
        Err(problem) => assert!(!problem.to_string().is_empty()),
    }
}

fn bounded(bytes: &[u8], length: usize, placed: usize, format: Option<Format>) -> Result<ModelFile, ReadProblem> {
    let mut options = ReadOptions::default();
    options.format = format;
    limit(ALLOCATOR.allocated() + ALWAYS + TIMES_FILE * length + EACH_TRIANGLE * placed);
    let outcome = parse(bytes, &options, &Progress::new());
    limit(usize::MAX);
    outcome
}

fn check(model: ModelFile, length: usize) {
    let kept: usize = model.parts.iter().map(|part| part.mesh.triangles.len()).sum();
    assert_eq!(kept + model.set_aside_not_finite + model.collapsed, model.facets);
    let most = match model.format {
        Format::ThreeMf => ALWAYS_PLACED,
        // Fifty bytes make a facet of a binary file, and no shorter text does.
        Format::Stl => length / 50,
        Format::Obj | Format::Ply => length,
    };
    assert!(model.facets <= most, "{} facets in {length} bytes of {}", model.facets, model.format.name());
    for part in model.parts {
        assert!(part.mesh.vertices.iter().all(|p| p.iter().all(|x| x.is_finite())));
        // What 3MF places again and again is in order every time.
        if part.mesh.triangles.len() < LOOKED_OVER {
            assert_in_order(&Solid::from_stock(part.mesh));
        }
    }
}

/// Meshes with more triangles are not looked over: it takes longer than a run may.
const LOOKED_OVER: usize = 1 << 16;

fn limit(bytes: usize) {
    ALLOCATOR.set_limit(bytes).expect("less than this is allocated");
}
