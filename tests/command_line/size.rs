//! `size`: what a model measures, and the model made as large as it should be.

use seamwright_geometry::exchange::{Format, Overwrite, Piece, write};
use seamwright_geometry::{Point, solids};

use crate::workshop::{Workshop, assert_near, brick, numbers};

#[test]
fn a_model_is_enlarged_to_a_height() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let answer = shop.json(0, &["size", &brick, "--height", "25", "--out", "large.stl"]);
    assert_near(&answer["factor"], 2.5);
    assert_eq!(numbers(&answer["size_mm"]), [75.0, 50.0, 25.0]);
    assert_eq!(shop.read("large.stl").bounds().unwrap().size().z, 25.0);
}

#[test]
fn two_points_and_their_distance_give_the_factor() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let answer = shop.json(0, &["size", &brick, "--points=-15,0,0;15,0,0", "--distance", "45"]);
    assert_near(&answer["factor"], 1.5);
    assert!(answer["out"].is_null());
}

#[test]
fn a_hollow_model_is_made_to_fit_a_head_with_its_padding() {
    let shop = Workshop::new();
    // A tube with an inner radius of 80 mm, open at both ends: all heights have the same clear inside.
    let outer = solids::sphere(Point::origin(), 100.0, 40);
    let inner = solids::sphere(Point::origin(), 80.0, 40);
    let helm = shop.model("helm.stl", &solids::hollow(&outer, &inner));
    let answer =
        shop.json(0, &["size", &helm, "--wearer", "head circumference", "--measured", "574", "--padding", "10"]);
    let wanted = 574.0 + std::f64::consts::TAU * 10.0;
    let girth = answer["inside_mm"]["girth"].as_f64().unwrap();
    assert!((girth - wanted).abs() < 0.01, "{girth} is not {wanted}");
    let factor = answer["factor"].as_f64().unwrap();
    assert!((factor - wanted / (std::f64::consts::TAU * 80.0)).abs() < 0.01, "{factor}");
}

#[test]
fn what_has_no_inside_is_answered_with_1() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    assert!(shop.json(1, &["size", &brick, "--inside-at", "5"])["inside_mm"].is_null());
    let message = shop.refusal(&["size", &brick, "--wearer", "head breadth"]);
    assert!(message.contains("no clear inside"), "{message}");
    let message = shop.refusal(&["size", &brick, "--wearer", "hat size"]);
    assert!(message.contains("head circumference"), "{message}");
}

#[test]
fn a_mirrored_and_turned_model_is_still_closed_in_any_format() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    for ending in ["stl", "obj", "ply", "3mf"] {
        let out = format!("turned.{ending}");
        shop.json(0, &["size", &brick, "--mirror", "x", "--stand-on=1,0,0", "--out", &out]);
        let answer = shop.json(0, &["inspect", &out]);
        assert_eq!(answer["closed"], true, "{ending}");
        assert_near(&answer["volume_mm3"], 6000.0);
        let bounds = numbers(&answer["bounds_mm"]["max"]);
        assert!((bounds[2] - 30.0).abs() < 1e-4, "it stands on its short side, and on Z = 0: {bounds:?}");
    }
    assert!(shop.refusal(&["size", &brick, "--out", "turned.xyz"]).contains(".3mf"));
    assert!(shop.refusal(&["size", &brick, "--out", "turned.stl"]).contains("turned.stl"));
}

#[test]
fn a_3mf_file_is_read_in_the_unit_that_it_states() {
    let shop = Workshop::new();
    let piece = Piece { name: "brick", mesh: &brick(), colour: None };
    write(&shop.path("brick.3mf"), Format::ThreeMf, &[piece], Overwrite::Refuse).unwrap();
    let answer = shop.json(0, &["inspect", "brick.3mf"]);
    assert_eq!((&answer["unit"], &answer["format"]), (&"millimeter".into(), &"3MF".into()));
    assert_near(&answer["volume_mm3"], 6000.0);
}

#[test]
fn a_size_that_makes_no_sense_brings_a_guess_with_its_reason() {
    let shop = Workshop::new();
    let tiny = shop.model("tiny.stl", &solids::cuboid(Point::origin(), Point::new(0.2, 0.25, 0.31)));
    let answer = shop.json(0, &["inspect", &tiny]);
    assert!(answer["unit_guess"].as_str().unwrap().contains("--unit meter"), "{answer}");
    assert!(shop.json(0, &["inspect", &tiny, "--unit", "meter"])["unit_guess"].is_null());
}

#[test]
fn a_model_is_turned_by_quarters_and_stands_on_the_bench() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let before = numbers(&shop.json(0, &["size", &brick])["size_mm"]);
    let answer = shop.json(0, &["size", &brick, "--turn", "x", "--out", "turned.stl"]);
    let after = numbers(&answer["size_mm"]);
    assert!((after[1] - before[2]).abs() + (after[2] - before[1]).abs() < 1e-9, "{before:?} {after:?}");
    let bounds = numbers(&shop.json(0, &["inspect", "turned.stl"])["bounds_mm"]["min"]);
    assert!(bounds[2].abs() < 1e-6, "{bounds:?}");
    let back = shop.json(0, &["size", &brick, "--turn", "x", "--turn=-x"]);
    assert_eq!(numbers(&back["size_mm"]), before);
    assert!(shop.refusal(&["size", &brick, "--turn", "w"]).contains("is not X, Y or Z"));
}
