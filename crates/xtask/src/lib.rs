//! Developer commands, one module each, and the few things they share.
//!
//! | command | module |
//! |---|---|
//! | `cargo xtask test` | [`mod@test`] |
//! | `cargo xtask check` | [`check`] |
//! | `cargo xtask bench` | [`mod@bench`] |
//! | `cargo xtask fuzz` | [`fuzz`] |
//! | `cargo xtask demo-models` | [`demo_models`], [`demo`] |
//! | `cargo xtask manual-pictures` | [`manual_pictures`] |

#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod bench;
pub mod check;
pub mod demo;
pub mod demo_models;
pub mod dependencies;
pub mod fuzz;
pub mod manual_pictures;
pub mod packages;
pub mod process;
pub mod python;
pub mod steps;
pub mod test;
pub mod workspace;
