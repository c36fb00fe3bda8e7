//! A cut that is being placed: what both its sides would be, fast enough for every frame of a drag.

mod exact;
mod outline;
mod reach;
mod rest;
mod sides;

pub(crate) use outline::LEAST_GRAZING_MM;
pub use outline::{GRAZING_DEG, PRINT_LINE_MM, Sliver};
pub use rest::AtRest;

use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::convert::Infallible;
use std::path::Path;
use std::sync::Arc;

use rayon::prelude::*;
use seamwright_geometry::{
    Bed, Bounds, Cancelled, CutSurface, Graze, HalfFit, HalfSupport, Halves, Plane, Progress, Search, SectionLoop,
    SectionSupport, Side, Solid, ThinWall, Verdict, surface_outline,
};

use crate::cache::{Cache, Weigh};
use crate::evaluate::{Node, Stop, all_bores, bore_part, nothing_kept, part, part_by_cuts, scope_names, stock};
use crate::outcome::Failure;
use crate::recipe::{CutId, PartId, PieceId, Recipe, Scope};

/// The pieces as all other cuts leave them, prepared for one cut to move through them.
#[derive(Clone, Debug)]
pub struct Placing {
    pieces: Vec<PlacingPiece>,
    beds: Vec<Bed>,
}

/// A piece that the moving cut may cross.
#[derive(Clone, Debug)]
pub struct PlacingPiece {
    /// Its identity without the moving cut.
    pub id: PieceId,
    /// Its faces.
    pub solid: Arc<Solid>,
    /// Whether the cut's scope lets it at this piece.
    pub in_scope: bool,
    bounds: Bounds,
    support: Arc<Weighed>,
    /// What finds its outline; none where the cut is kept from it.
    section: Option<Arc<SectionSupport>>,
    /// What each side, below and above, is parted into by cuts that are limited to it; none where it is left whole.
    parts: [Vec<SidePart>; 2],
}

/// A part of one side.
#[derive(Clone, Debug)]
struct SidePart {
    id: PieceId,
    support: Arc<Weighed>,
}

/// What the moving cut would do where it is now.
#[derive(Clone, Debug, Default)]
pub struct Placement {
    /// Both sides of every piece that it crosses; empty where they are not known.
    pub sides: Vec<PlacedSide>,
    /// Whether the sides are known before the cut is made: they are for a cut along all of a plane.
    pub sides_known: bool,
    /// The outline that it draws on them.
    pub outline: Vec<SectionLoop>,
    /// Area of its caps, mm².
    pub area_mm2: f64,
    /// Where it grazes the surface, within [`GRAZING_DEG`].
    pub grazes: Vec<Graze>,
    /// The thinnest wall of its section, where that is found within a frame.
    pub thinnest_wall: Option<ThinWall>,
}

/// One side of a piece that the moving cut crosses.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedSide {
    /// The piece, without the moving cut.
    pub piece: PieceId,
    /// The part of it that this side is: other than the piece where cuts are limited to this side.
    pub part: PieceId,
    /// Which side of the cut.
    pub side: Side,
    /// The bed that the rest is about, in the order of the recipe: the first that it fits, else that on which it is best
    /// off.
    pub bed: usize,
    /// Whether it would fit.
    pub verdict: Verdict,
    /// Width, depth and height as it stands, mm.
    pub sizes_mm: [f64; 3],
    /// Spare room of its best pose, mm; negative when it sticks out.
    pub slack_mm: f64,
    /// What `slack_mm` may be too large by, mm: the price of being quick. Hardly anything where the verdict is exact.
    pub error_mm: f64,
}

/// What orders verdicts from good to bad: *too big*, which is proven, is worse than *undecided*.
fn badness(verdict: Verdict) -> (bool, Verdict) {
    (verdict == Verdict::TooBig, verdict)
}

/// Orders verdicts with the room that they leave from good to bad.
fn worse((verdict, slack_mm): (Verdict, f64), (than, than_slack_mm): (Verdict, f64)) -> Ordering {
    badness(verdict).cmp(&badness(than)).then_with(|| than_slack_mm.total_cmp(&slack_mm))
}

impl PlacedSide {
    /// Orders sides from good to bad: by their verdicts, and of the same by how little room they have.
    pub fn worse(&self, than: &PlacedSide) -> Ordering {
        worse((self.verdict, self.slack_mm), (than.verdict, than.slack_mm))
    }

    /// What was found of one side of `piece`, or of the part of it that other cuts make of that side.
    fn of(piece: &PieceId, part: &PieceId, side: Side, (bed, fit): (usize, HalfFit)) -> PlacedSide {
        PlacedSide {
            piece: piece.clone(),
            part: part.clone(),
            side,
            bed,
            verdict: fit.verdict,
            sizes_mm: fit.sizes_mm,
            slack_mm: fit.slack_mm,
            error_mm: fit.error_mm,
        }
    }

    /// The spare room that there is for certain, mm.
    pub fn at_least_mm(&self) -> f64 {
        self.slack_mm - self.error_mm
    }
}

/// Why there is nothing to place a cut in.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlacingError {
    /// The work was cancelled.
    #[error("cancelled")]
    Cancelled,
    /// A stage before the cuts failed.
    #[error("{}", .0.text)]
    Failed(Failure),
    /// The recipe has no stock yet.
    #[error("there is no model yet: open one first")]
    NoStock,
}

impl From<Cancelled> for PlacingError {
    fn from(_: Cancelled) -> Self {
        PlacingError::Cancelled
    }
}

impl From<Stop> for PlacingError {
    fn from(stop: Stop) -> Self {
        match stop {
            Stop::Cancelled => PlacingError::Cancelled,
            Stop::Failed(failure) => PlacingError::Failed(failure),
        }
    }
}

impl Placing {
    /// Prepares the pieces that all cuts but `moving` leave; `None` for a cut that is not in the recipe yet. Runs on a
    /// worker: it may read the model and make all the other cuts, though most is in the cache already.
    pub fn prepare(
        recipe: &Recipe,
        moving: Option<CutId>,
        project_dir: &Path,
        cache: &Cache,
        progress: &Progress,
    ) -> Result<Placing, PlacingError> {
        let part = moving.and_then(|id| recipe.cut(id)).map_or(PartId::MAIN, |cut| cut.part);
        Placing::prepare_of(recipe, moving, part, project_dir, cache, progress)
    }

    /// Prepares the pieces of a part as they are, for another cut.
    pub(crate) fn prepare_part(
        recipe: &Recipe,
        part: PartId,
        project_dir: &Path,
        cache: &Cache,
        progress: &Progress,
    ) -> Result<Placing, PlacingError> {
        Placing::prepare_of(recipe, None, part, project_dir, cache, progress)
    }

    fn prepare_of(
        recipe: &Recipe,
        moving: Option<CutId>,
        id: PartId,
        project_dir: &Path,
        cache: &Cache,
        progress: &Progress,
    ) -> Result<Placing, PlacingError> {
        let scope = moving.and_then(|id| recipe.cut(id)).map_or(Scope::All, |cut| cut.scope.clone());
        let mut others = recipe.clone();
        others.cuts.retain(|cut| Some(cut.id) != moving);
        if others.stock.is_none() {
            return Err(PlacingError::NoStock);
        }
        let (stock_key, stock) = stock(&others, project_dir, cache, progress)?;
        let made = part(&others, id, stock_key, &stock, cache, progress)?;
        let (part_key, part) = made.ok_or_else(nothing_kept)?;
        let bored = bore_part(&others, id, part_key, part.solid, all_bores, cache, progress)?;
        let parting = part_by_cuts(&others, id, bored.key, bored.solid.clone(), cache, progress)?;
        let on_side = |side: Side| -> Result<Vec<Node>, Stop> {
            match moving.and_then(|moving| sides::recipe_on_side(recipe, moving, side)) {
                Some(recipe) => Ok(part_by_cuts(&recipe, id, bored.key, bored.solid.clone(), cache, progress)?.nodes),
                None => Ok(Vec::new()),
            }
        };
        let on_sides = [on_side(Side::Below)?, on_side(Side::Above)?];
        progress.stage("preparing to place the cut");
        let support = |node: &Node| {
            cache.get_or_make(node.key.then("halves"), || {
                let support = HalfSupport::build(&node.body.solid.mesh, progress)?;
                Ok::<_, Stop>(Weighed { support, bytes: node.body.solid.bytes() })
            })
        };
        let section = |node: &Node| {
            cache.get_or_make(node.key.then("section"), || {
                Ok::<_, Stop>(SectionSupport::build(&node.body.solid, progress)?)
            })
        };
        let parts = |nodes: &[Node], whole: &Node| -> Result<Vec<SidePart>, Stop> {
            let parts = nodes.iter().filter(|node| sides::is_part_of(node, whole));
            parts.map(|node| Ok(SidePart { id: node.id.clone(), support: support(node)? })).collect()
        };
        let piece = |node: &Node| -> Result<PlacingPiece, Stop> {
            let in_scope = scope_names(&scope, node);
            Ok(PlacingPiece {
                id: node.id.clone(),
                solid: node.body.solid.clone(),
                bounds: node.body.bounds,
                in_scope,
                support: support(node)?,
                section: in_scope.then(|| section(node)).transpose()?,
                parts: [parts(&on_sides[0], node)?, parts(&on_sides[1], node)?],
            })
        };
        let pieces = parting.nodes.par_iter().map(piece).collect::<Result<_, Stop>>()?;
        Ok(Placing { pieces, beds: recipe.beds().cloned().collect() })
    }

    /// The pieces as the other cuts leave them.
    pub fn pieces(&self) -> &[PlacingPiece] {
        &self.pieces
    }

    /// The identities of the pieces that a cut may be limited to here.
    pub fn names(&self) -> BTreeSet<PieceId> {
        self.pieces.iter().map(|piece| piece.id.clone()).collect()
    }

    /// What a cut along `surface` would do now. Of another one than a plane without end only the lines that it draws are
    /// worked out, and those not on pieces of more than a million faces: which pieces it makes shows when it is made.
    pub fn at_surface(&self, surface: &CutSurface) -> Placement {
        if let CutSurface::Plane(plane) = surface {
            return self.at(plane);
        }
        let in_scope = self.pieces.iter().filter(|piece| piece.in_scope && piece.shows_lines_of(surface));
        let outline = in_scope.flat_map(|piece| surface_outline(&piece.solid, surface)).collect();
        Placement { outline, ..Placement::default() }
    }

    /// What a cut along `plane` would do now. Made anew for every frame of a drag.
    pub fn at(&self, plane: &Plane) -> Placement {
        let met: Vec<(Vec<PlacedSide>, Vec<SectionLoop>, Vec<Graze>)> = self
            .pieces
            .par_iter()
            .filter(|piece| piece.in_scope)
            .map(|piece| {
                let sides = piece.sides(plane, &self.beds);
                let (outline, grazes) = if sides.is_empty() { Default::default() } else { piece.told_outline(plane) };
                (sides, outline, grazes)
            })
            .collect();
        let mut placement = Placement { sides_known: true, ..Placement::default() };
        for (sides, outline, grazes) in met {
            placement.sides.extend(sides);
            placement.area_mm2 += outline.iter().map(|line| line.area_mm2).sum::<f64>();
            placement.outline.extend(outline);
            placement.grazes.extend(grazes);
        }
        placement.thinnest_wall = placement.quick_thinnest_wall(plane);
        placement
    }
}

/// The lines of a surface that is no plane are looked for among all faces: 18 ms for a million of them
/// (`examples/profile_speed.rs` of the geometry crate). With more, a drag would stutter, and they are left out.
const MOST_FACES: usize = 1_000_000;

impl PlacingPiece {
    /// The box around it, mm.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Whether a cut along `surface` reaches it, by its scope or not: of another one than a plane without end, whether it
    /// may.
    pub fn is_reached_by(&self, surface: &CutSurface) -> bool {
        match surface {
            CutSurface::Plane(plane) => {
                let halves = self.support.support.split(plane);
                Side::BOTH.iter().all(|side| halves.bounds(*side).is_some())
            }
            _ => surface.side_of_box(&self.bounds, self.solid.resolution.on_plane_mm).is_none(),
        }
    }

    /// Whether `surface` may draw lines on it, and they are found within a frame.
    fn shows_lines_of(&self, surface: &CutSurface) -> bool {
        let clear = surface.side_of_box(&self.bounds, self.solid.resolution.on_plane_mm).is_some();
        !clear && self.solid.mesh.triangles.len() <= MOST_FACES
    }

    /// The lines that `plane` draws on it.
    fn outline(&self, plane: &Plane) -> Vec<SectionLoop> {
        self.section.as_ref().map_or_else(Vec::new, |section| section.section(&self.solid, plane).loops)
    }

    /// Both sides under `plane`, part by part; nothing where it misses the piece.
    fn sides(&self, plane: &Plane, beds: &[Bed]) -> Vec<PlacedSide> {
        let halves = self.support.support.split(plane);
        if Side::BOTH.iter().any(|side| halves.bounds(*side).is_none()) {
            return Vec::new();
        }
        let placed = |part: &PieceId, side: Side, fit| PlacedSide::of(&self.id, part, side, fit);
        let of_side = |side: Side| -> Vec<PlacedSide> {
            match self.parts[side as usize].as_slice() {
                [] => fit_on(&halves, side, beds).map(|fit| placed(&self.id, side, fit)).into_iter().collect(),
                parts => {
                    let fit = |part: &SidePart| fit_on(&part.support.support.split(plane), side, beds);
                    parts.iter().filter_map(|part| Some(placed(&part.id, side, fit(part)?))).collect()
                }
            }
        };
        let (mut below, above) = rayon::join(|| of_side(Side::Below), || of_side(Side::Above));
        below.extend(above);
        below
    }
}

/// The quick verdict on the first bed that one side fits, else on that where it is best off.
fn fit_on(halves: &Halves<'_>, side: Side, beds: &[Bed]) -> Option<(usize, HalfFit)> {
    best_bed(beds, |bed| Ok::<_, Infallible>(halves.fit(side, bed, Search::AnyPose))).unwrap_or_default()
}

/// The verdict on the first bed that is fitted, else on that where it is best off; `None` where one of them has none.
fn best_bed<E>(
    beds: &[Bed],
    mut fit_on: impl FnMut(&Bed) -> Result<Option<HalfFit>, E>,
) -> Result<Option<(usize, HalfFit)>, E> {
    let mut best: Option<(usize, HalfFit)> = None;
    let of = |fit: &HalfFit| (fit.verdict, fit.slack_mm);
    for (number, bed) in beds.iter().enumerate() {
        let Some(fit) = fit_on(bed)? else { return Ok(None) };
        if fit.verdict.fits() {
            return Ok(Some((number, fit)));
        }
        if best.as_ref().is_none_or(|(_, best)| is_better_off(of(&fit), of(best))) {
            best = Some((number, fit));
        }
    }
    Ok(best)
}

/// Of two verdicts that are no yes: what is undecided may fit still, and what is proven too big is less bad the less it
/// sticks out.
fn is_better_off((verdict, slack_mm): (Verdict, f64), (than, than_slack_mm): (Verdict, f64)) -> bool {
    let may_fit = |verdict: Verdict| verdict != Verdict::TooBig;
    (may_fit(verdict), slack_mm) > (may_fit(than), than_slack_mm)
}

impl Placement {
    /// The side that is worst off on each side of the cut, for colouring: (below, above). *Too big*, which is proven,
    /// is worse than *undecided*.
    pub fn worst(&self) -> (Option<Verdict>, Option<Verdict>) {
        let on = |side: Side| self.sides.iter().filter(move |s| s.side == side).map(|s| s.verdict);
        let worst = |side: Side| on(side).max_by_key(|verdict| badness(*verdict));
        (worst(Side::Below), worst(Side::Above))
    }
}

/// What a half-space asks of a piece, with the room that it takes in the cache (about that of the piece itself).
#[derive(Debug)]
struct Weighed {
    support: HalfSupport,
    bytes: usize,
}

impl Weigh for Weighed {
    fn bytes(&self) -> usize {
        self.bytes
    }
}

impl Weigh for SectionSupport {
    fn bytes(&self) -> usize {
        SectionSupport::bytes(self)
    }
}
