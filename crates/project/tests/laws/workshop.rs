//! A folder with a model and a recipe for it, gone at the end of the test.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use proptest::prelude::ProptestConfig;
use seamwright_geometry::exchange::{Overwrite, write_stl};
use seamwright_geometry::{Mesh, Plane, Point, Progress, Vector, solids};
use seamwright_project::{
    Axis, Cache, CutForm, CutId, CutPlane, Edit, Outcome, PartId, Piece, PieceId, Recipe, Scope, evaluate, store,
};

pub struct Workshop {
    folder: tempfile::TempDir,
    pub cache: Cache,
    pub recipe: Recipe,
}

impl Workshop {
    /// A recipe with no cuts for `mesh`, written as `part.stl`.
    pub fn with(mesh: &Mesh) -> Workshop {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("part.stl");
        write_stl(&file, mesh, "part", Overwrite::Refuse).unwrap();
        let source = store::describe_source(&file, folder.path()).unwrap();
        let recipe = Edit::SetStock(source).apply(&Recipe::new("part")).unwrap();
        Workshop { folder, cache: Cache::default(), recipe }
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    pub fn model(&self) -> PathBuf {
        self.folder().join("part.stl")
    }

    pub fn edit(&mut self, edit: &Edit) {
        self.recipe = edit.apply(&self.recipe).unwrap();
    }

    pub fn cut(&mut self, plane: CutPlane) -> CutId {
        self.cut_only(plane, Scope::All)
    }

    pub fn cut_only(&mut self, plane: CutPlane, scope: Scope) -> CutId {
        let id = self.recipe.next_cut;
        self.edit(&Edit::AddCut { name: String::new(), part: PartId::MAIN, plane, form: CutForm::Flat, scope });
        id
    }

    pub fn square_cut(&mut self, axis: Axis, offset_mm: f64) -> CutId {
        self.cut(CutPlane::square(axis, offset_mm))
    }

    /// The outcome, whatever it is.
    pub fn outcome(&self) -> Outcome {
        evaluate(&self.recipe, self.folder(), &self.cache, &Progress::new()).unwrap()
    }

    /// The outcome of a recipe that must succeed.
    pub fn made(&self) -> Outcome {
        let outcome = self.outcome();
        assert_eq!(outcome.failure, None);
        outcome
    }
}

pub fn by_id(outcome: &Outcome) -> BTreeMap<PieceId, &Piece> {
    let pieces: BTreeMap<_, _> = outcome.pieces.iter().map(|piece| (piece.id.clone(), piece)).collect();
    assert_eq!(pieces.len(), outcome.pieces.len(), "two pieces have the same identity");
    pieces
}

pub fn ids(outcome: &Outcome) -> Vec<String> {
    by_id(outcome).keys().map(ToString::to_string).collect()
}

pub fn id(text: &str) -> PieceId {
    text.parse().unwrap()
}

pub fn only(texts: &[&str]) -> Scope {
    Scope::Pieces(texts.iter().map(|text| id(text)).collect())
}

/// The plane through `point` that is square to `normal`.
pub fn slanted(point: [f64; 3], normal: [f64; 3]) -> CutPlane {
    let plane = Plane::through(Point::from(point), Vector::from(normal)).unwrap();
    CutPlane::from_plane(&plane, Point::from(point))
}

/// A block of 100 × 60 × 40 mm from the origin, its sides in squares of 10 mm.
pub fn block() -> Mesh {
    solids::grid_box(Point::origin(), Point::new(100.0, 60.0, 40.0), [10, 6, 4])
}

/// A hollow ball: 50 mm outside, 46 mm inside, about (5, −3, 20).
pub fn shell() -> Mesh {
    let centre = Point::new(5.0, -3.0, 20.0);
    solids::hollow(&solids::sphere(centre, 50.0, 12), &solids::sphere(centre, 46.0, 9))
}

/// A ring lying flat: 60 mm to the middle of a tube of 15 mm.
pub fn ring() -> Mesh {
    solids::torus(Point::origin(), 60.0, 15.0, 48, 20)
}

/// For tests that evaluate: some cases, or as many as the variable that proptest reads says.
pub fn some_cases() -> ProptestConfig {
    match std::env::var_os("PROPTEST_CASES") {
        Some(_) => ProptestConfig::default(),
        None => ProptestConfig::with_cases(24),
    }
}

/// Whether `a` and `b` agree to `share` of the larger.
#[track_caller]
pub fn assert_near(a: f64, b: f64, share: f64) {
    assert!((a - b).abs() <= share * a.abs().max(b.abs()), "{a} is not {b}");
}
