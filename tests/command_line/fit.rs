//! `fit`: whether a model fits a bed.

use crate::workshop::{Workshop, assert_near, list, numbers};
use seamwright_geometry::{Point, solids};

#[test]
fn fit_says_how_a_model_fits_and_exits_with_1_when_it_does_not() {
    let shop = Workshop::new();
    let slab = |x: f64, y: f64, z: f64| solids::cuboid(Point::origin(), Point::new(x, y, z));
    let cases = [
        ("flat", slab(200.0, 100.0, 20.0), &[][..], "as-it-stands", 0),
        ("long", slab(100.0, 210.0, 20.0), &[], "turned", 0),
        ("tall", slab(80.0, 80.0, 300.0), &[], "too-big", 1),
        ("tall", slab(80.0, 80.0, 210.0), &["--any-pose"], "tilted", 0),
        ("huge", slab(500.0, 500.0, 500.0), &["--any-pose"], "too-big", 1),
    ];
    for (name, mesh, options, verdict, code) in cases {
        let file = shop.model("part.stl", &mesh);
        let answer = shop.json(code, &[&["fit", &file, "--bed", "220x120x120"][..], options].concat());
        assert_eq!(answer["verdict"], verdict, "{name}: {answer}");
        assert_eq!(answer["fits"], code == 0);
        assert_eq!(answer["bed_from_model"].is_array(), code == 0);
    }
}

#[test]
fn the_pose_of_a_fit_brings_the_model_into_the_room() {
    let shop = Workshop::new();
    let part = solids::cuboid(Point::new(-300.0, 40.0, 7.0), Point::new(-200.0, 250.0, 27.0));
    let file = shop.model("part.stl", &part);
    let answer = shop.json(0, &["fit", &file, "--bed=220x120x120", "--margin=2.5"]);
    assert_eq!(answer["bed"]["room_mm"], serde_json::json!([215.0, 115.0, 120.0]));
    let rows: Vec<Vec<f64>> = list(&answer["bed_from_model"]).iter().map(numbers).collect();
    for p in &part.vertices {
        let q: Vec<f64> = rows.iter().map(|r| r[0] * p.x + r[1] * p.y + r[2] * p.z + r[3]).collect();
        let inside = (2.499..=217.501).contains(&q[0])
            && (2.499..=117.501).contains(&q[1])
            && (-0.001..=120.001).contains(&q[2]);
        assert!(inside, "{p} comes to {q:?}");
    }
}

#[test]
fn a_margin_can_turn_yes_into_no() {
    let shop = Workshop::new();
    let file = shop.model("part.stl", &solids::cuboid(Point::origin(), Point::new(220.0, 220.0, 20.0)));
    let yes = shop.json(0, &["fit", &file, "--bed", "220x220x250"]);
    assert_eq!(yes["verdict"], "as-it-stands");
    let no = shop.json(1, &["fit", &file, "--bed", "220x220x250", "--margin", "2"]);
    assert_eq!(no["verdict"], "too-big");
    assert_near(&no["excess"]["mm"], 4.0);
}
