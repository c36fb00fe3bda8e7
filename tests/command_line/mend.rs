//! `mend`: what is wrong with a model, mended step by step.

use seamwright_geometry::{Mesh, Point, solids};

use crate::workshop::{Workshop, assert_near, brick, list};

/// A brick without one of its sides.
fn opened() -> Mesh {
    let mut mesh = brick();
    mesh.triangles.truncate(10);
    mesh
}

#[test]
fn a_missing_side_is_filled_flat_and_the_model_is_closed() {
    let shop = Workshop::new();
    let model = shop.model("opened.stl", &opened());
    let answer = shop.json(0, &["mend", &model, "--fill-flat-holes", "--out", "closed.stl"]);
    assert_eq!((&answer["before"]["closed"], &answer["after"]["closed"]), (&false.into(), &true.into()));
    assert_near(&answer["after"]["volume_mm3"], 6000.0);
    assert_eq!(answer["steps"][0]["step"], "fill-holes");
    assert_eq!(shop.json(0, &["inspect", "closed.stl"])["closed"], true);
    // Once more changes nothing.
    let again = shop.json(0, &["mend", "closed.stl", "--fill-flat-holes"]);
    assert_eq!(again["steps"][0]["did"], "nothing to do");
}

#[test]
fn what_is_safe_turns_a_model_that_is_inside_out_and_fills_no_hole() {
    let shop = Workshop::new();
    let turned = shop.model("turned.stl", &solids::inverted(&brick()));
    let answer = shop.json(0, &["mend", &turned, "--out", "outward.stl"]);
    assert_near(&answer["after"]["volume_mm3"], 6000.0);
    let open = shop.model("opened.stl", &opened());
    assert_eq!(shop.json(1, &["mend", &open])["after"]["closed"], false);
}

#[test]
fn shells_that_cross_are_told_with_their_depth_and_united() {
    let shop = Workshop::new();
    let shift = |x: f64| solids::cuboid(Point::new(x, 0.0, 0.0), Point::new(x + 20.0, 20.0, 20.0));
    let two = shop.model("two.stl", &solids::joined(&[&shift(0.0), &shift(15.3)]));
    let looked = shop.json(0, &["inspect", &two, "--closely"]);
    let found = list(&looked["findings"]);
    let crossing =
        found.iter().find(|f| f["defect"] == "overlapping_faces" || f["defect"] == "crossing_shells").unwrap();
    assert!(crossing["place_mm"].is_array());
    let answer = shop.json(0, &["mend", &two, "--unite", "--out", "one.stl"]);
    let volume = answer["after"]["volume_mm3"].as_f64().unwrap();
    assert!((volume - 35.3 * 400.0).abs() < 1e-3, "{volume}");
    assert_eq!(list(&shop.json(0, &["inspect", "one.stl"])["shells"]).len(), 1);
}

#[test]
fn a_shell_makes_room_for_another_with_a_gap() {
    let shop = Workshop::new();
    let plate = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(40.0, 40.0, 10.0));
    let rod = solids::cuboid(Point::new(17.0, 17.0, -20.0), Point::new(23.0, 23.0, 30.0));
    let two = shop.model("two.stl", &solids::joined(&[&plate, &rod]));
    let answer = shop.json(0, &["mend", &two, "--relieve", "1,2,0.5", "--out", "apart.stl"]);
    let volume = answer["after"]["volume_mm3"].as_f64().unwrap();
    assert!((volume - (16_000.0 - 490.0 + 1800.0)).abs() < 0.1, "{volume}");
    assert_eq!(answer["steps"][0]["step"], "relieve");
    assert!(answer["steps"][0]["did"].as_str().unwrap().contains("0.50 mm now"), "{answer}");
    assert!(list(&shop.json(0, &["inspect", "apart.stl", "--closely"])["findings"]).is_empty());
    // Both ways, each by the other as it was.
    let both = shop.json(0, &["mend", &two, "--relieve=1,2,0.5", "--relieve=2,1,0.5"]);
    let volume = both["after"]["volume_mm3"].as_f64().unwrap();
    assert!((volume - (16_000.0 - 490.0 + 1800.0 - 36.0 * 11.0)).abs() < 0.1, "{volume}");

    assert!(shop.refusal(&["mend", &two, "--relieve=1,3,0.5"]).contains("there is no shell 3"));
    assert!(shop.refusal(&["mend", &two, "--relieve=1,1,0.5"]).contains("make room for itself"));
    assert!(shop.refusal(&["mend", &two, "--relieve=1,2"]).contains("such as 2,1,0.3"));
    let open = shop.model("open.stl", &solids::joined(&[&plate, &opened()]));
    let refused = shop.refusal(&["mend", &open, "--relieve=1,2,0.5"]);
    assert!(refused.contains("fill its holes first"), "{refused}");
}

#[test]
fn the_wall_of_a_cavity_is_told_with_its_solid() {
    let shop = Workshop::new();
    let ball = |radius: f64| solids::sphere(Point::origin(), radius, 5);
    let hollow = shop.model("hollow.stl", &solids::joined(&[&solids::hollow(&ball(20.0), &ball(15.0)), &ball(5.0)]));
    let answer = shop.json(0, &["inspect", &hollow]);
    let shells = list(&answer["shells"]);
    assert_eq!(shells.iter().map(|shell| shell["cavity_of"].as_u64()).collect::<Vec<_>>(), [None, Some(1), None]);
}

#[test]
fn a_sound_model_has_no_findings_and_bad_numbers_are_refused() {
    let shop = Workshop::new();
    let model = shop.model("brick.stl", &brick());
    assert!(list(&shop.json(0, &["inspect", &model, "--closely"])["findings"]).is_empty());
    assert!(shop.refusal(&["mend", &model, "--merge-near=-1"]).contains("0 or more"));
    assert!(shop.refusal(&["inspect", &model, "--closely", "--print-width=0"]).contains("more than 0"));
}
