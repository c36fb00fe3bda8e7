//! The handles of the cut being placed.

/// A handle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Handle {
    /// Moves the plane along its normal.
    Move,
    /// Tilts it about its first axis.
    TiltFirst,
    /// Tilts it about its second axis.
    TiltSecond,
}
