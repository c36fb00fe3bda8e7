//! The cuts as a tree: a piece is cut only by the cuts that cross it and whose scope names it.

mod at_once;
mod naming;
mod result;

use std::collections::BTreeSet;
use std::sync::Arc;

use rayon::prelude::*;
use seamwright_geometry::{Bounds, CutSurface, Plane, Point, Progress, Side, Solid, bodies_with};

use super::Stop;
use crate::cache::{Cache, Key};
use crate::outcome::{Failure, Stage};
use crate::recipe::{Cut, CutId, PartId, PieceId, Recipe, Scope};
use naming::name;
use result::{CutResult, Family};

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
    /// Its caps: which cuts bound it, on which sides, by rising label. Both sides of one cut where it ends within the body.
    pub caps: Vec<(CutId, Side)>,
}

/// All pieces, and what the cuts met on the way.
#[derive(Default)]
pub(crate) struct Parting {
    pub nodes: Vec<Node>,
    pub met: Vec<CutMet>,
}

impl Parting {
    /// Adds the pieces of another part.
    pub fn extend(&mut self, other: Parting) {
        self.nodes.extend(other.nodes);
        self.met.extend(other.met);
    }
}

/// What a cut that is switched on met.
pub(crate) struct CutMet {
    pub cut: CutId,
    pub crossed: usize,
    /// Pieces named in its scope that do not exist.
    pub missing: Vec<PieceId>,
    pub places: Places,
}

/// Where a cut could not do all that was asked.
#[derive(Clone, Debug, Default)]
pub(crate) struct Places {
    /// The model is open there, and the section could not be closed.
    pub left_open: Vec<Point>,
    /// The cut ends within the material there and parts nothing.
    pub ended_inside: Vec<Point>,
}

/// Makes the cuts of a part one after the other, each on all pieces at once.
pub(crate) fn part_by_cuts(
    recipe: &Recipe,
    part: PartId,
    part_key: Key,
    solid: Arc<Solid>,
    cache: &Cache,
    progress: &Progress,
) -> Result<Parting, Stop> {
    let Some(whole) = Body::new(solid) else {
        let text = "the model has no faces".to_owned();
        return Err(Stop::Failed(Failure { stage: Stage::Cuts, text, stock_moved: false, source: 0 }));
    };
    let mut nodes = vec![Node {
        key: part_key,
        id: PieceId { part, ..PieceId::default() },
        lineage: Vec::new(),
        sides: Vec::new(),
        body: Arc::new(whole),
    }];
    if !recipe.keep_bodies_together {
        nodes = into_bodies(nodes, cache, progress)?;
    }
    let cuts: Vec<&Cut> = recipe.cuts.iter().filter(|cut| cut.enabled && cut.part == part).collect();
    let run = at_once::run(&cuts);
    if let ([whole], true) = (nodes.as_slice(), run > 0) {
        progress.stage(format!("making {run} cuts at once"));
        if let Some(mut made) = at_once::part(&cuts[..run], whole, recipe.keep_bodies_together, cache, progress)? {
            name(&mut made.nodes);
            return one_by_one(made, &cuts[run..], recipe, cache, progress);
        }
    }
    one_by_one(Parting { nodes, met: Vec::new() }, &cuts, recipe, cache, progress)
}

/// Makes further cuts one after another.
fn one_by_one(
    Parting { mut nodes, mut met }: Parting,
    cuts: &[&Cut],
    recipe: &Recipe,
    cache: &Cache,
    progress: &Progress,
) -> Result<Parting, Stop> {
    for (i, cut) in cuts.iter().enumerate() {
        progress.stage(format!("cutting {}", cut.name));
        progress.report(i as f64 / cuts.len() as f64);
        let results: Vec<(Vec<Node>, Places)> =
            nodes.par_iter().map(|node| apply(cut, node, recipe, cache, progress)).collect::<Result<_, Stop>>()?;
        met.push(CutMet {
            cut: cut.id,
            crossed: results.iter().zip(&nodes).filter(|((parts, _), node)| is_parted(parts, node)).count(),
            missing: missing_names(cut, &nodes),
            places: Places {
                left_open: results.iter().flat_map(|(_, places)| places.left_open.iter().copied()).collect(),
                ended_inside: results.iter().flat_map(|(_, places)| places.ended_inside.iter().copied()).collect(),
            },
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

/// Whether a cut did anything to `node`: a ring that it opens stays one piece.
fn is_parted(parts: &[Node], node: &Node) -> bool {
    !matches!(parts, [only] if only.key == node.key)
}

fn apply(
    cut: &Cut,
    node: &Node,
    recipe: &Recipe,
    cache: &Cache,
    progress: &Progress,
) -> Result<(Vec<Node>, Places), Stop> {
    if !scope_names(&cut.scope, node) {
        return Ok((vec![node.clone()], Places::default()));
    }
    let surface = cut.form.surface(&cut.plane).map_err(|error| {
        let text = format!("{}: {error}", cut.name);
        Stop::Failed(Failure { stage: Stage::Cuts, text, stock_moved: false, source: 0 })
    })?;
    let child = |side: Option<Side>, key: Key, body: &Arc<Body>| {
        let mut next = Node { key, body: body.clone(), ..node.clone() };
        next.sides.extend(side.map(|side| (cut.id, side)));
        next
    };
    // Most cuts of many miss most pieces: their boxes say so without a look at any face.
    if let Some(side) = surface.side_of_box(&node.body.bounds, node.body.solid.resolution.on_plane_mm) {
        return Ok((vec![child(Some(side), node.key, &node.body)], Places::default()));
    }
    let key = node
        .key
        .then(if recipe.keep_bodies_together { "cut" } else { "cut into bodies" })
        .with_numbers(&numbers_of(&surface))
        .with_numbers(&[cut.kerf_mm, f64::from(cut.id.0)]);
    let result = cache.get_or_make(key, || {
        let outcome = seamwright_geometry::part(&node.body.solid, &surface, cut.kerf_mm, cut.id.0, progress)?;
        CutResult::of(outcome, recipe.keep_bodies_together, progress)
    })?;
    Ok(match &*result {
        CutResult::Missed(side) => (vec![child(Some(*side), node.key, &node.body)], Places::default()),
        CutResult::Unreached(places) => (vec![child(None, node.key, &node.body)], places.clone()),
        CutResult::Parted { children, places } => {
            let mut parts = Vec::with_capacity(children.len());
            for (i, (side, body)) in children.iter().enumerate() {
                let mut next = child(*side, key.with_numbers(&[i as f64]), body);
                next.lineage.push(node.id.clone());
                parts.push(next);
            }
            (parts, places.clone())
        }
    })
}

/// All that a surface is told by. No two kinds of surface have equally many numbers and mean another one by them: a
/// profile has an odd number.
fn numbers_of(surface: &CutSurface) -> Vec<f64> {
    let of_plane = |plane: &Plane| plane.normal().iter().copied().chain([plane.offset_mm()]).collect::<Vec<f64>>();
    match surface {
        CutSurface::Plane(plane) => of_plane(plane),
        CutSurface::FinitePlane(finite) => {
            let (edge, inwards) = (finite.edge_through(), finite.inwards());
            let edge = edge.iter().chain(inwards.iter()).copied();
            of_plane(&finite.plane()).into_iter().chain(edge).collect()
        }
        CutSurface::Profile(profile) => {
            let (origin, along, out) = (profile.origin(), profile.along(), profile.out());
            let frame = origin.iter().chain(along.iter()).chain(out.iter()).copied();
            frame.chain(profile.points().iter().flatten().copied()).collect()
        }
    }
}

impl Body {
    pub fn new(solid: Arc<Solid>) -> Option<Body> {
        let caps = solid.caps().into_iter().map(|(label, side)| (CutId(label), side)).collect();
        Some(Body { bounds: solid.mesh.bounds()?, caps, solid })
    }
}

fn missing_names(cut: &Cut, nodes: &[Node]) -> Vec<PieceId> {
    let Scope::Pieces(names) = &cut.scope else { return Vec::new() };
    let known: BTreeSet<&PieceId> = nodes.iter().flat_map(|n| n.lineage.iter().chain([&n.id])).collect();
    names.iter().filter(|name| !known.contains(name)).cloned().collect()
}
