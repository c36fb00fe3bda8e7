//! All that needs GL: programs, meshes on the card, and the picture made of them.
//!
//! Only three-d's core layer is used: its programs report errors instead of panicking, and its buffers and targets free
//! themselves.

mod board;
mod convert;
mod ground;
mod lines;
mod pieces;
mod programs;
mod shadow;
mod shot;
mod stage;
mod store;

pub use stage::{GlError, Stage, keeping_target};
