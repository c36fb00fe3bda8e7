//! Bad files and bad use: a clear word, and nothing written.

use crate::workshop::{Workshop, brick};
use seamwright_geometry::{Mesh, Point, solids};
use std::fs;
use std::process::Stdio;

#[test]
fn bad_files_are_refused_with_their_name_and_a_way_out() {
    let shop = Workshop::new();
    shop.file("empty.stl", b"");
    shop.file("letter.stl", b"Dear maker, this is no model at all, however long it may go on about helms and blades.");
    let brick = shop.model("brick.stl", &brick());
    let mut short = fs::read(shop.path(&brick)).unwrap();
    short.truncate(250);
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
    for file in ["missing.seamwright.json", "letter.stl", "empty.stl", "folder.stl"] {
        for verb in [&["check", file][..], &["kit", file, "--out", "out"], &["picture", file, "--out", "p.png"]] {
            let message = shop.refusal(verb);
            assert!(message.contains(file), "{message}");
        }
    }
    assert!(!shop.path("out").exists() && !shop.path("p.png").exists());
}

#[test]
fn what_is_whole_of_a_file_that_lost_its_end_is_read_and_that_is_said() {
    let shop = Workshop::new();
    let brick = shop.model("brick.stl", &brick());
    let mut short = fs::read(shop.path(&brick)).unwrap();
    short.truncate(400);
    shop.file("short.stl", &short);
    let answer = shop.json(0, &["inspect", "short.stl"]);
    assert_eq!((&answer["triangles"], &answer["closed"]), (&6.into(), &false.into()));
    assert_eq!(answer["remarks"].as_array().unwrap().len(), 1);
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
        (&["cut", brick, "--plane=0,0,1"], "4 numbers"),
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

#[test]
fn what_is_left_out_or_mistaken_is_told_with_what_would_do() {
    let shop = Workshop::new();
    let project = shop.project("tower", &crate::workshop::tower(), &[100.0, 200.0]);
    let message = shop.refusal(&["place", &project]);
    assert!(message.contains("say for which cut: cut 1, cut 2"), "{message}");
    let message = shop.refusal(&["cut", &project, "--plane=0,0,1,0", "--out", "out"]);
    assert!(message.contains("is a project") && message.contains("seamwright kit"), "{message}");
    assert!(message.starts_with("error: "), "as bad use is told: {message}");
    let message = shop.refusal(&["inspect", "missing.stl"]);
    assert!(message.contains("missing.stl") && !message.contains("os error"), "{message}");
    let brick = shop.model("brick.stl", &brick());
    for (short, long) in [("mm", "millimeter"), ("cm", "centimeter"), ("in", "inch"), ("m", "meter")] {
        let told = shop.json(0, &["inspect", &brick, "--unit", short]);
        assert_eq!(told["unit"], shop.json(0, &["inspect", &brick, "--unit", long])["unit"]);
    }
}
