//! Measures of the pieces and their fit.

use rayon::prelude::*;
use seamwright_geometry::{
    Bed, Fit, Hull, Outline, Point, Progress, Search, Side, Solid, Vector, edge_report, fit_preferring,
};

use super::{Node, Stop};
use crate::cache::{Cache, Weigh};
use crate::outcome::{CapFacts, Piece, PieceFacts};
use crate::recipe::{CutId, Recipe};

/// Measures every piece and asks for its fit.
pub(super) fn pieces(recipe: &Recipe, nodes: &[Node], cache: &Cache, progress: &Progress) -> Result<Vec<Piece>, Stop> {
    progress.stage("measuring the pieces");
    let done = std::sync::atomic::AtomicUsize::new(0);
    nodes
        .par_iter()
        .map(|node| {
            progress.check()?;
            let facts = cache.get_or_make(node.key.then("facts"), || Ok::<_, Stop>(facts(recipe, node)))?;
            let fit = cache.get_or_make(node.key.then("fit").with_numbers(&bed_numbers(&recipe.bed)), || {
                progress.check()?;
                Ok::<_, Stop>(fit_of(&facts, &recipe.bed))
            })?;
            let count = 1 + done.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            progress.report(count as f64 / nodes.len() as f64);
            Ok(Piece {
                id: node.id.clone(),
                mark: String::new(),
                lineage: node.lineage.clone(),
                solid: node.body.solid.clone(),
                facts,
                fit,
            })
        })
        .collect()
}

fn fit_of(facts: &PieceFacts, bed: &Bed) -> Fit {
    let down: Vec<Vector> = facts.caps.iter().map(|cap| Vector::from(cap.normal)).collect();
    fit_preferring(&facts.hull, bed, Search::AnyPose, &down)
}

fn bed_numbers(bed: &Bed) -> [f64; 5] {
    let Outline::Rectangle { x_mm, y_mm } = bed.outline;
    [x_mm, y_mm, bed.height_mm, bed.margin_mm, bed.raft_mm]
}

fn facts(recipe: &Recipe, node: &Node) -> PieceFacts {
    let solid = &*node.body.solid;
    let edges = edge_report(&solid.mesh);
    let places = [edges.longest_open, edges.first_over_used, edges.first_misturned];
    PieceFacts {
        bounds: node.body.bounds,
        volume_mm3: solid.mesh.volume_mm3(),
        area_mm2: solid.mesh.area_mm2(),
        closed: edges.closed(),
        caps: caps(recipe, node),
        hull: Hull::of(&solid.mesh.vertices).vertices,
        open_places: places.into_iter().flatten().map(|place| place.middle()).collect(),
    }
}

fn caps(recipe: &Recipe, node: &Node) -> Vec<CapFacts> {
    let mut caps: Vec<CapFacts> = node
        .id
        .path
        .iter()
        .filter_map(|(cut, side)| {
            let plane = recipe.cut(*cut)?.plane.plane().ok()?;
            let normal = if *side == Side::Below { plane.normal() } else { -plane.normal() };
            Some(CapFacts { cut: *cut, normal: normal.into(), area_mm2: cap_area(&node.body.solid, *cut, normal) })
        })
        .collect();
    caps.sort_by(|a, b| b.area_mm2.total_cmp(&a.area_mm2));
    caps
}

fn cap_area(solid: &Solid, cut: CutId, normal: Vector) -> f64 {
    let faces = solid.origins.iter().enumerate().filter(|(_, origin)| origin.cap_label() == Some(cut.0));
    let doubled = faces.map(|(t, _)| {
        let [a, b, c]: [Point; 3] = solid.mesh.corners(t);
        (b - a).cross(&(c - a)).dot(&normal)
    });
    doubled.sum::<f64>() / 2.0
}

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
