//! Bad input and bad use: a clear message that names the file, the place and the way out, the promised exit code, no
//! panic, and everything that was there before is still there.

mod support;

use std::{
    fs::{self, Permissions},
    os::unix::fs::PermissionsExt,
    path::Path,
};

use serde_json::Value;
use support::{
    folder::Folder,
    program::{Run, seamwright},
    say,
    solids::{binary_stl, box_stl, box_triangles, open_box_stl},
    tools,
};

const BOX_MM: [f32; 3] = [40.0, 30.0, 20.0];

#[test]
fn an_empty_file_is_refused_by_every_verb_that_reads_a_mesh() {
    let folder = Folder::new();
    let file = folder.write("empty.stl", []);
    mesh_verbs_refuse(&folder, &file, &["empty"]);
}

#[test]
fn a_truncated_stl_is_refused_and_the_place_is_named() {
    let folder = Folder::new();
    let whole = box_stl(BOX_MM);
    // Of twelve triangles five and a half are left.
    let file = folder.write("truncated.stl", &whole[..84 + 50 * 5 + 25]);
    mesh_verbs_refuse(&folder, &file, &["12", "5"]);
}

#[test]
fn a_text_file_that_is_named_stl_is_refused() {
    let folder = Folder::new();
    let file = folder.write("shopping.stl", "two metres of webbing, rivets, a pot of black paint\n");
    mesh_verbs_refuse(&folder, &file, &[]);
}

#[test]
fn an_ascii_stl_that_ends_within_a_facet_is_refused() {
    let folder = Folder::new();
    let text = "solid part\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\n";
    let file = folder.write("half.stl", text);
    mesh_verbs_refuse(&folder, &file, &[]);
}

#[test]
fn faces_whose_coordinates_are_no_numbers_are_set_aside_aloud_and_leave_the_model_open() {
    let folder = Folder::new();
    for (name, bad) in [("nan.stl", f32::NAN), ("infinite.stl", f32::INFINITY)] {
        let mut triangles = box_triangles(BOX_MM);
        triangles[6][1][2] = bad;
        let file = folder.write(name, binary_stl(&triangles));
        let answer = seamwright(["inspect".as_ref(), file.as_os_str(), "--json".as_ref()]).json();
        assert_eq!((&answer["set_aside"], &answer["closed"]), (&Value::from(1), &Value::from(false)), "{answer}");
        let words = seamwright(["inspect".as_ref(), file.as_os_str()]).stdout;
        assert!(words.contains("not a number"), "{words}");
        assert_eq!(cut(&file, &folder.path(&format!("pieces of {name}")), &[]).code, Some(1));
    }
}

#[test]
fn a_mesh_without_one_usable_face_is_refused() {
    let folder = Folder::new();
    let file = folder.write("nothing.stl", binary_stl(&[[[f32::NAN; 3]; 3]; 4]));
    mesh_verbs_refuse(&folder, &file, &[]);
    let file = folder.write("no-faces.stl", binary_stl(&[]));
    mesh_verbs_refuse(&folder, &file, &[]);
}

#[test]
fn a_missing_file_and_a_folder_in_place_of_a_file_are_refused() {
    let folder = Folder::new();
    mesh_verbs_refuse(&folder, &folder.path("nowhere.stl"), &[]);
    let directory = folder.path("directory.stl");
    fs::create_dir(&directory).unwrap();
    mesh_verbs_refuse(&folder, &directory, &[]);
}

#[test]
fn an_open_mesh_is_cut_but_the_answer_is_no_and_open_pieces_are_flagged() {
    let folder = Folder::new();
    let file = folder.write("open.stl", open_box_stl(BOX_MM));
    let inspected = seamwright(["inspect".as_ref(), file.as_os_str(), "--json".as_ref()]);
    assert_eq!(inspected.json()["closed"], false, "{inspected:?}");
    let out = folder.path("pieces");
    let run = cut(&file, &out, &["--json"]);
    assert_eq!(run.code, Some(1), "{run:?}");
    assert_no_panic(&run);
    let answer = run.json();
    let pieces = answer["pieces"].as_array().unwrap();
    assert!(pieces.iter().any(|piece| piece["closed"] == false), "{run:?}");
    for piece in pieces {
        assert!(out.join(piece["file"].as_str().unwrap()).is_file(), "{run:?}");
    }
}

#[test]
fn a_bed_without_room_is_refused_and_the_option_is_named() {
    let folder = Folder::new();
    let file = folder.write("box.stl", box_stl(BOX_MM));
    for bed in
        ["0x220x250", "220x0x250", "220x220x0", "-220x220x250", "NaNx220x250", "infx220x250", "220x220", "bed", ""]
    {
        let bed = format!("--bed={bed}");
        let run = seamwright(["fit".as_ref(), file.as_os_str(), bed.as_ref(), "--json".as_ref()]);
        assert_refused(&run, &["--bed"]);
    }
    let run = seamwright(["fit".as_ref(), file.as_os_str(), "--bed=50x50x50".as_ref(), "--margin=25".as_ref()]);
    assert_refused(&run, &["margin"]);
}

#[test]
fn a_plane_without_direction_is_refused_and_the_option_is_named() {
    let folder = Folder::new();
    let file = folder.write("box.stl", box_stl(BOX_MM));
    let before = folder.content();
    for plane in ["0,0,0,5", "NaN,0,1,5", "0,0,1,inf", "0,0,1", "up", ""] {
        let plane = format!("--plane={plane}");
        let out = folder.path("pieces");
        let run = seamwright(["cut".as_ref(), file.as_os_str(), plane.as_ref(), "--out".as_ref(), out.as_os_str()]);
        assert_refused(&run, &["--plane"]);
    }
    assert_eq!(folder.content(), before);
}

#[test]
fn existing_pieces_are_kept_unless_force_is_given() {
    let folder = Folder::new();
    let file = folder.write("box.stl", box_stl(BOX_MM));
    let out = folder.path("pieces");
    let first = cut(&file, &out, &["--json"]);
    assert_eq!(first.code, Some(0), "{first:?}");
    let piece = out.join(first.json()["pieces"][0]["file"].as_str().unwrap());
    fs::write(&piece, "the work of a long evening").unwrap();
    // All that stands in the way of the second piece is the first.
    fs::remove_file(out.join(first.json()["pieces"][1]["file"].as_str().unwrap())).unwrap();
    let before = folder.content();

    let second = cut(&file, &out, &[]);
    assert_refused(&second, &[&piece.file_name().unwrap().to_string_lossy(), "--force"]);
    assert_eq!(folder.content(), before, "a refused cut wrote something");

    let forced = cut(&file, &out, &["--force"]);
    assert_eq!(forced.code, Some(0), "{forced:?}");
    assert_ne!(fs::read(&piece).unwrap(), b"the work of a long evening");
}

#[test]
fn a_folder_that_cannot_be_written_to_is_refused() {
    let folder = Folder::new();
    let file = folder.write("box.stl", box_stl(BOX_MM));
    let in_the_way = folder.write("notes.txt", "not a folder");
    let before = folder.content();
    for out in [in_the_way.clone(), in_the_way.join("pieces")] {
        assert_refused(&cut(&file, &out, &[]), &["notes.txt"]);
    }
    assert_eq!(folder.content(), before);

    let locked = folder.path("locked");
    fs::create_dir(&locked).unwrap();
    fs::set_permissions(&locked, Permissions::from_mode(0o555)).unwrap();
    if fs::write(locked.join("probe"), "").is_ok() {
        say("NOT TESTED: a folder without write permission (this user may write everywhere)");
        return;
    }
    assert_refused(&cut(&file, &locked, &[]), &["locked"]);
}

#[test]
fn a_project_whose_source_is_gone_is_refused_and_the_source_is_named() {
    let folder = Folder::new();
    let project = folder.write("part.seamwright.json", project("gone-away.stl").to_string());
    project_verbs_refuse(&folder, &project, &["gone-away.stl"]);
}

#[test]
fn a_project_whose_source_has_changed_is_refused_and_the_source_is_named() {
    let folder = Folder::new();
    folder.write("changed.stl", box_stl(BOX_MM));
    let project = folder.write("part.seamwright.json", project("changed.stl").to_string());
    project_verbs_refuse(&folder, &project, &["changed.stl"]);
}

#[test]
fn a_project_of_a_newer_version_is_refused_by_name_and_left_alone() {
    let folder = Folder::new();
    let mut newer = project("box.stl");
    newer["version"] = Value::from(999);
    newer["something_new"] = Value::from("unknown here");
    let project = folder.write("part.seamwright.json", newer.to_string());
    project_verbs_refuse(&folder, &project, &["newer", "999"]);
}

#[test]
fn a_damaged_project_is_refused() {
    let folder = Folder::new();
    let whole = project("box.stl").to_string();
    for (name, text) in [
        ("empty.seamwright.json", ""),
        ("half.seamwright.json", &whole[..whole.len() / 2]),
        ("other.seamwright.json", "{\"format\": \"something else\"}"),
        ("list.seamwright.json", "[1, 2, 3]"),
    ] {
        let project = folder.write(name, text);
        project_verbs_refuse(&folder, &project, &[name]);
    }
}

#[test]
fn no_real_mesh_breaks_the_program() {
    let Some(meshes) = tools::meshes() else { return };
    let folder = Folder::new();
    let mut files: Vec<_> = fs::read_dir(meshes).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension != "md"));
    files.sort();
    assert!(!files.is_empty(), "the folder of real meshes is empty");
    for file in files {
        let name = file.file_name().unwrap().to_string_lossy().into_owned();
        let runs = [
            seamwright(["inspect".as_ref(), file.as_os_str(), "--json".as_ref()]),
            seamwright(["fit".as_ref(), file.as_os_str(), "--bed=220x220x250".as_ref(), "--json".as_ref()]),
            cut(&file, &folder.path(&name), &["--json"]),
        ];
        for run in runs {
            assert_no_panic(&run);
            match run.code {
                Some(0 | 1) => assert!(run.json().is_object(), "{name}: {run:?}"),
                Some(2) => assert!(run.stderr.contains(&name), "{name}: {run:?}"),
                _ => panic!("{name}: {run:?}"),
            }
        }
    }
}

/// A project that is right in itself; its source has not the length and hash that it notes.
fn project(source: &str) -> Value {
    serde_json::json!({
        "format": "seamwright-project",
        "version": 1,
        "name": "part",
        "stock": { "path": source, "bytes": 1, "sha256": "0".repeat(64) },
        "size": { "unit": "millimeter", "factor": 1.0 },
        "cuts": [],
        "bed": { "x_mm": 220.0, "y_mm": 220.0, "height_mm": 250.0, "margin_mm": 2.0 },
        "next_cut": 1,
    })
}

/// Cuts in the middle of [`BOX_MM`].
fn cut(file: &Path, out: &Path, options: &[&str]) -> Run {
    let arguments =
        ["cut".as_ref(), file.as_os_str(), "--plane=0.1,0.2,1,12".as_ref(), "--out".as_ref(), out.as_os_str()];
    seamwright(arguments.into_iter().chain(options.iter().map(AsRef::as_ref)))
}

fn mesh_verbs_refuse(folder: &Folder, file: &Path, words: &[&str]) {
    let before = folder.content();
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    let words: Vec<_> = words.iter().copied().chain([name.as_str()]).collect();
    for options in [&[][..], &["--json"]] {
        let options = || options.iter().map(AsRef::as_ref);
        assert_refused(&seamwright(["inspect".as_ref(), file.as_os_str()].into_iter().chain(options())), &words);
        let fit = ["fit".as_ref(), file.as_os_str(), "--bed=220x220x250".as_ref()];
        assert_refused(&seamwright(fit.into_iter().chain(options())), &words);
    }
    assert_refused(&cut(file, &folder.path("pieces"), &[]), &words);
    assert_eq!(folder.content(), before, "something was written, or lost");
}

fn project_verbs_refuse(folder: &Folder, project: &Path, words: &[&str]) {
    let before = folder.content();
    let (kit, picture) = (folder.path("kit"), folder.path("picture.png"));
    let runs = [
        seamwright(["check".as_ref(), project.as_os_str()]),
        seamwright(["check".as_ref(), project.as_os_str(), "--json".as_ref()]),
        seamwright(["kit".as_ref(), project.as_os_str(), "--out".as_ref(), kit.as_os_str()]),
        seamwright(["picture".as_ref(), project.as_os_str(), "--out".as_ref(), picture.as_os_str()]),
    ];
    for run in runs {
        assert_refused(&run, words);
    }
    assert_eq!(folder.content(), before, "something was written, or lost");
}

/// Exit code 2, a message with these words, nothing on the standard output.
fn assert_refused(run: &Run, words: &[&str]) {
    assert_eq!(run.code, Some(2), "{run:?}");
    assert_no_panic(run);
    assert!(run.stdout.is_empty(), "an answer in spite of all: {run:?}");
    for word in words {
        assert!(run.stderr.contains(word), "the message does not name `{word}`: {run:?}");
    }
}

fn assert_no_panic(run: &Run) {
    assert!(!run.stderr.contains("panicked") && !run.stdout.contains("panicked"), "{run:?}");
}
