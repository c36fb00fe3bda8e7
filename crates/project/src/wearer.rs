//! What wearers measure, and what a model must be enlarged by to fit one.

use std::f64::consts::TAU;

/// The published table, with its source.
const TABLE: &str = include_str!("../../../assets/tables/wearers.csv");

/// Where the table comes from, to be shown beside its numbers.
pub const SOURCE: &str = "percentiles 5, 50 and 95 of 4082 men and 1986 women, computed from the public data of the 2012 \
                          Anthropometric Survey of U.S. Army Personnel (Gordon et al., NATICK/TR-15/007, 2014): fit \
                          adults, no children";

/// A measure taken on a wearer.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// What it is called.
    pub name: &'static str,
    /// How it meets the model.
    pub kind: MeasureKind,
    /// Percentiles 5, 50 and 95 of men, mm.
    pub men_mm: [f64; 3],
    /// Percentiles 5, 50 and 95 of women, mm.
    pub women_mm: [f64; 3],
}

/// How a measure meets the model.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeasureKind {
    /// A closed line around the body.
    Girth,
    /// From one side to the other.
    Across,
    /// From the ground to the top.
    Height,
}

impl MeasureKind {
    /// What the inside of the model has to measure for a wearer's measure with padding `gap_mm` thick all round. A convex
    /// line that is moved outwards by a distance grows by that times 2π (Steiner's formula for the parallel curve); a
    /// breadth by twice the distance. A height is taken on the wearer as dressed, and padding adds nothing to it.
    pub fn inside_mm(self, wearer_mm: f64, gap_mm: f64) -> f64 {
        match self {
            MeasureKind::Girth => wearer_mm + TAU * gap_mm,
            MeasureKind::Across => wearer_mm + 2.0 * gap_mm,
            MeasureKind::Height => wearer_mm,
        }
    }
}

/// All measures of the table, in its order.
pub fn measures() -> Vec<Measure> {
    TABLE.lines().filter(|line| !line.starts_with('#')).skip(1).filter_map(measure).collect()
}

fn measure(line: &'static str) -> Option<Measure> {
    let mut cells = line.split(',');
    let name = cells.next()?;
    let kind = match cells.next()? {
        "girth" => MeasureKind::Girth,
        "across" => MeasureKind::Across,
        "height" => MeasureKind::Height,
        _ => return None,
    };
    let numbers: Vec<f64> = cells.map(str::parse).collect::<Result<_, _>>().ok()?;
    let [m5, m50, m95, w5, w50, w95] = numbers.try_into().ok()?;
    Some(Measure { name, kind, men_mm: [m5, m50, m95], women_mm: [w5, w50, w95] })
}

/// The factor with which what measures `now_mm` at factor `factor` measures `wanted_mm`. `None` where there is nothing to
/// enlarge, or nothing that it could become.
pub fn factor_for(factor: f64, now_mm: f64, wanted_mm: f64) -> Option<f64> {
    let next = factor * (wanted_mm / now_mm);
    (now_mm > 0.0 && wanted_mm > 0.0 && next.is_finite() && next > 0.0).then_some(next)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_table_is_a_measure_that_grows_with_its_percentiles() {
        let lines = TABLE.lines().filter(|line| !line.starts_with('#')).count();
        let measures = measures();
        assert_eq!(measures.len(), lines - 1);
        for measure in &measures {
            for [low, middle, high] in [measure.men_mm, measure.women_mm] {
                assert!(low < middle && middle < high, "{measure:?}");
            }
        }
        let names: std::collections::BTreeSet<_> = measures.iter().map(|m| m.name).collect();
        assert_eq!(names.len(), measures.len());
        assert_eq!(measures[0].men_mm, [548.0, 574.0, 601.0]);
    }

    #[test]
    fn padding_all_round_a_head_is_a_larger_ring() {
        // A circle of 574 mm has a radius of 91.35 mm; padded by 8 mm it is one of 99.35 mm.
        let padded = MeasureKind::Girth.inside_mm(574.0, 8.0);
        assert!((padded / TAU - (574.0 / TAU + 8.0)).abs() < 1e-12);
        assert_eq!(MeasureKind::Across.inside_mm(154.0, 8.0), 170.0);
        assert_eq!(MeasureKind::Height.inside_mm(1755.0, 8.0), 1755.0);
    }

    #[test]
    fn a_factor_brings_a_measure_to_what_is_wanted() {
        assert_eq!(factor_for(2.0, 300.0, 450.0), Some(3.0));
        assert_eq!(factor_for(2.0, 0.0, 450.0), None);
        assert_eq!(factor_for(2.0, 300.0, -1.0), None);
        assert_eq!(factor_for(2.0, 300.0, f64::NAN), None);
    }
}
