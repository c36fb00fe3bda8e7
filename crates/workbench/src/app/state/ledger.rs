//! How the ledger is sorted.

/// A column that the ledger is sorted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LedgerOrder {
    /// Which column.
    pub column: Column,
    /// Largest, or last, first.
    pub descending: bool,
}

/// A column of the ledger.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Column {
    /// The short mark.
    Mark,
    /// The longest side.
    Size,
    /// The verdict.
    Fit,
    /// Spare room.
    Slack,
    /// Spare room on one of several beds, by its place.
    FitOn(usize),
    /// Volume.
    Volume,
    /// Area of the largest cap.
    Cap,
    /// How many bores cross it.
    Bores,
    /// Whether it is closed.
    Closed,
}
