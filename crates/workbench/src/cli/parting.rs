//! A model parted by planes, one after the other.

use seamwright_geometry::{Cancelled, CutOutcome, Mesh, Plane, Point, Progress, Solid, bodies, cut};

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
}

/// Parts `mesh` by every plane in turn; each cuts all that it crosses. Bodies that a cut disconnects become pieces of
/// their own unless `keep_together`.
pub fn part(mesh: Mesh, planes: &[Plane], keep_together: bool, progress: &Progress) -> Result<Parting, Cancelled> {
    let mut solids = vec![Solid::from_stock(mesh)];
    let mut cuts = Vec::with_capacity(planes.len());
    for (label, plane) in (1..).zip(planes) {
        progress.stage(format!("cut {label} of {}", planes.len()));
        let mut made = CutMade::default();
        let mut next = Vec::with_capacity(solids.len() * 2);
        let whole = solids.len();
        for (i, solid) in solids.into_iter().enumerate() {
            progress.report(i as f64 / whole as f64);
            match cut(&solid, plane, label, progress)? {
                CutOutcome::Missed(_) => next.push(solid),
                CutOutcome::Parted(parted) => {
                    made.parted = true;
                    made.left_open.extend(parted.left_open);
                    for side in [parted.below, parted.above] {
                        if keep_together { next.push(side) } else { next.extend(bodies(side)) }
                    }
                }
            }
        }
        solids = next;
        cuts.push(made);
    }
    let marked = |(i, solid)| Part { mark: format!("A{i}"), solid };
    Ok(Parting { parts: (1..).zip(solids).map(marked).collect(), cuts })
}
