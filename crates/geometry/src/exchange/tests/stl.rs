use crate::exchange::*;
use crate::{Mesh, Point, Progress, edge_report, inspect, solids};
use proptest::prelude::*;
use std::path::Path;

fn parse(bytes: &[u8]) -> Result<ReadMesh, ReadProblem> {
    parse_stl(bytes, &Progress::new())
}

fn read(path: &Path) -> ReadMesh {
    read_stl(path, &Progress::new()).unwrap()
}

/// A binary file as the format has it, built here by hand and not by the writer under test.
fn binary(header: &str, facets: &[[[f32; 3]; 3]]) -> Vec<u8> {
    let mut bytes = vec![b' '; 80];
    bytes[..header.len()].copy_from_slice(header.as_bytes());
    bytes.extend((facets.len() as u32).to_le_bytes());
    for facet in facets {
        bytes.extend([0; 12]);
        bytes.extend(facet.as_flattened().iter().flat_map(|x| x.to_le_bytes()));
        bytes.extend(0xFFFF_u16.to_le_bytes());
    }
    bytes
}

fn facets_of(mesh: &Mesh) -> Vec<[[f32; 3]; 3]> {
    (0..mesh.triangles.len()).map(|t| mesh.corners(t).map(|p| [p.x as f32, p.y as f32, p.z as f32])).collect()
}

fn brick() -> Mesh {
    solids::cuboid(Point::origin(), Point::new(30.0, 20.0, 10.0))
}

/// As `text`, in as many facets as `facets` has.
fn text(name: &str, facets: &[[[f32; 3]; 3]]) -> String {
    let vertex = |[x, y, z]: &[f32; 3]| format!("      vertex {x:e} {y:e} {z:e}\n");
    let facet = |f: &[[f32; 3]; 3]| {
        let corners: String = f.iter().map(vertex).collect();
        format!("  facet normal 0 0 0\n    outer loop\n{corners}    endloop\n  endfacet\n")
    };
    let body: String = facets.iter().map(facet).collect();
    format!("solid {name}\n{body}endsolid {name}\n")
}

fn assert_is_brick(read: &ReadMesh) {
    let report = inspect(&read.mesh);
    assert_eq!((read.facets, read.collapsed, read.set_aside_not_finite), (12, 0, 0));
    assert_eq!((report.triangles, report.vertices, report.closed), (12, 8, true));
    assert!((report.volume_mm3 - 6000.0).abs() < 1e-9);
}

fn line_of(result: Result<ReadMesh, ReadProblem>) -> (u64, String) {
    match result {
        Err(ReadProblem::Line { line, what }) => (line, what),
        other => panic!("expected a complaint about a line, found {other:?}"),
    }
}

mod binary_files {
    use super::*;

    #[test]
    fn are_read_whatever_their_header_says() {
        for header in ["", "made by hand", "solid made by hand", "SOLID", "solid a\nfacet normal"] {
            let read = parse(&binary(header, &facets_of(&brick()))).unwrap();
            assert_is_brick(&read);
            assert_eq!(read.trailing_bytes, 0);
        }
    }

    #[test]
    fn with_bytes_behind_the_last_facet_are_read_and_the_bytes_counted() {
        for header in ["", "solid "] {
            let mut bytes = binary(header, &facets_of(&brick()));
            bytes.extend([7; 321]);
            let read = parse(&bytes).unwrap();
            assert_is_brick(&read);
            assert_eq!(read.trailing_bytes, 321);
        }
    }

    #[test]
    fn cut_short_anywhere_are_refused_with_both_counts() {
        let whole = binary("solid ", &facets_of(&brick()));
        for length in 84..whole.len() {
            match parse(&whole[..length]) {
                Err(ReadProblem::Truncated { promised: 12, found }) => assert_eq!(found, (length as u64 - 84) / 50),
                other => panic!("{length} bytes: {other:?}"),
            }
        }
        for length in 1..84 {
            assert!(parse(&whole[..length]).is_err(), "{length} bytes");
        }
    }

    #[test]
    fn set_facets_aside_that_are_not_finite_and_say_where() {
        let mut facets = facets_of(&brick());
        facets.insert(3, [[0.0; 3], [f32::NAN, 0.0, 0.0], [1.0; 3]]);
        facets.push([[0.0; 3], [1.0; 3], [0.0, 0.0, f32::NEG_INFINITY]]);
        let read = parse(&binary("", &facets)).unwrap();
        assert_eq!((read.facets, read.set_aside_not_finite, read.first_not_finite), (14, 2, Some(3)));
        assert!(inspect(&read.mesh).closed);

        let nothing = parse(&binary("", &[[[f32::NAN; 3]; 3]; 2]));
        assert!(matches!(nothing, Err(ReadProblem::NothingFinite { facets: 2 })));
    }

    #[test]
    fn that_promise_more_than_can_be_numbered_are_refused_before_room_is_made() {
        let mut bytes = binary("", &facets_of(&brick()));
        bytes[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
        assert!(
            matches!(parse(&bytes), Err(ReadProblem::Truncated { promised, found: 12 }) if promised == u64::from(u32::MAX))
        );
    }
}

mod text_files {
    use super::*;

    #[test]
    fn are_read_in_any_letter_case_and_with_any_line_ends() {
        let plain = text("brick", &facets_of(&brick()));
        let mark = format!("\u{FEFF}{plain}");
        let no_breaks =
            format!("solid brick\n{}\nendsolid", plain.lines().skip(1).take(84).collect::<Vec<_>>().join(" "));
        for text in [
            plain.clone(),
            plain.to_uppercase(),
            plain.replace('\n', "\r\n"),
            plain.replace('\n', "\r"),
            plain.replace("  ", "\t"),
            plain.replace('\n', "\n\n"),
            mark,
            no_breaks,
            format!("\n  {plain}"),
        ] {
            assert_is_brick(&parse(text.as_bytes()).unwrap_or_else(|error| panic!("{error}\n{text}")));
        }
    }

    #[test]
    fn may_hold_several_solids_and_any_name() {
        let facets = facets_of(&brick());
        for names in [["a", "b"], ["", "facet normal"], ["endsolid vertex", "caf\u{e9} \u{1F5E1}"]] {
            let both = text(names[0], &facets[..5]) + &text(names[1], &facets[5..]);
            assert_is_brick(&parse(both.as_bytes()).unwrap());
        }
    }

    #[test]
    fn may_have_anything_in_place_of_normals() {
        let plain = text("brick", &facets_of(&brick()));
        for normal in ["NaN NaN NaN", "-nan(ind) 1.#QNAN 0", "", "1 2", "none"] {
            assert_is_brick(&parse(plain.replace("0 0 0", normal).as_bytes()).unwrap());
        }
    }

    #[test]
    fn have_numbers_in_all_their_forms() {
        let body =
            "facet normal 0 0 0 outer loop vertex -1.5E-003 +2e+01 .5 vertex 3. 4 5 vertex 6 7 8e0 endloop endfacet";
        let read = parse(format!("solid\n{body}\nendsolid").as_bytes()).unwrap();
        assert_eq!(read.mesh.vertices[0], Point::from([-1.5e-3_f32, 20.0, 0.5].map(f64::from)));
        assert_eq!(read.mesh.vertices[1], Point::new(3.0, 4.0, 5.0));
    }

    #[test]
    fn set_facets_aside_that_are_not_finite() {
        let plain = text("brick", &facets_of(&brick()));
        let odd = plain.replacen("vertex 0e0", "vertex nan", 1).replacen("vertex 3e1", "vertex 1e99", 1);
        let read = parse(odd.as_bytes()).unwrap();
        assert_eq!(read.first_not_finite, Some(0));
        assert_eq!(read.mesh.triangles.len() + read.set_aside_not_finite, 12);
    }

    #[test]
    fn are_refused_with_the_line_where_a_facet_has_not_three_vertices() {
        let plain = text("brick", &facets_of(&brick()));
        let lines: Vec<&str> = plain.lines().collect();
        // Lines count from 1; the second facet has lines 9 to 15, its vertices 11 to 13.
        let mut four = lines.clone();
        four.insert(11, four[11]);
        let (line, what) = line_of(parse(four.join("\n").as_bytes()));
        assert_eq!(line, 15);
        assert!(what.contains("facet 2") && what.contains("4 vertices"), "{what}");

        let mut two = lines.clone();
        two.remove(11);
        let (line, what) = line_of(parse(two.join("\r\n").as_bytes()));
        assert_eq!(line, 13);
        assert!(what.contains("2 vertices"), "{what}");
    }

    #[test]
    fn are_refused_with_the_line_where_a_word_is_not_understood() {
        let plain = text("brick", &facets_of(&brick()));
        for (from, to, line, about) in [
            ("vertex 0e0", "vertex 0,5", 4, "\"0,5\""),
            ("vertex 0e0 0e0 0e0", "vertex 0e0 0e0", 5, "\"vertex\""),
            ("outer loop", "outer", 4, "\"loop\""),
            ("outer loop", "", 4, "\"outer loop\""),
            ("endfacet", "endfact", 8, "\"endfact\""),
            ("  facet", "  color 1 0 0\n  facet", 2, "\"color\""),
        ] {
            let (found, what) = line_of(parse(plain.replacen(from, to, 1).as_bytes()));
            assert_eq!(found, line, "{what}");
            assert!(what.contains(about), "{what}");
        }
    }

    #[test]
    fn cut_short_at_any_line_are_refused() {
        let plain = text("brick", &facets_of(&brick()));
        let lines: Vec<&str> = plain.lines().collect();
        for kept in 1..lines.len() {
            let (line, what) = line_of(parse(lines[..kept].join("\n").as_bytes()));
            assert_eq!(line, kept as u64);
            assert!(what.contains("cut short"), "{what}");
        }
    }

    #[test]
    fn are_read_as_stl_io_reads_them() {
        let facets = facets_of(&solids::torus(Point::new(1.0 / 3.0, 2e-7, 1e6), 40.0, 10.0, 30, 20));
        let text = text("torus", &facets);
        let theirs = stl_io::read_stl(&mut std::io::Cursor::new(text.as_bytes())).unwrap();
        let ours = parse(text.as_bytes()).unwrap();
        let places: Vec<_> = theirs.vertices.iter().map(|v| Point::from(v.0.map(f64::from))).collect();
        assert_eq!(ours.mesh.vertices, places);
        let faces: Vec<_> = theirs.faces.iter().map(|f| f.vertices.map(|i| i as u32)).collect();
        assert_eq!(ours.mesh.triangles, faces);
    }
}

mod files_that_are_no_mesh {
    use super::*;

    #[test]
    fn are_told_apart() {
        assert!(matches!(parse(b""), Err(ReadProblem::Empty)));
        assert!(matches!(parse(b"no mesh"), Err(ReadProblem::NotAMesh)));
        assert!(matches!(parse("A letter to the costume shop. ".repeat(50).as_bytes()), Err(ReadProblem::NotAMesh)));
        assert!(matches!(parse(b"solidarity is not a mesh"), Err(ReadProblem::NotAMesh)));
        assert!(matches!(parse(b"solid nothing\nendsolid nothing\n"), Err(ReadProblem::NoFacets)));
        assert!(matches!(parse(&binary("", &[])), Err(ReadProblem::NoFacets)));
        assert!(matches!(parse(&[0; 200]), Err(ReadProblem::NoFacets)));
    }

    #[test]
    fn are_named_in_the_message() {
        let folder = tempfile::tempdir().unwrap();
        for (name, content) in [("empty.stl", ""), ("letter.stl", "Dear maker"), ("half.stl", "solid half\nfacet")] {
            let path = folder.path().join(name);
            std::fs::write(&path, content).unwrap();
            let message = read_stl(&path, &Progress::new()).unwrap_err().to_string();
            assert!(message.contains(name) && message.contains("export"), "{message}");
        }
        for missing in [folder.path().join("missing.stl"), folder.path().to_owned()] {
            let error = read_stl(&missing, &Progress::new()).unwrap_err();
            assert!(matches!(error.problem, ReadProblem::Io(_)), "{error}");
            assert!(error.to_string().contains(&*missing.to_string_lossy()), "{error}");
        }
    }
}

#[test]
fn reading_stops_when_cancelled_and_names_its_stage() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("brick.stl");
    write_stl(&path, &brick(), "brick", Overwrite::Refuse).unwrap();
    let progress = Progress::new();
    progress.cancel();
    assert!(matches!(read_stl(&path, &progress).unwrap_err().problem, ReadProblem::Cancelled(_)));
    assert_eq!(progress.now().0, "reading brick.stl");

    let progress = Progress::new();
    assert_is_brick(&read_stl(&path, &progress).unwrap());
    assert_eq!(progress.now().1, 1.0);
}

mod writing {
    use super::*;

    fn files_in(folder: &Path) -> Vec<String> {
        let names = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned());
        let mut names: Vec<_> = names.collect();
        names.sort();
        names
    }

    #[test]
    fn gives_a_file_that_reads_back_as_the_same_mesh() {
        let folder = tempfile::tempdir().unwrap();
        for (name, solid) in [
            ("brick", brick()),
            ("ball", solids::sphere(Point::new(1.0, -2.0, 3.0), 120.0, 30)),
            ("ring", solids::torus(Point::origin(), 40.0, 10.0, 50, 20)),
        ] {
            let path = folder.path().join(format!("{name}.stl"));
            let written = write_stl(&path, &solid, name, Overwrite::Refuse).unwrap();
            assert_eq!((written.facets, written.collapsed), (solid.triangles.len(), 0));
            assert_eq!(written.bytes, 84 + 50 * solid.triangles.len() as u64);
            let back = read(&path);
            assert_eq!((back.trailing_bytes, back.collapsed), (0, 0));
            for t in 0..solid.triangles.len() {
                let rounded = solid.corners(t).map(|p| p.map(|x| f64::from(x as f32)));
                assert_eq!(back.mesh.corners(t), rounded);
            }
            assert!(edge_report(&back.mesh).closed());
            assert!((back.mesh.volume_mm3() / solid.volume_mm3() - 1.0).abs() < 1e-6);

            let mut file = std::fs::File::open(&path).unwrap();
            let theirs = stl_io::read_stl(&mut file).unwrap();
            theirs.validate().unwrap();
            assert_eq!(theirs.faces.len(), solid.triangles.len());
            let turned_out = theirs.faces.iter().zip(facets_of(&solid)).all(|(face, [a, b, c])| {
                let [a, b, c] = [a, b, c].map(|p| Point::from(p.map(f64::from)));
                (b - a).cross(&(c - a)).dot(&nalgebra::Vector3::from(face.normal.0.map(f64::from))) > 0.0
            });
            assert!(turned_out, "stored normals follow the winding");
        }
        assert_eq!(files_in(folder.path()), ["ball.stl", "brick.stl", "ring.stl"]);
    }

    #[test]
    fn is_the_same_to_the_last_byte_every_time() {
        let folder = tempfile::tempdir().unwrap();
        let [first, second] = ["a.stl", "b.stl"].map(|name| folder.path().join(name));
        for path in [&first, &second] {
            write_stl(path, &solids::sphere(Point::origin(), 50.0, 20), "ball", Overwrite::Refuse).unwrap();
        }
        assert_eq!(std::fs::read(first).unwrap(), std::fs::read(second).unwrap());
    }

    #[test]
    fn far_from_the_origin_drops_folded_faces_and_stays_closed() {
        // At 2000 mm, 32-bit numbers are 1.2e-4 mm apart; the edges of this ball are about 1e-4 mm long.
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("speck.stl");
        let speck = solids::sphere(Point::new(2000.0, -1999.0, 1500.0), 2e-3, 24);
        let written = write_stl(&path, &speck, "speck", Overwrite::Refuse).unwrap();
        assert!(written.collapsed > 1000, "{written:?}");
        assert_eq!(written.facets + written.collapsed, speck.triangles.len());
        let back = read(&path);
        assert_eq!((back.facets, back.collapsed), (written.facets, 0));
        assert!(edge_report(&back.mesh).closed());
        assert!(back.mesh.volume_mm3() > 0.0);
    }

    #[test]
    fn refuses_to_replace_a_file_unless_told_to() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("precious.stl");
        std::fs::write(&path, "precious").unwrap();
        let error = write_stl(&path, &brick(), "brick", Overwrite::Refuse).unwrap_err();
        assert!(matches!(error, WriteError::Exists { .. }), "{error}");
        assert!(error.to_string().contains("precious.stl"), "{error}");
        assert_eq!(std::fs::read(&path).unwrap(), b"precious");
        write_stl(&path, &brick(), "brick", Overwrite::Allow).unwrap();
        assert_is_brick(&read(&path));
        assert_eq!(files_in(folder.path()), ["precious.stl"]);
    }

    #[test]
    fn that_fails_leaves_the_old_file_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("old.stl");
        std::fs::write(&path, "old").unwrap();
        let mut far = brick();
        far.vertices[5].y = 1e39;
        let error = write_stl(&path, &far, "far", Overwrite::Allow).unwrap_err();
        assert!(matches!(error, WriteError::OutOfRange { vertex: 5, .. }), "{error}");
        let mut lost = brick();
        lost.vertices[2].x = f64::NAN;
        assert!(matches!(write_stl(&path, &lost, "", Overwrite::Allow), Err(WriteError::OutOfRange { vertex: 2, .. })));
        let speck = solids::cuboid(Point::new(1e6, 1e6, 1e6), Point::new(1e6 + 1e-6, 1e6 + 1e-6, 1e6 + 1e-6));
        for empty in [Mesh::default(), speck] {
            assert!(matches!(write_stl(&path, &empty, "", Overwrite::Allow), Err(WriteError::NoFacets { .. })));
        }
        assert_eq!(std::fs::read(&path).unwrap(), b"old");
        assert_eq!(files_in(folder.path()), ["old.stl"]);

        for nowhere in [folder.path().join("missing/a.stl"), path.join("below-a-file.stl")] {
            let error = write_stl(&nowhere, &brick(), "brick", Overwrite::Refuse).unwrap_err();
            assert!(matches!(error, WriteError::Io { .. }), "{error}");
            assert!(error.to_string().contains(&*nowhere.to_string_lossy()), "{error}");
        }
        // A folder stands where the file should go.
        let taken = folder.path().join("taken.stl");
        std::fs::create_dir(&taken).unwrap();
        assert!(write_stl(&taken, &brick(), "brick", Overwrite::Allow).is_err());
        assert_eq!(files_in(folder.path()), ["old.stl", "taken.stl"]);
    }

    #[test]
    fn puts_the_name_into_the_header_but_never_the_word_that_means_text() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.stl");
        for name in ["A1", "solid", "", &"\u{1F5E1}".repeat(40)] {
            write_stl(&path, &brick(), name, Overwrite::Allow).unwrap();
            let bytes = std::fs::read(&path).unwrap();
            assert_eq!(bytes.len(), 84 + 12 * 50);
            let header = std::str::from_utf8(&bytes[..80]).expect("cut between characters");
            assert!(!header.to_lowercase().starts_with("solid"));
            assert!(name.starts_with(header.trim_start_matches("Seamwright: ").trim_end()));
            assert_is_brick(&read(&path));
        }
    }

    #[cfg(unix)]
    #[test]
    fn leaves_a_file_that_others_may_read_as_any_other() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let [ours, plain] = ["ours.stl", "plain.txt"].map(|name| folder.path().join(name));
        write_stl(&ours, &brick(), "brick", Overwrite::Refuse).unwrap();
        std::fs::write(&plain, "plain").unwrap();
        let mode = |path: &Path| path.metadata().unwrap().permissions().mode();
        assert_eq!(mode(&ours), mode(&plain));
    }
}

/// Bytes that get past the first look: beginnings of both forms, then words and numbers of the format, then noise.
fn nearly_stl() -> impl Strategy<Value = Vec<u8>> {
    const WORDS: [&str; 13] = [
        "solid", "facet", "normal", "outer", "loop", "vertex", "endloop", "endfacet", "endsolid", "1", "nan", "\n",
        "\r",
    ];
    let text = prop::collection::vec(prop::sample::select(&WORDS[..]), 0..60)
        .prop_map(|words| format!("solid x\n{}", words.join(" ")).into_bytes());
    let binary =
        (any::<[u8; 16]>(), 0u32..20, prop::collection::vec(any::<u8>(), 0..1000)).prop_map(|(head, count, body)| {
            let mut bytes = vec![b'x'; 80];
            bytes[..16].copy_from_slice(&head);
            bytes.extend(count.to_le_bytes());
            bytes.extend(body);
            bytes
        });
    let spoilt = (any::<prop::sample::Index>(), any::<u8>()).prop_map(|(at, byte)| {
        let mut bytes = text_of_brick();
        let at = at.index(bytes.len());
        bytes[at] = byte;
        bytes
    });
    prop_oneof![prop::collection::vec(any::<u8>(), 0..300), text, binary, spoilt]
}

fn text_of_brick() -> Vec<u8> {
    text("brick", &facets_of(&brick())).into_bytes()
}

proptest! {
    #[test]
    fn no_bytes_make_reading_panic_and_all_that_is_read_can_be_looked_over(bytes in nearly_stl()) {
        match parse(&bytes) {
            Ok(read) => {
                prop_assert_eq!(read.mesh.triangles.len() + read.collapsed + read.set_aside_not_finite, read.facets);
                prop_assert_eq!(inspect(&read.mesh).triangles, read.mesh.triangles.len());
            }
            Err(problem) => prop_assert!(!problem.to_string().is_empty()),
        }
    }

    #[test]
    fn the_order_of_facets_changes_neither_volume_nor_closedness(
        order in Just((0..640_usize).collect::<Vec<_>>()).prop_shuffle(),
        missing in 0..2_usize,
    ) {
        let mut facets = facets_of(&solids::torus(Point::new(5.0, 0.0, -7.0), 40.0, 10.0, 32, 10));
        let straight = inspect(&parse(&binary("", &facets[missing..])).unwrap().mesh);
        facets = order.iter().filter(|&&t| t >= missing).map(|&t| facets[t]).collect();
        let shuffled = inspect(&parse(&binary("", &facets)).unwrap().mesh);
        prop_assert_eq!(shuffled.closed, missing == 0);
        prop_assert_eq!((shuffled.closed, shuffled.vertices, shuffled.euler), (straight.closed, straight.vertices, straight.euler));
        prop_assert_eq!(shuffled.bounds, straight.bounds);
        prop_assert!(missing > 0 || (shuffled.volume_mm3 / straight.volume_mm3 - 1.0).abs() < 1e-12);
        prop_assert!((shuffled.area_mm2 / straight.area_mm2 - 1.0).abs() < 1e-12);
    }
}
