//! Loose parts, several files, and how the model stands.

use proptest::prelude::*;
use seamwright_geometry::exchange::{Overwrite, write_stl};
use seamwright_geometry::{Point, Vector, solids};
use seamwright_project::{Axis, CutForm, CutPlane, Edit, EditError, PartId, Scope, Size, Stance, Unit, store};

use crate::bodies_and_shells::row;
use crate::recipes;
use crate::workshop::{Workshop, assert_near, block, by_id, ids, ring, slanted, some_cases};

fn set_aside(workshop: &mut Workshop, name: &str, shells: &[u32]) -> PartId {
    let id = workshop.recipe.next_part;
    workshop.edit(&Edit::AddLoosePart { name: name.into(), shells: shells.iter().copied().collect() });
    id
}

fn cut_part(workshop: &mut Workshop, part: PartId, plane: CutPlane) {
    workshop.edit(&Edit::AddCut { name: String::new(), part, plane, form: CutForm::Flat, scope: Scope::All });
}

#[test]
fn a_loose_part_has_its_own_cuts_and_its_own_letter() {
    let mut workshop = Workshop::with(&row());
    let whole = workshop.made();
    let shells = &whole.stock.as_ref().unwrap().report.shells;
    assert_eq!(shells.len(), 3);
    let middle = shells[1].bounds.centre();
    let visor = set_aside(&mut workshop, "visor", &[1]);
    cut_part(&mut workshop, visor, CutPlane::square(Axis::Z, middle.z));
    let outcome = workshop.made();
    assert_eq!(ids(&outcome), ["#0", "#1", "1/1b#0", "1/1a#0"]);
    let marks: Vec<&str> = outcome.pieces.iter().map(|piece| piece.mark.as_str()).collect();
    assert_eq!(marks, ["A1", "A2", "B1", "B2"]);
    // A cut of the main part goes through the others and leaves the loose one alone.
    cut_part(&mut workshop, PartId::MAIN, CutPlane::square(Axis::Z, middle.z));
    assert_eq!(ids(&workshop.made()), ["2b#0", "2b#1", "2a#0", "2a#1", "1/1b#0", "1/1a#0"]);
    workshop.edit(&Edit::RemoveLoosePart(visor));
    assert_eq!(workshop.recipe.cuts.len(), 1);
    assert_eq!(workshop.made().pieces.len(), 6);
}

#[test]
fn a_shell_is_in_one_place_only() {
    let mut workshop = Workshop::with(&row());
    set_aside(&mut workshop, "", &[0, 1]);
    set_aside(&mut workshop, "", &[1]);
    assert_eq!(workshop.recipe.part_of_shell(1), Some(PartId(2)));
    assert_eq!(workshop.recipe.loose[0].shells, [0].into());
    workshop.edit(&Edit::SetShellKept { shell: 1, kept: false });
    assert_eq!(workshop.recipe.part_of_shell(1), None);
    assert_eq!(workshop.recipe.loose.len(), 1, "a part without shells is gone");
    workshop.edit(&Edit::SetShellsPart { shells: [1, 2].into(), part: PartId(1) });
    assert_eq!(workshop.recipe.loose[0].shells, [0, 1, 2].into());
    workshop.edit(&Edit::SetShellsPart { shells: [0, 2].into(), part: PartId::MAIN });
    assert_eq!(workshop.recipe.loose[0].shells, [1].into());
    let lost = Edit::SetShellsPart { shells: [0].into(), part: PartId(7) };
    assert_eq!(lost.apply(&workshop.recipe), Err(EditError::NoSuchPart(PartId(7))));
    let none = Edit::AddLoosePart { name: String::new(), shells: [].into() };
    assert_eq!(none.apply(&workshop.recipe), Err(EditError::NoShells));
}

#[test]
fn all_may_be_set_aside() {
    let mut workshop = Workshop::with(&row());
    set_aside(&mut workshop, "all", &[0, 1, 2]);
    let outcome = workshop.made();
    assert_eq!(outcome.parts.len(), 1);
    assert!(outcome.pieces.iter().all(|piece| piece.mark.starts_with('B')));
}

#[test]
fn files_of_one_frame_are_one_stock_and_stay_where_they_were_modelled() {
    let mut workshop = Workshop::with(&block());
    let crest = solids::cuboid(Point::new(40.0, 0.0, 50.0), Point::new(60.0, 60.0, 70.0));
    let file = workshop.folder().join("crest.stl");
    write_stl(&file, &crest, "crest", Overwrite::Refuse).unwrap();
    let source = store::describe_source(&file, workshop.folder()).unwrap();
    workshop.edit(&Edit::AddSource(source.clone()));
    let outcome = workshop.made();
    let stock = outcome.stock.as_ref().unwrap();
    assert_eq!((stock.files.len(), stock.report.shells.len(), stock.first_shell.as_slice()), (2, 2, [0, 1].as_slice()));
    assert_eq!(outcome.bounds().unwrap().max.z, 70.0);
    assert_near(outcome.pieces.iter().map(|piece| piece.facts.volume_mm3).sum(), 240_000.0 + 24_000.0, 1e-12);
    assert!(
        matches!(Edit::AddSource(source).apply(&workshop.recipe), Err(EditError::SameSource(name)) if name == "crest.stl")
    );
    workshop.edit(&Edit::RemoveSource(0));
    assert_eq!(workshop.made().pieces.len(), 1);
}

#[test]
fn the_order_of_files_changes_no_piece() {
    let pieces = |first: &seamwright_geometry::Mesh, second: &seamwright_geometry::Mesh| {
        let mut workshop = Workshop::with(first);
        let file = workshop.folder().join("second.stl");
        write_stl(&file, second, "second", Overwrite::Refuse).unwrap();
        let source = store::describe_source(&file, workshop.folder()).unwrap();
        workshop.edit(&Edit::AddSource(source));
        workshop.square_cut(Axis::Z, 12.0);
        let outcome = workshop.made();
        outcome.pieces.iter().map(|p| (p.mark.clone(), p.id.clone(), p.facts.volume_mm3.to_bits())).collect::<Vec<_>>()
    };
    let crest = solids::cuboid(Point::new(140.0, 0.0, 0.0), Point::new(160.0, 60.0, 70.0));
    assert_eq!(pieces(&block(), &crest), pieces(&crest, &block()));
}

#[test]
fn a_mirrored_model_is_still_closed_and_outward() {
    let mut workshop = Workshop::with(&block());
    workshop.cut(slanted([30.0, 10.0, 20.0], [1.0, 0.3, 0.2]));
    let before = workshop.made();
    workshop.edit(&Edit::SetStance(Stance { mirrored: Some(Axis::X), ..Stance::default() }));
    let after = workshop.made();
    for (id, piece) in by_id(&after) {
        assert!(piece.facts.closed && piece.facts.volume_mm3 > 0.0);
        assert_near(piece.facts.volume_mm3, by_id(&before)[&id].facts.volume_mm3, 1e-12);
        assert_near(piece.facts.bounds.min.x, -by_id(&before)[&id].facts.bounds.max.x, 1e-12);
    }
}

proptest! {
    #![proptest_config(some_cases())]

    #[test]
    fn cuts_keep_their_place_and_their_sides_however_the_model_is_turned(stance in recipes::stance()) {
        let mut workshop = Workshop::with(&ring());
        workshop.cut(slanted([3.0, 4.0, 1.0], [0.9, 0.4, 0.1]));
        workshop.cut(slanted([-3.0, 2.0, 1.0], [0.1, -0.3, 1.0]));
        let before = workshop.made();
        workshop.edit(&Edit::SetStance(stance));
        let after = workshop.made();
        let volumes = |outcome: &seamwright_project::Outcome| {
            let mut all: Vec<_> =
                outcome.pieces.iter().map(|p| (p.id.path.clone(), p.facts.volume_mm3)).collect();
            all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
            all
        };
        for ((a, a_mm3), (b, b_mm3)) in volumes(&before).into_iter().zip(volumes(&after)) {
            prop_assert_eq!(a, b);
            prop_assert!((a_mm3 - b_mm3).abs() < 1e-6 * a_mm3, "{} {}", a_mm3, b_mm3);
        }
    }
}

#[test]
fn a_model_that_was_turned_stands_on_the_bench_and_its_shells_are_told_as_they_stand() {
    let mut workshop = Workshop::with(&ring());
    workshop.edit(&Edit::SetSize(Size { unit: Unit::Inch, factor: 0.5 }));
    workshop.cut(slanted([3.0, 4.0, 1.0], [0.9, 0.4, 0.1]));
    let before = workshop.made();
    let stock = before.stock.clone().unwrap();
    let recipe = workshop.recipe.clone();
    let stances = [
        recipe.stance.quarter_turned(Axis::X, false, &mut stock.kept_corners(&recipe)),
        recipe.stance.standing_on(Vector::new(0.3, 0.2, 0.9), &mut stock.kept_corners(&recipe)),
    ];
    for stance in stances {
        workshop.edit(&Edit::SetStance(stance));
        let outcome = workshop.made();
        let bounds = outcome.bounds().unwrap();
        assert!(bounds.min.z.abs() < 1e-9, "{bounds:?}");
        let boxes = outcome.shell_boxes.iter().copied().reduce(|a, b| a.union(&b)).unwrap();
        assert!((boxes.min - bounds.min).norm() + (boxes.max - bounds.max).norm() < 1e-9, "{boxes:?} {bounds:?}");
        let volumes = |outcome: &seamwright_project::Outcome| -> Vec<f64> {
            by_id(outcome).values().map(|piece| piece.facts.volume_mm3).collect()
        };
        for (a, b) in volumes(&before).into_iter().zip(volumes(&outcome)) {
            assert_near(a, b, 1e-9);
        }
        // Larger, it stands there still.
        workshop.edit(&Edit::SetSize(Size { unit: Unit::Inch, factor: 0.7 }));
        assert!(workshop.made().bounds().unwrap().min.z.abs() < 1e-9);
        workshop.edit(&Edit::SetSize(Size { unit: Unit::Inch, factor: 0.5 }));
    }
}
