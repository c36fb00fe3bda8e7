//! The project model of Seamwright: recipe, edits, history, evaluation and files. No window, no drawing.
//!
//! A project is a [`Recipe`]: what the maker decided, as plain data. Every change of it is one [`Edit`]; [`History`]
//! keeps the recipes for undo. [`evaluate`] turns a recipe into an [`Outcome`]: pieces, seams, fits, notes.
//!
//! What is absent: panels and commands never change a recipe but through an edit; no stage reads a global; nothing
//! here draws.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod adhesion;
mod advice;
mod bore;
mod boring;
mod cache;
mod costume;
mod cut_form;
mod cut_plane;
mod document;
mod drawn_line;
mod edit;
mod evaluate;
pub mod health;
mod history;
pub mod kept_list;
pub mod kit;
pub mod likeness;
mod measure;
pub mod mending;
mod outcome;
mod placing;
mod read_remarks;
mod reason_words;
pub mod recent;
mod recipe;
pub mod relief;
pub mod rods;
pub mod saved;
pub mod saved_beds;
mod stance;
mod stands;
mod stepping;
pub mod store;
mod tried;
mod unit_guess;
pub mod wearer;

pub use advice::{Nearest, NearestPlace, advise, nearest_place};
pub use bore::{
    AtSeam, Bore, BoreChange, BoreEnd, BoreId, BoreShape, BoreTrouble, BoredSolid, Fitting, MAGNET_PLAY_MM,
    MOST_DIAMETER_MM, MOST_POINTS, Placed, RodChoice, Stop, bore_solid, places_with_room, spaced as spaced_places,
};
pub use boring::{Boring, BoringNow, Centred, MOVING_OFF_SHARE};
pub use cache::Cache;
pub use costume::as_file_name;
pub use cut_form::{CutForm, CutProfile, Edge, FormError, Line, Waves, frame};
pub use cut_plane::{Axis, CutPlane};
pub use document::Document;
pub use drawn_line::{DrawnLineError, cut_along};
pub use edit::{Edit, EditError, MOST_KERF_MM, NewBore, NewMagnets};
pub use evaluate::evaluate;
pub use history::{History, Step};
pub use measure::{Measure, MeasureId, MeasureTrouble, Measured, MeasuringError};
pub use outcome::{
    BoreDone, BoreFacts, BoreInPiece, CapFacts, Crumb, Failed, Failure, MendDone, Note, Outcome, Part, Piece,
    PieceFacts, ReliefDone, Seam, ShellNow, Stage, Stock, Timings, Weight,
};
pub use placing::{
    AtRest, GRAZING_DEG, PRINT_LINE_MM, PlacedSide, Placement, Placing, PlacingError, PlacingPiece, Sliver,
};
pub use read_remarks::remarks_on;
pub use reason_words::reason_words;
pub use recipe::{
    Cut, CutId, LoosePart, Mend, NamedBed, NotAPieceId, PartId, PieceId, Recipe, Scope, Size, SizedBy, SourceFile,
    UNNAMED, default_bed,
};
pub use relief::Relief;
pub use seamwright_geometry::exchange::Unit;
pub use stance::{Stance, Turn};
pub use stands::Stands;
pub use stepping::{StepAsked, Stepped, SteppingError, evenly, step_off};
pub use unit_guess::{UnitGuess, guess_unit, guess_units};
