//! The twin of this program that does jobs of the bench under an allocator that counts: what is live, not what the system has
//! handed out. `cargo xtask bench` builds and calls it.

use std::process::ExitCode;

use cap::Cap;
use mimalloc::MiMalloc;
use seamwright_bench::bench::{Counting, answer_job};

#[global_allocator]
static ALLOCATOR: Cap<MiMalloc> = Cap::new(MiMalloc, usize::MAX);

fn main() -> ExitCode {
    let counting = Counting { live: || ALLOCATOR.allocated(), most: || ALLOCATOR.max_allocated() };
    match answer_job(Some(counting)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}
