//! `fit`: whether a model, or the pieces of a project, fit a bed.

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

#[test]
fn what_does_not_fit_as_it_stands_tells_its_sizes_there_and_which_ways_it_is_too_long() {
    let shop = Workshop::new();
    let file = shop.model("part.stl", &solids::cuboid(Point::origin(), Point::new(300.0, 224.5, 180.0)));
    let answer = shop.json(1, &["fit", &file, "--bed", "220x220x250"]);
    let stands = &answer["as_it_stands"];
    assert_eq!(
        (numbers(&stands["sizes_mm"]), numbers(&stands["over_mm"])),
        (vec![300.0, 224.5, 180.0], vec![80.0, 4.5, 0.0])
    );
    let said = String::from_utf8(shop.run(&["fit", &file, "--bed", "220x220x250"]).stdout).unwrap();
    assert!(said.contains("stands 300.0 × 224.5 × 180.0 mm, 80.0 mm too wide and 4.5 mm too deep"), "{said}");
    let fits = String::from_utf8(shop.run(&["fit", &file, "--bed", "400x400x250"]).stdout).unwrap();
    assert!(!fits.contains("stands 300") && fits.contains("fits as it stands"), "{fits}");
}

#[test]
fn every_bed_has_its_verdict_and_one_that_fits_is_enough() {
    let shop = Workshop::new();
    let file = shop.model("part.stl", &solids::cuboid(Point::origin(), Point::new(150.0, 150.0, 20.0)));
    let beds = ["--bed", "100x300x300", "--bed", "round 212.2x50", "--bed=160x160x50 keep-out 0,0;30,0;0,30"];
    let answer = shop.json(0, &[&["fit", &file][..], &beds].concat());
    let verdicts: Vec<&str> = list(&answer["beds"]).iter().map(|bed| bed["verdict"].as_str().unwrap()).collect();
    assert_eq!(verdicts, ["too-big", "as-it-stands", "too-big"]);
    assert_eq!(answer["bed"]["name"], "round 212.2x50");
    assert_eq!(answer["proof"]["by"], "pose");
    assert!(answer["proof"]["sticks_out_mm"].as_f64().unwrap() < 1e-3);
    assert_eq!(list(&answer["beds"])[0]["proof"], serde_json::json!({ "by": "bound", "bound": "every turn" }));
    assert_eq!(list(&answer["beds"])[2]["excess"]["axis"], "across");
    shop.json(1, &["fit", &file, "--bed", "round 212.1x50"]);
}

#[test]
fn beds_of_ones_own_are_kept_by_name_and_forgotten() {
    let shop = Workshop::new();
    let file = shop.model("part.stl", &solids::cuboid(Point::origin(), Point::new(150.0, 150.0, 20.0)));
    let kept = shop.path("mine.json").display().to_string();
    let told = shop.json(0, &["beds", "--kept-in", &kept]);
    assert!(list(&told["beds"]).is_empty());
    let told = shop.json(0, &["beds", "--kept-in", &kept, "--keep", "the small one", "--bed=120x120x120 margin 3"]);
    assert_eq!(list(&told["beds"])[0]["room_mm"], serde_json::json!([114.0, 114.0, 120.0]));
    shop.json(1, &["beds", "--kept-in", &kept, "--forget", "the large one"]);
    let told = shop.json(0, &["beds", "--kept-in", &kept, "--forget", "the small one"]);
    assert!(list(&told["beds"]).is_empty());
    // A name that is in no list is told with the way out, and nothing is guessed.
    let out = shop.run(&["fit", &file, "--bed", "the bed of nobody"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&out.stderr).contains("there is no bed called"));
}

#[test]
fn a_long_bar_is_stepped_off_for_a_bed() {
    let shop = Workshop::new();
    let file = shop.model("bar.stl", &solids::cuboid(Point::new(5.0, 0.0, 0.0), Point::new(805.0, 40.0, 30.0)));
    let step = ["cut", &file, "--step-off", "x", "--bed", "220x100x100", "--out", "pieces"];
    let answer = shop.json(0, &step);
    assert_eq!(list(&answer["pieces"]).len(), 4);
    for (plane, at) in list(&answer["planes"]).iter().zip([205.0, 405.0, 605.0]) {
        assert!((plane["offset_mm"].as_f64().unwrap() - at).abs() < 0.1);
    }
    for piece in list(&answer["pieces"]) {
        let piece = format!("pieces/{}", piece["file"].as_str().unwrap());
        shop.json(0, &["fit", &piece, "--bed", "220x100x100"]);
    }
    let out = shop.run(&["cut", &file, "--step-off", "x every 300", "--bed", "220x100x100", "--out", "more"]);
    assert_eq!(out.status.code(), Some(2));
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(said.contains("piece 1 would stick out") && said.contains("the first may be"), "{said}");
}

#[test]
fn what_is_too_big_comes_with_what_to_do() {
    let shop = Workshop::new();
    let file = shop.model("bar.stl", &solids::cuboid(Point::origin(), Point::new(805.0, 40.0, 30.0)));
    let told = shop.json(1, &["fit", &file, "--bed", "220x100x100"]);
    assert_eq!((&told["what_to_do"]["axis"], &told["what_to_do"]["cuts"]), (&"x".into(), &3.into()));
    let text = told["what_to_do"]["text"].as_str().unwrap();
    assert_eq!(text, "cut it across its width: 4 pieces fit (cut --step-off x --bed \"220x100x100\")");
    // It does what it says.
    let cut = shop.json(0, &["cut", &file, "--step-off", "x", "--bed", "220x100x100", "--out", "pieces"]);
    assert_eq!(list(&cut["pieces"]).len(), 4);
    let said = String::from_utf8(shop.run(&["fit", &file, "--bed", "220x100x100"]).stdout).unwrap();
    assert!(said.contains("mm in width at best") && said.contains("  do     cut it across its width"), "{said}");
    let fits = shop.json(0, &["fit", &file, "--bed", "900x100x100"]);
    assert!(fits["what_to_do"].is_null());
}

#[test]
fn the_pieces_of_a_project_are_held_against_its_beds_and_advice_names_the_cut() {
    let shop = Workshop::new();
    let bar = solids::cuboid(Point::origin(), Point::new(100.0, 100.0, 400.0));
    let project = shop.project("bar", &bar, &[130.0]);
    let told = shop.json(1, &["fit", &project]);
    let pieces = list(&told["pieces"]);
    assert_eq!((&pieces[0]["mark"], &pieces[0]["verdict"]), (&"A1".into(), &"as-it-stands".into()));
    assert_eq!((&pieces[1]["verdict"], &pieces[1]["fits"]), (&"too-big".into(), &false.into()));
    let advice = &list(&told["what_to_do"])[0];
    assert_eq!(advice["text"], "A2: move cut 1 by 20.0 mm upwards, and both sides fit");
    assert_eq!((&advice["piece"], &advice["cut"]), (&"A2".into(), &"cut 1".into()));
    assert!(advice["edit"].is_string());
    let said = String::from_utf8(shop.run(&["check", &project]).stdout).unwrap();
    assert!(said.contains("A2: move cut 1 by 20.0 mm upwards, and both sides fit"), "{said}");
    // Other beds than its own may be asked about.
    let told = shop.json(0, &["fit", &project, "--bed", "120x120x150", "--bed", "120x120x300"]);
    let beds: Vec<&str> = list(&told["pieces"]).iter().map(|piece| piece["bed"]["name"].as_str().unwrap()).collect();
    assert_eq!(beds, ["120x120x150", "120x120x300"]);
    assert!(shop.refusal(&["fit", &project, "--margin", "2"]).contains("--bed"));
    assert!(shop.refusal(&["fit", &project, "--unit", "inch"]).contains("unit"));
}
