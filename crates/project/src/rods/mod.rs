//! Rods: what is to be had, what hole each needs, how to buy them, and how far they droop.
//!
//! The numbers are read from tables with their sources. It is always the diameter of a rod that is told.

mod beam;
mod buying;
mod clearance;
mod hardware;
mod list;
mod table;
mod told;

pub use beam::{Beam, GRAVITY_M_S2, droop_from_tip_load_mm, droop_from_weight_mm};
pub use buying::{Bar, Buying, BuyingError, LongestRod, MOST_RODS, SAW_MM, buy};
pub use clearance::{Clearance, ClearanceClass, GAPS_SOURCE, Hole, PRINTER_MM, PRINTER_SOURCE, hole};
pub use hardware::{Nut, Washer, nut, washer};
pub use list::{Droop, RodList, RodToSaw, RodsOfKind, Runs, rod_list};
pub use told::{ToldBar, ToldKind, ToldRod, ToldRods};

use std::f64::consts::PI;

/// The published table, with its sources.
const TABLE: &str = include_str!("../../../../assets/tables/rods.csv");
const MATERIALS: &str = include_str!("../../../../assets/tables/rod_materials.csv");

/// A rod of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rod {
    /// What kind it is.
    pub kind: RodKind,
    /// What it is called ("M6", "dowel 8 mm"); no two are called the same.
    pub name: &'static str,
    /// Outer diameter, mm; of a thread the nominal one.
    pub diameter_mm: f64,
    /// Inner diameter of a tube, mm; 0 for a full rod.
    pub inner_mm: f64,
    /// Pitch of its thread, mm; 0 without one.
    pub pitch_mm: f64,
    /// Stress area of its thread, mm²; 0 without one.
    pub stress_area_mm2: f64,
    /// What it is made of.
    pub material: RodMaterial,
    /// Where the line of the table comes from.
    pub origin: Origin,
}

/// Kinds of rods, in the order of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RodKind {
    /// Threaded, metric coarse.
    MetricThread,
    /// Threaded, UNC.
    InchThread,
    /// Plain steel.
    Steel,
    /// Wooden dowel.
    Wood,
    /// Tube of carbon fibre.
    CarbonTube,
    /// Tube of aluminium.
    AluminiumTube,
}

/// What rods are made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RodMaterial {
    /// Its name.
    pub name: &'static str,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Modulus of elasticity, GPa; of fibre tubes the one in bending.
    pub modulus_gpa: f64,
    /// Where the numbers come from.
    pub origin: Origin,
}

/// How sure a line of a table is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Read in a restatement of the standard.
    Restated,
    /// Read in the source that the table names.
    Read,
    /// Computed from values that were read.
    Computed,
    /// From memory, not looked up.
    Memory,
}

impl Origin {
    fn of(text: &str) -> Option<Origin> {
        Some(match text {
            "restated" => Origin::Restated,
            "read" => Origin::Read,
            "computed" => Origin::Computed,
            "memory" => Origin::Memory,
            _ => return None,
        })
    }

    /// In words, to be shown beside the numbers.
    pub fn words(self) -> &'static str {
        match self {
            Origin::Restated => "read in a restatement of the standard",
            Origin::Read => "read in a maker's list",
            Origin::Computed => "computed by the standard's formula",
            Origin::Memory => "from memory: measure your rod",
        }
    }
}

impl RodKind {
    /// All kinds.
    pub const ALL: [RodKind; 6] = [
        RodKind::MetricThread,
        RodKind::InchThread,
        RodKind::Steel,
        RodKind::Wood,
        RodKind::CarbonTube,
        RodKind::AluminiumTube,
    ];

    /// What it is called in the table.
    pub fn name(self) -> &'static str {
        match self {
            RodKind::MetricThread => "metric thread",
            RodKind::InchThread => "inch thread",
            RodKind::Steel => "steel rod",
            RodKind::Wood => "wooden dowel",
            RodKind::CarbonTube => "carbon tube",
            RodKind::AluminiumTube => "aluminium tube",
        }
    }

    /// Whether nuts go on it.
    pub fn is_threaded(self) -> bool {
        matches!(self, RodKind::MetricThread | RodKind::InchThread)
    }
}

/// All rods of the table, in its order.
pub fn rods() -> Vec<Rod> {
    table::lines(TABLE).filter_map(|cells| Some(read_rod(&cells)?.0)).collect()
}

/// The rod that is called so, whatever the case of its letters; inch threads also without "UNC".
pub fn rod(name: &str) -> Option<Rod> {
    let wanted = name.trim();
    let is_called = |rod: &Rod| {
        rod.name.eq_ignore_ascii_case(wanted) || rod.name.strip_suffix(" UNC").is_some_and(|short| short == wanted)
    };
    rods().into_iter().find(is_called)
}

/// The lengths in which a rod is usually sold, mm, rising; a metre for one that is not in the table (common practice, no
/// source).
pub fn stock_lengths_mm(name: &str) -> Vec<f64> {
    let known = table::lines(TABLE).filter_map(|cells| read_rod(&cells)).find(|(rod, _)| rod.name == name);
    known.map_or_else(|| vec![1000.0], |(_, lengths)| lengths)
}

/// All materials of the table.
pub fn materials() -> Vec<RodMaterial> {
    table::lines(MATERIALS).filter_map(|cells| read_material(&cells)).collect()
}

/// The material that is called so.
pub fn material(name: &str) -> Option<RodMaterial> {
    materials().into_iter().find(|material| material.name == name)
}

fn read_material(cells: &[&'static str]) -> Option<RodMaterial> {
    let [name, density, modulus, origin] = cells else { return None };
    Some(RodMaterial {
        name,
        density_kg_m3: density.parse().ok()?,
        modulus_gpa: modulus.parse().ok()?,
        origin: Origin::of(origin)?,
    })
}

fn read_rod(cells: &[&'static str]) -> Option<(Rod, Vec<f64>)> {
    let [kind, name, diameter, inner, pitch, area, made_of, stock, origin] = cells else { return None };
    let rod = Rod {
        kind: RodKind::ALL.into_iter().find(|known| known.name() == *kind)?,
        name,
        diameter_mm: diameter.parse().ok()?,
        inner_mm: inner.parse().ok()?,
        pitch_mm: pitch.parse().ok()?,
        stress_area_mm2: area.parse().ok()?,
        material: material(made_of)?,
        origin: Origin::of(origin)?,
    };
    Some((rod, stock.split('/').map(str::parse).collect::<Result<_, _>>().ok()?))
}

/// The mean of the flank diameter and the core is not what weighs: a thread has as much above its pitch diameter as it
/// lacks below, d2 = d − 0.649519 P (ISO 724, from memory; it gives the pitch diameters of the table of the sources).
const PITCH_DIAMETER: f64 = 0.649_519;

impl Rod {
    /// Area that weighs, mm²: of a thread that of its pitch diameter.
    pub fn area_mm2(&self) -> f64 {
        let outer = self.diameter_mm - PITCH_DIAMETER * self.pitch_mm;
        PI / 4.0 * (outer * outer - self.inner_mm * self.inner_mm)
    }

    /// Mass per metre, g/m.
    pub fn grams_per_metre(&self) -> f64 {
        self.area_mm2() * self.material.density_kg_m3 * 1e-3
    }

    /// Second moment of area, mm⁴: π (D⁴ − d⁴) / 64; of a thread, that of a round rod of its stress area.
    pub fn second_moment_mm4(&self) -> f64 {
        if self.stress_area_mm2 > 0.0 {
            return self.stress_area_mm2 * self.stress_area_mm2 / (4.0 * PI);
        }
        PI / 64.0 * (self.diameter_mm.powi(4) - self.inner_mm.powi(4))
    }

    /// It as a beam.
    pub fn beam(&self) -> Beam {
        Beam {
            // GPa · mm⁴ = 10⁹ N/m² · 10⁻¹² m⁴.
            stiffness_n_m2: self.material.modulus_gpa * self.second_moment_mm4() * 1e-3,
            kg_per_m: self.grams_per_metre() * 1e-3,
        }
    }

    /// What kind of rod of which size, in words ("M6 threaded rod").
    pub fn words(&self) -> String {
        if self.kind.is_threaded() { format!("{} threaded rod", self.name) } else { self.name.to_owned() }
    }
}

#[cfg(test)]
mod tests;
