//! What is pictured: the demo helm and beds of every shape.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use seamwright_geometry::{Bed, KeepOut, Outline, Plane, Point, Progress, Vector};
use seamwright_project::{Cache, Outcome, PieceId, Placing, Recipe, evaluate, store};

use crate::app::leaders;
use crate::bench::tests::{cuboid, drawn};
use crate::bench::*;
use crate::shown;

/// The helm in its pieces.
pub struct Helm {
    folder: PathBuf,
    recipe: Recipe,
    cache: Cache,
    pub outcome: Outcome,
}

impl Helm {
    pub fn new() -> Helm {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
        let recipe = store::open(&folder.join("helm.seamwright.json")).expect("the demo can be read");
        let cache = Cache::default();
        let outcome = evaluate(&recipe, &folder, &cache, &Progress::new()).expect("nobody stops it");
        assert!(outcome.failure.is_none(), "{:?}", outcome.failure);
        Helm { folder, recipe, cache, outcome }
    }

    /// Its pieces in the colours of their fit over a bed so small that not all of them fit, which is marked.
    pub fn on_a_small_bed(&self) -> Scene {
        let mut recipe = self.recipe.clone();
        recipe.bed = Bed::rectangle(150.0, 150.0, 250.0);
        let outcome = evaluate(&recipe, &self.folder, &self.cache, &Progress::new()).expect("nobody stops it");
        shown::pieces_on_bed(&outcome, 0.0)
    }

    /// Drawn apart, with the lines that lead from seam to seam.
    pub fn apart(&self) -> Scene {
        let mut scene = shown::pieces_on_bed(&self.outcome, 1.0);
        let offset = |id: &PieceId| {
            let at = self.outcome.pieces.iter().position(|piece| piece.id == *id)?;
            Some(scene.drawn[at].offset)
        };
        let lines = leaders::lines(&self.outcome, &leaders::places(&self.outcome), offset);
        assert!(!lines.is_empty());
        scene.pencil = Arc::new(lines);
        // They would lie over the lines.
        scene.labels.clear();
        scene
    }

    /// Whole, with a slanted cut in hand, so much higher than the middle, and the outline that it draws.
    pub fn with_cut_in_hand(&self, higher_mm: f64) -> Scene {
        let mut bare = self.recipe.clone();
        bare.cuts.clear();
        let placing = Placing::prepare(&bare, None, &self.folder, &self.cache, &Progress::new());
        let bounds = self.outcome.bounds().expect("there is a helm");
        let through = bounds.centre() + Vector::z() * higher_mm;
        let plane = Plane::through(through, Vector::new(0.0, -0.25, 1.0)).expect("it has a direction");
        let placement = placing.expect("there is a helm").at(&plane);
        // Verdicts are no matter here; these two are told apart best.
        let cut = CutInHand { below: Tone::TooBig, above: Tone::Turned, ..CutInHand::new(plane, &bounds) };
        let closed = |points: &[Point]| points.iter().chain(points.first()).copied().collect();
        let whole = Arc::clone(self.outcome.whole().expect("there is a helm"));
        Scene {
            drawn: vec![Drawn::new(MeshId(0), Arc::new(shown::body_of(&whole, true)))],
            cut: Some(cut),
            outlines: Arc::new(placement.outline.iter().map(|line| closed(&line.points)).collect()),
            bed: Some(BedUnderneath::under(self.recipe.bed.clone(), &bounds)),
            ..Scene::default()
        }
    }

    /// Whole, with its width measured.
    pub fn measured(&self) -> Scene {
        let bounds = self.outcome.bounds().expect("there is a helm");
        let (y, z) = (bounds.min.y, bounds.centre().z);
        let (from, to) = (Point::new(bounds.min.x, y, z), Point::new(bounds.max.x, y, z));
        let text = format!("{:.1} mm", to.x - from.x);
        let whole = Arc::clone(self.outcome.whole().expect("there is a helm"));
        Scene {
            drawn: vec![Drawn::new(MeshId(0), Arc::new(shown::body_of(&whole, true)))],
            dimensions: vec![Dimension { from, to, text, apex: None }],
            ..Scene::default()
        }
    }
}

/// Three blocks with a face each that was cut, if `hatched`: on top, in front, at the right.
pub fn sections(hatched: bool) -> Scene {
    // Faces go in pairs: left, right, front, back, below, on top.
    let block = |id: u64, at: f64, cut: usize| {
        let mesh = Arc::new(cuboid([at, 0.0, 0.0], [at + 50.0, 50.0, 50.0]));
        let caps = (0..mesh.triangles.len()).map(|face| hatched && face / 2 == cut).collect();
        Drawn::new(MeshId(id), Arc::new(Body::new(mesh).with_caps(Arc::new(caps)).known_closed()))
    };
    Scene { drawn: vec![block(0, 0.0, 5), block(1, 70.0, 2), block(2, 140.0, 1)], ..Scene::default() }
}

/// Two blocks on a bed: one stands on it, one hangs over it.
pub fn blocks_on(bed: Bed) -> Scene {
    let [[x0, y0], [x1, y1]] = bed.extent_mm();
    let (w, h) = (x1 - x0, y1 - y0);
    let at = |x: f64, y: f64, z: f64| [x0 + w * x, y0 + h * y, z];
    let stands = drawn(1, cuboid(at(0.2, 0.2, 0.0), at(0.42, 0.4, 70.0)));
    let hangs = drawn(2, cuboid(at(0.16, 0.62, 40.0), at(0.36, 0.82, 60.0)));
    Scene {
        drawn: vec![stands, hangs],
        bed: Some(BedUnderneath { bed, corner: Point::new(x0, y0, 0.0) }),
        ..Scene::default()
    }
}

/// A bed with a margin and a place to keep out of, a round one, and one with an outline of its own.
pub fn beds() -> [(&'static str, Bed); 3] {
    let zone = KeepOut { corners_mm: vec![[150.0, 20.0], [200.0, 20.0], [200.0, 80.0], [150.0, 80.0]], from_mm: 0.0 };
    let l_shape = vec![[0.0, 0.0], [200.0, 0.0], [200.0, 110.0], [110.0, 110.0], [110.0, 200.0], [0.0, 200.0]];
    [
        ("bed-rectangle", Bed { margin_mm: 10.0, keep_outs: vec![zone], ..Bed::rectangle(220.0, 220.0, 120.0) }),
        ("bed-round", Bed::round(220.0, 120.0)),
        ("bed-outline", Bed::of(Outline::Polygon { corners_mm: l_shape }, 120.0)),
    ]
}
