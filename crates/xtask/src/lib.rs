//! Developer commands, one module each, and the few things they share.
//!
//! | command | module |
//! |---|---|
//! | `cargo xtask test` | [`mod@test`] |
//! | `cargo xtask check` | [`check`] |
//! | `cargo xtask fuzz` | [`fuzz`] |
//! | `cargo xtask bench`, `cargo xtask demo-models` | [`measuring`] |
//! | `cargo xtask manual-pictures` | [`manual_pictures`] |

#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod check;
pub mod dependencies;
pub mod fuzz;
pub mod manual_pictures;
pub mod measuring;
pub mod packages;
pub mod process;
pub mod python;
pub mod steps;
pub mod test;
pub mod workspace;
