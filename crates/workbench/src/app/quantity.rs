//! Numbers as people type them: units, fractions, sums.
//!
//! ```
//! use seamwright::app::quantity::{angle_deg, length_mm};
//! assert_eq!(length_mm("12.5"), Ok(12.5));
//! assert_eq!(length_mm("1/2 in"), Ok(12.7));
//! assert_eq!(length_mm("=409.5/2"), Ok(204.75));
//! assert_eq!(length_mm("1 ft 3 in"), Ok(381.0));
//! assert_eq!(angle_deg("-12.5°"), Ok(-12.5));
//! ```

use crate::text::entry::wrong;

/// A length in mm. A number with no unit is in mm.
///
/// A unit belongs to the product before it (`1/2 in` is half an inch), a whole number before a fraction adds to it
/// (`1 1/2 in`), and lengths side by side add up (`1 ft 3 in`). A comma is a decimal point.
pub fn length_mm(text: &str) -> Result<f64, QuantityError> {
    parse(text, LENGTH_UNITS, wrong::LENGTH_UNITS)
}

/// An angle in degrees. A number with no unit is in degrees.
pub fn angle_deg(text: &str) -> Result<f64, QuantityError> {
    parse(text, ANGLE_UNITS, wrong::ANGLE_UNITS)
}

/// A plain number: no unit; `%` is a hundredth.
pub fn number(text: &str) -> Result<f64, QuantityError> {
    parse(text, &[("%", 0.01)], "%")
}

/// Why text is no quantity.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// Nothing was typed.
    #[error("{}", wrong::EMPTY)]
    Empty,
    /// A word that is no unit.
    #[error("{}", wrong::unit(word, known))]
    Unit {
        /// The word.
        word: String,
        /// What would be.
        known: &'static str,
    },
    /// Something stands where a number should.
    #[error("{}", wrong::number_missing(before))]
    NumberMissing {
        /// The rest of the text.
        before: String,
    },
    /// The text ends too early.
    #[error("{}", wrong::ENDS_EARLY)]
    EndsEarly,
    /// Too many points or commas.
    #[error("{}", wrong::number(.0))]
    Number(String),
    /// A bracket is left open.
    #[error("{}", wrong::BRACKET)]
    Bracket,
    /// Something is left over.
    #[error("{}", wrong::left(.0))]
    Left(String),
    /// Two quantities with units were multiplied.
    #[error("{}", wrong::TWO_UNITS)]
    TwoUnits,
    /// Divided by nothing.
    #[error("{}", wrong::NOT_FINITE)]
    NotFinite,
}

/// Lengths of an inch and a foot: exact since the international yard and pound agreement, 1959.
const LENGTH_UNITS: &[(&str, f64)] = &[
    ("mm", 1.0),
    ("cm", 10.0),
    ("m", 1000.0),
    ("µm", 0.001),
    ("um", 0.001),
    ("in", 25.4),
    ("inch", 25.4),
    ("inches", 25.4),
    ("\"", 25.4),
    ("″", 25.4),
    ("ft", 304.8),
    ("foot", 304.8),
    ("feet", 304.8),
    ("'", 304.8),
    ("′", 304.8),
];

const ANGLE_UNITS: &[(&str, f64)] =
    &[("°", 1.0), ("deg", 1.0), ("degrees", 1.0), ("rad", 180.0 / std::f64::consts::PI)];

fn parse(text: &str, units: &'static [(&'static str, f64)], known: &'static str) -> Result<f64, QuantityError> {
    let text = text.trim();
    let text = text.strip_prefix('=').unwrap_or(text).trim();
    if text.is_empty() {
        return Err(QuantityError::Empty);
    }
    let mut parser = Parser { rest: text, units, known, depth: 0 };
    let value = parser.sum()?.value;
    if !parser.rest.is_empty() {
        return Err(QuantityError::Left(parser.rest.into()));
    }
    // `-0` would be shown as such.
    if value.is_finite() { Ok(value + 0.0) } else { Err(QuantityError::NotFinite) }
}

/// Brackets deeper than this are refused: nobody types them, and each costs stack.
const DEEPEST_BRACKET: usize = 32;

#[derive(Clone, Copy)]
struct Value {
    value: f64,
    has_unit: bool,
}

struct Parser<'a> {
    rest: &'a str,
    units: &'static [(&'static str, f64)],
    known: &'static str,
    depth: usize,
}

impl Parser<'_> {
    /// `term (('+' | '-') term | quantity)*`: terms side by side add up where both have units.
    fn sum(&mut self) -> Result<Value, QuantityError> {
        let mut sum = self.term()?;
        loop {
            let before = self.rest;
            let mut beside = false;
            let sign = if self.take("+") {
                1.0
            } else if self.take("-") || self.take("−") {
                -1.0
            } else if sum.has_unit && self.rest.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
                beside = true;
                1.0
            } else {
                return Ok(sum);
            };
            let term = self.term()?;
            if beside && !term.has_unit {
                return Err(QuantityError::Left(before.into()));
            }
            sum = Value { value: sum.value + sign * term.value, has_unit: sum.has_unit || term.has_unit };
        }
    }

    /// `factor (('*' | '/') factor)* unit?`
    fn term(&mut self) -> Result<Value, QuantityError> {
        let first = self.factor()?;
        let mut product = self.unit_of(first)?;
        loop {
            let times = if self.take("*") || self.take("×") {
                true
            } else if self.take("/") {
                false
            } else {
                return Ok(product);
            };
            let factor = self.factor()?;
            if factor.has_unit && (product.has_unit || !times) {
                return Err(QuantityError::TwoUnits);
            }
            let value = if times { product.value * factor.value } else { product.value / factor.value };
            product = Value { value, has_unit: product.has_unit || factor.has_unit };
            product = self.unit_of(product)?;
        }
    }

    fn unit_of(&mut self, value: Value) -> Result<Value, QuantityError> {
        let end = self.rest.find(|c: char| !is_unit_letter(c)).unwrap_or(self.rest.len());
        let word = &self.rest[..end];
        if word.is_empty() {
            return Ok(value);
        }
        let unit = self.units.iter().find(|(name, _)| name.eq_ignore_ascii_case(word));
        match unit {
            Some(_) if value.has_unit => Err(QuantityError::TwoUnits),
            Some((_, factor)) => {
                self.rest = self.rest[end..].trim_start();
                Ok(Value { value: value.value * factor, has_unit: true })
            }
            None => Err(QuantityError::Unit { word: word.into(), known: self.known }),
        }
    }

    /// `('+' | '-')* (number | '(' sum ')')`
    fn factor(&mut self) -> Result<Value, QuantityError> {
        let mut sign = 1.0;
        loop {
            if self.take("-") || self.take("−") {
                sign = -sign;
            } else if !self.take("+") {
                break;
            }
        }
        if self.take("(") {
            self.depth += 1;
            if self.depth > DEEPEST_BRACKET {
                return Err(QuantityError::Bracket);
            }
            let inner = self.sum()?;
            self.depth -= 1;
            return if self.take(")") {
                Ok(Value { value: sign * inner.value, ..inner })
            } else {
                Err(QuantityError::Bracket)
            };
        }
        let whole = self.plain_number()?;
        Ok(Value { value: sign * (whole + self.mixed_fraction()), has_unit: false })
    }

    /// The `1/2` of `1 1/2`; 0 where there is none.
    fn mixed_fraction(&mut self) -> f64 {
        let before = self.rest;
        let fraction = (|| {
            let above = self.plain_number().ok()?;
            let below = self.take("/").then(|| self.plain_number().ok())??;
            Some(above / below)
        })();
        if fraction.is_none() {
            self.rest = before;
        }
        fraction.unwrap_or(0.0)
    }

    fn plain_number(&mut self) -> Result<f64, QuantityError> {
        let end = self.rest.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(self.rest.len());
        let digits = &self.rest[..end];
        if digits.is_empty() {
            return Err(if self.rest.is_empty() {
                QuantityError::EndsEarly
            } else {
                QuantityError::NumberMissing { before: self.rest.into() }
            });
        }
        let value = digits.replace(',', ".").parse().map_err(|_| QuantityError::Number(digits.into()))?;
        self.rest = self.rest[end..].trim_start();
        Ok(value)
    }

    fn take(&mut self, symbol: &str) -> bool {
        match self.rest.strip_prefix(symbol) {
            Some(rest) => {
                self.rest = rest.trim_start();
                true
            }
            None => false,
        }
    }
}

fn is_unit_letter(c: char) -> bool {
    c.is_alphabetic() || matches!(c, '"' | '″' | '\'' | '′' | '°' | '%')
}

#[cfg(test)]
mod tests;
