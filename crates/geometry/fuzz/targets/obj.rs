//! Lines read as OBJ: a mesh in order or a told problem, in bounded memory.
#![no_main]

use arbitrary::Arbitrary;
use libfuzzer_sys::fuzz_target;
use seamwright_geometry::exchange::Format;
use seamwright_geometry_fuzz::read;

/// A line, so that most inputs get beyond their first words.
#[derive(Arbitrary, Debug)]
enum Line<'a> {
    Vertex(i8, i8, i8),
    Number(f32, f64, i8),
    Coloured(i8, i8, i8, u8),
    Face(Vec<i8>),
    Slashed(Vec<(i8, u8)>),
    Object(&'a str),
    Group(&'a str),
    Continued(&'a str),
    Any(&'a [u8]),
}

impl Line<'_> {
    fn write(&self, text: &mut Vec<u8>) {
        let line = match self {
            Line::Vertex(x, y, z) => format!("v {x} {y} {z}"),
            Line::Number(x, y, z) => format!("v {x} {y:e} {z}"),
            Line::Coloured(x, y, z, red) => format!("v {x} {y} {z} {} 0 1", f32::from(*red) / 255.0),
            Line::Face(corners) => corners.iter().fold("f".to_owned(), |line, corner| line + &format!(" {corner}")),
            Line::Slashed(corners) => corners
                .iter()
                .fold("f".to_owned(), |line, (corner, other)| line + &format!(" {corner}/{other}//{other}")),
            Line::Object(name) => format!("o {name}"),
            Line::Group(name) => format!("g {name}"),
            Line::Continued(words) => format!("{words} \\"),
            Line::Any(bytes) => return text.extend(*bytes),
        };
        text.extend(line.bytes());
        text.push(b'\n');
    }
}

fuzz_target!(|lines: Vec<Line>| {
    let mut text = Vec::new();
    lines.iter().for_each(|line| line.write(&mut text));
    read(&text, Some(Format::Obj));
});
