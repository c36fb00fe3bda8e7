use super::*;
use proptest::prelude::*;

/// A cube as the format has it, built here by hand and not by the writer under test.
fn text(extra: &str) -> String {
    let mut text = format!(
        "ply\nformat ascii 1.0\ncomment by hand\nelement vertex 8\nproperty float x\nproperty float y\nproperty float z\n{extra}element face 6\nproperty list uchar int vertex_indices\nend_header\n"
    );
    for [x, y, z] in CORNERS {
        text += &format!("{x} {y} {z}\n");
    }
    for [a, b, c, d] in SIDES {
        text += &format!("4 {a} {b} {c} {d}\n");
    }
    text
}

#[derive(Clone, Copy)]
struct Kinds {
    big: bool,
    coordinate: &'static str,
    count: &'static str,
    index: &'static str,
}

fn put(bytes: &mut Vec<u8>, kinds: Kinds, kind: &str, value: i32) {
    let mut number = match kind {
        "char" | "uchar" | "int8" | "uint8" => vec![value as u8],
        "short" | "ushort" | "int16" | "uint16" => (value as u16).to_le_bytes().to_vec(),
        "int" | "uint" | "int32" | "uint32" => value.to_le_bytes().to_vec(),
        "float" | "float32" => (value as f32).to_le_bytes().to_vec(),
        "double" | "float64" => f64::from(value).to_le_bytes().to_vec(),
        _ => panic!("{kind}"),
    };
    if kinds.big {
        number.reverse();
    }
    bytes.extend(number);
}

/// With properties and elements that nobody asked for, in between.
fn binary(kinds: Kinds) -> Vec<u8> {
    let Kinds { big, coordinate, count, index } = kinds;
    let order = if big { "big" } else { "little" };
    let mut bytes = format!(
        "ply\r\nformat binary_{order}_endian 1.0\r\nobj_info none\r\nelement camera 2\r\nproperty double view\r\nproperty list uchar short odd\r\nelement vertex 8\r\nproperty uchar flag\r\nproperty {coordinate} x\r\nproperty {coordinate} y\r\nproperty {coordinate} z\r\nproperty list ushort float weights\r\nelement edge 3\r\nproperty int a\r\nproperty short b\r\nelement face 6\r\nproperty float quality\r\nproperty list {count} {index} vertex_index\r\nproperty list uchar float texcoord\r\nend_header\r\n"
    )
    .into_bytes();
    let mut put = |kind: &str, value: i32| put(&mut bytes, kinds, kind, value);
    for camera in 0..2 {
        put("double", 7);
        put("uchar", camera);
        (0..camera).for_each(|_| put("short", 5));
    }
    for (i, corner) in (0..).zip(CORNERS) {
        put("uchar", 1);
        corner.iter().for_each(|&x| put(coordinate, x));
        put("ushort", i % 3);
        (0..i % 3).for_each(|_| put("float", 9));
    }
    for _ in 0..3 {
        put("int", 1);
        put("short", 2);
    }
    for side in SIDES {
        put("float", 3);
        put(count, 4);
        side.iter().for_each(|&i| put(index, i as i32));
        put("uchar", 0);
    }
    bytes
}

#[test]
fn text_is_read_with_any_breaks_and_elements_in_between() {
    let plain = text("");
    for (what, text) in [
        ("plain", plain.clone()),
        ("other line ends", plain.replace('\n', "\r\n")),
        ("old line ends", plain.replace('\n', "\r")),
        ("no breaks", {
            let at = plain.find("end_header").unwrap() + 11;
            plain[..at].to_owned() + &plain[at..].replace('\n', "  ")
        }),
        ("no last line end", plain.trim_end().to_owned()),
        ("other elements", text("element odd 0\nproperty list uchar float odd\nelement nothing 4000000000\n")),
        ("numbers", plain.replace("10 10 10\n", "1e1 +10. 1000E-2\n")),
    ] {
        assert_is_cube(model(text.as_bytes()).unwrap_or_else(|problem| panic!("{what}: {problem}")), Format::Ply);
    }
}

#[test]
fn both_byte_orders_and_all_kinds_of_numbers_are_read() {
    for big in [false, true] {
        for coordinate in ["float", "double", "float32", "float64", "int", "short", "uchar", "int16"] {
            for (count, index) in
                [("uchar", "int"), ("int", "uint"), ("ushort", "ushort"), ("char", "uchar"), ("uint32", "int8")]
            {
                let model = model(&binary(Kinds { big, coordinate, count, index }));
                let model = model.unwrap_or_else(|problem| panic!("{coordinate} {count} {index}: {problem}"));
                assert!(remarks(&model)[0].contains("2 elements \"camera\""));
                assert_is_cube(model, Format::Ply);
            }
        }
    }
}

#[test]
fn colours_are_kept_where_there_is_but_one() {
    let header = text("property uchar red\nproperty uchar green\nproperty uchar blue\n");
    let mut lines: Vec<String> = header.lines().map(str::to_owned).collect();
    let from = lines.iter().position(|line| line == "end_header").unwrap() + 1;
    lines[from..from + 8].iter_mut().for_each(|line| *line += " 200 100 50");
    let one = model(lines.join("\n").as_bytes()).unwrap();
    assert_eq!(one.parts[0].colour, Some([200, 100, 50, 255]));
    lines[from] = lines[from].replace("200", "201");
    let mixed = model(lines.join("\n").as_bytes()).unwrap();
    assert_eq!((mixed.parts[0].colour, remarks(&mixed).len()), (None, 1));
}

#[test]
fn strips_of_triangles_turn_every_second_one_round() {
    let strip = "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\nproperty float z\nelement tristrips 1\nproperty list int int vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n1 1 0\n9 0 1 2 3 -1 0 1 3 -1\n";
    let model = model(strip.as_bytes()).unwrap();
    let mesh = mesh_of(&model.parts[0]);
    assert_eq!(mesh.triangles, [[0, 1, 2], [2, 1, 3], [0, 1, 3]]);
}

#[test]
fn what_has_no_meaning_is_refused_with_its_place() {
    let plain = text("");
    for (text, place) in [
        (plain.replace("ascii", "ebcdic"), "line 2: expected \"ascii\""),
        (plain.replace("float y", "real y"), "line 6: expected a kind of number"),
        (plain.replace("list uchar", "list float"), "line 9: expected a kind of whole number"),
        (plain.replace("property float y\n", ""), "no x, y and z"),
        (plain.replace("vertex_indices", "corners"), "no list of vertex indices"),
        (plain.replace("vertex 8", "vertex many"), "line 4: expected a count"),
        (plain.replace("end_header", "the end"), "line 10: expected a line of a PLY header"),
        (plain[..120].to_owned(), "no \"end_header\""),
        (plain.replace("10 0 0\n", "10 zero 0\n"), "line 12: expected a number"),
        (plain.replace("vertex 8", "vertex 4000000000"), "promise"),
        (plain.replace("face 6", "face 7"), "7 elements \"face\""),
        (plain.replace("4 0 2 3 1", "4 0 2 3 8"), "face 1 names vertex 9 of 8"),
        (plain.replace("4 0 2 3 1", "4 0 2 3 -1"), "face 1 names vertex -1"),
        (plain.replace("4 0 2 3 1", "-4 0 2 3 1"), "negative length"),
        (plain.replace("4 0 2 3 1", "1e18 0 2 3 1"), "elements \"face\""),
    ] {
        let message = refusal(text.as_bytes()).replace("the file says that it holds 4000000000", "promise");
        assert!(message.contains(place), "{place}: {message}");
    }
}

#[test]
fn a_binary_file_cut_short_anywhere_is_refused() {
    let whole = binary(Kinds { big: false, coordinate: "float", count: "uchar", index: "int" });
    let header = whole.windows(12).position(|w| w == b"end_header\r\n").unwrap() + 12;
    for length in 4..whole.len() {
        let message = refusal(&whole[..length]);
        assert!(message.contains(if length < header - 1 { "header" } else { "cut short" }), "{length}: {message}");
    }
    let mut longer = whole;
    longer.extend([1, 2, 3]);
    let model = model(&longer).unwrap();
    assert!(remarks(&model).iter().any(|remark| remark.starts_with("3 bytes behind")));
}

#[test]
fn a_list_that_claims_to_be_endless_asks_for_no_memory() {
    let mut bytes = b"ply\nformat binary_little_endian 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list uint double vertex_indices\nend_header\n".to_vec();
    bytes.extend([0; 12]);
    bytes.extend(u32::MAX.to_le_bytes());
    assert!(refusal(&bytes).contains("cut short"));
}

/// What a file holds, to be written in every form.
#[derive(Debug)]
struct Content {
    /// Kinds of the coordinates, of the length of lists, and of what is in them.
    kinds: [&'static str; 3],
    /// An extra number before each vertex and face, an extra list behind them.
    extras: [bool; 2],
    coloured: bool,
    vertices: Vec<[i32; 3]>,
    faces: Vec<Vec<u32>>,
}

/// The numbers of an element, each with its kind.
type Numbers = Vec<(&'static str, i32)>;

impl Content {
    fn elements(&self) -> [(&'static str, Vec<Numbers>); 2] {
        let Content { kinds: [coordinate, count, index], extras, coloured, .. } = *self;
        let around = |i: i32, own: Numbers| {
            let mut all = own;
            if extras[0] {
                all.insert(0, ("short", i % 100));
            }
            if coloured {
                all.extend([("uchar", 200), ("uchar", 100), ("uchar", i / 1000 % 2)]);
            }
            if extras[1] {
                all.push(("uchar", i % 4));
                all.extend((0..i % 4).map(|x| ("double", x)));
            }
            all
        };
        let vertices = (0..).zip(&self.vertices).map(|(i, p)| around(i, p.map(|x| (coordinate, x)).to_vec()));
        let faces = (0..).zip(&self.faces).map(|(i, face)| {
            let mut own = vec![(count, face.len() as i32)];
            own.extend(face.iter().map(|&v| (index, v as i32)));
            around(i, own)
        });
        [("vertex", vertices.collect()), ("face", faces.collect())]
    }

    /// In text, or in binary of either byte order.
    fn written(&self, big: Option<bool>) -> Vec<u8> {
        let Content { kinds: [coordinate, count, index], extras, coloured, .. } = *self;
        let form = big.map_or("ascii", |big| if big { "binary_big_endian" } else { "binary_little_endian" });
        let mut bytes = format!("ply\nformat {form} 1.0\n").into_bytes();
        let elements = self.elements();
        for (name, all) in &elements {
            let mut lines = format!("element {name} {}\n", all.len());
            lines += if extras[0] { "property short extra\n" } else { "" };
            lines += &match *name {
                "vertex" => ["x", "y", "z"].map(|axis| format!("property {coordinate} {axis}\n")).concat(),
                _ => format!("property list {count} {index} vertex_indices\n"),
            };
            if coloured {
                lines += "property uchar red\nproperty uchar green\nproperty uchar blue\n";
            }
            lines += if extras[1] { "property list uchar double more\n" } else { "" };
            bytes.extend(lines.bytes());
        }
        bytes.extend(b"end_header\n");
        for (kind, value) in elements.into_iter().flat_map(|(_, all)| all).flatten() {
            match big {
                None => bytes.extend(format!("{value} ").bytes()),
                Some(big) => put(&mut bytes, Kinds { big, coordinate, count, index }, kind, value),
            }
        }
        bytes
    }

    /// What was made of it, or why nothing was, without the times that it took.
    fn read(&self, big: Option<bool>) -> Result<ModelFile, String> {
        let model = model(&self.written(big)).map_err(|problem| problem.to_string())?;
        Ok(ModelFile { read_s: 0.0, merge_s: 0.0, ..model })
    }

    #[track_caller]
    fn assert_same_in_all_forms(&self) {
        let in_text = self.read(None);
        for big in [false, true] {
            assert_eq!(self.read(Some(big)), in_text, "big: {big}");
        }
    }
}

/// Binary is taken apart by all cores, text one number after another.
#[test]
fn files_of_many_blocks_are_the_same_in_binary_and_in_text() {
    for (extras, corners, coloured) in
        [([false; 2], 3, false), ([true, false], 3, true), ([false, true], 3, false), ([true, true], 5, true)]
    {
        let count = 150_000_u32;
        let vertices = (0..count as i32).map(|i| [i % 700, i / 700 % 90, i % 11]).collect();
        let corner = |i: u32, k: u32| (i * 7 + k * k * 31) % count;
        let corners_of = |i: u32| if corners == 3 { 3 } else { 1 + i % corners };
        let faces = (0..count).map(|i| (0..corners_of(i)).map(|k| corner(i, k)).collect()).collect();
        let mut content = Content { kinds: ["float", "uchar", "int"], extras, coloured, vertices, faces };
        assert!(content.written(Some(false)).len() > 4 << 19, "several blocks");
        content.assert_same_in_all_forms();
        content.faces[100_000][0] = count;
        content.assert_same_in_all_forms();
        assert!(content.read(None).unwrap_err().starts_with("face 100001 names vertex 150001 of 150000"));
    }
}

proptest! {
    #[test]
    fn any_content_is_the_same_in_binary_and_in_text(
        kinds in prop::array::uniform3(any::<prop::sample::Index>()),
        (extras, coloured) in any::<([bool; 2], bool)>(),
        vertices in prop::collection::vec(prop::array::uniform3(0..6), 1..40),
        faces in prop::collection::vec(prop::collection::vec(0..40_u32, 0..7), 0..40),
    ) {
        let of = |i: usize, names: &[&'static str]| names[kinds[i].index(names.len())];
        let kinds = [
            of(0, &["float", "double", "char", "short", "uint"]),
            of(1, &["uchar", "char", "ushort", "int"]),
            of(2, &["uchar", "short", "ushort", "int", "uint", "float", "double"]),
        ];
        Content { kinds, extras, coloured, vertices, faces }.assert_same_in_all_forms();
    }
}
