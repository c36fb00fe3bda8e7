use super::*;
use crate::exchange::Unit;
use std::io::{Cursor, Write};

const CORE: &str = "xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\"";
const RELATIONS: &str = "<Relationships><Relationship Id=\"a\" Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\" Target=\"/3D/model.model\"/></Relationships>";

fn package<T: AsRef<[u8]>>(parts: &[(&str, T)]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in parts {
        zip.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(text.as_ref()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

pub(super) fn packed(model: impl AsRef<[u8]>) -> Vec<u8> {
    package(&[("_rels/.rels", RELATIONS.as_bytes()), ("3D/model.model", model.as_ref())])
}

/// The mesh of a cube of 10.
fn cube() -> String {
    let vertex = |[x, y, z]: [i32; 3]| format!("<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    let triangle = |[a, b, c]: [usize; 3]| format!("<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
    let vertices: String = CORNERS.into_iter().map(vertex).collect();
    let triangles: String = triangles().into_iter().map(triangle).collect();
    format!("<mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh>")
}

fn plain() -> String {
    format!(
        "<?xml version=\"1.0\"?><model unit=\"millimeter\" {CORE}><resources><object id=\"1\">{}</object></resources><build><item objectid=\"1\"/></build></model>",
        cube()
    )
}

#[test]
fn a_cube_is_read_however_its_package_names_it() {
    let whole = plain();
    let other = RELATIONS.replace("/3D/model.model", "3D/the%20model.model");
    let prefixed =
        whole.replace("<", "<c:").replace("<c:/", "</c:").replace("<c:?", "<?").replace("xmlns=", "xmlns:c=");
    for (what, bytes) in [
        ("plain", packed(&whole)),
        ("relative", package(&[("_rels/.rels", &other), ("3D/the model.model", &whole)])),
        ("letter case", package(&[("_RELS/.rels", RELATIONS), ("3d/MODEL.model", &whole)])),
        ("byte order mark", packed(format!("\u{FEFF}{whole}"))),
        ("single quotes", packed(whole.replace('"', "'").replace("version='1.0'", "version=\"1.0\""))),
        ("spaces", packed(whole.replace("/>", " \n/>").replace("=\"", " = \""))),
        ("long form", packed(whole.replace("z=\"10\"/>", "z=\"10\"></vertex>"))),
        ("prefixed", packed(&prefixed)),
        ("comments", packed(whole.replace("<mesh>", "<!-- <vertex/> --><mesh>"))),
        ("nothing required", packed(whole.replace("unit=", "requiredextensions=\"\" unit="))),
    ] {
        let model = model(&bytes).unwrap_or_else(|problem| panic!("{what}: {problem}"));
        assert_eq!(model.unit, Some(Unit::Millimetre), "{what}");
        assert_is_cube(model, Format::ThreeMf);
    }
}

/// With its byte order mark, as XML 1.0 demands of UTF-16.
fn utf_16(text: &str, big: bool) -> Vec<u8> {
    let units = text.encode_utf16();
    units.flat_map(|unit| if big { unit.to_be_bytes() } else { unit.to_le_bytes() }).collect()
}

#[test]
fn models_and_relations_in_utf_16_are_read_as_those_in_utf_8() {
    let name = "Visier \u{2013} \u{1F6E1}";
    let whole = plain().replace("<object id", &format!("<object name=\"{name}\" id"));
    let expected = model(&packed(&whole)).unwrap();
    assert_eq!(names(&expected), [(name, 12)]);
    for declared in ["<?xml version=\"1.0\" encoding=\"UTF-16\"?>", "<?xml version=\"1.0\"?>", ""] {
        let whole = whole.replace("<?xml version=\"1.0\"?>", declared);
        for big in [false, true] {
            let marked = |text: &str| utf_16(&format!("\u{FEFF}{text}"), big);
            let both = package(&[("_rels/.rels", marked(RELATIONS)), ("3D/model.model", marked(&whole))]);
            let one = packed(marked(&whole));
            for bytes in [both, one] {
                let model = model(&bytes).unwrap_or_else(|problem| panic!("{declared} {big}: {problem}"));
                assert_eq!(names(&model), names(&expected));
                assert_is_cube(model, Format::ThreeMf);
            }
        }
    }
    // Half a surrogate pair, half a character, and the middle of an element.
    let marked = utf_16(&format!("\u{FEFF}{whole}"), false);
    let half = marked.windows(2).position(|w| w == [0x3D, 0xD8]).unwrap();
    let mut broken = marked.clone();
    broken.drain(half..half + 2);
    for bytes in [&broken, &marked[..marked.len() - 1], &marked[..marked.len() / 2]] {
        assert!(refusal(&packed(bytes)).contains("/3D/model.model"));
    }
}

#[test]
fn units_are_told_and_not_applied() {
    for unit in Unit::ALL {
        let model = model(&packed(plain().replace("millimeter", unit.name()))).unwrap();
        assert_eq!(model.unit, Some(unit));
        assert_is_cube(model, Format::ThreeMf);
    }
    let without = model(&packed(plain().replace(" unit=\"millimeter\"", ""))).unwrap();
    assert_eq!(without.unit, Some(Unit::Millimetre), "what the specification assumes");
}

#[test]
fn items_and_components_are_placed_named_and_coloured() {
    let text = format!(
        "<model {CORE} xmlns:m=\"http://schemas.microsoft.com/3dmanufacturing/material/2015/02\"><resources>\
         <basematerials id=\"7\"><base name=\"brass\" displaycolor=\"#B08D57\"/><base name=\"x\" displaycolor=\"#11223344\"/></basematerials>\
         <m:colorgroup id=\"8\"><m:color color=\"#0000FF\"/></m:colorgroup>\
         <object id=\"1\" name=\"a &amp; b\" pid=\"7\" pindex=\"0\">{cube}</object>\
         <object id=\"2\" pid=\"8\" pindex=\"0\">{cube}</object>\
         <object id=\"3\" name=\"pair\"><components><component objectid=\"1\"/><component objectid=\"2\" transform=\"2 0 0 0 1 0 0 0 1 20 0 0\"/></components></object>\
         </resources><build><item objectid=\"3\" transform=\"0 1 0 -1 0 0 0 0 1 0 0 5\"/><item objectid=\"1\" partnumber=\"spare\"/>\
         <item objectid=\"2\" partnumber=\"mirrored\" transform=\"-1 0 0 0 1 0 0 0 1 0 0 0\"/></build></model>",
        cube = cube()
    );
    let model = model(&packed(&text)).unwrap();
    assert_eq!(names(&model), [("a & b", 12), ("pair", 12), ("a & b", 12), ("mirrored", 12)]);
    let colours: Vec<_> = model.parts.iter().map(|part| part.colour).collect();
    assert_eq!(
        colours,
        [[0xB0, 0x8D, 0x57, 255], [0, 0, 255, 255], [0xB0, 0x8D, 0x57, 255], [0, 0, 255, 255]].map(Some)
    );
    assert_eq!(remarks(&model), ["1 objects are mirrored by their place: turned outwards again"]);
    let bounds = model.parts.iter().map(|part| part.mesh.bounds().unwrap());
    let found: Vec<_> = bounds.map(|b| [b.min.x, b.min.y, b.min.z, b.max.x, b.max.y, b.max.z]).collect();
    // The pair is turned a quarter about z (x becomes y) and lifted by 5; its second is twice as long, from x = 20.
    let expected = [[-10, 0, 5, 0, 10, 15], [-10, 20, 5, 0, 40, 15], [0, 0, 0, 10, 10, 10], [-10, 0, 0, 0, 10, 10]];
    assert_eq!(found, expected.map(|bounds| bounds.map(f64::from)));
    let volumes: Vec<f64> = model.parts.iter().map(|part| part.mesh.volume_mm3().round()).collect();
    assert_eq!(volumes, [1000.0, 2000.0, 1000.0, 1000.0]);
}

#[test]
fn objects_of_other_parts_are_found_by_the_production_extension() {
    let root = format!(
        "<model {CORE} xmlns:p=\"http://schemas.microsoft.com/3dmanufacturing/production/2015/06\" requiredextensions=\"p\"><resources><object id=\"1\"><components><component p:path=\"/3D/child%20one.model\" objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 5 0 0\"/></components></object></resources><build><item objectid=\"1\"/><item p:path=\"/3D/child%20one.model\" objectid=\"1\"/></build></model>"
    );
    let child = plain().replace("object id", "object name=\"child\" id");
    let all = [("_rels/.rels", RELATIONS), ("3D/model.model", &root), ("3D/child one.model", &child)];
    let model = model(&package(&all)).unwrap();
    assert_eq!(names(&model), [("child", 12), ("child", 12)]);
    assert_eq!(model.parts[0].mesh.bounds().unwrap().min.x, 5.0);
    assert!(refusal(&package(&all[..2])).contains("/3D/child one.model and does not hold it"));
}

#[test]
fn supports_are_left_out_and_extensions_told() {
    let text = plain()
        .replace("</resources>", &format!("<object id=\"2\" type=\"support\">{}</object></resources>", cube()))
        .replace("</build>", "<item objectid=\"2\"/></build>")
        .replace("<resources>", "<resources><x:odd xmlns:x=\"http://example.org/x\"><x:vertex/></x:odd>");
    let model = model(&packed(&text)).unwrap();
    assert_eq!(remarks(&model).len(), 2, "{:?}", remarks(&model));
    assert_is_cube(model, Format::ThreeMf);
}

#[test]
fn what_the_specification_forbids_is_refused_with_the_reason() {
    let plain = plain();
    let beams = "xmlns:b=\"http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02\" requiredextensions=\"b\"";
    for (text, reason) in [
        (plain.replace("unit=", &format!("{beams} unit=")), "requires the extension beamlattice"),
        (plain.replace("unit=", "requiredextensions=\"q\" unit="), "\"q\" that it does not declare"),
        (plain.replace("millimeter", "furlong"), "no unit \"furlong\""),
        (plain.replace("<model", "<!DOCTYPE model [<!ENTITY a \"b\">]><model"), "document type definition"),
        (plain.replace("core/2015/02", "core/1999/01"), "not with a model"),
        (plain.replace("v1=\"0\"", "v1=\"8\""), "object 1 of /3D/model.model has triangle 0"),
        (plain.replace("v1=\"0\"", "v1=\"-1\""), "\"-1\" is no whole number"),
        (plain.replace(" z=\"10\"", ""), "a vertex lacks one of x, y and z"),
        (plain.replace("x=\"10\"", "x=\"NaN\""), "\"NaN\" is no finite decimal number"),
        (plain.replace("x=\"10\"", "x=\"1e999\""), "\"1e999\" is no finite decimal number"),
        (plain.replace("x=\"10\"", "x=10"), "an attribute is not written"),
        (plain.replace("<item objectid=\"1\"", "<item objectid=\"2\""), "object 2, which is not defined"),
        (plain.replace("<item ", "<item transform=\"1 0 0\" "), "has not 12 numbers"),
        (plain.replace("<object id", "<object type=\"other\" id"), "type \"other\" is not to be built"),
        (plain.replace("<object id", "<object type=\"odd\" id"), "unknown type \"odd\""),
        (plain.replace("<item objectid=\"1\"/>", ""), "nothing in this 3MF file is to be built"),
        (
            plain.replace("</resources>", &format!("<object id=\"1\">{}</object></resources>", cube())),
            "two objects with the id 1",
        ),
        (
            plain.replace("</mesh>", "</mesh><components><component objectid=\"1\"/></components>"),
            "not defined before it",
        ),
        (plain.replace("</triangles>", ""), "mesh"),
        (plain[..plain.len() - 20].to_owned(), "copy or export it again"),
    ] {
        let message = refusal(&packed(&text));
        assert!(message.contains(reason), "{reason}: {message}");
    }
    assert!(refusal(&package(&[("letter.txt", "Dear maker")])).contains("a zip file and no 3MF file"));
    assert!(refusal(&package(&[("_rels/.rels", "<Relationships/>")])).contains("names no 3D model"));
    let whole = packed(&plain);
    for length in (4..whole.len()).step_by(7) {
        assert!(model(&whole[..length]).is_err(), "{length} bytes");
    }
}

#[test]
fn packages_that_unpack_without_end_or_copy_without_end_are_refused() {
    let bomb = format!("{}{}", plain().replace("</model>", ""), " ".repeat(65 << 20));
    assert!(refusal(&packed(&bomb)).contains("unpacks to more than 100 times"));

    // Each object holds the one before it ten times: 10^12 cubes in a few lines.
    let mut objects = format!("<object id=\"1\">{}</object>", cube());
    for id in 2..14 {
        let component = format!("<component objectid=\"{}\"/>", id - 1).repeat(10);
        objects += &format!("<object id=\"{id}\"><components>{component}</components></object>");
    }
    let text = |objects: &str| {
        format!("<model {CORE}><resources>{objects}</resources><build><item objectid=\"13\"/></build></model>")
    };
    assert!(refusal(&packed(text(&objects))).contains("placed triangles"));
    let hollow = objects.replace(&cube(), "<mesh><vertices/><triangles/></mesh>");
    assert!(refusal(&packed(text(&hollow))).contains("placed objects"));
}
