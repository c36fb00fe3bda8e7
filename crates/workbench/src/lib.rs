//! Workbench.

pub mod bench;
pub mod cli;
