//! Files that are no project, or not a whole one.

use proptest::prelude::*;
use seamwright_project::{CutId, saved};
use serde_json::{Value, json};

use crate::recipes;

const GOOD: &str = include_str!("../files/version-1.seamwright.json");

/// The good file with another value at `pointer` (as RFC 6901 writes places in JSON).
fn with(pointer: &str, value: Value) -> String {
    let mut file: Value = serde_json::from_str(GOOD).unwrap();
    *file.pointer_mut(pointer).unwrap_or_else(|| panic!("no {pointer}")) = value;
    serde_json::to_string_pretty(&file).unwrap()
}

fn error(text: &str) -> String {
    saved::from_json(text).expect_err(text).to_string()
}

#[test]
fn values_without_sense_are_refused_with_their_place() {
    let beyond_all_numbers =
        json!({"id": 1, "name": "far", "axis": "Z", "through_mm": [1.7e308, 1.7e308, 1.7e308], "tilt_deg": [-45, 45]});
    for (pointer, value, words) in [
        ("/version", json!(0), ["version", "from 1"]),
        ("/version", json!("1"), ["version", "from 1"]),
        ("/size/unit", json!("cubit"), ["size.unit", "cubit"]),
        ("/size/factor", json!(0), ["size.factor", "not by 0"]),
        ("/size/factor", json!(-2.5), ["size.factor", "not by -2.5"]),
        ("/size/factor", json!(1e308), ["size.factor", "positive"]),
        ("/bed/x_mm", json!(0), ["bed", "width"]),
        ("/bed/height_mm", json!(-250), ["bed", "height"]),
        ("/bed/margin_mm", json!(-1), ["bed", "margin"]),
        ("/bed/margin_mm", json!(105), ["bed", "nothing"]),
        ("/bed/raft_mm", json!(250), ["bed", "raft"]),
        ("/cuts/1/axis", json!("W"), ["cuts[1].axis", "X, Y or Z"]),
        ("/cuts/1", beyond_all_numbers, ["cuts[1].through_mm", "finite"]),
        ("/cuts/1/only_pieces", json!(["helm"]), ["cuts[1].only_pieces", "helm"]),
        ("/cuts/1/id", json!(3), ["cuts", "identity 3"]),
        ("/cuts/1/id", json!(CutId::LAST.0 + 1), ["cuts", "identity 1073741824"]),
        ("/cuts/1/id", json!(u32::MAX), ["cuts", "identity"]),
    ] {
        let error = error(&with(pointer, value));
        assert!(words.iter().all(|word| error.contains(word)), "{pointer}: {error}");
    }
}

#[test]
fn measures_without_sense_are_refused_with_their_place() {
    let with_measures = |measures: Value| {
        let mut file: Value = serde_json::from_str(GOOD).unwrap();
        file["measures"] = measures;
        serde_json::to_string_pretty(&file).unwrap()
    };
    let distance = json!({"from_mm": [0, 0, 0], "to_mm": [3, 4, 0]});
    let good = saved::from_json(&with_measures(json!([{"id": 7, "distance": distance}]))).unwrap();
    assert_eq!((good.measures[0].what.value(), good.next_measure.0), (5.0, 8));
    for (measures, words) in [
        (json!([{"id": 1, "distance": distance}, {"id": 1, "distance": distance}]), ["measures[1].id", "another"]),
        (json!([{"id": 1, "part": 9, "distance": distance}]), ["measures[0].part", "not there"]),
        (
            json!([{"id": 1, "angle": {"at_mm": [[0, 0, 0], [1, 0, 0]], "normals": [[0, 0, 0], [0, 0, 1]]}}]),
            ["measures[0].angle", "no length"],
        ),
    ] {
        let error = error(&with_measures(measures));
        assert!(words.iter().all(|word| error.contains(word)), "{error}");
    }
}

#[test]
fn fields_of_the_wrong_kind_are_refused_with_line_and_column() {
    for (pointer, value) in [
        ("/name", json!(7)),
        ("/stock", json!("helm.stl")),
        ("/stock/bytes", json!(-1)),
        ("/cuts", json!({})),
        ("/cuts/0/id", json!(1.5)),
        ("/cuts/0/through_mm", json!([1, 2])),
        ("/cuts/0/tilt_deg", json!([1, null])),
        ("/dropped_shells", json!([-1])),
        ("/next_cut", json!(4_294_967_296_u64)),
    ] {
        let error = error(&with(pointer, value));
        assert!(error.contains(" at line ") && error.contains(" column "), "{pointer}: {error}");
    }
    let without_bed = GOOD.replace("\"bed\"", "\"cot\"");
    assert!(error(&without_bed).contains("missing field `bed`"));
}

#[test]
fn a_newer_file_is_told_by_its_version_whatever_else_it_holds() {
    for text in [
        with("/version", json!(4)),
        r#"{"version": 9000000000000, "format": "seamwright-project", "cuts": "spirals", "sun": [1, {}]}"#.into(),
    ] {
        let error = error(&text);
        assert!(error.contains("newer version of this program"), "{error}");
    }
}

#[test]
fn other_json_and_other_text_is_no_project() {
    for (text, word) in [
        ("", "line 1 column 0"),
        ("solid helm\nfacet", "line 1 column 1"),
        ("[1, 2]", "format"),
        ("{}", "format"),
        (r#"{"format": "seamwright-kit", "version": 1}"#, "seamwright-kit"),
        (&GOOD[..GOOD.len() / 2], "EOF"),
        (&GOOD.replace("0.6", "1e999"), "out of range"),
        (&GOOD.replace("0.6", "NaN"), "line 60 column 16"),
        (&"[".repeat(100_000), "recursion"),
    ] {
        let error = error(text);
        assert!(error.contains(word), "{error}");
    }
}

#[test]
fn a_byte_order_mark_does_no_harm() {
    assert_eq!(saved::from_json(&format!("\u{feff}{GOOD}")).unwrap(), saved::from_json(GOOD).unwrap());
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>()) {
        prop_assert!(saved::from_json(&text).is_err());
    }

    /// What still opens after damage must be a recipe that can be saved again.
    #[test]
    fn no_damage_makes_the_reader_panic(
        recipe in recipes::recipe(), at in any::<prop::sample::Index>(), cut in 0..40_usize, put in "[-0-9eE.,\":{}\\[\\]nul]{0,6}",
    ) {
        let good: Vec<char> = saved::to_json(&recipe).chars().collect();
        let at = at.index(good.len());
        let rest = &good[(at + cut).min(good.len())..];
        let damaged: String = good[..at].iter().copied().chain(put.chars()).chain(rest.iter().copied()).collect();
        if let Ok(recipe) = saved::from_json(&damaged) {
            prop_assert_eq!(saved::from_json(&saved::to_json(&recipe)).unwrap(), recipe);
        }
    }
}
