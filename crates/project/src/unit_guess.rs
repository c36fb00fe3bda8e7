//! Which unit a file without one may have been modelled in.

use seamwright_geometry::exchange::Unit;

/// A unit that makes more sense than the one chosen, and why.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitGuess {
    /// The unit.
    pub unit: Unit,
    /// The longest side in the unit chosen now, mm.
    pub now_mm: f64,
    /// The longest side in the unit guessed, mm.
    pub then_mm: f64,
    /// The longest side as the file has it.
    pub in_file: f64,
}

impl UnitGuess {
    /// A further guess, told after the first with its reason.
    pub fn other_words(&self) -> String {
        format!("Or it was modelled in {}: then it is {:.0} mm long", plural(self.unit), self.then_mm)
    }

    /// The guess with its reason; `now` is the unit chosen now.
    pub fn words(&self, now: Unit) -> String {
        let (now_mm, then_mm) = (tidy(self.now_mm), self.then_mm);
        let only = if self.now_mm < then_mm { "only " } else { "" };
        format!(
            "the model is {only}{now_mm} mm long, read in {}. Perhaps it was modelled in {}: then it is {then_mm:.0} mm long",
            plural(now),
            plural(self.unit)
        )
    }
}

/// A unit as one speaks of it.
pub(crate) fn plural(unit: Unit) -> &'static str {
    match unit {
        Unit::Micron => "microns",
        Unit::Millimetre => "millimetres",
        Unit::Centimetre => "centimetres",
        Unit::Inch => "inches",
        Unit::Foot => "feet",
        Unit::Metre => "metres",
    }
}

/// Two digits that say something, however small; whole numbers where it is large.
fn tidy(length_mm: f64) -> String {
    let digits = (1.0 - length_mm.abs().log10().floor()).clamp(0.0, 6.0);
    format!("{length_mm:.*}", digits as usize)
}

/// Longest sides that parts of costumes and props have, mm: from a buckle to a banner pole. Our own choice, no source.
const LIKELY_MM: std::ops::RangeInclusive<f64> = 20.0..=3000.0;
/// Longest sides that most of them have, from a small helm or a guard to a sword and a staff, mm: units that lead there are
/// guessed before those that lead to a buckle. Our own choice, no source.
const COMMON_MM: std::ops::RangeInclusive<f64> = 50.0..=2500.0;
/// Units by how many files are modelled in them, the commonest first (common practice, no source).
const BY_USE: [Unit; 6] = [Unit::Millimetre, Unit::Metre, Unit::Centimetre, Unit::Inch, Unit::Foot, Unit::Micron];

/// The units that a model whose longest side is `in_file` may have been modelled in instead of `chosen`, the commonest
/// first: a sword as long as a part of one is told only by whoever made it. None where the size makes sense as it is, and
/// where no unit would mend it.
pub fn guess_units(in_file: f64, chosen: Unit) -> Vec<UnitGuess> {
    let now_mm = in_file * chosen.mm();
    if LIKELY_MM.contains(&now_mm) || now_mm.is_nan() || now_mm <= 0.0 {
        return Vec::new();
    }
    let guess = |unit: Unit| UnitGuess { unit, now_mm, then_mm: in_file * unit.mm(), in_file };
    let within = |range: std::ops::RangeInclusive<f64>| {
        BY_USE.into_iter().map(guess).filter(move |guess| range.contains(&guess.then_mm)).collect::<Vec<_>>()
    };
    let common = within(COMMON_MM);
    if common.is_empty() { within(LIKELY_MM) } else { common }
}

/// The first of [`guess_units`].
pub fn guess_unit(in_file: f64, chosen: Unit) -> Option<UnitGuess> {
    guess_units(in_file, chosen).into_iter().next()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_helm_of_a_fifth_of_a_millimetre_was_modelled_in_metres() {
        let guess = guess_unit(0.31, Unit::Millimetre).unwrap();
        assert_eq!(guess.unit, Unit::Metre);
        assert!((guess.then_mm - 310.0).abs() < 1e-9);
    }

    #[test]
    fn the_guess_tells_both_lengths() {
        assert_eq!(
            guess_unit(0.317, Unit::Millimetre).unwrap().words(Unit::Millimetre),
            "the model is only 0.32 mm long, read in millimetres. Perhaps it was modelled in metres: then it is 317 mm long"
        );
        assert!(
            guess_unit(310_000.0, Unit::Millimetre).unwrap().words(Unit::Millimetre).starts_with("the model is 310000")
        );
    }

    #[test]
    fn a_sword_in_metres_may_be_one_in_feet_and_both_are_guessed() {
        let guesses = guess_units(0.916, Unit::Millimetre);
        let told: Vec<(Unit, f64)> = guesses.iter().map(|guess| (guess.unit, guess.then_mm.round())).collect();
        assert_eq!(told, [(Unit::Metre, 916.0), (Unit::Foot, 279.0)]);
        assert_eq!(guesses[1].other_words(), "Or it was modelled in feet: then it is 279 mm long");
    }

    #[test]
    fn a_helm_of_twelve_was_modelled_in_inches_or_centimetres() {
        let units = |in_file| guess_units(in_file, Unit::Millimetre).iter().map(|guess| guess.unit).collect::<Vec<_>>();
        assert_eq!(units(12.2), [Unit::Centimetre, Unit::Inch]);
        assert_eq!(units(0.022), [Unit::Metre], "a buckle, where nothing larger makes sense");
        // Thirty millimetres are a likely size; that of a helm can't be told from that of a buckle.
        assert_eq!(guess_unit(31.0, Unit::Millimetre), None);
        assert_eq!(guess_unit(310_000.0, Unit::Millimetre).unwrap().unit, Unit::Micron);
    }

    #[test]
    fn what_makes_sense_is_left_alone_and_what_never_does_too() {
        for size in [25.0, 310.0, 2100.0] {
            assert_eq!(guess_unit(size, Unit::Millimetre), None);
        }
        assert_eq!(guess_unit(0.31, Unit::Metre), None);
        for size in [0.0, f64::NAN, f64::INFINITY, 1e-9, 1e12] {
            assert_eq!(guess_unit(size, Unit::Millimetre), None, "{size}");
        }
    }
}
