//! `cut`: closed pieces, written.

use crate::workshop::{Workshop, assert_near, assert_within, brick, list, numbers};
use seamwright_geometry::{Point, inspect, solids};
use std::collections::BTreeSet;
use std::fs;

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
fn words_after_a_plane_make_a_dovetail_with_a_kerf() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let answer = shop.json(0, &["cut", &brick, "--plane=0,0,1,0 dovetail 10x3x2x10", "--out", "out"]);
    let volumes: f64 = list(&answer["pieces"]).iter().map(|piece| piece["volume_mm3"].as_f64().unwrap()).sum();
    assert!((volumes - 6000.0).abs() < 1e-6, "{volumes}");
    assert_eq!(answer["planes"][0]["form"], "dovetail");
    let gap = shop.json(0, &["cut", &brick, "--plane=0,0,1,0 step 2 kerf 0.5", "--out", "gap"]);
    let volumes: f64 = list(&gap["pieces"]).iter().map(|piece| piece["volume_mm3"].as_f64().unwrap()).sum();
    // The gap is 0.5 mm wide about a line of 30 + 2 mm; where it goes round its two corners it is mitred.
    assert!((volumes - (6000.0 - 20.0 * 0.5 * 32.0)).abs() < 1e-6, "{volumes}");
    for piece in list(&gap["pieces"]) {
        assert_eq!(piece["closed"], true);
    }
}

#[test]
fn a_cut_that_ends_parts_one_arm_only() {
    let shop = Workshop::new();
    let ring = shop.model("ring.stl", &solids::torus(Point::origin(), 60.0, 15.0, 48, 20));
    // Square to y, u is z and w is x: turned by 90°, u points along x.
    let once = shop.json(0, &["cut", &ring, "--plane=0,1,0,0 ends 0 turned 90", "--out", "once"]);
    assert_eq!(list(&once["pieces"]).len(), 1);
    let twice =
        ["cut", &ring, "--plane=0,1,0,0 ends 0 turned 90", "--plane=0,1,0,0 ends 0 turned -90", "--out", "twice"];
    assert_eq!(list(&shop.json(0, &twice)["pieces"]).len(), 2);
    let inside = shop.json(0, &["cut", &ring, "--plane=0,1,0,0 ends 60 turned 90", "--out", "inside"]);
    assert_eq!(list(&inside["planes"][0]["ended_inside_mm"]).len(), 1);
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
