//! The verdicts of fit.

pub const AS_IT_STANDS: &str = "fits as it stands";
pub const TURNED: &str = "fits turned";
pub const TILTED: &str = "fits tilted";
pub const TOO_BIG: &str = "too big";
pub const UNDECIDED: &str = "undecided";
