//! Any bytes read as a mesh file of any format: parts in order or a told problem, in bounded memory.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::exchange::Format;
use seamwright_geometry_fuzz::read;

fuzz_target!(|input: (u8, &[u8])| {
    let (which, bytes) = input;
    read(bytes, Format::ALL.get(usize::from(which)).copied());
});
