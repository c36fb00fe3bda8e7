//! Nuts and washers for threaded rod.

use super::{Origin, table};

const TABLE: &str = include_str!("../../../../assets/tables/nuts_and_washers.csv");

/// A hexagon nut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nut {
    /// Largest width across flats, mm.
    pub flats_mm: f64,
    /// Largest height, mm.
    pub height_mm: f64,
    /// Where the numbers come from.
    pub origin: Origin,
}

/// A plain washer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Washer {
    /// Inner diameter, mm.
    pub inner_mm: f64,
    /// Outer diameter, mm.
    pub outer_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
}

/// The nut for a thread of the table.
pub fn nut(thread: &str) -> Option<Nut> {
    Some(line(thread)?.0)
}

/// The washer for a thread of the table.
pub fn washer(thread: &str) -> Option<Washer> {
    Some(line(thread)?.1)
}

fn line(thread: &str) -> Option<(Nut, Washer)> {
    let cells = table::lines(TABLE).find(|cells| cells.first() == Some(&thread))?;
    let [_, numbers @ .., origin] = cells.as_slice() else { return None };
    let numbers: Vec<f64> = numbers.iter().map(|cell| cell.parse()).collect::<Result<_, _>>().ok()?;
    let [flats_mm, height_mm, inner_mm, outer_mm, thickness_mm] = numbers.try_into().ok()?;
    let nut = Nut { flats_mm, height_mm, origin: Origin::of(origin)? };
    Some((nut, Washer { inner_mm, outer_mm, thickness_mm }))
}
