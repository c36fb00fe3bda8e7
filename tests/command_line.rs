//! The command line as a maker and a script see it: the program is run, its answers and files are read back.

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use seamwright_geometry::exchange::{Overwrite, read_stl, write_stl};
use seamwright_geometry::{Bed, Mesh, Point, Progress, inspect, solids};
use seamwright_project::{Axis, CutPlane, Document, Edit, Recipe, Scope, store};
use serde_json::Value;
use tempfile::TempDir;

// ---------------------------------------------------------------------------------------------------------- inspect

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

// -------------------------------------------------------------------------------------------------------------- cut

#[test]
fn cut_writes_closed_pieces_whose_volumes_are_those_of_the_formula() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let answer = shop.json(0, &["cut", &brick, "--plane=0,0,1,2", "--out", "pieces"]);
    let pieces = list(&answer["pieces"]);
    assert_eq!(pieces.len(), 2);
    let mut volumes: Vec<f64> = pieces.iter().map(|p| p["volume_mm3"].as_f64().unwrap()).collect();
    volumes.sort_by(f64::total_cmp);
    assert_eq!(volumes, [30.0 * 20.0 * 3.0, 30.0 * 20.0 * 7.0]);
    for piece in pieces {
        assert_eq!(piece["closed"], true);
        assert_near(&piece["cap_area_mm2"], 600.0);
        let written = shop.read(&format!("pieces/{}", piece["file"].as_str().unwrap()));
        let report = inspect(&written);
        assert!(report.closed);
        assert_eq!(report.triangles as u64, piece["triangles"].as_u64().unwrap());
        assert_near(&piece["volume_mm3"], report.volume_mm3);
        assert_near(&piece["area_mm2"], report.area_mm2);
        let bounds = report.bounds.unwrap();
        assert_eq!(numbers(&piece["bounds_mm"]["min"]), *bounds.min.coords.as_slice());
        assert_eq!(numbers(&piece["bounds_mm"]["max"]), *bounds.max.coords.as_slice());
    }
}

#[test]
fn a_slanted_cut_of_a_sphere_gives_the_volume_and_the_cap_of_the_formula() {
    let shop = Workshop::new();
    let r = 40.0_f64;
    let ball = shop.model("ball.stl", &solids::sphere(Point::new(5.0, -3.0, 8.0), r, 64));
    // 0.6, 0, 0.8 is of unit length; the plane passes 10 mm above the centre.
    let offset = 0.6 * 5.0 + 0.8 * 8.0 + 10.0;
    let answer = shop.json(0, &["cut", &ball, &format!("--plane=0.6,0,0.8,{offset}"), "--out", "pieces"]);
    let pieces = list(&answer["pieces"]);
    assert_eq!(pieces.len(), 2);
    let h = r - 10.0;
    let small = std::f64::consts::PI * h * h * (3.0 * r - h) / 3.0;
    let cap = std::f64::consts::PI * (r * r - 100.0);
    let smallest = pieces.iter().map(|p| p["volume_mm3"].as_f64().unwrap()).fold(f64::INFINITY, f64::min);
    // An icosahedron of 64 divisions lies inside its sphere by about a thousandth of the volume.
    assert!((smallest / small - 1.0).abs() < 2e-3, "{smallest} and {small}");
    for piece in pieces {
        assert_within(&piece["cap_area_mm2"], cap, 2e-3);
    }
}

#[test]
fn several_planes_give_all_the_pieces_and_their_volumes_add_up() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let out = ["--out", "pieces"];
    let planes = ["--plane=1,0,0,-5", "--plane", "0,1,0,-2.5", "--plane=0.6,0,0.8,0"];
    let answer = shop.json(0, &[&["cut", &brick][..], &planes, &out].concat());
    let pieces = list(&answer["pieces"]);
    assert!(pieces.len() >= 6, "{}", pieces.len());
    assert!(pieces.iter().all(|piece| piece["closed"] == true));
    let total: f64 = pieces.iter().map(|piece| piece["volume_mm3"].as_f64().unwrap()).sum();
    assert!((total - 6000.0).abs() < 6000.0 * 1e-9, "{total}");
    let files: BTreeSet<&str> = pieces.iter().map(|piece| piece["file"].as_str().unwrap()).collect();
    assert_eq!(files.len(), pieces.len());
    assert_eq!(files.into_iter().map(str::to_owned).collect::<BTreeSet<_>>(), shop.names("pieces"));
}

#[test]
fn negative_offsets_work_after_an_equals_sign_and_after_a_space() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    for (out, plane) in [("a", &["--plane=0,0,1,-2.5"][..]), ("b", &["--plane", "-0,0,-1,2.5"][..])] {
        let answer = shop.json(0, &[&["cut", &brick][..], plane, &["--out", out]].concat());
        let mut volumes: Vec<f64> = list(&answer["pieces"]).iter().map(|p| p["volume_mm3"].as_f64().unwrap()).collect();
        volumes.sort_by(f64::total_cmp);
        assert_eq!(volumes, [1500.0, 4500.0]);
    }
}

#[test]
fn the_same_cut_gives_the_same_files_to_the_last_byte() {
    let shop = Workshop::new();
    let ball = shop.model("ball.stl", &solids::sphere(Point::origin(), 40.0, 20));
    for out in ["a", "b"] {
        shop.json(0, &["cut", &ball, "--plane=0.6,0,0.8,3", "--plane=0,1,0,0", "--out", out]);
    }
    assert_eq!(shop.names("a"), shop.names("b"));
    for name in shop.names("a") {
        let bytes = |dir: &str| fs::read(shop.path(dir).join(&name)).unwrap();
        assert!(bytes("a") == bytes("b"), "{name} differs");
    }
}

#[test]
fn a_plane_beside_the_model_leaves_it_whole_and_says_so() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let answer = shop.json(0, &["cut", &brick, "--plane=0,0,1,500", "--out", "pieces"]);
    assert_eq!(list(&answer["pieces"]).len(), 1);
    assert_near(&answer["pieces"][0]["volume_mm3"], 6000.0);
    assert_eq!(answer["pieces"][0]["cap_area_mm2"], 0.0);
    assert_eq!(answer["planes"][0]["parted"], false);
    let out = shop.run(&["cut", &brick, "--plane=0,0,1,500", "--out", "again"]);
    assert!(String::from_utf8_lossy(&out.stdout).contains("plane 1 crosses nothing"));
}

#[test]
fn timings_are_those_of_the_four_steps() {
    let shop = Workshop::new();
    let ball = shop.model("ball.stl", &solids::sphere(Point::origin(), 40.0, 60));
    let started = std::time::Instant::now();
    let answer = shop.json(0, &["cut", &ball, "--plane=0,0,1,3", "--out", "pieces"]);
    let whole = started.elapsed().as_secs_f64();
    let timings = answer["timings_s"].as_object().unwrap();
    let steps: BTreeSet<&str> = timings.keys().map(String::as_str).collect();
    assert_eq!(steps, BTreeSet::from(["read", "merge", "cut", "write"]));
    let sum: f64 = timings.values().map(|s| s.as_f64().unwrap()).sum();
    assert!(timings.values().all(|s| s.as_f64().unwrap() > 0.0), "{timings:?}");
    assert!(sum < whole, "{sum} s of {whole} s");
}

#[test]
fn a_piece_of_an_open_model_that_stays_open_is_written_and_answered_with_1() {
    let shop = Workshop::new();
    let mut open = brick();
    // Two faces of the top: an opening far from the cut, which the cut can't close.
    open.triangles.retain(|t| t.iter().any(|&i| open.vertices[i as usize].z < 0.0));
    let answer = shop.json(1, &["cut", &shop.model("open.stl", &open), "--plane=0,0,1,0", "--out", "pieces"]);
    let closed: Vec<bool> = list(&answer["pieces"]).iter().map(|p| p["closed"].as_bool().unwrap()).collect();
    assert_eq!(closed.iter().filter(|closed| **closed).count(), 1);
    assert_eq!(shop.names("pieces").len(), closed.len());
}

#[test]
fn bodies_that_a_cut_disconnects_are_pieces_of_their_own_unless_kept_together() {
    let shop = Workshop::new();
    let (low, high) = (Point::new(0.0, 0.0, 0.0), Point::new(10.0, 10.0, 10.0));
    let shift = nalgebra::Vector3::new(30.0, 0.0, 0.0);
    let two = solids::joined(&[&solids::cuboid(low, high), &solids::cuboid(low + shift, high + shift)]);
    let two = shop.model("two.stl", &two);
    let parted = shop.json(0, &["cut", &two, "--plane=0,0,1,5", "--out", "parted"]);
    assert_eq!(list(&parted["pieces"]).len(), 4);
    let together = shop.json(0, &["cut", &two, "--plane=0,0,1,5", "--keep-together", "--out", "together"]);
    assert_eq!(list(&together["pieces"]).len(), 2);
}

#[test]
fn nothing_is_replaced_without_force_and_nothing_new_is_written_either() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let cut = ["cut", &brick, "--plane=0,0,1,2", "--out", "pieces"];
    let first = shop.json(0, &cut);
    let files = shop.names("pieces");
    // One of two in the way is enough to write neither.
    let (gone, kept) = (files.first().unwrap(), files.last().unwrap());
    fs::remove_file(shop.path("pieces").join(gone)).unwrap();
    fs::write(shop.path("pieces").join(kept), "mine").unwrap();
    let message = shop.refusal(&cut);
    assert!(message.contains(kept) && message.contains("--force"), "{message}");
    assert_eq!(shop.names("pieces"), BTreeSet::from([kept.clone()]));
    assert_eq!(fs::read_to_string(shop.path("pieces").join(kept)).unwrap(), "mine");

    let forced = shop.json(0, &[&cut[..], &["--force"]].concat());
    assert_eq!(forced["pieces"], first["pieces"]);
    assert_eq!(shop.names("pieces"), files);
}

// -------------------------------------------------------------------------------------------------------------- fit

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

// -------------------------------------------------------------------------------------------- kit, check and picture

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

// ---------------------------------------------------------------------------------------------------------- bad input

#[test]
fn bad_files_are_refused_with_their_name_and_a_way_out() {
    let shop = Workshop::new();
    shop.file("empty.stl", b"");
    shop.file("letter.stl", b"Dear maker, this is no model at all, however long it may go on about helms and blades.");
    let brick = shop.model("brick.stl", &brick());
    let mut short = fs::read(shop.path(&brick)).unwrap();
    short.truncate(400);
    shop.file("short.stl", &short);
    let mut nan = fs::read(shop.path(&brick)).unwrap();
    for facet in 0..12 {
        nan[84 + 50 * facet + 12..][..4].copy_from_slice(&f32::NAN.to_le_bytes());
    }
    shop.file("nan.stl", &nan);
    fs::create_dir(shop.path("folder.stl")).unwrap();
    for file in ["empty.stl", "letter.stl", "short.stl", "nan.stl", "folder.stl", "missing.stl"] {
        for verb in
            [&["inspect", file][..], &["cut", file, "--plane=0,0,1,0", "--out", "out"], &["fit", file, "--bed=9x9x9"]]
        {
            let message = shop.refusal(verb);
            assert!(message.contains(file), "{message}");
        }
        assert!(!shop.path("out").exists(), "{file} left a folder behind");
    }
    shop.file("helm.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n");
    let message = shop.refusal(&["inspect", "helm.obj"]);
    assert!(message.contains("export the model as STL"), "{message}");
    for file in ["missing.seamwright.json", "letter.stl", "empty.stl", "folder.stl"] {
        for verb in [&["check", file][..], &["kit", file, "--out", "out"], &["picture", file, "--out", "p.png"]] {
            let message = shop.refusal(verb);
            assert!(message.contains(file), "{message}");
        }
    }
    assert!(!shop.path("out").exists() && !shop.path("p.png").exists());
}

#[test]
fn some_facets_that_are_no_numbers_are_counted() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let mut bytes = fs::read(shop.path(&brick)).unwrap();
    bytes[84 + 12..][..4].copy_from_slice(&f32::INFINITY.to_le_bytes());
    shop.file("nan.stl", &bytes);
    let answer = shop.json(0, &["inspect", "nan.stl"]);
    assert_eq!((&answer["set_aside"], &answer["facets"], &answer["triangles"]), (&1.into(), &12.into(), &11.into()));
    assert_eq!(answer["closed"], false);
}

#[test]
fn bad_use_is_exit_code_2_with_a_word_about_it() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let brick = brick.as_str();
    let cases: [(&[&str], &str); 17] = [
        (&["insepct", brick], "no such verb"),
        (&["insepct"], "no such verb"),
        (&[brick, "inspect"], "begins with a verb"),
        (&["inspect"], "FILE"),
        (&["inspect", brick, "--unit", "cubit"], "cubit"),
        (&["cut", brick, "--out", "out"], "--plane"),
        (&["cut", brick, "--plane=0,0,1"], "four numbers"),
        (&["cut", brick, "--plane=0,0,0,1", "--out", "out"], "points nowhere"),
        (&["cut", brick, "--plane=0,0,1,NaN", "--out", "out"], "finite"),
        (&["cut", brick, "--plane=0,0,1,0"], "--out"),
        (&["fit", brick], "--bed"),
        (&["fit", brick, "--bed", "0x220x250"], "more than 0"),
        (&["fit", brick, "--bed", "220x220"], "220x220x250"),
        (&["fit", brick, "--bed", "220x220x250", "--margin=-1"], "--margin"),
        (&["fit", brick, "--bed", "220x220x250", "--margin=110"], "leave nothing"),
        (&["fit", brick, "--bed", "220x220x250", "--margin", "wide"], "wide"),
        (&["picture", "p.seamwright.json", "--out", "p.png", "--size", "0x0"], "1280x800"),
    ];
    for (args, word) in cases {
        let message = shop.refusal(args);
        assert!(message.contains(word), "{word:?} is not in:\n{message}");
    }
    assert!(!shop.path("out").exists());
}

#[test]
fn a_folder_that_cannot_be_used_is_named() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    shop.file("taken", b"a file");
    let message = shop.refusal(&["cut", &brick, "--plane=0,0,1,0", "--out", "taken"]);
    assert!(message.contains("taken") && message.contains("--out"), "{message}");
    let message = shop.refusal(&["cut", &brick, "--plane=0,0,1,0", "--out", "taken/deeper"]);
    assert!(message.contains("taken"), "{message}");
    assert_eq!(fs::read(shop.path("taken")).unwrap(), b"a file");
}

#[test]
fn a_reader_that_leaves_early_is_no_failure() {
    let shop = Workshop::new();
    let many: Vec<Mesh> = (0..300)
        .map(|i| {
            solids::cuboid(Point::new(f64::from(i) * 2.0, 0.0, 0.0), Point::new(f64::from(i) * 2.0 + 1.0, 1.0, 1.0))
        })
        .collect();
    let many = shop.model("many.stl", &solids::joined(&many.iter().collect::<Vec<_>>()));
    let mut child =
        shop.command(&["inspect", &many, "--json"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // Closed before anything was read; the answer is larger than a pipe's buffer.
    drop(child.stdout.take());
    let out = child.wait_with_output().unwrap();
    assert_eq!((out.status.code(), String::from_utf8_lossy(&out.stderr).as_ref()), (Some(0), ""));
}

// ------------------------------------------------------------------------------------------------------------- help

#[test]
fn the_help_names_every_verb_and_every_option_and_the_page_documents_them() {
    let shop = Workshop::new();
    let page = include_str!("../crates/workbench/COMMANDS.md");
    let out = shop.run(&["--help"]);
    let top = String::from_utf8(out.stdout).unwrap();
    let verbs: [(&str, &[&str]); 6] = [
        ("inspect", &["--unit", "--json"]),
        ("cut", &["--plane", "--out", "--unit", "--keep-together", "--force", "--json"]),
        ("fit", &["--bed", "--margin", "--any-pose", "--unit", "--json"]),
        ("kit", &["--out", "--force", "--json"]),
        ("picture", &["--out", "--size", "--view", "--exploded", "--force", "--json"]),
        ("check", &["--json"]),
    ];
    for (verb, options) in verbs {
        assert!(top.contains(verb), "{verb} is not in:\n{top}");
        assert!(page.contains(&format!("## {verb}")), "{verb} has no section in the page");
        let out = shop.run(&[verb, "--help"]);
        let text = String::from_utf8(out.stdout).unwrap();
        assert_eq!(out.status.code(), Some(0));
        let shown: BTreeSet<&str> = text
            .split_whitespace()
            .filter(|word| word.starts_with("--"))
            .map(|word| word.trim_end_matches(|c: char| !c.is_ascii_lowercase()))
            .collect();
        for option in options {
            assert!(shown.contains(option), "{option} is not in:\n{text}");
        }
        for option in shown {
            assert!(page.contains(option), "{verb} {option} is not documented in the page");
        }
    }
}

/// Set to anything, it makes this test write what the program says into the page instead of comparing.
const REWRITE: &str = "SEAMWRIGHT_REWRITE_PAGE";

#[test]
fn the_examples_of_the_page_are_what_the_program_says() {
    let shop = Workshop::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    fs::create_dir(shop.path("demo-projects")).unwrap();
    for entry in fs::read_dir(root.join("demo-projects")).unwrap() {
        let from = entry.unwrap().path();
        fs::copy(&from, shop.path("demo-projects").join(from.file_name().unwrap())).unwrap();
    }
    let place = root.join("crates/workbench/COMMANDS.md");
    let page = fs::read_to_string(&place).unwrap();
    let mut said = String::new();
    let mut examples = 0;
    let mut blocks = page.split("```");
    while let Some(text) = blocks.next() {
        said += text;
        let Some(block) = blocks.next() else { break };
        said += "```";
        match block.lines().nth(1).and_then(|line| line.strip_prefix("$ seamwright ")) {
            Some(command) => {
                examples += 1;
                let out = shop.run(&command.split_whitespace().collect::<Vec<_>>());
                if cannot_draw(&out) {
                    said += block;
                    said += "```";
                    continue;
                }
                assert!(out.stderr.is_empty(), "{command}: {}", String::from_utf8_lossy(&out.stderr));
                said += &format!("\n$ seamwright {command}\n{}", String::from_utf8(out.stdout).unwrap());
            }
            None => said += block,
        }
        said += "```";
    }
    assert_eq!(examples, 6, "one for each verb");
    if std::env::var_os(REWRITE).is_some() {
        fs::write(&place, said).unwrap();
        return;
    }
    let differing = page.lines().zip(said.lines()).find(|(written, said)| written != said);
    assert!(
        page == said,
        "the page and the program differ, first here: {differing:#?}\nRun this test with {REWRITE}=1 to bring the page \
         up to date, and read what changed."
    );
}

// ------------------------------------------------------------------------------------------------------ real meshes

#[test]
fn every_real_stl_is_answered_without_a_panic() {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES") else {
        eprintln!("NOT CHECKED: real meshes, because SEAMWRIGHT_MESHES names no folder");
        return;
    };
    let shop = Workshop::new();
    let mut seen = 0;
    for entry in fs::read_dir(&folder).expect("the folder that SEAMWRIGHT_MESHES names") {
        let path = entry.unwrap().path();
        let is_stl = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl"));
        if !is_stl {
            continue;
        }
        seen += 1;
        let file = path.to_str().unwrap();
        let out = shop.run(&["inspect", file, "--json"]);
        match out.status.code() {
            Some(0) => {
                let answer: Value = serde_json::from_slice(&out.stdout).unwrap();
                assert_eq!(
                    list(&answer["shells"]).iter().map(|s| s["triangles"].as_u64().unwrap()).sum::<u64>(),
                    answer["triangles"].as_u64().unwrap(),
                    "{file}"
                );
            }
            Some(2) => {
                assert!(out.stdout.is_empty());
                assert!(String::from_utf8_lossy(&out.stderr).contains(file), "{file}");
            }
            other => panic!("{file}: exit code {other:?}: {}", String::from_utf8_lossy(&out.stderr)),
        }
    }
    assert!(seen > 0, "there is no STL file in {}", folder.display());
}

// ---------------------------------------------------------------------------------------------------------- helpers

/// A folder of its own in which the program is run.
struct Workshop {
    dir: TempDir,
}

impl Workshop {
    fn new() -> Workshop {
        Workshop { dir: TempDir::new().unwrap() }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn file(&self, name: &str, content: &[u8]) {
        fs::File::create(self.path(name)).unwrap().write_all(content).unwrap();
    }

    /// Writes `mesh` as STL and gives its name, as it is typed on the command line.
    fn model(&self, name: &str, mesh: &Mesh) -> String {
        write_stl(&self.path(name), mesh, name, Overwrite::Allow).unwrap();
        name.to_owned()
    }

    fn read(&self, name: &str) -> Mesh {
        read_stl(&self.path(name), &Progress::new()).unwrap().mesh
    }

    /// Saves a project of `mesh`, cut square to z at `cuts_mm`, for a bed of 220 × 220 × 250 mm, and gives its file's
    /// name.
    fn project(&self, name: &str, mesh: &Mesh, cuts_mm: &[f64]) -> String {
        let stock = self.model(&format!("{name}.stl"), mesh);
        let source = store::describe_source(&self.path(&stock), self.dir.path()).unwrap();
        let mut document = Document::new(Recipe::new(name));
        document.apply(&Edit::SetStock(source)).unwrap();
        document.apply(&Edit::SetBed(Bed::rectangle(220.0, 220.0, 250.0))).unwrap();
        for &offset in cuts_mm {
            let plane = CutPlane::square(Axis::Z, offset);
            document.apply(&Edit::AddCut { name: String::new(), plane, scope: Scope::All }).unwrap();
        }
        let file = format!("{name}.seamwright.json");
        store::save(&self.path(&file), document.recipe()).unwrap();
        file
    }

    fn names(&self, dir: &str) -> BTreeSet<String> {
        let entries = fs::read_dir(self.path(dir)).unwrap();
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
    }

    fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_seamwright"));
        command.current_dir(self.dir.path()).args(args).stdin(Stdio::null());
        command
    }

    fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().unwrap()
    }

    /// Runs with `--json`: exactly one object on the standard output, nothing on the standard error.
    fn json(&self, code: i32, args: &[&str]) -> Value {
        let out = self.run(&[args, &["--json"]].concat());
        let complaint = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(code), "{args:?}: {complaint}");
        assert_eq!(complaint, "", "{args:?}");
        let value: Value = serde_json::from_slice(&out.stdout).unwrap();
        assert!(value.is_object());
        value
    }

    /// Runs what must be refused: exit code 2, a message, and nothing on the standard output, with and without
    /// `--json`.
    fn refusal(&self, args: &[&str]) -> String {
        let plain = self.run(args);
        let json = self.run(&[args, &["--json"]].concat());
        for out in [&plain, &json] {
            assert_eq!(out.status.code(), Some(2), "{args:?}: {}", String::from_utf8_lossy(&out.stdout));
            assert!(out.stdout.is_empty(), "{args:?}: {}", String::from_utf8_lossy(&out.stdout));
        }
        let message = String::from_utf8(plain.stderr).unwrap();
        assert!(!message.trim().is_empty() && !message.contains("panicked"), "{args:?}: {message}");
        message
    }
}

/// Whether the program says that this machine has nothing to draw with, which is told, and is a fault where the tools
/// were fetched on purpose.
fn cannot_draw(out: &Output) -> bool {
    let complaint = String::from_utf8_lossy(&out.stderr);
    let cannot = out.status.code() == Some(2) && complaint.contains("EGL");
    if cannot {
        assert!(std::env::var_os("SEAMWRIGHT_TOOLS_REQUIRED").is_none(), "{complaint}");
        eprintln!("NOT CHECKED: pictures, because this machine has nothing to draw with: {complaint}");
    }
    cannot
}

/// 30 × 20 × 10 mm about the origin; all coordinates are exact in STL.
fn brick() -> Mesh {
    solids::cuboid(Point::new(-15.0, -10.0, -5.0), Point::new(15.0, 10.0, 5.0))
}

/// 60 × 40 × 420 mm: too long for the bed in every pose but cut.
fn tower() -> Mesh {
    solids::cuboid(Point::origin(), Point::new(60.0, 40.0, 420.0))
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("{value} is no list"))
}

fn numbers(value: &Value) -> Vec<f64> {
    list(value).iter().map(|n| n.as_f64().unwrap()).collect()
}

/// Equal but for the rounding of doubles.
#[track_caller]
fn assert_near(value: &Value, expected: f64) {
    assert_within(value, expected, 1e-9);
}

#[track_caller]
fn assert_within(value: &Value, expected: f64, relative: f64) {
    let value = value.as_f64().unwrap_or_else(|| panic!("{value} is no number"));
    assert!((value - expected).abs() <= relative * expected.abs().max(f64::MIN_POSITIVE), "{value}, not {expected}");
}
