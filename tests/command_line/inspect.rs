//! `inspect`: what state a model is in.

use crate::workshop::{Workshop, assert_near, assert_within, brick, list, numbers};
use seamwright_geometry::{Point, solids};

#[test]
fn inspect_gives_the_measures_of_a_box() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let answer = shop.json(0, &["inspect", &brick]);
    assert_eq!(answer["triangles"], 12);
    assert_eq!(answer["vertices"], 8);
    assert_eq!(answer["closed"], true);
    assert_near(&answer["volume_mm3"], 30.0 * 20.0 * 10.0);
    assert_near(&answer["area_mm2"], 2.0 * (30.0 * 20.0 + 20.0 * 10.0 + 10.0 * 30.0));
    assert_eq!(numbers(&answer["bounds_mm"]["min"]), [-15.0, -10.0, -5.0]);
    assert_eq!(numbers(&answer["bounds_mm"]["max"]), [15.0, 10.0, 5.0]);
    let shells = list(&answer["shells"]);
    assert_eq!(shells.len(), 1);
    assert_eq!((&shells[0]["triangles"], &shells[0]["closed"]), (&12.into(), &true.into()));
    assert_near(&shells[0]["volume_mm3"], 6000.0);
    assert_eq!(shells[0]["bounds_mm"], answer["bounds_mm"]);
}

#[test]
fn inspect_lists_every_shell_and_says_which_is_turned_inwards() {
    let shop = Workshop::new();
    let (outer, inner) = (solids::sphere(Point::origin(), 50.0, 16), solids::sphere(Point::origin(), 46.0, 16));
    let ball = shop.model("ball.stl", &solids::hollow(&outer, &inner));
    let answer = shop.json(0, &["inspect", &ball]);
    let shells = list(&answer["shells"]);
    assert_eq!(shells.len(), 2);
    assert_eq!((&shells[0]["inside_out"], &shells[1]["inside_out"]), (&false.into(), &true.into()));
    // STL holds 32-bit numbers: 1e-6 is their rounding on a sphere of this size, ten times over.
    assert_within(&answer["volume_mm3"], outer.volume_mm3() - inner.volume_mm3(), 1e-6);
    assert_within(&shells[1]["volume_mm3"], -inner.volume_mm3(), 1e-6);
}

#[test]
fn an_open_model_is_an_answer_with_places_not_an_error() {
    let shop = Workshop::new();
    let mut open = brick();
    open.triangles.pop();
    let answer = shop.json(0, &["inspect", &shop.model("open.stl", &open)]);
    assert_eq!((&answer["closed"], &answer["open_edges"]), (&false.into(), &3.into()));
    assert_eq!(list(&answer["shells"])[0]["closed"], false);
    assert_eq!(numbers(&answer["places_mm"]["open_edge"]).len(), 3);
}

#[test]
fn the_unit_scales_what_the_file_says() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    for (unit, mm) in
        [("micron", 0.001), ("millimeter", 1.0), ("centimeter", 10.0), ("inch", 25.4), ("foot", 304.8), ("meter", 1e3)]
    {
        let answer = shop.json(0, &["inspect", &brick, "--unit", unit]);
        assert_within(&answer["volume_mm3"], 6000.0 * mm * mm * mm, 1e-9);
        assert_within(&answer["area_mm2"], 2200.0 * mm * mm, 1e-9);
        assert_within(&answer["bounds_mm"]["max"][0], 15.0 * mm, 1e-12);
        assert_eq!(answer["unit"], unit);
    }
}

#[test]
fn people_are_told_the_same_in_words() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let out = shop.run(&["inspect", &brick]);
    let text = String::from_utf8(out.stdout).unwrap();
    assert_eq!(out.status.code(), Some(0));
    for word in ["1 shell, closed", "30.0 × 20.0 × 10.0 mm", "6.0 cm³", "22.0 cm²", "12 on 8 vertices"] {
        assert!(text.contains(word), "{word:?} is not in:\n{text}");
    }
}
