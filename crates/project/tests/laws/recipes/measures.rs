//! Random measures.

use proptest::collection::vec;
use proptest::prelude::*;
use seamwright_project::{Measure, MeasureId, Measured, PartId};

use super::number;

fn place() -> impl Strategy<Value = [f64; 3]> {
    [number(), number(), number()]
}

fn way() -> impl Strategy<Value = [f64; 3]> {
    prop::array::uniform3(-1.0..1.0f64).prop_filter("points somewhere", |way| way.iter().any(|x| x.abs() > 0.1))
}

/// Anything that could have been measured.
pub fn measured() -> impl Strategy<Value = Measured> {
    prop_oneof![
        (place(), place()).prop_map(|(from_mm, to_mm)| Measured::Distance { from_mm, to_mm }),
        ([place(), place()], [way(), way()]).prop_map(|(at_mm, normals)| Measured::Angle { at_mm, normals }),
        (place(), place()).prop_map(|(from_mm, to_mm)| Measured::Thickness { from_mm, to_mm }),
        (place(), way(), 1.0..900.0, 1.0..900.0).prop_map(|(at_mm, normal, along_mm, taut_mm)| Measured::Girth {
            at_mm,
            normal,
            along_mm,
            taut_mm
        }),
    ]
}

/// Measures with rising identities.
pub fn measures() -> impl Strategy<Value = Vec<Measure>> {
    vec((measured(), 1..1000_u32), 0..4).prop_map(|drawn| {
        let mut id = 0;
        let mut measure = |(what, step)| {
            id += step;
            Measure { id: MeasureId(id), part: PartId::MAIN, what }
        };
        drawn.into_iter().map(&mut measure).collect()
    })
}

pub fn id() -> impl Strategy<Value = MeasureId> {
    (0..4_u32).prop_map(MeasureId)
}

/// Anything that may be asked to be noted; about one in six is no measure.
pub fn added() -> impl Strategy<Value = Measured> {
    let same = place().prop_map(|at| Measured::Distance { from_mm: at, to_mm: at });
    prop_oneof![5 => measured(), 1 => same]
}
