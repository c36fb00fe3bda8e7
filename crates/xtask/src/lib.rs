//! Developer commands, one module each, and the few things they share.
//!
//! | command | module |
//! |---|---|
//! | `cargo xtask test` | [`test`] |
//! | `cargo xtask check` | [`check`] |

#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod check;
pub mod demo;
pub mod dependencies;
pub mod packages;
pub mod process;
pub mod python;
pub mod steps;
pub mod test;
pub mod workspace;
