//! Bores whose roofs are turned to where up is as each piece lies: made in the pieces, after the cuts.
//!
//! How a piece lies is known only once it is parted, from its form without these bores: their mouths are small beside the
//! caps that decide it. Each piece is then bored by itself, along the same line and with the same clear width, so that the
//! rod goes through; only the roofs differ. Where the lay of a piece changes, that piece is bored anew and no other.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;
use seamwright_geometry::bore::{BoreError, Stretch, WallProfile, bore};
use seamwright_geometry::{Point, Progress, Solid, Vector};

use super::bores::LaidBore;
use super::parting::{Body, Node};
use super::{Stop, measure};
use crate::bore::BoreId;
use crate::cache::{Cache, Weigh};
use crate::kit;
use crate::outcome::{BoreDone, BoreFacts, Failed, Outcome, Piece};
use crate::recipe::PieceId;

/// Where up is in each piece as it lies, in the frame of the whole.
pub(super) type Ups = BTreeMap<PieceId, Vector>;

/// Where up is in pieces as they lie.
pub(super) fn ups(outcome: &Outcome, pieces: &[Piece]) -> Ups {
    let up = |piece: &Piece| kit::lay(outcome, piece).pose.rotation.inverse_transform_vector(&Vector::z());
    pieces.iter().map(|piece| (piece.id.clone(), up(piece))).collect()
}

/// Makes `laid` in the pieces, and tells in `outcome` what that did; with where up was taken to be. One that cannot be made
/// in a piece is left away in all.
pub(super) fn bore_pieces(
    outcome: &mut Outcome,
    nodes: &mut [Node],
    laid: &[LaidBore],
    cache: &Cache,
    progress: &Progress,
) -> Result<Ups, Stop> {
    if laid.is_empty() {
        return Ok(Ups::new());
    }
    let before = measure::pieces(&outcome.recipe, nodes, &outcome.bores, cache, progress)?;
    let ups = ups(outcome, &before);
    for laid in laid {
        progress.stage(format!("turning the roof of {}", laid.bore.name));
        let in_piece = |node: &Node| {
            progress.check()?;
            let up = ups.get(&node.id).copied().unwrap_or_else(Vector::z);
            let (key, ours) =
                (node.key.then("roof").with_key(laid.key).with_numbers(up.as_slice()), node.id.part == laid.bore.part);
            let make = || make(laid, node, up, progress);
            let made = if ours { cache.get_or_make(key, make)? } else { Arc::new(Made(Ok(None))) };
            Ok((key, up, made))
        };
        let made: Vec<(_, Vector, Arc<Made>)> = nodes.par_iter().map(in_piece).collect::<Result<_, Stop>>()?;
        let failed = made.iter().find_map(|(.., made)| made.0.as_ref().err().cloned());
        let Some(done) = outcome.bores.iter_mut().find(|done| done.bore == laid.bore.id) else { continue };
        if let Some(failed) = failed {
            done.result = Err(failed);
            continue;
        }
        let mut crossed = Vec::new();
        for (node, (key, up, made)) in nodes.iter_mut().zip(&made) {
            if let Ok(Some(bored)) = &made.0 {
                (node.key, node.body) = (*key, bored.body.clone());
                crossed.push((*up, bored.removed_mm3, reach(&bored.body.solid, laid.bore.id, done)));
            }
        }
        tell(laid, done, &crossed);
    }
    Ok(ups)
}

/// A piece with the bore, or nothing where that misses it.
fn make(laid: &LaidBore, node: &Node, up: Vector, progress: &Progress) -> Result<Made, Stop> {
    let channel = (*laid.channel).clone().with_up(up);
    let bored = match bore(&node.body.solid, &channel, laid.bore.id.0, progress) {
        Err(BoreError::Cancelled(_)) => return Err(Stop::Cancelled),
        Err(error) => return Ok(Made(Err(Failed { place: error.place(), why: error.to_string() }))),
        Ok(bored) if bored.removed_mm3 <= 0.0 => return Ok(Made(Ok(None))),
        Ok(bored) => bored,
    };
    let body = Body::new(Arc::new(bored.solid)).map(Arc::new);
    let nothing_left = || Failed { why: "it is wider than a piece that it goes through".into(), place: None };
    let made = body.ok_or_else(nothing_left).map(|body| Some(InPiece { body, removed_mm3: bored.removed_mm3 }));
    Ok(Made(made))
}

/// Where along the line the walls of a bore lie in a piece.
fn reach(solid: &Solid, bore: BoreId, done: &BoreDone) -> [f64; 2] {
    let Ok(facts) = &done.result else { return [0.0; 2] };
    let walls = (0..).zip(&solid.origins).filter(|(_, origin)| origin.bore_label() == Some(bore.0));
    let along = walls.flat_map(|(t, _): (usize, _)| solid.mesh.corners(t)).map(|p| facts.along(&p));
    along.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)])
}

/// Puts together what is told of the bore from its parts in the pieces: direction of the roof, volume, stretch of the line.
fn tell(laid: &LaidBore, done: &mut BoreDone, crossed: &[(Vector, f64, [f64; 2])]) {
    let Ok(facts) = &done.result else { return };
    let mut profile = WallProfile { bare_mm: facts.profile.bare_mm, ..WallProfile::default() };
    for (up, _, [from, to]) in crossed {
        let channel = (*laid.channel).clone().with_up(*up);
        let of_piece = laid.bore.profile(&laid.solid, &laid.walls, &channel, 0.0);
        let is_here = |at: f64| at >= *from && at <= *to;
        profile.cells.extend(of_piece.cells.iter().filter(|cell| is_here(cell.at_mm)));
        let least = of_piece.least.filter(|least| is_here(least.at_mm));
        let least =
            profile.cells.iter().chain(&least).chain(&profile.least).min_by(|a, b| a.wall_mm.total_cmp(&b.wall_mm));
        profile.least = least.copied();
        profile.thin.extend(within(&of_piece.thin, *from, *to));
        profile.broken.extend(within(&of_piece.broken, *from, *to));
        profile.mouths.extend(within(&of_piece.mouths, *from, *to));
    }
    profile.cells.sort_by(|a, b| a.at_mm.total_cmp(&b.at_mm));
    profile.thin.sort_by(|a, b| a.from_mm.total_cmp(&b.from_mm));
    profile.broken.sort_by(|a, b| a.from_mm.total_cmp(&b.from_mm));
    profile.mouths.sort_by(|a, b| a.from_mm.total_cmp(&b.from_mm));
    let removed_mm3 = crossed.iter().map(|(_, removed_mm3, _)| removed_mm3).sum();
    done.result = Ok(Arc::new(BoreFacts { profile, removed_mm3, ..BoreFacts::clone(facts) }));
}

/// What of stretches lies on a part of the line.
fn within(stretches: &[Stretch], from: f64, to: f64) -> impl Iterator<Item = Stretch> {
    let clipped = move |s: &Stretch| Stretch { from_mm: s.from_mm.max(from), to_mm: s.to_mm.min(to), ..*s };
    stretches.iter().map(clipped).filter(|s| s.to_mm > s.from_mm)
}

/// A roof that points off by more than this is told, degrees: flanks of 45° are then as flat as the 35° to 40° at which
/// overhangs begin to sag (common practice, no source).
pub(super) const MOST_OFF_DEG: f64 = 5.0;

/// Pieces in which a roof points elsewhere than up as they lie in the end: where the bores themselves changed the lay.
pub(super) fn off_in(outcome: &Outcome, taken: &Ups) -> Vec<OffRoof> {
    let lies = ups(outcome, &outcome.pieces);
    let mut off = Vec::new();
    for piece in &outcome.pieces {
        let (Some(was), Some(is)) = (taken.get(&piece.id), lies.get(&piece.id)) else { continue };
        if was.angle(is).to_degrees() <= MOST_OFF_DEG {
            continue;
        }
        for within in &piece.facts.bores {
            if outcome.recipe.bore(within.bore).is_some_and(|bore| bore.follows_lays()) {
                off.push(OffRoof { bore: within.bore, mark: piece.mark.clone(), place: within.ends[0] });
            }
        }
    }
    off
}

/// A roof that does not point up in a piece.
pub(super) struct OffRoof {
    pub bore: BoreId,
    pub mark: String,
    pub place: Point,
}

struct InPiece {
    body: Arc<Body>,
    removed_mm3: f64,
}

struct Made(Result<Option<InPiece>, Failed>);

impl Weigh for Made {
    fn bytes(&self) -> usize {
        match &self.0 {
            Ok(Some(made)) => made.body.solid.bytes(),
            Ok(None) | Err(_) => size_of::<Self>(),
        }
    }
}
