//! Parts before they are cut, and how their shells are.

use std::collections::BTreeMap;
use std::sync::Arc;

use seamwright_geometry::mend::MendReport;
use seamwright_geometry::{ReliefReport, Solid};

use crate::recipe::PartId;

/// A part before it is cut.
#[derive(Clone, Debug)]
pub struct Part {
    /// Which.
    pub id: PartId,
    /// Its faces, mm.
    pub solid: Arc<Solid>,
    /// What each step of mending that is switched on did, in their order.
    pub mended: Arc<Vec<MendDone>>,
    /// What each relief that is switched on did, in their order.
    pub relieved: Arc<Vec<ReliefDone>>,
    /// Whether it is closed, where it was mended or relieved; else the stock's report tells.
    pub closed: Option<bool>,
    /// Its shells, by their numbers in the stock, and how each is now, mended or not.
    pub shells: Arc<BTreeMap<u32, ShellNow>>,
}

/// How a shell of the stock is in its part, after the mends and reliefs that are switched on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShellNow {
    /// Every edge of it balances.
    Closed,
    /// It has open edges, or the surface that it was united with has.
    Open,
    /// Nothing is left of it.
    Gone,
}

/// What a step of mending did.
#[derive(Clone, Debug, PartialEq)]
pub struct MendDone {
    /// Its place among the mends of the recipe.
    pub at: usize,
    /// What it did, or why it could not.
    pub result: Result<MendReport, String>,
}

/// What a relief did.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefDone {
    /// Its place among the reliefs of the recipe.
    pub at: usize,
    /// What it did, in units of the file, or why it could not.
    pub result: Result<ReliefReport, String>,
}
