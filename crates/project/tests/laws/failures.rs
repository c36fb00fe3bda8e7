//! Stocks that are gone, changed or damaged; work that is cancelled.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use seamwright_geometry::{Cancelled, Point, Progress, solids};
use seamwright_project::{Axis, Edit, Failure, Recipe, Stage, evaluate, store};

use crate::workshop::{Workshop, block, shell};

fn failure(workshop: &Workshop) -> Failure {
    let outcome = workshop.outcome();
    assert!(outcome.stock.is_none() && outcome.parts.is_empty() && outcome.pieces.is_empty());
    let failure = outcome.failure.expect("it must fail");
    assert_eq!(failure.stage, Stage::Stock);
    failure
}

#[track_caller]
fn assert_moved(workshop: &Workshop, words: &str) {
    let failure = failure(workshop);
    assert!(failure.stock_moved);
    for part in [words, "part.stl", "oint at"] {
        assert!(failure.text.contains(part), "{}", failure.text);
    }
}

#[test]
fn a_missing_stock_is_told_and_found_again() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 50.0);
    let before = workshop.made();
    let elsewhere = workshop.folder().join("models");
    fs::create_dir(&elsewhere).unwrap();
    fs::rename(workshop.model(), elsewhere.join("part.stl")).unwrap();
    assert_moved(&workshop, "is not there any more");
    let found = store::describe_source(&elsewhere.join("part.stl"), workshop.folder()).unwrap();
    workshop.edit(&Edit::RelocateStock(found));
    assert_eq!(workshop.made().seams, before.seams);
}

#[test]
fn a_changed_stock_is_told_even_when_its_length_is_the_same() {
    let workshop = Workshop::with(&block());
    workshop.made();
    let mut bytes = fs::read(workshop.model()).unwrap();
    let last = bytes.len() - 4;
    bytes[last] ^= 1;
    fs::write(workshop.model(), &bytes).unwrap();
    assert_moved(&workshop, "its content is another one");
    bytes[last] ^= 1;
    fs::write(workshop.model(), &bytes).unwrap();
    workshop.made();
}

#[test]
fn a_stock_that_was_cut_short_is_told() {
    let workshop = Workshop::with(&block());
    let bytes = fs::read(workshop.model()).unwrap();
    fs::write(workshop.model(), &bytes[..bytes.len() / 2]).unwrap();
    assert_moved(&workshop, &format!("it has {} bytes and had {}", bytes.len() / 2, bytes.len()));
}

#[test]
fn a_folder_in_place_of_the_stock_is_told() {
    let workshop = Workshop::with(&block());
    fs::remove_file(workshop.model()).unwrap();
    fs::create_dir(workshop.model()).unwrap();
    assert_moved(&workshop, "is a folder");
}

/// A file that the recipe describes truly, and that is no sound mesh: pointing elsewhere is not the way out.
#[test]
fn a_damaged_stock_says_what_is_wrong_with_it() {
    let mut workshop = Workshop::with(&block());
    let good = fs::read(workshop.model()).unwrap();
    for (bytes, words) in [
        (Vec::new(), "empty"),
        (b"a letter to the editor, long enough for a header of eighty-four bytes, about STL files".repeat(2), "STL"),
        (good[..good.len() / 3].to_vec(), "cut short"),
    ] {
        fs::write(workshop.model(), bytes).unwrap();
        let source = store::describe_source(&workshop.model(), workshop.folder()).unwrap();
        workshop.edit(&Edit::RelocateStock(source));
        let failure = failure(&workshop);
        assert!(!failure.stock_moved);
        assert!(failure.text.contains("part.stl") && failure.text.contains(words), "{}", failure.text);
    }
}

#[test]
fn a_file_that_lost_its_end_gives_what_is_whole_and_says_so() {
    let mut workshop = Workshop::with(&block());
    let good = fs::read(workshop.model()).unwrap();
    fs::write(workshop.model(), &good[..good.len() - 60]).unwrap();
    let source = store::describe_source(&workshop.model(), workshop.folder()).unwrap();
    workshop.edit(&Edit::RelocateStock(source));
    let outcome = workshop.made();
    let remarks = &outcome.stock.as_ref().unwrap().remarks;
    assert_eq!(remarks.len(), 1, "{remarks:?}");
    assert!(outcome.notes.iter().any(|note| note.text == remarks[0] && note.text.starts_with("part.stl")));
}

#[test]
fn a_recipe_without_a_stock_has_no_results_and_no_failure() {
    let workshop = Workshop::with(&block());
    let outcome = evaluate(&Recipe::new("part"), workshop.folder(), &workshop.cache, &Progress::new()).unwrap();
    assert!(outcome.failure.is_none() && outcome.stock.is_none() && outcome.pieces.is_empty());
}

#[test]
fn an_open_model_is_cut_and_its_pieces_are_said_to_be_open() {
    let mut mesh = block();
    mesh.triangles.pop();
    let mut workshop = Workshop::with(&mesh);
    workshop.square_cut(Axis::X, 50.0);
    let outcome = workshop.made();
    let open: Vec<&str> = outcome.pieces.iter().filter(|p| !p.facts.closed).map(|p| p.mark.as_str()).collect();
    assert_eq!(open, ["A2"]);
    let texts: Vec<&str> = outcome.notes.iter().map(|note| note.text.as_str()).collect();
    assert!(texts.iter().any(|text| text.contains("not closed: 3 open edges")), "{texts:?}");
    assert!(texts.contains(&"A2 is not closed"), "{texts:?}");
    assert!(outcome.notes.iter().all(|note| note.place.is_some()));
}

#[test]
fn cancelled_work_gives_nothing_even_when_all_is_known() {
    let mut workshop = Workshop::with(&shell());
    workshop.square_cut(Axis::X, 5.0);
    workshop.made();
    let progress = Progress::new();
    progress.cancel();
    assert!(matches!(evaluate(&workshop.recipe, workshop.folder(), &workshop.cache, &progress), Err(Cancelled)));
}

#[test]
fn cancelling_while_it_cuts_stops_soon_and_leaves_the_cache_sound() {
    let ball = solids::sphere(Point::origin(), 90.0, 120);
    let mut workshop = Workshop::with(&ball);
    for i in 0..60 {
        workshop.square_cut(Axis::ALL[i % 3], -59.3 + 2.0 * i as f64);
    }
    let progress = Progress::new();
    let (result, waited) = std::thread::scope(|scope| {
        let work =
            scope.spawn(|| evaluate(&workshop.recipe, workshop.folder(), &workshop.cache, &progress).map(|_| ()));
        while !progress.now().0.starts_with("cutting") && !work.is_finished() {
            std::thread::sleep(Duration::from_millis(1));
        }
        progress.cancel();
        let begun = Instant::now();
        (work.join().unwrap(), begun.elapsed())
    });
    assert_eq!(result, Err(Cancelled));
    assert!(waited < Duration::from_secs(5), "{waited:?}");
    workshop.recipe.cuts.truncate(3);
    // Three planes part space in eight; the corner where all three are low lies outside the ball.
    assert_eq!(workshop.made().pieces.len(), 7);
}

#[test]
fn the_stock_is_looked_for_from_the_folder_that_is_given() {
    let workshop = Workshop::with(&block());
    let elsewhere = evaluate(&workshop.recipe, Path::new("/"), &workshop.cache, &Progress::new()).unwrap();
    assert!(elsewhere.failure.unwrap().stock_moved);
}

#[test]
fn a_model_elsewhere_is_read_though_the_folder_of_the_project_is_gone() {
    let workshop = Workshop::with(&block());
    let home = workshop.folder().join("home");
    fs::create_dir(&home).unwrap();
    let source = store::describe_source(&workshop.model(), &home).unwrap();
    assert!(source.path.starts_with(".."), "{source:?}");
    let recipe = Edit::SetStock(source).apply(&Recipe::new("part")).unwrap();
    fs::remove_dir(&home).unwrap();
    let outcome = evaluate(&recipe, &home, &workshop.cache, &Progress::new()).unwrap();
    assert_eq!((outcome.failure, outcome.pieces.len()), (None, 1));
    // What lay in it is gone with it, and that is what is said.
    let inside = store::describe_source(&workshop.model(), workshop.folder()).unwrap();
    let recipe = Edit::SetStock(inside).apply(&Recipe::new("part")).unwrap();
    let failure = evaluate(&recipe, &home, &workshop.cache, &Progress::new()).unwrap().failure.unwrap();
    assert!(failure.text.contains("home is gone"), "{}", failure.text);
}
