//! A header and what follows it read as PLY: a mesh in order or a told problem, in bounded memory.
#![no_main]

use arbitrary::Arbitrary;
use libfuzzer_sys::fuzz_target;
use seamwright_geometry::exchange::Format;
use seamwright_geometry_fuzz::read;

/// A file whose header is sound, so that inputs get beyond it.
#[derive(Arbitrary, Debug)]
struct File<'a> {
    form: u8,
    vertices: u8,
    faces: u8,
    kinds: [u8; 4],
    extras: Vec<Extra<'a>>,
    body: Body<'a>,
}

/// What stands in a header beside what must.
#[derive(Arbitrary, Debug)]
enum Extra<'a> {
    Number { of_face: bool, kind: u8, name: u8 },
    List { of_face: bool, count: u8, kind: u8 },
    Element { count: u8, kind: u8, list: bool },
    Any(&'a str),
}

#[derive(Arbitrary, Debug)]
enum Body<'a> {
    Bytes(&'a [u8]),
    Numbers(Vec<i8>),
}

const FORMS: [&str; 3] = ["ascii", "binary_little_endian", "binary_big_endian"];
const KINDS: [&str; 9] = ["uchar", "int", "float", "char", "short", "ushort", "uint", "double", "what"];
const NAMES: [&str; 5] = ["red", "green", "blue", "alpha", "x"];

fn kind(which: u8) -> &'static str {
    KINDS[usize::from(which) % KINDS.len()]
}

impl File<'_> {
    fn written(&self) -> Vec<u8> {
        let [coordinate, count, index, _] = self.kinds.map(kind);
        let extras =
            |wanted: Option<bool>| self.extras.iter().filter_map(move |extra| extra.line(wanted)).collect::<String>();
        let mut bytes = format!(
            "ply\nformat {} 1.0\n{}element vertex {}\n{}property {coordinate} x\nproperty {coordinate} y\nproperty float z\nelement {} {}\nproperty list {count} {index} vertex_indices\n{}end_header\n",
            FORMS[usize::from(self.form) % FORMS.len()],
            extras(None),
            self.vertices,
            extras(Some(false)),
            if self.kinds[3].is_multiple_of(8) { "tristrips" } else { "face" },
            self.faces,
            extras(Some(true)),
        )
        .into_bytes();
        match &self.body {
            Body::Bytes(body) => bytes.extend(*body),
            Body::Numbers(numbers) => numbers.iter().for_each(|number| bytes.extend(format!("{number} ").bytes())),
        }
        bytes
    }
}

impl Extra<'_> {
    /// Its lines, if it belongs to faces or vertices, as is wanted, or to neither.
    fn line(&self, wanted: Option<bool>) -> Option<String> {
        let (belongs, line) = match self {
            Extra::Number { of_face, kind: of, name } => {
                let name = NAMES[usize::from(*name) % NAMES.len()];
                (Some(*of_face), format!("property {} {name}\n", kind(*of)))
            }
            Extra::List { of_face, count, kind: of } => {
                (Some(*of_face), format!("property list {} {} more\n", kind(*count), kind(*of)))
            }
            Extra::Element { count, kind: of, list: false } => {
                (None, format!("element other {count}\nproperty {} y\n", kind(*of)))
            }
            Extra::Element { count, kind: of, list: true } => {
                (None, format!("element other {count}\nproperty list uchar {} y\n", kind(*of)))
            }
            Extra::Any(line) => (None, format!("{line}\n")),
        };
        (belongs == wanted).then_some(line)
    }
}

fuzz_target!(|file: File| read(&file.written(), Some(Format::Ply)));
