//! Workbench.

pub mod bench;
