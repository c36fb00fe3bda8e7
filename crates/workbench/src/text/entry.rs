//! Where a number is typed.

pub const LENGTH_HINT: &str = "mm, or with a unit: 12.5 · 1/2 in · =409.5/2. Drag the name sideways to change it";
pub const ANGLE_HINT: &str = "degrees; sums work too. Drag the name sideways to change it";
pub const NUMBER_HINT: &str = "a number; sums work too: =1/2, 104 %";

/// What was typed is nothing, or less.
pub fn above_zero(name: &str) -> String {
    format!("{name} must be more than 0")
}

/// A length with its unit.
pub fn length(length_mm: &str) -> String {
    format!("{length_mm} mm")
}

/// An angle with its unit.
pub fn angle(angle_deg: &str) -> String {
    format!("{angle_deg}°")
}

/// A number in full, where it is shown rounded.
pub fn exactly(number: &str, hint: &str) -> String {
    format!("exactly {number}\n{hint}")
}

/// Why what was typed is no number.
pub mod wrong {
    pub const LENGTH_UNITS: &str = "mm, cm, m, in or ft";
    pub const ANGLE_UNITS: &str = "°, deg or rad";
    pub const EMPTY: &str = "a number is missing here";
    pub const ENDS_EARLY: &str = "a number is missing at the end";
    pub const BRACKET: &str = "a bracket is not closed";
    pub const TWO_UNITS: &str = "only one part of a product can have a unit";
    pub const NOT_FINITE: &str = "this divides by nothing";

    /// A word that is no unit, and those that are.
    pub fn unit(word: &str, known: &str) -> String {
        format!("\"{word}\" is no unit here; use {known}")
    }

    /// Something stands where a number should.
    pub fn number_missing(before: &str) -> String {
        if before.starts_with(char::is_alphabetic) {
            return format!("\"{before}\" is no number");
        }
        format!("a number is missing before \"{before}\"")
    }

    /// Too many points or commas.
    pub fn number(typed: &str) -> String {
        format!("\"{typed}\" is no number; write thousands without a separator")
    }

    /// Something is left over.
    pub fn left(typed: &str) -> String {
        format!("\"{typed}\" makes no sense here")
    }
}
