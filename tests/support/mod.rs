//! What the end-to-end tests share: the program itself, tools beside it, and a place for what they leave behind.

#![allow(dead_code, reason = "each test is a crate of its own and uses what it needs")]

pub mod artefacts;
pub mod folder;
pub mod program;
pub mod solids;
pub mod tools;

use std::{
    io::Write,
    path::{Path, PathBuf},
};

/// The root of the checkout.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Says something even while the test passes: the test runner keeps what `eprintln!` prints to itself.
pub fn say(text: &str) {
    let mut stderr = std::io::stderr().lock();
    // Nobody to tell is no reason to fail.
    let _ = writeln!(stderr, "{text}");
}
