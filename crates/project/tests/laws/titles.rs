//! What undo calls a change.

use proptest::prelude::*;
use seamwright_geometry::{Bed, Plane, Point, Vector};
use seamwright_project::{
    Axis, CutForm, CutId, CutPlane, Edit, MeasureId, Measured, Mend, PartId, Recipe, Relief, Scope, Size, SizedBy,
    SourceFile, Stance, Unit, mending,
};

use crate::recipes;

fn with_brow(plane: CutPlane) -> Recipe {
    Edit::AddCut { name: "brow".into(), part: PartId::MAIN, plane, form: CutForm::Flat, scope: Scope::All }
        .apply(&Recipe::new("helm"))
        .unwrap()
}

fn title_of_move(before: CutPlane, after: CutPlane) -> String {
    Edit::SetCutPlane { cut: CutId(1), plane: after }.title(&with_brow(before))
}

#[test]
fn titles_read_like_what_the_maker_did() {
    let recipe = with_brow(CutPlane::square(Axis::Z, 84.5));
    let cut = CutId(1);
    let source = SourceFile { path: "../models/helm.stl".into(), bytes: 0, sha256: String::new() };
    let beside = SourceFile { path: "crest.stl".into(), ..source.clone() };
    let plane = CutPlane::square(Axis::Z, 80.0);
    for (edit, title) in [
        (Edit::SetName(" visor ".into()), "call it visor"),
        (Edit::SetCostume("The Saltgate Sentinel".into()), "make it part of The Saltgate Sentinel"),
        (Edit::SetCostume(" ".into()), "take it out of its costume"),
        (Edit::SetStock(source.clone()), "open helm.stl"),
        (Edit::RelocateStock(source), "find helm.stl again"),
        (Edit::SetSize(Size { unit: Unit::Inch, factor: 1.5 }), "read it in inches and size it × 1.5"),
        (Edit::SetSize(Size { unit: Unit::Metre, factor: 1.0 }), "read it in metres"),
        (
            Edit::SetSizeBy { factor: 1.1, by: SizedBy::Dimension { axis: Axis::Z, mm: 320.0 } },
            "size it to 320 mm along Z",
        ),
        (Edit::SetSizeBy { factor: 1.1, by: SizedBy::Distance { mm: 62.5 } }, "size it to 62.5 mm between two points"),
        (
            Edit::SetSizeBy {
                factor: 1.1,
                by: SizedBy::Wearer { measure: "head breadth".into(), wearer_mm: 154.0, gap_mm: 8.0 },
            },
            "size it to a head breadth of 154 mm",
        ),
        (Edit::AddSource(beside), "add crest.stl"),
        (Edit::RemoveSource(0), "take a file away"),
        (Edit::SetStance(Stance { mirrored: Some(Axis::X), ..Stance::default() }), "mirror along X"),
        (Edit::SetStance(Stance { down: Some([1.0, 0.0, 0.0]), ..Stance::default() }), "stand on a face"),
        (
            Edit::SetStance(Stance::default().quarter_turned(Axis::Y, true, &mut std::iter::empty())),
            "turn by −90° about Y",
        ),
        (Edit::SetStance(Stance::default()), "stand as made"),
        (Edit::AddLoosePart { name: String::new(), shells: [1].into() }, "set loose part 1 aside"),
        (Edit::AddLoosePart { name: "visor".into(), shells: [1].into() }, "set visor aside"),
        (
            Edit::AddMeasure {
                part: PartId::MAIN,
                what: Measured::Distance { from_mm: [0.0; 3], to_mm: [3.0, 4.0, 0.0] },
            },
            "measure a distance of 5.0 mm",
        ),
        (Edit::RemoveMeasure(MeasureId(4)), "forget measure 4"),
        (Edit::RemoveLoosePart(PartId::MAIN), "put helm back"),
        (Edit::SetShellKept { shell: 0, kept: false }, "drop shell 1"),
        (Edit::DropShells([0].into()), "drop shell 1"),
        (Edit::DropShells([0, 4].into()), "drop 2 shells"),
        (
            Edit::SetReliefs(vec![Relief { shell: 1, by: 0, clearance_mm: 0.3, enabled: true }]),
            "relieve shell 2 by shell 1, 0.3 mm",
        ),
        (Edit::SetShellKept { shell: u32::MAX, kept: true }, "keep shell 4294967296"),
        (
            Edit::AddCut { name: " ".into(), part: PartId::MAIN, plane, form: CutForm::Flat, scope: Scope::All },
            "add cut 2",
        ),
        (
            Edit::AddCut { name: "crest".into(), part: PartId::MAIN, plane, form: CutForm::Flat, scope: Scope::All },
            "add crest",
        ),
        (Edit::SetMends(vec![Mend { step: mending::fill_holes(), enabled: true }]), "fill holes"),
        (
            Edit::AddCuts { name: String::new(), part: PartId::MAIN, planes: vec![plane; 3], scope: Scope::All },
            "step off 3 cuts",
        ),
        (Edit::SetShellsPart { shells: [1].into(), part: PartId::MAIN }, "put shell 2 to helm"),
        (Edit::SetCutForm { cut, form: CutForm::Flat }, "make brow flat"),
        (Edit::SetCutKerf { cut, kerf_mm: 0.4 }, "give brow a kerf of 0.4 mm"),
        (Edit::SetCutKerf { cut, kerf_mm: 0.0 }, "give brow no kerf"),
        (Edit::RemoveCut(cut), "remove brow"),
        (Edit::RemoveCut(CutId(9)), "remove cut 9"),
        (Edit::RenameCut { cut, name: "jaw ".into() }, "call brow jaw"),
        (Edit::SetCutScope { cut, scope: Scope::All }, "let brow cut all that it crosses"),
        (Edit::SetCutEnabled { cut, enabled: false }, "switch brow off"),
        (Edit::MoveCut { cut, to: usize::MAX }, "move brow to place 1 of the cuts"),
        (Edit::SetKeepBodiesTogether(true), "keep unconnected bodies one piece"),
        (Edit::SetLeaveOutCrumbs(true), "leave crumbs out"),
        (Edit::SetLeaveOutCrumbs(false), "take crumbs back in"),
        (Edit::SetBed(Bed::rectangle(300.0, 300.0, 300.0)), "change the bed"),
    ] {
        assert_eq!(edit.title(&recipe), title);
    }
}

#[test]
fn a_move_says_how_far() {
    let before = CutPlane { axis: Axis::Z, through_mm: [1.0, 2.0, 84.5], tilt_deg: [0.0, 350.0] };
    assert_eq!(title_of_move(before, before.with_offset_mm(80.0)), "move brow by 4.5 mm");
    assert_eq!(title_of_move(before, CutPlane { tilt_deg: [-4.0, 350.0], ..before }), "tilt brow by 4.0°");
    assert_eq!(title_of_move(before, CutPlane { tilt_deg: [0.0, 5.0], ..before }), "tilt brow by 15.0°");
    assert_eq!(title_of_move(before, before.with_offset_mm(84.501)), "nudge brow");
    assert_eq!(title_of_move(before, CutPlane { axis: Axis::X, ..before }), "turn brow across X");
}

/// What a change can be told by. A list of changes reads as one where each begins alike.
const VERBS: [&str; 40] = [
    "add", "allow", "begin", "call", "centre", "change", "do", "drop", "end", "fill", "find", "forget", "give", "join",
    "keep", "lay", "leave", "let", "make", "measure", "mirror", "move", "nudge", "open", "part", "put", "read",
    "recover", "relieve", "remove", "set", "size", "stand", "step", "stop", "switch", "take", "tilt", "turn", "unite",
];

proptest! {
    #[test]
    fn a_drag_along_the_normal_is_no_tilt(
        tilt_deg in [-80.0..80.0, -80.0..80.0f64], way_mm in 1.0..50.0f64,
    ) {
        let before = CutPlane { axis: Axis::Y, through_mm: [30.0, 84.5, -12.0], tilt_deg };
        let plane = before.plane().unwrap();
        let dragged = Plane::new(plane.normal(), plane.offset_mm() + way_mm).unwrap();
        prop_assert_eq!(title_of_move(before, before.moved_to(&dragged)), format!("move brow by {way_mm:.1} mm"));
    }

    #[test]
    fn every_edit_that_can_be_made_has_a_title(recipe in recipes::recipe(), edit in recipes::edit()) {
        let title = edit.title(&recipe);
        prop_assume!(edit.apply(&recipe).is_ok());
        let verb = title.split(' ').next().unwrap_or_default();
        prop_assert!(VERBS.contains(&verb), "{title:?} does not say by a verb first what is done");
        let odd_name = recipe.cuts.iter().any(|cut| cut.name.trim() != cut.name || cut.name.is_empty())
            || matches!(edit, Edit::SetStock(_) | Edit::RelocateStock(_) | Edit::AddSource(_) | Edit::RemoveSource(_))
            || matches!(edit, Edit::SetSizeBy { .. } | Edit::SetShellsPart { .. } | Edit::RemoveLoosePart(_) | Edit::RenameLoosePart { .. });
        prop_assert!(odd_name || title.trim() == title, "{:?}", title);
    }
}

#[test]
fn a_best_plane_through_points_turns_the_cut_across_its_axis() {
    let before = CutPlane::square(Axis::Z, 84.5);
    let plane = Plane::through(Point::new(3.0, 0.0, 0.0), Vector::new(1.0, 0.2, 0.0)).unwrap();
    assert_eq!(title_of_move(before, CutPlane::from_plane(&plane, Point::origin())), "turn brow across X");
}
