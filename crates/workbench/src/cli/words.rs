//! Numbers and lists in a maker's words.

use crate::text::numbers::unsigned_nothing;

/// `204.0 × 191.0 × 94.0 mm`.
pub fn size(mm: &[f64; 3]) -> String {
    let places = decimals(mm);
    format!("{} × {} × {} mm", fixed(mm[0], places), fixed(mm[1], places), fixed(mm[2], places))
}

/// `(-102.0, 0.0, 3.5)`.
pub fn place(mm: &[f64; 3]) -> String {
    let places = decimals(mm);
    format!("({}, {}, {})", fixed(mm[0], places), fixed(mm[1], places), fixed(mm[2], places))
}

/// In cm³, which is what material is bought by; small things in mm³.
pub fn volume(mm3: f64) -> String {
    let (number, unit) = if mm3.abs() < 1000.0 { (mm3, "mm³") } else { (mm3 / 1000.0, "cm³") };
    format!("{} {unit}", fixed(number, decimals(&[number])))
}

/// In cm²; small things in mm².
pub fn area(mm2: f64) -> String {
    let (number, unit) = if mm2.abs() < 100.0 { (mm2, "mm²") } else { (mm2 / 100.0, "cm²") };
    format!("{} {unit}", fixed(number, decimals(&[number])))
}

/// `1 shell`, `2 shells`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// The verdict that machines call `word`, for people.
pub fn fit(word: &str) -> &str {
    match word {
        "as-it-stands" => "fits as it stands",
        "turned" => "fits turned",
        "tilted" => "fits tilted",
        "too-big" => "too big",
        other => other,
    }
}

/// Tenths for what can be held in a hand; below 1 as many more as it takes to show three digits of the largest.
fn decimals(numbers: &[f64]) -> usize {
    /// A model that is smaller than this many digits behind the point is nothing to make.
    const MOST: usize = 9;
    let largest = numbers.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
    if largest >= 1.0 || largest == 0.0 {
        return 1;
    }
    // The number of zeros behind the point, and three digits.
    ((-largest.log10()).floor() as usize + 3).min(MOST)
}

/// Without the sign of a zero: `-0.0` would make people wonder.
fn fixed(number: f64, places: usize) -> String {
    unsigned_nothing(format!("{number:.places$}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measures_read_well_at_every_size() {
        assert_eq!(volume(6000.0), "6.0 cm³");
        assert_eq!(volume(12.34), "12.3 mm³");
        assert_eq!(area(2200.0), "22.0 cm²");
        assert_eq!(area(9.0), "9.0 mm²");
        assert_eq!(count(1, "shell", "shells"), "1 shell");
        assert_eq!(count(0, "shell", "shells"), "0 shells");
        assert_eq!(size(&[204.0, 191.04, 94.0]), "204.0 × 191.0 × 94.0 mm");
    }

    #[test]
    fn small_things_show_three_digits() {
        assert_eq!(size(&[0.044, 0.014, 0.0474]), "0.0440 × 0.0140 × 0.0474 mm");
        assert_eq!(volume(2.819e-5), "0.0000282 mm³");
        assert_eq!(volume(1e-30), "0.000000000 mm³");
    }

    #[test]
    fn zero_has_no_sign() {
        assert_eq!(place(&[-0.01, -0.0, 12.0]), "(0.0, 0.0, 12.0)");
        assert_eq!(place(&[-0.06, 0.0, 12.0]), "(-0.1, 0.0, 12.0)");
    }
}
