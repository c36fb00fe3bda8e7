//! A model in a sound package, read as 3MF: meshes in order or a told problem, in bounded memory.
#![no_main]

use std::io::{Cursor, Write};

use arbitrary::Arbitrary;
use libfuzzer_sys::fuzz_target;
use seamwright_geometry::exchange::Format;
use seamwright_geometry_fuzz::read_unpacked;

const RELATIONS: &str = r#"<Relationships><Relationship Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/m"/></Relationships>"#;
const SPACES: &str = r#"xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06" xmlns:m="http://schemas.microsoft.com/3dmanufacturing/material/2015/02""#;

/// A model, in any of its encodings, and another part beside it.
#[derive(Arbitrary, Debug)]
struct Input<'a> {
    encoding: Encoding,
    model: Vec<Element<'a>>,
    other: Vec<Element<'a>>,
}

#[derive(Arbitrary, Debug)]
enum Encoding {
    Eight,
    Sixteen {
        big: bool,
    },
    /// Some bytes left out at the end.
    Cut(u8),
}

#[derive(Arbitrary, Debug)]
enum Element<'a> {
    Mesh { id: u8, kind: u8, vertices: Vec<[i8; 3]>, triangles: Vec<([u8; 3], u8)> },
    Components { id: u8, of: Vec<(u8, bool, [i8; 4])> },
    Item { object: u8, other: bool, transform: [i8; 4] },
    Colours(u8, Vec<u8>),
    Begin(u8),
    End(u8),
    Any(&'a str),
}

const TAGS: [&str; 10] = [
    "resources",
    "build",
    "object id='1'",
    "mesh",
    "vertices",
    "triangles",
    "components",
    "vertex x='1'",
    "q:odd",
    "model",
];
const TYPES: [&str; 4] = ["model", "support", "other", "surface"];

fn placed(name: &str, object: u8, other: bool, [a, b, c, d]: [i8; 4]) -> String {
    let path = if other { " p:path='/o'" } else { "" };
    format!("<{name} objectid='{object}'{path} transform='{a} 0 0 0 {b} 0 {c} 0 1 {d} 0 0'/>")
}

impl Element<'_> {
    fn write(&self, text: &mut String) {
        *text += &match self {
            Element::Mesh { id, kind, vertices, triangles } => {
                let vertices: String =
                    vertices.iter().map(|[x, y, z]| format!("<vertex x='{x}' y='{y}' z='{z}'/>")).collect();
                let triangles: String = triangles
                    .iter()
                    .map(|([a, b, c], p)| format!("<triangle v1='{a}' v2='{b}' v3='{c}' pid='1' p1='{p}'/>"))
                    .collect();
                let kind = TYPES[usize::from(*kind) % TYPES.len()];
                format!(
                    "<object id='{id}' type='{kind}' pid='1' pindex='0'><mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh></object>"
                )
            }
            Element::Components { id, of } => {
                let of: String = of.iter().map(|(id, other, at)| placed("component", *id, *other, *at)).collect();
                format!("<object id='{id}'><components>{of}</components></object>")
            }
            Element::Item { object, other, transform } => placed("item", *object, *other, *transform),
            Element::Colours(id, colours) => {
                let colours: String = colours.iter().map(|c| format!("<m:color color='#{c:02X}0000'/>")).collect();
                format!("<m:colorgroup id='{id}'>{colours}</m:colorgroup>")
            }
            Element::Begin(tag) => format!("<{}>", TAGS[usize::from(*tag) % TAGS.len()]),
            Element::End(tag) => {
                format!("</{}>", TAGS[usize::from(*tag) % TAGS.len()].split(' ').next().unwrap_or_default())
            }
            Element::Any(text) => (*text).to_owned(),
        };
    }
}

/// Items come last, as a build; all else as resources.
fn model(elements: &[Element]) -> String {
    let (mut resources, mut build) = (String::new(), String::new());
    for element in elements {
        element.write(if matches!(element, Element::Item { .. }) { &mut build } else { &mut resources });
    }
    format!("<model {SPACES}><resources>{resources}</resources><build>{build}</build></model>")
}

impl Encoding {
    fn encode(&self, text: &str) -> Vec<u8> {
        match self {
            Encoding::Eight => text.as_bytes().to_vec(),
            Encoding::Sixteen { big } => {
                let units = "\u{FEFF}".encode_utf16().chain(text.encode_utf16());
                units.flat_map(|unit| if *big { unit.to_be_bytes() } else { unit.to_le_bytes() }).collect()
            }
            Encoding::Cut(by) => text.as_bytes()[..text.len().saturating_sub(usize::from(*by))].to_vec(),
        }
    }
}

fn package(parts: [(&str, &[u8]); 3]) -> zip::result::ZipResult<Vec<u8>> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let stored = zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (name, bytes) in parts {
        zip.start_file(name, stored)?;
        zip.write_all(bytes)?;
    }
    Ok(zip.finish()?.into_inner())
}

fuzz_target!(|input: Input| {
    let (root, other) = (input.encoding.encode(&model(&input.model)), model(&input.other));
    let parts = [("_rels/.rels", RELATIONS.as_bytes()), ("m", &root), ("o", other.as_bytes())];
    let package = package(parts).expect("a package in memory");
    read_unpacked(&package, package.len(), Some(Format::ThreeMf));
});
