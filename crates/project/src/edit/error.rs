//! Why an edit cannot be made.

use seamwright_geometry::{BedError, PlaneError};

use super::MOST_KERF_MM;
use crate::bore::{BoreId, BoreTrouble};
use crate::cut_form::FormError;
use crate::measure::{MeasureId, MeasureTrouble};
use crate::mending::MendStepError;
use crate::recipe::{CutId, PartId};
use crate::relief::ReliefStepError;

/// Why an edit cannot be made. The recipe stays as it was.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The recipe has no such cut.
    #[error("there is no cut {}; it may have been removed", .0.0)]
    NoSuchCut(CutId),
    /// The numbers of a cut make no plane.
    #[error("this cut has no plane: {}{}", .0, way_out(.0))]
    Plane(#[from] PlaneError),
    /// The numbers of a cut's form make no surface.
    #[error("this cut has no surface: {0}")]
    Form(#[from] FormError),
    /// A kerf is no width.
    #[error("a kerf is a width of 0 to {most} mm, not {0} mm", most = MOST_KERF_MM)]
    Kerf(f64),
    /// The bed holds nothing.
    #[error(transparent)]
    Bed(#[from] BedError),
    /// Every bed was taken away.
    #[error("a project needs at least one bed")]
    NoBed,
    /// The scale is no scale.
    #[error("a model can be scaled by a positive number only, not by {0}")]
    Scale(f64),
    /// A name is empty.
    #[error("a name needs at least one letter")]
    EmptyName,
    /// The direction that should point down points nowhere.
    #[error("the direction to turn down has no length")]
    Stance,
    /// The recipe has no such loose part.
    #[error("there is no loose part {}; it may have been put back", .0.0)]
    NoSuchPart(PartId),
    /// A loose part without shells.
    #[error("choose at least one shell to set aside")]
    NoShells,
    /// There is no such file beside the first.
    #[error("there is no file number {0} beside the first")]
    NoSuchSource(usize),
    /// The same file twice.
    #[error("{0} is part of this model already")]
    SameSource(String),
    /// A model of several files needs a first one.
    #[error("open a model first; further files go beside it")]
    NoStock,
    /// A number of a mend is none.
    #[error(transparent)]
    Mend(#[from] MendStepError),
    /// A relief makes no sense.
    #[error(transparent)]
    Relief(#[from] ReliefStepError),
    /// The recipe has no such bore.
    #[error("there is no bore {}; it may have been removed", .0.0)]
    NoSuchBore(BoreId),
    /// The numbers of a bore make no channel.
    #[error(transparent)]
    Bore(#[from] BoreTrouble),
    /// There is no place for magnets.
    #[error("no magnets there: {0}")]
    Magnets(String),
    /// The recipe has no such measure.
    #[error("there is no measure {}; it may have been removed", .0.0)]
    NoSuchMeasure(MeasureId),
    /// The numbers of a measure make none.
    #[error(transparent)]
    Measure(#[from] MeasureTrouble),
    /// Every identity was given to a measure before.
    #[error("every number that a measure can have was used: begin a new project with this model")]
    NoMeasureIdLeft,
    /// Every identity was given to a bore before.
    #[error("every number that a bore can have was used: begin a new project with this model")]
    NoBoreIdLeft,
    /// Every identity was given to a cut before.
    #[error("every number that a cut can have was used: begin a new project with this model")]
    NoCutIdLeft,
}

/// Both tilts at a right angle leave no direction.
fn way_out(error: &PlaneError) -> &'static str {
    match error {
        PlaneError::NoDirection => ". Two tilts of 90° leave none: make the cut square to another axis",
        PlaneError::NotFinite(_) | PlaneError::Collinear => "",
    }
}
