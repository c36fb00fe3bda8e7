//! The project file: what goes in comes out.

use std::path::{Path, PathBuf};
use std::time::Instant;

use proptest::prelude::*;
use seamwright_geometry::Bed;
use seamwright_project::rods::{Clearance, ClearanceClass};
use seamwright_project::{
    Axis, BoreEnd, BoreId, BoreShape, Cut, CutForm, CutId, CutPlane, CutProfile, Edge, Fitting, Line, PartId, Placed,
    Recipe, RodChoice, Scope, Size, SizedBy, SourceFile, Stop, Unit, Waves, saved, store,
};

use crate::recipes;
use crate::workshop::only;

proptest! {
    #[test]
    fn any_recipe_comes_back_bit_for_bit(recipe in recipes::recipe()) {
        let back = saved::from_json(&saved::to_json(&recipe)).unwrap();
        prop_assert_eq!(bits(&back), bits(&recipe));
        prop_assert_eq!(back, recipe);
    }
}

/// Every number of a recipe, where `==` would take −0 for 0.
fn bits(recipe: &Recipe) -> Vec<u64> {
    let bed = recipe.beds().flat_map(|bed| {
        let [low, high] = bed.extent_mm();
        let corners = bed.keep_outs.iter().flat_map(|zone| zone.corners_mm.as_flattened().to_vec());
        let plain = [bed.height_mm, bed.margin_mm, bed.around_mm, bed.raft_mm];
        low.into_iter().chain(high).chain(plain).chain(corners).collect::<Vec<_>>()
    });
    let cuts = recipe.cuts.iter().flat_map(|cut| cut.plane.through_mm.into_iter().chain(cut.plane.tilt_deg));
    bed.chain(cuts).chain([recipe.size.factor]).map(f64::to_bits).collect()
}

fn kept(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/files").join(name)
}

#[test]
fn a_file_of_version_1_still_means_the_same() {
    let recipe = store::open(&kept("version-1.seamwright.json")).unwrap();
    let brow = CutPlane { axis: Axis::Z, through_mm: [1.5, -0.0, 84.5], tilt_deg: [12.0, 0.1 + 0.2] };
    let crest = CutPlane { axis: Axis::Y, through_mm: [0.0, -20.25, f64::from_bits(1)], tilt_deg: [0.0; 2] };
    let expected = Recipe {
        name: "helm".into(),
        costume: "The Saltgate Sentinel".into(),
        stock: Some(SourceFile {
            path: "../models/helm.stl".into(),
            bytes: 4_000_084,
            sha256: "7079f4164423ecc6a65ba30677c7dec2ce3a74a41ed318cc0ce89607387a593b".into(),
        }),
        size: Size { unit: Unit::Inch, factor: 0.1 },
        dropped_shells: [2, 7].into(),
        cuts: vec![
            Cut {
                part: PartId::MAIN,
                id: CutId(3),
                name: "brow".into(),
                plane: brow,
                form: CutForm::Flat,
                kerf_mm: 0.0,
                scope: Scope::All,
                enabled: true,
            },
            Cut {
                part: PartId::MAIN,
                id: CutId(1),
                name: "crest".into(),
                plane: crest,
                form: CutForm::Flat,
                kerf_mm: 0.0,
                scope: only(&["#1", "1b.3a#0"]),
                enabled: false,
            },
        ],
        keep_bodies_together: true,
        bed: Bed { margin_mm: 2.0, raft_mm: 0.6, ..Bed::rectangle(220.0, 210.0, 250.0) },
        next_cut: CutId(9),
        sized_by: SizedBy::Factor,
        ..Recipe::new("helm")
    };
    assert_eq!(recipe, expected);
    assert_eq!(bits(&recipe), bits(&expected));
}

#[test]
fn a_file_of_version_2_has_the_forms_and_the_kerf_of_its_cuts() {
    let recipe = store::open(&kept("version-2.seamwright.json")).unwrap();
    let waves = Waves { pitch_mm: 30.0, height_mm: 8.0, count: 3 };
    let dovetail = CutProfile { line: Line::Dovetail { waves, flank_deg: 9.5 }, turn_deg: 15.0 };
    assert_eq!((&recipe.cuts[0].form, recipe.cuts[0].kerf_mm), (&CutForm::Profile(dovetail), 0.4));
    let ends = CutForm::Ending(Edge { offset_mm: -12.5, turn_deg: 90.0 });
    assert_eq!((&recipe.cuts[1].form, recipe.cuts[1].kerf_mm), (&ends, 0.0));
    let line = Line::Drawn { points_mm: vec![[-20.0, 0.0], [0.0, 8.0], [25.0, -1.5]], smooth: true };
    assert_eq!(recipe.cuts[2].form, CutForm::Profile(CutProfile { line, turn_deg: 0.0 }));
}

#[test]
fn a_file_of_version_3_has_its_bores() {
    let recipe = store::open(&kept("version-3.seamwright.json")).unwrap();
    let [blade, grip] = recipe.bores.as_slice() else { panic!("{:?}", recipe.bores) };
    assert_eq!((blade.id, blade.name.as_str(), &blade.rod), (BoreId(2), "blade", &RodChoice::Listed("M6".into())));
    assert_eq!(blade.line_mm, [[0.0, 0.0, -5.0], [0.25, 1.5, 640.0], [12.5, 1.5, 900.0]]);
    assert_eq!((blade.placed, blade.clearance), (Placed::Middle, Clearance::Class(ClearanceClass::Fine)));
    assert_eq!((blade.shape, blade.up), (BoreShape::Teardrop, [0.0, 1.0, 0.0]));
    let nut = BoreEnd { stop: Stop::Open, fitting: Fitting::NutPocket(1.5) };
    assert_eq!(blade.ends, [nut, BoreEnd { stop: Stop::Blind(4.0), fitting: Fitting::None }]);
    assert_eq!((blade.printer_mm, blade.least_wall_mm, blade.glue_mm), (0.3, 1.6, 2.0));
    assert!(blade.may_cross && !grip.may_cross && !grip.enabled);
    // What may be left out.
    assert_eq!((&grip.rod, grip.clearance), (&RodChoice::Typed(7.5), Clearance::Typed(0.0)));
    assert_eq!((grip.placed, grip.shape, grip.up), (Placed::Typed, BoreShape::Round, [0.0, 0.0, 1.0]));
    assert_eq!((grip.ends, recipe.next_bore), ([BoreEnd::default(); 2], BoreId(6)));
}

#[test]
fn fields_that_may_be_left_out_have_their_usual_values() {
    let recipe = store::open(&kept("version-1-least.seamwright.json")).unwrap();
    let plane = CutPlane::square(Axis::X, 10.0);
    let cut = Cut {
        part: PartId::MAIN,
        id: CutId(1),
        name: "socket".into(),
        plane,
        form: CutForm::Flat,
        kerf_mm: 0.0,
        scope: Scope::All,
        enabled: true,
    };
    // The file says 0: a number that was given already is not given again.
    assert_eq!(recipe, Recipe { cuts: vec![cut], next_cut: CutId(2), ..Recipe::new("glaive") });
}

#[test]
fn every_file_that_was_ever_kept_opens_and_survives_saving() {
    let files: Vec<PathBuf> = std::fs::read_dir(kept("")).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert!(files.len() >= 3);
    for file in files {
        let recipe = store::open(&file).unwrap();
        assert_eq!(saved::from_json(&saved::to_json(&recipe)).unwrap(), recipe, "{}", file.display());
    }
}

#[test]
fn a_hundred_thousand_cuts_are_read_in_seconds() {
    let plane = CutPlane { axis: Axis::Y, through_mm: [0.1, 0.2, 0.3], tilt_deg: [12.5, 1.0 / 3.0] };
    let cut = |id| Cut {
        part: PartId::MAIN,
        id: CutId(id),
        name: format!("cut {id}"),
        plane,
        form: CutForm::Flat,
        kerf_mm: 0.0,
        scope: only(&["1b#0"]),
        enabled: true,
    };
    let recipe = Recipe { cuts: (1..=100_000).map(cut).collect(), next_cut: CutId(100_001), ..Recipe::new("part") };
    let begun = Instant::now();
    let back = saved::from_json(&saved::to_json(&recipe)).unwrap();
    // Some 0.3 s when nothing else runs; anything quadratic takes minutes.
    assert!(begun.elapsed().as_secs() < 20, "{:?}", begun.elapsed());
    assert_eq!(back, recipe);
}
