//! The demo models: the sea-guardian costume of *The Saltgate Sentinel*, a street-theatre company of our invention.
//!
//! Each model is a signed distance field ([`sdf`] has the blocks), turned into a closed mesh at any resolution. The
//! same request always gives the same bytes.
mod build;
mod cuirass;
mod glaive;
mod helm;
mod net;
mod relief;
pub mod sdf;
mod simplify;
#[cfg(test)]
mod tests;

pub use build::{build, write_models};

/// The three parts of the costume.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DemoModel {
    /// A helmet with a fin crest, visor slits and cheek plates; a hollow shell, open below.
    Helm,
    /// A breastplate; a hollow shell, open at the back.
    Cuirass,
    /// A curved blade on a haft, 1.9 m long; solid.
    Glaive,
}

impl DemoModel {
    /// All parts.
    pub const ALL: [DemoModel; 3] = [DemoModel::Helm, DemoModel::Cuirass, DemoModel::Glaive];

    /// The part's name, also that of its file.
    pub fn name(self) -> &'static str {
        match self {
            DemoModel::Helm => "helm",
            DemoModel::Cuirass => "cuirass",
            DemoModel::Glaive => "glaive",
        }
    }
}
