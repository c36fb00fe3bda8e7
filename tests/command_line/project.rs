//! `kit`, `check` and `picture`: what is done with a project.

use crate::workshop::{Workshop, assert_near, brick, cannot_draw, list, numbers, tower};
use seamwright_geometry::{Point, inspect, solids};
use seamwright_project::{Recipe, store};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;

#[test]
fn kit_writes_every_piece_resting_on_the_bed_and_the_way_back() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[100.0, 200.0]);
    let answer = shop.json(0, &["kit", &project, "--out", "kit"]);
    let manifest: Value = serde_json::from_slice(&fs::read(shop.path("kit/manifest.json")).unwrap()).unwrap();
    let pieces = list(&answer["pieces"]);
    assert_eq!((answer["manifest"].as_str(), &answer["pieces"]), (Some("manifest.json"), &manifest["pieces"]));
    assert_eq!(pieces.len(), 3);
    let mut whole = 0.0;
    for piece in pieces {
        let laid = shop.read(&format!("kit/{}", piece["file"].as_str().unwrap()));
        let report = inspect(&laid);
        assert!(report.closed && piece["closed"] == true);
        let bounds = report.bounds.unwrap();
        assert_eq!(bounds.min.z, 0.0, "{}", piece["mark"]);
        assert_eq!(numbers(&piece["size_mm"]), *bounds.size().as_slice());
        assert_near(&piece["volume_mm3"], report.volume_mm3);
        whole += report.volume_mm3;
        let back: Vec<Vec<f64>> = list(&piece["assembled_from_file"]).iter().map(numbers).collect();
        for p in &laid.vertices {
            let q: Vec<f64> = back.iter().map(|r| r[0] * p.x + r[1] * p.y + r[2] * p.z + r[3]).collect();
            let inside = (0.0..=60.0).contains(&q[0].round())
                && (0.0..=40.0).contains(&q[1].round())
                && (0.0..=420.0).contains(&q[2].round());
            assert!(inside, "{p} goes back to {q:?}");
        }
    }
    assert!((whole - 60.0 * 40.0 * 420.0).abs() < 1e-3, "{whole}");
    let expected: BTreeSet<String> = ["A1.stl", "A2.stl", "A3.stl", "manifest.json"].map(String::from).into();
    assert_eq!(shop.names("kit"), expected);
}

#[test]
fn a_kit_replaces_nothing_without_force() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[100.0, 200.0]);
    fs::create_dir(shop.path("kit")).unwrap();
    shop.file("kit/manifest.json", b"mine");
    let message = shop.refusal(&["kit", &project, "--out", "kit"]);
    assert!(message.contains("manifest.json") && message.contains("--force"), "{message}");
    assert_eq!(shop.names("kit"), BTreeSet::from(["manifest.json".to_owned()]));
    shop.json(0, &["kit", &project, "--out", "kit", "--force"]);
    assert_eq!(shop.names("kit").len(), 4);
}

#[test]
fn a_kit_is_not_strewn_among_other_files_without_force() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[100.0, 200.0]);
    fs::create_dir(shop.path("letters")).unwrap();
    shop.file("letters/to my aunt.txt", b"dear");
    let message = shop.refusal(&["kit", &project, "--out", "letters"]);
    assert!(message.contains("to my aunt.txt") && message.contains("--force"), "{message}");
    assert!(message.contains("a new folder with --out, such as letters/kit"), "{message}");
    assert_eq!(shop.names("letters").len(), 1);
    shop.json(0, &["kit", &project, "--out", "letters/kit"]);
    shop.json(0, &["kit", &project, "--out", "letters", "--force"]);
    assert_eq!(shop.names("letters").len(), 6, "the letter, the folder, and a kit of three pieces beside them");
}

#[test]
fn a_piece_that_does_not_fit_is_written_told_and_answered_with_1() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[]);
    let check = shop.json(1, &["check", &project]);
    assert_eq!((&check["ok"], &check["pieces"][0]["fit"]), (&false.into(), &"too-big".into()));
    assert_eq!(check["problems"][0]["piece"], "A1");
    let kit = shop.json(1, &["kit", &project, "--out", "kit"]);
    assert_eq!(kit["problems"], check["problems"]);
    assert!(shop.path("kit/A1.stl").is_file());
}

#[test]
fn a_sound_project_passes_its_check() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[210.0]);
    let check = shop.json(0, &["check", &project]);
    assert_eq!((&check["ok"], list(&check["problems"]).len()), (&true.into(), 0));
    let pieces = list(&check["pieces"]);
    assert_eq!(pieces.iter().map(|p| p["mark"].as_str().unwrap()).collect::<Vec<_>>(), ["A1", "A2"]);
    assert!(pieces.iter().all(|piece| piece["closed"] == true));
    assert_eq!(numbers(&pieces[0]["bounds_mm"]["max"]), [60.0, 40.0, 210.0]);
    assert_near(&pieces[0]["volume_mm3"], 60.0 * 40.0 * 210.0);
}

#[test]
fn check_writes_nothing() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[210.0]);
    let before = shop.names(".");
    shop.json(0, &["check", &project]);
    assert_eq!(shop.names("."), before);
}

#[test]
fn a_project_whose_model_is_gone_or_changed_is_named_with_the_model() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[210.0]);
    shop.model("tower.stl", &brick());
    for verb in [&["check", &project][..], &["kit", &project, "--out", "kit"], &["picture", &project, "--out", "p.png"]]
    {
        let message = shop.refusal(verb);
        assert!(message.contains(&project) && message.contains("tower.stl"), "{message}");
    }
    fs::remove_file(shop.path("tower.stl")).unwrap();
    for verb in [&["check", &project][..], &["kit", &project, "--out", "kit"], &["picture", &project, "--out", "p.png"]]
    {
        let message = shop.refusal(verb);
        assert!(message.contains(&project) && message.contains("tower.stl is not there"), "{message}");
    }
    assert!(!shop.path("kit").exists() && !shop.path("p.png").exists());
}

#[test]
fn a_project_without_a_model_is_no_project_to_make() {
    let shop = Workshop::new();
    store::save(&shop.path("bare.seamwright.json"), &Recipe::new("bare")).unwrap();
    let message = shop.refusal(&["check", "bare.seamwright.json"]);
    assert!(message.contains("no model yet"), "{message}");
}

#[test]
fn picture_draws_the_pieces_apart_or_together_and_replaces_nothing() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[210.0]);
    let draw = |out: &str, more: &[&str]| shop.run(&[&["picture", &project, "--out", out][..], more].concat());
    let first = draw("together.png", &["--size", "320x200"]);
    if cannot_draw(&first) {
        return;
    }
    assert_eq!((first.status.code(), String::from_utf8_lossy(&first.stderr).as_ref()), (Some(0), ""));
    let together = image::open(shop.path("together.png")).unwrap().to_rgba8();
    assert_eq!(together.dimensions(), (320, 200));
    let colours: BTreeSet<[u8; 4]> = together.pixels().map(|p| p.0).collect();
    assert!(colours.len() > 50, "the picture has {} colours only", colours.len());

    let message = shop.refusal(&["picture", &project, "--out", "together.png"]);
    assert!(message.contains("together.png") && message.contains("--force"), "{message}");

    let answer = shop.json(0, &["picture", &project, "--out", "apart.png", "--size=320x200", "--exploded=1"]);
    assert_eq!((&answer["file"], &answer["pieces"]), (&"apart.png".into(), &2.into()));
    let apart = image::open(shop.path("apart.png")).unwrap().to_rgba8();
    assert!(apart != together, "the pieces were not drawn apart");
    let seen: BTreeSet<Vec<u8>> = ["front", "back", "left", "right", "top", "bottom", "three-quarter"]
        .map(|view| {
            assert_eq!(draw("view.png", &["--size=64x64", "--view", view, "--force"]).status.code(), Some(0));
            image::open(shop.path("view.png")).unwrap().to_rgba8().into_raw()
        })
        .into();
    assert!(seen.len() >= 4, "{} different views", seen.len());
}

#[test]
fn a_picture_that_could_not_be_is_refused_before_any_work() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[210.0]);
    for (more, word) in [
        (&["--out", "p.jpg"][..], "PNG"),
        (&["--out", "p.png", "--exploded=-1"], "between 0"),
        (&["--out", "p.png", "--exploded=NaN"], "between 0"),
        (&["--out", "p.png", "--view", "inside"], "inside"),
        (&["--out", "nowhere/p.png"], "nowhere"),
    ] {
        let message = shop.refusal(&[&["picture", &project][..], more].concat());
        assert!(message.contains(word), "{word:?} is not in:\n{message}");
    }
}

#[test]
fn a_cut_is_placed_where_both_its_sides_fit_and_the_project_is_written_so() {
    let shop = Workshop::new();
    let bar = solids::cuboid(Point::origin(), Point::new(100.0, 100.0, 400.0));
    let file = shop.project("bar", &bar, &[130.0]);
    let found = shop.json(0, &["place", &file, "--cut", "cut 1", "--out", "moved.seamwright.json"]);
    assert_eq!((found["found"].as_str(), found["out"].as_str()), (Some("place"), Some("moved.seamwright.json")));
    assert_eq!(found["text"], "move cut 1 by 20.0 mm upwards, and both sides fit");
    assert_near(&found["moved_mm"], 20.0);
    assert_near(&found["plane"]["offset_mm"], 150.0);
    shop.json(1, &["check", &file]);
    shop.json(0, &["check", "moved.seamwright.json"]);
    // Where it is already, on another bed, and nowhere.
    let here = shop.json(0, &["place", "moved.seamwright.json", "--cut", "1"]);
    assert_eq!((here["found"].as_str(), here["moved_mm"].is_null()), (Some("here"), true));
    let other = shop.json(0, &["place", &file, "--cut", "1", "--bed", "220x220x300"]);
    assert_eq!(other["found"], "here");
    let nowhere = shop.json(1, &["place", &file, "--cut", "1", "--bed", "120x120x180"]);
    assert_eq!((nowhere["found"].as_str(), nowhere["plane"].is_null()), (Some("nowhere"), true));
    // Nothing is replaced, and what is not there is said.
    let said = shop.refusal(&["place", &file, "--cut", "1", "--out", "moved.seamwright.json"]);
    assert!(said.contains("--force"), "{said}");
    let said = shop.refusal(&["place", &file, "--cut", "brow"]);
    assert!(said.contains("its cuts are: cut 1"), "{said}");
}
