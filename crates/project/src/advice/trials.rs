//! Making the pieces with a cut somewhere else, to see whether they fit there.

use std::collections::BTreeSet;
use std::path::Path;

use seamwright_geometry::{Bounds, MOVE_MM, Plane, Point, Progress, Reason, Side, Stretch, Vector, nearest_offset};

use crate::cache::Cache;
use crate::cut_plane::CutPlane;
use crate::evaluate::{BoredPart, Stop, all_bores, bore_part, nothing_kept, part, part_by_cuts, pieces_of, stock};
use crate::outcome::Piece;
use crate::recipe::{Cut, CutId, PieceId, Recipe};

/// How well what lies on one side of a cut can be printed: as its worst piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sits {
    /// It fits no bed.
    Not,
    /// It fits tilted freely, with no flat on the bed.
    Tilted,
    /// It fits as it stands, turned, or tilted onto a flat.
    Flat,
}

impl Sits {
    fn of(piece: &Piece) -> Sits {
        match (piece.fit.verdict.fits(), &piece.fit.reason) {
            (false, _) => Sits::Not,
            (true, Reason::TiltsFreely) => Sits::Tilted,
            (true, _) => Sits::Flat,
        }
    }
}

/// The part of a cut, ready to be cut with that cut anywhere.
pub(super) struct Trials<'a> {
    recipe: &'a Recipe,
    cut: &'a Cut,
    whole: BoredPart,
    bounds: Bounds,
    cache: &'a Cache,
    progress: &'a Progress,
    /// The pieces with the cut where it is.
    now: BTreeSet<PieceId>,
    /// What was tried, and how below and above sit there.
    tried: Vec<(Plane, [Sits; 2])>,
}

impl<'a> Trials<'a> {
    /// Makes the pieces with the cut where it is. `None` where it bounds none.
    pub fn prepare(
        recipe: &'a Recipe,
        cut: &'a Cut,
        project_dir: &Path,
        cache: &'a Cache,
        progress: &'a Progress,
    ) -> Result<Option<Trials<'a>>, Stop> {
        let (stock_key, stock) = stock(recipe, project_dir, cache, progress)?;
        let made = part(recipe, cut.part, stock_key, &stock, cache, progress)?;
        let (key, part) = made.ok_or_else(nothing_kept)?;
        let whole = bore_part(recipe, cut.part, key, part.solid, all_bores, cache, progress)?;
        let Some(bounds) = whole.solid.mesh.bounds() else { return Ok(None) };
        let (now, tried) = (BTreeSet::new(), Vec::new());
        let mut trials = Trials { recipe, cut, whole, bounds, cache, progress, now, tried };
        trials.now = trials.pieces(recipe)?.into_iter().map(|piece| piece.id).collect();
        Ok(trials.now.iter().any(|id| bounded_by(id, cut.id)).then_some(trials))
    }

    /// The cut as it lies on `plane`.
    pub fn cut_on(&self, plane: &Plane) -> CutPlane {
        match self.cut.plane.plane() {
            Ok(now) if now == *plane => self.cut.plane,
            // Only moved: what was typed of its tilts stays as it was typed.
            Ok(now) if now.normal() == plane.normal() => {
                let through = plane.project(&Point::from(self.cut.plane.through_mm));
                CutPlane { through_mm: through.coords.into(), ..self.cut.plane }
            }
            _ => self.cut.plane.moved_to(plane),
        }
    }

    /// How all that the cut bounds below and above would sit on the beds, with the cut on `plane`.
    pub fn sit(&mut self, plane: &Plane) -> Result<[Sits; 2], Stop> {
        self.progress.check()?;
        if let Some((_, sits)) = self.tried.iter().find(|(tried, _)| tried == plane) {
            return Ok(*sits);
        }
        let sits = self.sit_anew(plane)?;
        self.tried.push((*plane, sits));
        Ok(sits)
    }

    /// The worse of both sides.
    pub fn both_sit(&mut self, plane: &Plane) -> Result<Sits, Stop> {
        let [below, above] = self.sit(plane)?;
        Ok(below.min(above))
    }

    fn sit_anew(&self, plane: &Plane) -> Result<[Sits; 2], Stop> {
        let mut recipe = self.recipe.clone();
        let on = self.cut_on(plane);
        if self.cut.form.surface(&on).is_err() {
            return Ok([Sits::Not; 2]);
        }
        for cut in recipe.cuts.iter_mut().filter(|cut| cut.id == self.cut.id) {
            cut.plane = on;
        }
        let mut sits = [Sits::Flat; 2];
        for piece in self.pieces(&recipe)? {
            // Pieces elsewhere are as they were, and no matter of this cut.
            if self.now.contains(&piece.id) && !bounded_by(&piece.id, self.cut.id) {
                continue;
            }
            let sides: Vec<Side> =
                piece.id.path.iter().filter(|(cut, _)| *cut == self.cut.id).map(|(_, side)| *side).collect();
            // One that the cut has left behind is whole now: it lies on whichever side is too large.
            let of = |side: Side| sides.is_empty() || sides.contains(&side);
            for k in (0..2).filter(|k| of(Side::BOTH[*k])) {
                sits[k] = sits[k].min(Sits::of(&piece));
            }
        }
        // A plane that lies nearly along the axis of the cut is told from its other side.
        let told_over = on.plane().is_ok_and(|told| told.normal().dot(&plane.normal()) < 0.0);
        if told_over {
            sits.reverse();
        }
        Ok(sits)
    }

    fn pieces(&self, recipe: &Recipe) -> Result<Vec<Piece>, Stop> {
        let (key, solid) = (self.whole.key, self.whole.solid.clone());
        let parting = part_by_cuts(recipe, self.cut.part, key, solid, self.cache, self.progress)?;
        pieces_of(recipe, &parting.nodes, &self.whole.done, self.cache, self.progress)
    }

    /// From where to where the part reaches along `normal`, mm.
    pub fn extent_mm(&self, normal: &Vector) -> [f64; 2] {
        let (middle, reach) = (normal.dot(&self.bounds.centre().coords), normal.abs().dot(&(self.bounds.size() / 2.0)));
        [middle - reach, middle + reach]
    }

    /// The offset nearest to that of `from`, with its normal, at which both sides sit so well at `least`; rounded to what can
    /// be read and typed where they do there too: a tenth of a millimetre, or a hundredth.
    pub fn nearest_along(&mut self, from: &Plane, guess: Option<Stretch>, least: Sits) -> Result<Option<Plane>, Stop> {
        let normal = from.normal();
        let at = |offset: f64| Plane::new(normal, offset).unwrap_or(*from);
        let extent = self.extent_mm(&normal);
        let found = nearest_offset(from.offset_mm(), extent, guess, |side, offset| {
            Ok::<_, Stop>(self.sit(&at(offset))?[side as usize] >= least)
        })?;
        let Some(found) = found else { return Ok(None) };
        let moved = found - from.offset_mm();
        if moved == 0.0 {
            return Ok(Some(*from));
        }
        // The nearest is a twentieth of a millimetre nearer at most, and may be a tenth as it stands.
        for (less_mm, per_mm) in [(MOVE_MM, 10.0), (0.0, 10.0), (0.0, 100.0)] {
            let rounded = ((moved.abs() - less_mm) * per_mm - ROUNDING).ceil() / per_mm * moved.signum();
            let plane = at(from.offset_mm() + rounded);
            if self.both_sit(&plane)? >= least {
                return Ok(Some(plane));
            }
        }
        Ok(Some(at(found)))
    }
}

/// Share of a digit that is rounding of offsets a metre away.
const ROUNDING: f64 = 1e-6;

fn bounded_by(id: &PieceId, cut: CutId) -> bool {
    id.path.iter().any(|(by, _)| *by == cut)
}
