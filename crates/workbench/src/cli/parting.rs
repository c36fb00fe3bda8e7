//! A model parted by planes, one after the other.

use seamwright_geometry::{Bounds, Cancelled, CutOutcome, Mesh, Point, Progress, Solid, bodies, part as part_solid};
use seamwright_project::FormError;

use super::planes::AskedCut;

/// What the planes made of the model.
#[derive(Debug)]
pub struct Parting {
    /// The pieces.
    pub parts: Vec<Part>,
    /// What each plane did, in the order of the planes.
    pub cuts: Vec<CutMade>,
}

/// A piece.
#[derive(Debug)]
pub struct Part {
    /// Its mark: letters and digits.
    pub mark: String,
    /// Its faces, mm.
    pub solid: Solid,
}

/// What a plane did.
#[derive(Debug, Default)]
pub struct CutMade {
    /// Whether it parted anything.
    pub parted: bool,
    /// Places where the section could not be closed.
    pub left_open: Vec<Point>,
    /// Places where it ends within the material.
    pub ended_inside: Vec<Point>,
}

/// Why nothing was parted.
#[derive(Debug, thiserror::Error)]
pub enum PartingError {
    /// It was told to stop.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
    /// A cut has no surface on this model.
    #[error("cut {number}: {error}")]
    Form {
        /// Which, from 1.
        number: u32,
        /// Why.
        error: FormError,
    },
}

/// Parts `mesh` by every cut in turn; each cuts all that it crosses. Bodies that a cut disconnects become pieces of
/// their own unless `keep_together`.
pub fn part(mesh: Mesh, asked: &[AskedCut], keep_together: bool, progress: &Progress) -> Result<Parting, PartingError> {
    let whole = Solid::from_stock(mesh);
    let bounds = whole.mesh.bounds();
    // As in a project: a model of several unconnected bodies is several pieces from the start.
    let mut solids = if keep_together { vec![whole] } else { bodies(whole) };
    let middle = bounds.map_or_else(Point::origin, |bounds| bounds.centre());
    let mut cuts = Vec::with_capacity(asked.len());
    for (label, asked_cut) in (1..).zip(asked) {
        progress.stage(format!("cut {label} of {}", asked.len()));
        let surface = asked_cut.surface(middle).map_err(|error| PartingError::Form { number: label, error })?;
        let mut made = CutMade::default();
        let mut next = Vec::with_capacity(solids.len() * 2);
        let count = solids.len();
        for (i, solid) in solids.into_iter().enumerate() {
            progress.report(i as f64 / count as f64);
            match part_solid(&solid, &surface, asked_cut.kerf_mm, label, progress)? {
                CutOutcome::Missed(_) => next.push(solid),
                CutOutcome::Unreached { ended_inside } => {
                    made.ended_inside.extend(ended_inside);
                    next.push(solid);
                }
                CutOutcome::Parted(parted) => {
                    made.parted = true;
                    made.left_open.extend(parted.left_open);
                    made.ended_inside.extend(parted.ended_inside);
                    for side in [parted.below, parted.above].into_iter().chain(parted.around) {
                        if side.mesh.triangles.is_empty() {
                            continue;
                        }
                        if keep_together { next.push(side) } else { next.extend(bodies(side)) }
                    }
                }
            }
        }
        solids = next;
        cuts.push(made);
    }
    if let Some(bounds) = bounds {
        sort_along(&mut solids, &bounds);
    }
    let marked = |(i, solid)| Part { mark: format!("A{i}"), solid };
    Ok(Parting { parts: (1..).zip(solids).map(marked).collect(), cuts })
}

/// The order of the marks, that of a project's pieces: along the longest side of the whole, low to high.
fn sort_along(solids: &mut Vec<Solid>, whole: &Bounds) {
    let along = whole.size().iamax();
    let axes = [along, (along + 1) % 3, (along + 2) % 3];
    let centre = |solid: &Solid| solid.mesh.bounds().map_or(whole.min, |bounds| bounds.centre());
    let mut placed: Vec<(Point, Solid)> = solids.drain(..).map(|solid| (centre(&solid), solid)).collect();
    placed.sort_by(|(a, _), (b, _)| {
        let order = |axis: usize| a[axis].total_cmp(&b[axis]);
        order(axes[0]).then(order(axes[1])).then(order(axes[2]))
    });
    solids.extend(placed.into_iter().map(|(_, solid)| solid));
}
