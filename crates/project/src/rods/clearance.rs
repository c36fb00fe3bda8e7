//! How wide a channel must be for a rod.

use super::{Rod, table};

const TABLE: &str = include_str!("../../../../assets/tables/clearance_holes.csv");

/// What printers that lay down a bead take away from the diameter of a hole, mm: the middle of 0.1–0.3 mm.
pub const PRINTER_MM: f64 = 0.2;

/// Where [`PRINTER_MM`] comes from, to be shown beside it.
pub const PRINTER_SOURCE: &str = "material-extrusion printers make holes 0.1 to 0.3 mm narrower (practitioners' pages, not peer-reviewed); print a test";

/// Where the gaps for rods without a thread come from.
pub const GAPS_SOURCE: &str =
    "gaps per side of 0.2 mm (sliding, tight), 0.3 mm (sliding) and 0.5 mm (loose): practitioners' guidance";

/// How much play a rod has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClearanceClass {
    /// Close.
    Fine,
    /// Normal.
    Medium,
    /// Loose.
    Coarse,
}

impl ClearanceClass {
    /// From close to loose.
    pub const ALL: [ClearanceClass; 3] = [ClearanceClass::Fine, ClearanceClass::Medium, ClearanceClass::Coarse];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            ClearanceClass::Fine => "fine",
            ClearanceClass::Medium => "medium",
            ClearanceClass::Coarse => "coarse",
        }
    }

    /// For a rod without a thread, what the hole is wider than the rod, mm on the diameter: twice the gap per side that
    /// [`GAPS_SOURCE`] tells.
    fn gap_mm(self) -> f64 {
        match self {
            ClearanceClass::Fine => 0.4,
            ClearanceClass::Medium => 0.6,
            ClearanceClass::Coarse => 1.0,
        }
    }
}

/// How much wider than its rod a channel is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clearance {
    /// By class.
    Class(ClearanceClass),
    /// So much on the diameter, mm.
    Typed(f64),
}

/// The hole for a rod as the table or the maker has it, without what a printer takes away.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Its diameter, mm.
    pub diameter_mm: f64,
    /// Where it comes from.
    pub source: &'static str,
}

/// The hole for a rod of `diameter_mm`; `rod` where it is one of the table.
pub fn hole(rod: Option<&Rod>, diameter_mm: f64, clearance: Clearance) -> Hole {
    let class = match clearance {
        Clearance::Typed(mm) => return Hole { diameter_mm: diameter_mm + mm, source: "typed" },
        Clearance::Class(class) => class,
    };
    let published = rod.and_then(|rod| table::lines(TABLE).find(|cells| cells.first() == Some(&rod.name)));
    let read = published.and_then(|cells| {
        let [_, fine, medium, coarse, source] = cells.as_slice() else { return None };
        let of_class = [fine, medium, coarse][class as usize];
        Some(Hole { diameter_mm: of_class.parse().ok()?, source })
    });
    read.unwrap_or(Hole { diameter_mm: diameter_mm + class.gap_mm(), source: GAPS_SOURCE })
}
