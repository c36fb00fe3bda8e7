//! The project model of Seamwright: recipe, edits, history, evaluation and files. No window, no drawing.
//!
//! A project is a [`Recipe`]: what the maker decided, as plain data. Every change of it is one [`Edit`]; [`History`]
//! keeps the recipes for undo. [`evaluate`] turns a recipe into an [`Outcome`]: pieces, seams, fits, notes.
//!
//! What is absent: panels and commands never change a recipe but through an edit; no stage reads a global; nothing
//! here draws.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

mod cache;
mod cut_plane;
mod document;
mod edit;
mod evaluate;
mod history;
pub mod kit;
mod outcome;
mod placing;
mod recipe;
pub mod saved;
pub mod store;

pub use cache::Cache;
pub use cut_plane::{Axis, CutPlane};
pub use document::Document;
pub use edit::{Edit, EditError};
pub use evaluate::evaluate;
pub use history::{History, Step};
pub use outcome::{CapFacts, Failure, Note, Outcome, Piece, PieceFacts, Seam, Stage, Stock, Timings, Weight};
pub use placing::{PlacedSide, Placement, Placing, PlacingError, PlacingPiece};
pub use recipe::{Cut, CutId, NotAPieceId, PieceId, Recipe, Scope, Size, SourceFile, Unit, default_bed};
