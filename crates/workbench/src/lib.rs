//! Workbench.

pub mod app;
pub mod bench;
pub mod cli;
pub mod panels;
mod shown;
pub mod text;
pub mod window;
