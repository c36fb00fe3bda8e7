//! The panels: they read the state and push actions.
//!
//! What is absent: nothing here changes a state, a recipe or a file.

mod bed_form;
mod bed_list;
mod bed_plan;
mod bench_corner;
mod bore_card;
mod bore_rows;
mod commands;
mod corners;
mod cut_card;
mod cut_form;
mod cut_sides;
mod entry;
mod header;
mod health;
mod history;
mod job_card;
mod ledger;
mod line;
mod line_bores;
mod line_cuts;
mod line_kit;
mod line_lays;
mod line_shells;
mod line_size;
mod line_stock;
mod magnets;
mod messages;
mod nearby;
mod notes;
mod piece_on_beds;
mod question;
mod reliefs;
mod rod_list;
mod step_off;
mod summary;
mod swatch;
pub mod wearer;

pub use bench_corner::bench_corner;
pub use commands::commands;
pub use header::header;
pub use history::history;
pub use job_card::job_card;
pub use ledger::ledger;
pub use notes::notes;
pub use question::question;
pub use summary::{line_of, unit_words};
