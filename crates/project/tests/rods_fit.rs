//! A rod of nominal diameter goes into the evaluated pieces of a demo without touching anything, whatever the shape of
//! its channel; found by a collision library.

use std::path::{Path, PathBuf};

use parry3d::math::{Pose, Vector as TheirVector};
use parry3d::query::intersection_test;
use parry3d::shape::{ConvexPolyhedron, TriMesh};
use seamwright_geometry::{Mesh, Plane, Point, Progress};
use seamwright_project::{
    Axis, BoreChange, BoreFacts, BoreId, BoreShape, Cache, Edit, NewBore, Outcome, PartId, Placed, Recipe, RodChoice,
    evaluate, store,
};

fn demos() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects")
}

/// The demo with a bore: its own, or one across the middle of its box, between the sides that are nearest.
fn with_bore(name: &str, cache: &Cache) -> (Recipe, BoreId) {
    let recipe = store::open(&demos().join(format!("{name}.seamwright.json"))).unwrap();
    if let Some(bore) = recipe.bores.first() {
        let id = bore.id;
        return (recipe, id);
    }
    let outcome = made(&recipe, cache);
    let bounds = outcome.bounds().unwrap();
    let axis = Axis::ALL[bounds.size().imin()];
    let (mut from, mut to) = (bounds.centre(), bounds.centre());
    (from[axis.index()], to[axis.index()]) = (bounds.min[axis.index()] - 5.0, bounds.max[axis.index()] + 5.0);
    let new = NewBore {
        name: "rod".into(),
        part: PartId::MAIN,
        line_mm: vec![from.coords.into(), to.coords.into()],
        placed: Placed::Axis(axis),
        rod: RodChoice::Listed("M6".into()),
    };
    let id = recipe.next_bore;
    (Edit::AddBore(Box::new(new)).apply(&recipe).unwrap(), id)
}

fn made(recipe: &Recipe, cache: &Cache) -> Outcome {
    let outcome = evaluate(recipe, &demos(), cache, &Progress::new()).unwrap();
    assert_eq!(outcome.failure, None);
    outcome
}

fn theirs(mesh: &Mesh) -> TriMesh {
    let vertices = mesh.vertices.iter().map(|p| TheirVector::new(p.x, p.y, p.z)).collect();
    TriMesh::new(vertices, mesh.triangles.clone()).unwrap()
}

/// A rod as a polyhedron whose corners lie on its circle.
fn rod([from, to]: [Point; 2], diameter_mm: f64) -> ConvexPolyhedron {
    let along = (to - from).normalize();
    let (u, v) = Plane::through(from, along).unwrap().basis();
    let ring = |at: Point| {
        (0..60).map(move |i| {
            let turn = f64::from(i) * std::f64::consts::TAU / 60.0;
            let p = at + (u * turn.cos() + v * turn.sin()) * (diameter_mm / 2.0);
            TheirVector::new(p.x, p.y, p.z)
        })
    };
    let points: Vec<TheirVector> = ring(from).chain(ring(to)).collect();
    ConvexPolyhedron::from_convex_hull(&points).unwrap()
}

/// The straight rods of a bore: shorter where it is blind and where it bends, as they are sawn.
fn rods(facts: &BoreFacts, diameter_mm: f64) -> Vec<[Point; 2]> {
    let line = facts.channel_line();
    let last = line.len() - 2;
    let run = |(i, pair): (usize, &[Point])| {
        let along = (pair[1] - pair[0]).normalize();
        let shorter = |is_end: bool, blind: bool| match (is_end, blind) {
            (true, false) => 0.0,
            (true, true) => 0.1,
            (false, _) => diameter_mm,
        };
        [pair[0] + along * shorter(i == 0, facts.blind[0]), pair[1] - along * shorter(i == last, facts.blind[1])]
    };
    line.windows(2).enumerate().map(run).collect()
}

/// A rod touches nothing in any piece, whatever the shape of its channel, and a thicker one does.
fn check(name: &str) {
    let cache = Cache::default();
    let (recipe, id) = with_bore(name, &cache);
    for shape in BoreShape::ALL {
        let change = BoreChange::Shape(shape);
        let recipe = Edit::ChangeBore { bore: id, change }.apply(&recipe).unwrap();
        let outcome = made(&recipe, &cache);
        let (bore, done) = (recipe.bore(id).unwrap(), outcome.bores.iter().find(|done| done.bore == id).unwrap());
        let facts = done.result.as_ref().unwrap_or_else(|failed| panic!("{name}, {shape:?}: {}", failed.why));
        let nominal_mm = bore.rod.diameter_mm();
        let crossed: Vec<_> = outcome
            .pieces
            .iter()
            .filter(|piece| piece.facts.bores.iter().any(|within| within.bore == id))
            .map(|piece| (piece.mark.clone(), piece.facts.closed, theirs(&piece.solid.mesh)))
            .collect();
        assert!(!crossed.is_empty(), "{name}, {shape:?}: no piece is bored");
        let meets = |piece: &TriMesh, diameter_mm: f64| {
            rods(facts, nominal_mm).into_iter().any(|run| {
                let rod = rod(run, diameter_mm);
                intersection_test(&Pose::IDENTITY, piece, &Pose::IDENTITY, &rod).unwrap().intersecting
            })
        };
        for (mark, closed, piece) in &crossed {
            assert!(*closed, "{name}, {shape:?}: {mark} is open");
            assert!(!meets(piece, nominal_mm), "{name}, {shape:?}: the rod touches {mark}");
        }
        let too_thick = bore.diameter_mm() + 0.5;
        assert!(crossed.iter().any(|(.., piece)| meets(piece, too_thick)), "{name}, {shape:?}: any rod fits");
        eprintln!("{name}, {shape:?}: {nominal_mm} mm through {} pieces", crossed.len());
    }
}

#[test]
fn a_rod_touches_nothing_in_the_helm_whatever_the_shape_of_its_channel_and_a_thicker_one_does() {
    check("helm");
}

#[test]
fn a_rod_touches_nothing_in_the_cuirass_whatever_the_shape_of_its_channel_and_a_thicker_one_does() {
    check("cuirass");
}

#[test]
fn a_rod_touches_nothing_in_the_glaive_whatever_the_shape_of_its_channel_and_a_thicker_one_does() {
    check("glaive");
}
