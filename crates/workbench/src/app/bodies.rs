//! Meshes made ready for the bench, on the worker, once for each solid.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use seamwright_geometry::{Bounds, Cancelled, Point, Progress, Solid, Vector};
use seamwright_project::likeness::Likeness;

use super::engine::Outcome;
use super::leaders;
use crate::bench::Body;
use crate::shown::{body_of, fully_apart};

/// What the bench shows of an outcome.
#[derive(Clone, Debug, Default)]
pub struct Bodies {
    /// One for each piece, in the order of the pieces.
    pub pieces: Vec<Arc<Body>>,
    /// The uncut parts, where there are no pieces.
    pub parts: Vec<Arc<Body>>,
    /// A place on each seam, in the order of the seams, mm.
    pub seam_places: Vec<Option<Point>>,
    /// Where the pieces are drawn when they are exploded in full, relative to where they are, in their order, mm.
    pub apart: Vec<Vector>,
    /// The box around the uncut parts, mm.
    pub part_bounds: Option<Bounds>,
    /// A small picture of the uncut parts, for the list of what was open lately.
    pub likeness: Option<Arc<Likeness>>,
}

/// Bodies by solid: the same solid gets the same body, so that the graphics card is sent it once.
#[derive(Debug, Default)]
pub struct BodyStore {
    /// Keyed by the solid's place in memory, which can't be reused while it is held here.
    known: Mutex<Known>,
    /// The newest likeness, and the parts that it is of.
    drawn: Mutex<Option<Drawn>>,
}

type Drawn = (Vec<Arc<Solid>>, Option<Arc<Likeness>>);
type Known = HashMap<usize, (Arc<Solid>, Arc<Body>)>;

impl BodyStore {
    /// The bodies of `outcome`. Bodies of earlier outcomes that it doesn't use are dropped.
    /// `progress` is asked before each.
    pub fn of(&self, outcome: &Outcome, progress: &Progress) -> Result<Bodies, Cancelled> {
        let mut known = self.known.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
        let mut kept = Known::new();
        let mut body = |solid: &Arc<Solid>, closed: bool| {
            progress.check()?;
            let key = Arc::as_ptr(solid) as usize;
            let entry = kept.entry(key).or_insert_with(|| {
                known.remove(&key).unwrap_or_else(|| {
                    let body = body_of(solid, closed);
                    body.pack();
                    (solid.clone(), Arc::new(body))
                })
            });
            Ok(entry.1.clone())
        };
        let pieces: Vec<_> =
            outcome.pieces.iter().map(|piece| body(&piece.solid, piece.facts.closed)).collect::<Result<_, _>>()?;
        let uncut = outcome.parts.iter().filter(|_| pieces.is_empty());
        let parts = uncut.map(|part| body(&part.solid, false)).collect::<Result<_, _>>()?;
        *known = kept;
        drop(known);
        let likeness = self.likeness_of(outcome, progress)?;
        let (seam_places, apart) = (leaders::places(outcome), fully_apart(outcome));
        Ok(Bodies { pieces, parts, seam_places, apart, part_bounds: outcome.bounds(), likeness })
    }

    /// Drawn anew only where the parts are others.
    fn likeness_of(&self, outcome: &Outcome, progress: &Progress) -> Result<Option<Arc<Likeness>>, Cancelled> {
        let mut drawn = self.drawn.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
        let parts: Vec<Arc<Solid>> = outcome.parts.iter().map(|part| part.solid.clone()).collect();
        let same =
            |known: &Drawn| known.0.len() == parts.len() && known.0.iter().zip(&parts).all(|(a, b)| Arc::ptr_eq(a, b));
        if let Some((_, likeness)) = drawn.as_ref().filter(|known| same(known)) {
            return Ok(likeness.clone());
        }
        let meshes: Vec<_> = parts.iter().map(|part| &part.mesh).collect();
        let likeness = Likeness::of(&meshes, progress)?.map(Arc::new);
        *drawn = Some((parts, likeness.clone()));
        Ok(likeness)
    }
}
