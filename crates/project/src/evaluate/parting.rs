//! The cuts as a tree: a piece is cut only by the cuts that cross it and whose scope names it.

use std::collections::BTreeSet;
use std::sync::Arc;

use rayon::prelude::*;
use seamwright_geometry::{Bounds, Cancelled, CutOutcome, Point, Progress, Side, Solid, bodies_with};

use super::Stop;
use crate::cache::{Cache, Key, Weigh};
use crate::outcome::{Failure, Stage};
use crate::recipe::{Cut, CutId, PieceId, Recipe, Scope};

/// A piece on its way through the cuts.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// Hash of all that the solid was made from. A cut that misses leaves it as it is.
    pub key: Key,
    /// Identity so far.
    pub id: PieceId,
    /// Identities of the pieces that this one was cut from, the uncut whole first.
    pub lineage: Vec<PieceId>,
    /// The side of every cut that this piece met, whether crossed or not, in the order of the cuts.
    pub sides: Vec<(CutId, Side)>,
    pub body: Arc<Body>,
}

/// A solid with what is asked of it often.
#[derive(Clone, Debug)]
pub(crate) struct Body {
    pub solid: Arc<Solid>,
    pub bounds: Bounds,
    /// Labels of its caps, rising.
    pub caps: Vec<u32>,
}

/// All pieces, and what the cuts met on the way.
pub(crate) struct Parting {
    pub nodes: Vec<Node>,
    pub met: Vec<CutMet>,
}

/// What a cut that is switched on met.
pub(crate) struct CutMet {
    pub cut: CutId,
    pub crossed: usize,
    /// Pieces named in its scope that do not exist.
    pub missing: Vec<PieceId>,
    pub left_open: Vec<Point>,
}

/// Makes the cuts one after the other, each on all pieces at once.
pub(crate) fn part_by_cuts(
    recipe: &Recipe,
    part_key: Key,
    part: Arc<Solid>,
    cache: &Cache,
    progress: &Progress,
) -> Result<Parting, Stop> {
    let Some(whole) = Body::new(part) else {
        let text = "the model has no faces".to_owned();
        return Err(Stop::Failed(Failure { stage: Stage::Cuts, text, stock_moved: false }));
    };
    let mut nodes = vec![Node {
        key: part_key,
        id: PieceId::default(),
        lineage: Vec::new(),
        sides: Vec::new(),
        body: Arc::new(whole),
    }];
    if !recipe.keep_bodies_together {
        nodes = into_bodies(nodes, cache, progress)?;
    }
    let mut met = Vec::new();
    let enabled: Vec<&Cut> = recipe.cuts.iter().filter(|cut| cut.enabled).collect();
    for (i, cut) in enabled.iter().enumerate() {
        progress.stage(format!("cutting {}", cut.name));
        progress.report(i as f64 / enabled.len() as f64);
        let results: Vec<(Vec<Node>, Vec<Point>)> =
            nodes.par_iter().map(|node| apply(cut, node, recipe, cache, progress)).collect::<Result<_, Stop>>()?;
        met.push(CutMet {
            cut: cut.id,
            crossed: results.iter().filter(|(parts, _)| parts.len() > 1).count(),
            missing: missing_names(cut, &nodes),
            left_open: results.iter().flat_map(|(_, open)| open.iter().copied()).collect(),
        });
        nodes = results.into_iter().flat_map(|(parts, _)| parts).collect();
        name(&mut nodes);
    }
    Ok(Parting { nodes, met })
}

/// Whether `scope` lets its cut at the piece.
pub(crate) fn scope_names(scope: &Scope, node: &Node) -> bool {
    match scope {
        Scope::All => true,
        Scope::Pieces(names) => names.contains(&node.id) || node.lineage.iter().any(|id| names.contains(id)),
    }
}

/// A model of several unconnected bodies is several pieces from the start.
fn into_bodies(nodes: Vec<Node>, cache: &Cache, progress: &Progress) -> Result<Vec<Node>, Stop> {
    let mut parts = Vec::new();
    for node in nodes {
        let key = node.key.then("bodies");
        let family =
            cache.get_or_make(key, || Ok::<_, Stop>(Family::of(bodies_with((*node.body.solid).clone(), progress)?)))?;
        match family.0.as_slice() {
            [] | [_] => parts.push(node),
            several => parts.extend(several.iter().enumerate().map(|(i, body)| Node {
                key: key.with_numbers(&[i as f64]),
                body: body.clone(),
                ..node.clone()
            })),
        }
    }
    name(&mut parts);
    Ok(parts)
}

fn apply(
    cut: &Cut,
    node: &Node,
    recipe: &Recipe,
    cache: &Cache,
    progress: &Progress,
) -> Result<(Vec<Node>, Vec<Point>), Stop> {
    if !scope_names(&cut.scope, node) {
        return Ok((vec![node.clone()], Vec::new()));
    }
    let plane = cut.plane.plane().map_err(|error| {
        let text = format!("{}: {error}", cut.name);
        Stop::Failed(Failure { stage: Stage::Cuts, text, stock_moved: false })
    })?;
    let child = |side: Side, key: Key, body: &Arc<Body>| {
        let mut next = Node { key, body: body.clone(), ..node.clone() };
        next.sides.push((cut.id, side));
        next
    };
    // Most cuts of many miss most pieces: their boxes say so without a look at any face.
    if let Some(side) = plane.side_of_box(&node.body.bounds, node.body.solid.resolution.on_plane_mm) {
        return Ok((vec![child(side, node.key, &node.body)], Vec::new()));
    }
    let n = plane.normal();
    let key = node.key.then(if recipe.keep_bodies_together { "cut" } else { "cut into bodies" }).with_numbers(&[
        n.x,
        n.y,
        n.z,
        plane.offset_mm(),
        f64::from(cut.id.0),
    ]);
    let result = cache.get_or_make(key, || {
        let outcome = seamwright_geometry::cut(&node.body.solid, &plane, cut.id.0, progress)?;
        CutResult::of(outcome, recipe.keep_bodies_together, progress)
    })?;
    Ok(match &*result {
        CutResult::Missed(side) => (vec![child(*side, node.key, &node.body)], Vec::new()),
        CutResult::Parted { children, left_open } => {
            let mut parts = Vec::with_capacity(children.len());
            for (i, (side, body)) in children.iter().enumerate() {
                let mut next = child(*side, key.with_numbers(&[i as f64]), body);
                next.lineage.push(node.id.clone());
                parts.push(next);
            }
            (parts, left_open.clone())
        }
    })
}

/// Names every piece by the caps that bound it, and numbers bodies of the same name.
fn name(nodes: &mut [Node]) {
    for node in nodes.iter_mut() {
        let side_of = |label: &u32| {
            let met = node.sides.iter().find(|(cut, _)| cut.0 == *label);
            met.map(|(cut, side)| (*cut, *side))
        };
        node.id = PieceId { path: node.body.caps.iter().filter_map(side_of).collect(), body: 0 };
    }
    nodes.sort_by(|a, b| a.id.path.cmp(&b.id.path));
    for family in nodes.chunk_by_mut(|a, b| a.id.path == b.id.path) {
        number(family);
    }
}

/// Counts bodies of one name along the axis on which they lie farthest apart: on any other, a small move of a cut could
/// exchange the numbers of two that are alike, such as the two sides of a mask.
fn number(family: &mut [Node]) {
    let centre = |node: &Node| node.body.bounds.centre();
    if let Some(apart) = Bounds::of(family.iter().map(centre)) {
        // Height goes first where two axes are equal.
        let mut axes = [2, 1, 0];
        axes.sort_by(|&a, &b| apart.size()[b].total_cmp(&apart.size()[a]));
        let along = |node: &Node| axes.map(|axis| centre(node)[axis]);
        family.sort_by(|a, b| {
            let each = along(a).into_iter().zip(along(b)).map(|(a, b)| a.total_cmp(&b));
            each.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then)
        });
    }
    for (body, node) in family.iter_mut().enumerate() {
        node.id.body = body as u32;
    }
}

fn missing_names(cut: &Cut, nodes: &[Node]) -> Vec<PieceId> {
    let Scope::Pieces(names) = &cut.scope else { return Vec::new() };
    let known: BTreeSet<&PieceId> = nodes.iter().flat_map(|n| n.lineage.iter().chain([&n.id])).collect();
    names.iter().filter(|name| !known.contains(name)).cloned().collect()
}

impl Body {
    pub fn new(solid: Arc<Solid>) -> Option<Body> {
        Some(Body { bounds: solid.mesh.bounds()?, caps: solid.cap_labels(), solid })
    }
}

enum CutResult {
    Missed(Side),
    Parted { children: Vec<(Side, Arc<Body>)>, left_open: Vec<Point> },
}

impl CutResult {
    fn of(outcome: CutOutcome, keep_bodies_together: bool, progress: &Progress) -> Result<CutResult, Cancelled> {
        let parted = match outcome {
            CutOutcome::Missed(side) => return Ok(CutResult::Missed(side)),
            // Only finite planes leave a solid that they cross; a recipe has none.
            CutOutcome::Unreached { .. } => return Ok(CutResult::Missed(Side::Below)),
            CutOutcome::Parted(parted) => *parted,
        };
        let family = |solid: Solid| {
            let bodies = if keep_bodies_together { vec![solid] } else { bodies_with(solid, progress)? };
            Ok(Family::of(bodies))
        };
        let (below, above) = rayon::join(|| family(parted.below), || family(parted.above));
        let side = |side: Side, family: Family| family.0.into_iter().map(move |body| (side, body));
        let children = side(Side::Below, below?).chain(side(Side::Above, above?)).collect();
        Ok(CutResult::Parted { children, left_open: parted.left_open })
    }
}

impl Weigh for CutResult {
    fn bytes(&self) -> usize {
        match self {
            CutResult::Missed(_) => size_of::<Self>(),
            CutResult::Parted { children, .. } => children.iter().map(|(_, body)| body.solid.bytes()).sum(),
        }
    }
}

struct Family(Vec<Arc<Body>>);

impl Family {
    fn of(solids: Vec<Solid>) -> Family {
        Family(solids.into_iter().filter_map(|s| Body::new(Arc::new(s))).map(Arc::new).collect())
    }
}

impl Weigh for Family {
    fn bytes(&self) -> usize {
        self.0.iter().map(|body| body.solid.bytes()).sum()
    }
}
