//! Room made in one shell for another, as a recipe has it.

use std::collections::BTreeSet;

use seamwright_geometry::ReliefReport;

use crate::outcome::Stock;

/// Room made in one shell for another, so that the two, printed apart, go back together.
///
/// Shells are known by their numbers in the health report; the walls of their cavities go with them. The other shell counts as it
/// was mended, without any room made in it, wherever it belongs: it may be set aside or dropped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// The shell that loses material.
    pub shell: u32,
    /// The shell that it makes room for.
    pub by: u32,
    /// The room between the two, mm. The model's size does not change it.
    pub clearance_mm: f64,
    /// One that is switched off stays in the recipe and does nothing.
    pub enabled: bool,
}

/// Why a relief makes no sense.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ReliefStepError {
    /// A clearance that is none.
    #[error("a clearance is more than 0 and at most {MOST_CLEARANCE_MM} mm, not {0} mm")]
    Clearance(f64),
    /// A shell is in its own way everywhere.
    #[error("shell {} cannot make room for itself: choose two shells", u64::from(*.0) + 1)]
    Itself(u32),
    /// The same two shells twice.
    #[error("shell {} makes room for shell {} already: change its clearance instead", u64::from(*.0) + 1, u64::from(*.1) + 1)]
    Twice(u32, u32),
}

/// Room all round that parts printed apart need to go into one another, mm (common practice, no source).
pub const CLEARANCE_MM: f64 = 0.3;
/// The widest room, mm: wider than any padding is. Our own choice, no source.
pub const MOST_CLEARANCE_MM: f64 = 100.0;

/// Fails for numbers that make no sense.
pub fn check(reliefs: &[Relief]) -> Result<(), ReliefStepError> {
    let mut seen = BTreeSet::new();
    for relief in reliefs {
        if !(relief.clearance_mm > 0.0 && relief.clearance_mm <= MOST_CLEARANCE_MM) {
            return Err(ReliefStepError::Clearance(relief.clearance_mm));
        }
        if relief.shell == relief.by {
            return Err(ReliefStepError::Itself(relief.shell));
        }
        if !seen.insert((relief.shell, relief.by)) {
            return Err(ReliefStepError::Twice(relief.shell, relief.by));
        }
    }
    Ok(())
}

/// What it is, as one asks for it: `relieve shell 2 by shell 1, 0.3 mm`.
pub fn name(relief: &Relief) -> String {
    let [shell, by] = [relief.shell, relief.by].map(|shell| u64::from(shell) + 1);
    format!("relieve shell {shell} by shell {by}, {} mm", relief.clearance_mm)
}

/// What it did, in words; lengths are in the unit of the mesh, `scale` mm each.
pub fn words(report: &ReliefReport, scale: f64) -> String {
    let mm = |length: f64| format!("{:.2} mm", length * scale);
    let before = match report.before_mm {
        0.0 => "they crossed".to_owned(),
        apart => format!("{} apart before", mm(apart)),
    };
    if report.faces_added == 0 {
        return format!("nothing to do, {before}");
    }
    let mut said =
        format!("{:.1} mm³ taken away, {before}, {} now", report.removed_mm3 * scale.powi(3), mm(report.after_mm));
    if report.bodies > 1 {
        said.push_str(&format!("; it falls into {} bodies", report.bodies));
    }
    said
}

/// The shells of a solid: itself, and the walls of its cavities.
pub(crate) fn with_cavities(stock: &Stock, shell: u32) -> BTreeSet<u32> {
    stock.cavities_of(shell).chain([shell]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_make_no_sense_are_refused() {
        let relief = Relief { shell: 0, by: 1, clearance_mm: 0.3, enabled: true };
        assert_eq!(check(&[relief, Relief { shell: 1, by: 0, ..relief }]), Ok(()));
        for clearance_mm in [0.0, -0.1, f64::NAN, f64::INFINITY, 101.0] {
            assert!(matches!(check(&[Relief { clearance_mm, ..relief }]), Err(ReliefStepError::Clearance(_))));
        }
        assert_eq!(check(&[Relief { by: 0, ..relief }]), Err(ReliefStepError::Itself(0)));
        assert_eq!(check(&[relief, Relief { clearance_mm: 0.5, ..relief }]), Err(ReliefStepError::Twice(0, 1)));
    }

    #[test]
    fn what_was_done_is_told_in_millimetres() {
        let report = ReliefReport {
            removed_mm3: 0.002,
            before_mm: 0.01,
            after_mm: 0.03,
            farthest_mm: 0.04,
            faces_added: 9,
            bodies: 2,
        };
        assert_eq!(
            words(&report, 10.0),
            "2.0 mm³ taken away, 0.10 mm apart before, 0.30 mm now; it falls into 2 bodies"
        );
        assert_eq!(
            words(&ReliefReport { before_mm: 2.0, ..ReliefReport::default() }, 1.0),
            "nothing to do, 2.00 mm apart before"
        );
    }
}
