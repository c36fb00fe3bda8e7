//! What `cargo xtask bench` and `cargo xtask demo-models` start.
//!
//! A package of its own, so that `cargo xtask test` does not wait for the geometry before it checks a format.

#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod bench;
pub mod demo;
pub mod demo_models;
