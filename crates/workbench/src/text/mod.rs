//! All that the window says to a person, in one place, ready for translation.
//!
//! A fixed text is a constant, one with names or numbers in it a small function; how many of a thing there are, and how
//! numbers are written, is decided here too. A translation replaces this folder, the pages in `assets/manual`, and
//! nothing else. What the project and the geometry say of themselves (errors, notes, names of edits) comes from there;
//! the command line keeps its own words.
//!
//! What is absent: no text here knows the state of the window.

pub mod at_hand;
pub mod bed_form;
pub mod beds;
pub mod bench;
pub mod bore_form;
pub mod bores;
pub mod command_list;
pub mod commands;
pub mod common;
pub mod crash;
pub mod cut_form;
pub mod cut_sides;
pub mod cuts;
pub mod details;
pub mod entry;
pub mod files;
pub mod first_job;
pub mod header;
pub mod health;
pub mod history;
pub mod job_card;
pub mod kit;
pub mod ledger;
pub mod magnets;
pub mod manual;
pub mod measures;
pub mod no_window;
pub mod notes;
pub mod numbers;
pub mod outline;
pub mod questions;
pub mod shells;
pub mod size;
pub mod start;
pub mod step_off;
pub mod stock;
pub mod terms;
pub mod verdicts;
pub mod wearer;
pub mod work;

#[cfg(test)]
mod tests;
