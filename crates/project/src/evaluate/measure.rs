//! Measures of the pieces and their fit.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;
use seamwright_geometry::{
    Bed, FaceOrigin, Fit, Hull, Outline, Point, Progress, Search, Side, Solid, Vector, edge_report, fit_preferring,
    thin_rim,
};

use super::{Node, Stop};
use crate::bore::BoreId;
use crate::cache::{Cache, Weigh};
use crate::outcome::{BoreDone, BoreFacts, BoreInPiece, CapFacts, Piece, PieceFacts};
use crate::placing::{GRAZING_DEG, LEAST_GRAZING_MM};
use crate::recipe::{CutId, Recipe};

/// Measures every piece and asks for its fit; in the order of `nodes`, without marks.
pub(crate) fn pieces(
    recipe: &Recipe,
    nodes: &[Node],
    bores: &[BoreDone],
    cache: &Cache,
    progress: &Progress,
) -> Result<Vec<Piece>, Stop> {
    progress.stage("measuring the pieces");
    let done = std::sync::atomic::AtomicUsize::new(0);
    nodes
        .par_iter()
        .map(|node| {
            progress.check()?;
            let facts = cache.get_or_make(node.key.then("facts"), || Ok::<_, Stop>(facts(node, bores)))?;
            let fit_on = |bed: &Bed| {
                cache.get_or_make(node.key.then("fit").with_numbers(&bed_numbers(bed)), || {
                    progress.check()?;
                    fit_of(&facts, bed, progress)
                })
            };
            let fits = recipe.beds().map(fit_on).collect::<Result<Vec<_>, _>>()?;
            let bed = best_of(&fits);
            let count = 1 + done.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            progress.report(count as f64 / nodes.len() as f64);
            Ok(Piece {
                id: node.id.clone(),
                mark: String::new(),
                lineage: node.lineage.clone(),
                solid: node.body.solid.clone(),
                facts,
                fit: fits[bed].clone(),
                bed,
                fits,
                crumb: None,
            })
        })
        .collect()
}

fn fit_of(facts: &PieceFacts, bed: &Bed, progress: &Progress) -> Result<Fit, Stop> {
    let flat = facts.caps.iter().filter(|cap| cap.flat);
    let down: Vec<Vector> = flat.map(|cap| Vector::from(cap.normal)).collect();
    Ok(fit_preferring(&facts.hull, bed, Search::AnyPose, &down, progress)?)
}

/// The first bed that a piece fits, else that on which it sticks out least.
fn best_of(fits: &[Arc<Fit>]) -> usize {
    let fitting = fits.iter().position(|fit| fit.verdict.fits());
    let least = || (1..fits.len()).fold(0, |best, k| if fits[k].slack_mm > fits[best].slack_mm { k } else { best });
    fitting.unwrap_or_else(least)
}

/// All that a verdict depends on, told so that no two beds have the same numbers.
fn bed_numbers(bed: &Bed) -> Vec<f64> {
    let mut numbers = vec![bed.height_mm, bed.margin_mm, bed.around_mm, bed.raft_mm];
    let add_corners = |corners_mm: &[[f64; 2]], numbers: &mut Vec<f64>| {
        numbers.push(corners_mm.len() as f64);
        numbers.extend(corners_mm.as_flattened());
    };
    match &bed.outline {
        Outline::Rectangle { x_mm, y_mm } => numbers.extend([0.0, *x_mm, *y_mm]),
        Outline::Circle { diameter_mm } => numbers.extend([1.0, *diameter_mm]),
        Outline::Polygon { corners_mm } => {
            numbers.push(2.0);
            add_corners(corners_mm, &mut numbers);
        }
    }
    for zone in &bed.keep_outs {
        numbers.push(zone.from_mm);
        add_corners(&zone.corners_mm, &mut numbers);
    }
    numbers
}

fn facts(node: &Node, bores: &[BoreDone]) -> PieceFacts {
    let solid = &*node.body.solid;
    let edges = edge_report(&solid.mesh);
    let places = [edges.longest_open, edges.first_over_used, edges.first_misturned];
    PieceFacts {
        bounds: node.body.bounds,
        volume_mm3: solid.mesh.volume_mm3(),
        area_mm2: solid.mesh.area_mm2(),
        closed: edges.closed(),
        caps: caps(node),
        hull: Hull::of(&solid.mesh.vertices).vertices,
        open_places: places.into_iter().flatten().map(|place| place.middle()).collect(),
        bores: bores_in(solid, bores),
    }
}

/// The bores whose walls `solid` has, and where.
fn bores_in(solid: &Solid, bores: &[BoreDone]) -> Vec<BoreInPiece> {
    let mut reach: BTreeMap<u32, (f64, f64)> = BTreeMap::new();
    let made = |label: u32| bores.iter().find(|done| done.bore.0 == label)?.result.as_ref().ok();
    for (t, origin) in solid.origins.iter().enumerate() {
        let Some(label) = origin.bore_label() else { continue };
        let Some(facts) = made(label) else { continue };
        for p in solid.mesh.corners(t) {
            let at = facts.along(&p).clamp(facts.from_mm, facts.to_mm);
            let (from, to) = reach.entry(label).or_insert((at, at));
            (*from, *to) = (from.min(at), to.max(at));
        }
    }
    let in_piece = |(label, (from_mm, to_mm)): (u32, (f64, f64))| {
        let facts: &BoreFacts = made(label)?;
        let ends = [from_mm, to_mm].map(|at| facts.place_at(at));
        Some(BoreInPiece { bore: BoreId(label), from_mm, to_mm, ends })
    };
    reach.into_iter().filter_map(in_piece).collect()
}

/// A cap whose faces all point the same way within this is flat: the cosine of a tenth of a degree, far below what a
/// print bed is even to (our own choice, no source).
const FLAT_COSINE: f64 = 0.999_998_5;

fn caps(node: &Node) -> Vec<CapFacts> {
    let of_cap = |(cut, side): &(CutId, Side)| {
        let normals = cap_normals(&node.body.solid, FaceOrigin::cap(cut.0, *side));
        let sum: Vector = normals.iter().sum();
        let normal = sum.try_normalize(0.0)?;
        let flat = normals.iter().all(|n| n.dot(&normal) >= n.norm() * FLAT_COSINE);
        let area_mm2 = normals.iter().map(Vector::norm).sum();
        let thin_rim = thin_rim(&node.body.solid, FaceOrigin::cap(cut.0, *side), GRAZING_DEG)
            .filter(|rim| rim.length_mm >= LEAST_GRAZING_MM);
        Some(CapFacts { cut: *cut, side: *side, normal: normal.into(), flat, area_mm2, thin_rim })
    };
    let mut caps: Vec<CapFacts> = node.body.caps.iter().filter_map(of_cap).collect();
    caps.sort_by(|a, b| b.area_mm2.total_cmp(&a.area_mm2));
    caps
}

/// The normals of a cap's faces, as long as the faces are large. Slivers, whose direction is rounding, count as nothing.
fn cap_normals(solid: &Solid, cap: FaceOrigin) -> Vec<Vector> {
    let faces = solid.origins.iter().enumerate().filter(|(_, origin)| **origin == cap);
    let normals: Vec<Vector> = faces
        .map(|(t, _)| {
            let [a, b, c]: [Point; 3] = solid.mesh.corners(t);
            (b - a).cross(&(c - a)) / 2.0
        })
        .collect();
    let largest = normals.iter().map(Vector::norm).fold(0.0, f64::max);
    normals.into_iter().filter(|n| n.norm() > largest * SLIVER_SHARE).collect()
}

/// Faces of a cap smaller than this share of its largest one have no direction to speak of (our own choice, no source).
const SLIVER_SHARE: f64 = 1e-9;

impl Weigh for PieceFacts {
    fn bytes(&self) -> usize {
        size_of::<Self>() + size_of_val(self.hull.as_slice())
    }
}

impl Weigh for Fit {
    fn bytes(&self) -> usize {
        size_of::<Self>()
    }
}
