//! How far a held rod droops: Euler–Bernoulli, an estimate.
//!
//! A cantilever droops by w L⁴ / 8 E I under a weight w per length and by P L³ / 3 E I under a load P at its tip
//! (Machinery's Handbook, as quoted). Joints that give, creep and the stiffness of the prints themselves are left out.

/// Standard gravity, m/s² (3rd CGPM, 1901; from memory).
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// What bends and weighs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beam {
    /// Bending stiffness E I, N·m².
    pub stiffness_n_m2: f64,
    /// Mass per length, kg/m.
    pub kg_per_m: f64,
}

impl Beam {
    /// Two that bend alike, side by side and glued all along: stiffnesses and masses add up.
    pub fn together(self, other: Beam) -> Beam {
        Beam { stiffness_n_m2: self.stiffness_n_m2 + other.stiffness_n_m2, kg_per_m: self.kg_per_m + other.kg_per_m }
    }
}

/// How far the tip of `beam`, held at its other end, hangs down by its own weight over `length_mm`, mm.
pub fn droop_from_weight_mm(beam: &Beam, length_mm: f64) -> f64 {
    let (load, length) = (beam.kg_per_m * GRAVITY_M_S2, length_mm * 1e-3);
    load * length.powi(4) / (8.0 * beam.stiffness_n_m2) * 1e3
}

/// How far it hangs down by `load_n` newtons at its tip, mm.
pub fn droop_from_tip_load_mm(beam: &Beam, length_mm: f64, load_n: f64) -> f64 {
    load_n * (length_mm * 1e-3).powi(3) / (3.0 * beam.stiffness_n_m2) * 1e3
}
