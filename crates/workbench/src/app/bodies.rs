//! Meshes made ready for the bench, on the worker, once for each solid.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use seamwright_geometry::{Bounds, Cancelled, Point, Progress, Solid, Vector};

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
}

/// Bodies by solid: the same solid gets the same body, so that the graphics card is sent it once.
#[derive(Debug, Default)]
pub struct BodyStore {
    /// Keyed by the solid's place in memory, which can't be reused while it is held here.
    known: Mutex<Known>,
}

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
        let (seam_places, apart) = (leaders::places(outcome), fully_apart(outcome));
        Ok(Bodies { pieces, parts, seam_places, apart, part_bounds: outcome.bounds() })
    }
}
