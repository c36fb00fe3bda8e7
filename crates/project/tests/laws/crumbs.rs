//! Pieces that nobody meant: told, listed last, and left out where that is asked.

use seamwright_geometry::exchange::Overwrite;
use seamwright_geometry::{Mesh, Point, Progress, solids};
use seamwright_project::{Axis, Crumb, Edit, Note, Outcome, kit};

use crate::workshop::{Workshop, block};

fn marks(outcome: &Outcome) -> Vec<(&str, Option<Crumb>)> {
    outcome.pieces.iter().map(|piece| (piece.mark.as_str(), piece.crumb)).collect()
}

fn notes(outcome: &Outcome) -> Vec<&Note> {
    outcome.notes.iter().filter(|note| note.text.contains("crumb")).collect()
}

fn beside(mut mesh: Mesh, other: &Mesh) -> Mesh {
    let first = mesh.vertices.len() as u32;
    mesh.vertices.extend(&other.vertices);
    mesh.triangles.extend(other.triangles.iter().map(|face| face.map(|v| v + first)));
    mesh
}

/// A block, and before it on the long axis a film that no printer makes and a strand thinner than a line.
fn with_film_and_strand() -> Workshop {
    let film = solids::cuboid(Point::new(-30.0, 0.0, 0.0), Point::new(-29.9999, 8.0, 9.0));
    let strand = solids::cuboid(Point::new(-20.0, 0.0, 0.0), Point::new(-19.6, 0.3, 16.0));
    Workshop::with(&beside(beside(block(), &film), &strand))
}

#[test]
fn what_is_thinner_than_a_printed_line_is_a_crumb_though_no_cut_made_it_and_is_listed_last() {
    let outcome = with_film_and_strand().made();
    assert_eq!(marks(&outcome), [("A1", None), ("A2", Some(Crumb::Vanishes)), ("A3", Some(Crumb::Fine))]);
    let told = notes(&outcome);
    assert_eq!(told.len(), 1, "one note for all: {told:?}");
    assert!(told[0].text.starts_with("2 of the 3 pieces are crumbs, smaller than a printed line"), "{}", told[0].text);
    assert!(told[0].text.contains("A2, A3") && told[0].place.is_some(), "{}", told[0].text);
    assert_eq!(told[0].edit, Some(Edit::SetLeaveOutCrumbs(true)));
}

#[test]
fn crumbs_that_are_left_out_are_told_and_no_other_piece_is_called_anew() {
    let mut workshop = with_film_and_strand();
    workshop.square_cut(Axis::X, 50.0);
    let before = workshop.made();
    workshop.edit(&Edit::SetLeaveOutCrumbs(true));
    let outcome = workshop.made();
    assert_eq!(marks(&outcome), [("A1", None), ("A2", None)]);
    let of = |outcome: &Outcome| outcome.pieces[..2].iter().map(|piece| piece.id.clone()).collect::<Vec<_>>();
    assert_eq!(of(&before), of(&outcome));
    assert_eq!(outcome.left_out.iter().map(|piece| piece.mark.as_str()).collect::<Vec<_>>(), ["A3", "A4"]);
    assert!(notes(&outcome)[0].text.starts_with("2 crumbs are left out of the list and the kit: A3, A4"));
    workshop.edit(&Edit::SetLeaveOutCrumbs(false));
    assert_eq!(marks(&workshop.made()).len(), 4);
}

#[test]
fn a_kit_holds_no_file_of_what_vanishes_in_print_and_says_so() {
    let mut workshop = with_film_and_strand();
    let written = |workshop: &Workshop, folder: &str| {
        let folder = workshop.folder().join(folder);
        let manifest = kit::write(&workshop.made(), &folder, Overwrite::Refuse, &Progress::new()).unwrap();
        let files: Vec<bool> = ["A1", "A2", "A3"].map(|mark| folder.join(format!("{mark}.stl")).exists()).into();
        let left: Vec<_> = manifest.left_out.iter().map(|left| (left.mark.clone(), left.why)).collect();
        let crumbs: Vec<bool> = manifest.pieces.iter().map(|piece| piece.crumb).collect();
        (files, crumbs, left)
    };
    let (files, crumbs, left) = written(&workshop, "first");
    assert_eq!((files, crumbs), (vec![true, false, true], vec![false, true]));
    assert_eq!(left, [("A2".to_owned(), "vanishes-in-print")]);
    workshop.edit(&Edit::SetLeaveOutCrumbs(true));
    let (files, crumbs, left) = written(&workshop, "second");
    assert_eq!((files, crumbs), (vec![true, false, false], vec![false]));
    assert_eq!(left, [("A2".to_owned(), "vanishes-in-print"), ("A3".to_owned(), "as-asked")]);
}

#[test]
fn a_slice_that_a_cut_leaves_is_a_crumb_and_a_plate_is_none() {
    for (offset_mm, crumb) in [(0.05, Some(Crumb::Vanishes)), (0.3, Some(Crumb::Fine)), (0.8, None)] {
        let mut workshop = Workshop::with(&block());
        workshop.square_cut(Axis::X, offset_mm);
        let outcome = workshop.made();
        let thin = outcome.pieces.iter().find(|piece| piece.facts.bounds.max.x < 1.0).unwrap();
        assert_eq!(thin.crumb, crumb, "{offset_mm} mm");
    }
}

#[test]
fn a_splinter_longer_than_a_crumb_of_old_is_one_where_the_rest_is_large() {
    // 6 × 4 × 32 mm and of 0.12 cm³, beside a block of 240 cm³.
    let splinter = solids::cuboid(Point::new(97.0, 58.5, 0.0), Point::new(100.0, 60.0, 32.0));
    let mut workshop = Workshop::with(&beside(block_without_corner(), &splinter));
    workshop.square_cut(Axis::X, 98.0);
    let outcome = workshop.made();
    assert!(outcome.pieces.iter().any(|piece| piece.is_crumb() && piece.size_mm() > 30.0), "{:?}", marks(&outcome));
}

fn block_without_corner() -> Mesh {
    solids::cuboid(Point::origin(), Point::new(96.0, 60.0, 40.0))
}

#[test]
fn a_model_that_is_as_small_as_a_crumb_is_meant() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(3.0, 2.0, 1.0)));
    assert_eq!(marks(&workshop.made()), [("A1", None)]);
    workshop.square_cut(Axis::X, 1.5);
    assert_eq!(marks(&workshop.made()), [("A1", None), ("A2", None)]);
}
