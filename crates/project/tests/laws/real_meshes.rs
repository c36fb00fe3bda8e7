//! The laws on meshes that people made.

use std::path::PathBuf;

use seamwright_geometry::{Progress, Side};
use seamwright_project::{Axis, Cache, CutForm, CutPlane, Edit, Outcome, PartId, Recipe, Scope, evaluate, kit, store};

/// Some of every kind: sound, open, of several shells, overlapping.
const MODELS: [&str; 8] = [
    "athena-statue.stl",
    "dancing-girl.stl",
    "dog-skull.stl",
    "forearm-electric.stl",
    "featuretype.STL",
    "ADIS16480.STL",
    "broken-fourVertices.ascii.stl",
    "broken-notANumberNormal.ascii.stl",
];

#[test]
fn real_models_are_cut_into_pieces_that_add_up() {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from) else {
        eprintln!("no real meshes: set SEAMWRIGHT_MESHES to their folder to run this test");
        return;
    };
    for name in MODELS {
        let Ok(source) = store::describe_source(&folder.join(name), &folder) else {
            eprintln!("{name} is not in {}", folder.display());
            continue;
        };
        let mut recipe = Edit::SetStock(source).apply(&Recipe::new(name)).unwrap();
        let cache = Cache::default();
        let made = |recipe: &Recipe| evaluate(recipe, &folder, &cache, &Progress::new()).unwrap();
        let whole = made(&recipe);
        let Some(bounds) = whole.whole().and_then(|part| part.mesh.bounds()) else {
            let failure = whole.failure.expect("no part and no failure");
            eprintln!("{}", failure.text);
            assert!(failure.text.contains(name));
            continue;
        };
        for (axis, share, tilt_deg) in
            [(Axis::X, 0.45, [7.0, 3.0]), (Axis::Z, 0.6, [-11.0, 20.0]), (Axis::Y, 0.5, [0.0; 2])]
        {
            let through = bounds.min + share * bounds.size();
            let plane = CutPlane { axis, through_mm: through.coords.into(), tilt_deg };
            recipe =
                Edit::AddCut { name: String::new(), part: PartId::MAIN, plane, form: CutForm::Flat, scope: Scope::All }
                    .apply(&recipe)
                    .unwrap();
        }
        let outcome = made(&recipe);
        eprintln!(
            "{name}: {} pieces, {} seams, {} notes",
            outcome.pieces.len(),
            outcome.seams.len(),
            outcome.notes.len()
        );
        check(name, &whole, &outcome);
    }
}

fn check(name: &str, whole: &Outcome, outcome: &Outcome) {
    assert_eq!(outcome.failure, None);
    let sound = whole.stock.as_ref().unwrap().report.closed;
    let size = outcome.whole().unwrap().mesh.bounds().unwrap().diagonal();
    if sound {
        assert!(outcome.pieces.iter().all(|piece| piece.facts.closed), "{name}");
        let volume: f64 = outcome.pieces.iter().map(|piece| piece.facts.volume_mm3).sum();
        let expected = outcome.whole().unwrap().mesh.volume_mm3();
        assert!((volume - expected).abs() < 1e-9 * size.powi(3), "{name}: {volume} is not {expected}");
        for piece in &outcome.pieces {
            for cap in &piece.facts.caps {
                let own = |seam: &&seamwright_project::Seam| {
                    let side = piece.id.path.iter().find(|(cut, _)| *cut == cap.cut).unwrap().1;
                    seam.cut == cap.cut
                        && piece.id == if side == Side::Below { seam.below.clone() } else { seam.above.clone() }
                };
                let shared: f64 = outcome.seams.iter().filter(own).map(|seam| seam.area_mm2).sum();
                assert!(
                    (shared - cap.area_mm2).abs() < 1e-7 * size.powi(2),
                    "{name} {}: {shared} of {cap:?}",
                    piece.id
                );
            }
        }
    } else {
        assert!(!outcome.notes.is_empty(), "{name} is not sound and nothing is said");
    }
    let folder = tempfile::tempdir().unwrap();
    let overwrite = seamwright_geometry::exchange::Overwrite::Refuse;
    let manifest = kit::write(outcome, folder.path(), overwrite, &Progress::new()).unwrap();
    assert_eq!(manifest.pieces.len(), outcome.pieces.len());
}
