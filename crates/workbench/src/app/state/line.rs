//! The lines of the job card.

use crate::text;

/// A line of the job card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Line {
    /// The model file.
    Stock,
    /// Its real size.
    Size,
    /// Which shells are kept.
    Shells,
    /// Channels for rods.
    Bores,
    /// The cuts.
    Cuts,
    /// What holds pieces together.
    Joints,
    /// The bed, and how pieces lie on it.
    Lays,
    /// What leaves the program.
    Kit,
}

impl Line {
    /// All lines, in the order of the work.
    pub const ALL: [Line; 8] =
        [Line::Stock, Line::Size, Line::Shells, Line::Bores, Line::Cuts, Line::Joints, Line::Lays, Line::Kit];

    /// Its number on the card.
    pub fn number(self) -> usize {
        self as usize + 1
    }

    /// Its name on the card.
    pub fn name(self) -> &'static str {
        text::job_card::NAMES[self as usize]
    }
}
