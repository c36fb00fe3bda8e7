use super::*;
use crate::Point;

fn vertices() -> String {
    CORNERS.iter().map(|[x, y, z]| format!("v {x} {y} {z}\n")).collect()
}

/// Faces as `write` writes each corner, given its index from 0.
fn faces(write: impl Fn(usize) -> String) -> String {
    let side = |side: &[usize; 4]| format!("f {}\n", side.map(&write).join(" "));
    SIDES.iter().map(side).collect()
}

fn cube() -> String {
    vertices() + &faces(|i| (i + 1).to_string())
}

#[test]
fn a_cube_of_squares_is_read_however_it_is_written() {
    let with_rest = "vt 0 0\nvn 0 0 1\n".to_owned() + &vertices();
    for (what, text) in [
        ("plain", cube()),
        ("comments", format!("# a cube\n{}# the end", cube().replace("v 0 0 0", "  v\t0 0   0 # the first"))),
        ("other line ends", cube().replace('\n', "\r\n")),
        ("old line ends", cube().replace('\n', "\r")),
        ("no last line end", cube().trim_end().to_owned()),
        ("byte order mark", format!("\u{FEFF}{}", cube())),
        ("counted back", vertices() + &faces(|i| format!("-{}", 8 - i))),
        ("textures", with_rest.clone() + &faces(|i| format!("{}/1", i + 1))),
        ("normals", with_rest.clone() + &faces(|i| format!("{}//1", i + 1))),
        ("both", with_rest.clone() + &faces(|i| format!("{}/-1/1", i + 1))),
        ("faces first", faces(|i| (i + 1).to_string()) + &vertices()),
        ("goes on", cube().replace("f 1 ", "f \\\n1\\\r\n ").replace("v 10 0 0", "v 10 \\\n 0 0")),
        ("weights", cube().replace("v 10 10 10", "v 10 10 10 1.0")),
        ("numbers", cube().replace("v 10 10 10", "v +1e1 10. 1000E-2")),
        ("smoothing", cube().replace("f 1", "s off\nvp 0 0\nf 1")),
    ] {
        let model = model(text.as_bytes()).unwrap_or_else(|problem| panic!("{what}: {problem}"));
        assert_eq!(remarks(&model), [""; 0], "{what}");
        assert_is_cube(model, Format::Obj);
    }
}

#[test]
fn vertices_stored_twice_become_one_and_unused_ones_go() {
    let twice =
        vertices() + "v 99 99 99\n" + &vertices() + &faces(|i| (if i % 2 == 0 { i + 1 } else { i + 10 }).to_string());
    assert_is_cube(model(twice.as_bytes()).unwrap(), Format::Obj);
}

#[test]
fn objects_and_groups_are_parts_in_the_order_in_which_they_have_faces() {
    let cube = cube();
    let lines: Vec<&str> = cube.lines().collect();
    let (vertices, sides) = lines.split_at(8);
    let text = format!(
        "{}\no empty\n{}\no box\n{}\ng lid\n{}\n{}\ng\n{}\no two words\n{}\n",
        vertices.join("\n"),
        sides[0],
        sides[1],
        sides[2],
        sides[3],
        sides[4],
        sides[5]
    );
    let model = model(text.as_bytes()).unwrap();
    assert_eq!(names(&model), [("empty", 2), ("box", 4), ("box / lid", 4), ("two words", 2)]);
    assert_is_cube(model, Format::Obj);
}

#[test]
fn a_concave_polygon_covers_what_it_encloses() {
    // A U of area 7 in the plane y = 1, seen from behind.
    let text = "v 0 1 0\nv 3 1 0\nv 3 1 3\nv 2 1 3\nv 2 1 1\nv 1 1 1\nv 1 1 3\nv 0 1 3\nf -8 -7 -6 -5 -4 -3 -2 -1\n";
    let model = model(text.as_bytes()).unwrap();
    assert_eq!((model.facets, remarks(&model)), (6, vec![]));
    let mesh = mesh_of(&model.parts[0]);
    assert!((mesh.area_mm2() - 7.0).abs() < 1e-12);
    let turned = (0..6).map(|t| mesh.corners(t)).all(|[a, b, c]| (b - a).cross(&(c - a)).y < 0.0);
    assert!(turned, "all triangles face as the polygon does");
}

#[test]
fn one_colour_of_all_vertices_is_the_parts_own() {
    let coloured = |colour: &str| {
        cube().replace("0\nv", &format!("0 {colour}\nv")).replace("10 10\nf", &format!("10 10 {colour}\nf"))
    };
    let red = model(coloured("1 0 0.2").as_bytes()).unwrap();
    assert_eq!(red.parts[0].colour, Some([255, 0, 51, 255]));
    assert_is_cube(red, Format::Obj);
    let mixed = model(coloured("1 0 0").replacen("1 0 0", "0 1 0", 1).as_bytes()).unwrap();
    assert_eq!((mixed.parts[0].colour, remarks(&mixed).len()), (None, 1));
}

#[test]
fn what_is_passed_over_is_told() {
    let text = cube() + "l 1 2\np 1\nusemtl brass\nmtllib x.mtl\ncurv 0 1 1 2\nwhatever 3\nf 1 2\n";
    let model = model(text.as_bytes()).unwrap();
    let told = remarks(&model).join("\n");
    for part in
        ["2 lines and points", "1 uses of materials", "1 statements about curved", "line 20", "1 faces have fewer"]
    {
        assert!(told.contains(part), "{part}: {told}");
    }
    assert_is_cube(model, Format::Obj);
}

#[test]
fn faces_with_odd_coordinates_are_set_aside() {
    let model = model((cube() + "v nan 0 0\nf 1 2 9\nv inf 0 0\nf 1 2 3 10\n").as_bytes()).unwrap();
    assert_eq!((model.facets, model.set_aside_not_finite, model.first_not_finite), (15, 3, Some(12)));
    assert_eq!(model.parts[0].mesh.triangles.len(), 12);
}

#[test]
fn what_has_no_meaning_is_refused_with_its_place() {
    for (text, place) in [
        (cube().replace("v 10 0 0", "v 10 zero 0"), "line 2: expected a number"),
        (cube().replace("v 10 0 0", "v 10 0,5"), "line 2: expected a number"),
        (cube().replace("v 10 0 0", "v 10 0"), "line 2: a vertex has 2 coordinates"),
        (cube().replace("f 1", "f 0"), "line 9: expected the index"),
        (cube().replace("f 1", "f x"), "line 9: expected the index"),
        (cube().replace("f 1", "f 4294967296"), "line 9: expected the index"),
        (cube() + "f 1 2 9\n", "face 7 names vertex 9 of 8"),
        (cube() + "f -1 -2 -9\n", "face 7 counts back to 1 before the first"),
        (vertices(), "no facets"),
    ] {
        let message = refusal(text.as_bytes());
        assert!(message.contains(place) && message.contains("export"), "{place}: {message}");
    }
}

#[test]
fn a_file_of_many_blocks_is_read_as_one_of_few() {
    let ring = crate::solids::torus(Point::origin(), 40.0, 10.0, 300, 200);
    let mut text = String::from("# lines below are far more than a block\n");
    for p in &ring.vertices {
        text += &format!("v {} {} {}\n", p.x, p.y, p.z);
    }
    let count = ring.vertices.len() as i64;
    for (t, face) in ring.triangles.iter().enumerate() {
        let index = |i: u32| if t % 2 == 0 { i64::from(i) + 1 } else { i64::from(i) - count };
        text += &format!("f {}/1 {}/2 \\\n{}/3\n", index(face[0]), index(face[1]), index(face[2]));
    }
    assert!(text.len() > 4 << 20);
    let model = model(text.as_bytes()).unwrap();
    assert_eq!(model.into_mesh().unwrap(), ring);

    let broken = text.replacen("f ", "f x", 60_000);
    let line = 1 + ring.vertices.len() + 1;
    assert!(refusal(broken.as_bytes()).starts_with(&format!("line {line}: ")), "the first bad line is told");
}
