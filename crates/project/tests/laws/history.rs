//! Undo and redo.

use std::collections::BTreeSet;

use proptest::prelude::*;
use seamwright_project::{Edit, History, Measured, PartId, Recipe, saved};

use crate::recipes;

proptest! {
    #[test]
    fn undoing_everything_gives_the_first_recipe_and_redoing_it_the_last(
        first in recipes::recipe(), edits in prop::collection::vec(recipes::edit(), 0..30),
    ) {
        let mut history = History::new("opened", first.clone());
        for edit in &edits {
            let _ = history.apply(edit);
        }
        let last = history.recipe().clone();
        let mut undone = 0;
        while history.undo() {
            undone += 1;
        }
        // By their text: that tells every bit of every number.
        prop_assert_eq!(saved::to_json(history.recipe()), saved::to_json(&first));
        prop_assert_eq!(undone + 1, history.steps().len());
        while history.redo() {}
        prop_assert_eq!(saved::to_json(history.recipe()), saved::to_json(&last));
    }

    #[test]
    fn every_step_changes_something_and_every_refusal_changes_nothing(
        edits in prop::collection::vec(recipes::edit(), 0..30),
    ) {
        let mut history = History::new("new project", Recipe::new("part"));
        for edit in &edits {
            let (before, steps) = (history.recipe().clone(), history.steps().len());
            match history.apply(edit) {
                Err(_) => prop_assert_eq!(history.recipe(), &before),
                Ok(()) => prop_assert_eq!(edit.apply(&before), Ok(history.recipe().clone())),
            }
            let added = history.steps().len() - steps;
            prop_assert_eq!(added == 1, history.recipe() != &before);
        }
    }

    #[test]
    fn identities_of_cuts_are_never_used_twice(edits in prop::collection::vec(recipes::edit(), 0..60)) {
        let (mut recipe, mut given) = (Recipe::new("part"), BTreeSet::new());
        for edit in &edits {
            let Ok(next) = edit.apply(&recipe) else { continue };
            if matches!(edit, Edit::AddCut { .. }) {
                prop_assert!(given.insert(next.cuts.last().unwrap().id));
            }
            recipe = next;
        }
    }
}

#[test]
fn measuring_after_undo_keeps_what_was_undone() {
    let mut history = History::new("opened", Recipe::new("part"));
    for name in ["helm", "cuirass", "glaive"] {
        history.apply(&Edit::SetName(name.into())).unwrap();
    }
    history.go_to(1);
    let what = Measured::Distance { from_mm: [0.0; 3], to_mm: [0.0, 3.0, 4.0] };
    history.apply(&Edit::AddMeasure { part: PartId::MAIN, what }).unwrap();
    assert_eq!(history.redo_title(), Some("call it cuirass"));
    history.apply(&Edit::RemoveMeasure(history.recipe().measures[0].id)).unwrap();
    assert!(history.undo());
    while history.redo() {}
    assert_eq!((history.recipe().name.as_str(), history.recipe().measures.len()), ("glaive", 0));
    history.go_to(2);
    assert_eq!((history.recipe().name.as_str(), history.recipe().measures.len()), ("helm", 1));
}

#[test]
fn a_change_after_undo_forgets_what_was_undone() {
    let mut history = History::new("opened", Recipe::new("part"));
    for name in ["helm", "cuirass", "glaive"] {
        history.apply(&Edit::SetName(name.into())).unwrap();
    }
    history.go_to(1);
    assert_eq!((history.undo_title(), history.redo_title()), (Some("call it helm"), Some("call it cuirass")));
    history.apply(&Edit::SetName("crest".into())).unwrap();
    let titles: Vec<&str> = history.steps().iter().map(|step| step.title.as_str()).collect();
    assert_eq!(titles, ["opened", "call it helm", "call it crest"]);
    assert!(!history.redo());
}

#[test]
fn going_past_the_ends_stays_where_it_is() {
    let mut history = History::new("opened", Recipe::new("part"));
    assert!(!history.undo() && !history.redo());
    history.go_to(1);
    assert_eq!((history.current(), history.undo_title(), history.redo_title()), (0, None, None));
}
