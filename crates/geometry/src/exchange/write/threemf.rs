//! Writing 3MF, as the core specification 1.4.0 has it.

use super::exact::{Exact, Number, plain};
use crate::EdgeTable;
use quick_xml::escape::escape;
use std::fs::File;
use std::io::{self, BufWriter, Write};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const CONTENT_TYPES: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
"#;

const RELATIONS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>
"#;

pub(super) fn write(file: &mut File, pieces: &[Exact]) -> io::Result<()> {
    let mut zip = ZipWriter::new(BufWriter::with_capacity(1 << 18, file));
    let options = SimpleFileOptions::default();
    zip.start_file("[Content_Types].xml", options)?;
    zip.write_all(CONTENT_TYPES.as_bytes())?;
    zip.start_file("_rels/.rels", options)?;
    zip.write_all(RELATIONS.as_bytes())?;
    let triangles: u64 = pieces.iter().map(|piece| piece.mesh.triangles.len() as u64).sum();
    let is_large = triangles > u64::from(u32::MAX) / LONGEST_TRIANGLE;
    zip.start_file("3D/3dmodel.model", options.large_file(is_large))?;
    let mut model = BufWriter::with_capacity(1 << 18, &mut zip);
    write_model(&mut model, pieces)?;
    model.flush()?;
    drop(model);
    zip.finish()?.flush()
}

/// Bytes that a triangle and half a vertex, or a soup's three, may take: 3 numbers of at most 10 digits, 9 of at most
/// 24, and what stands around them. Beyond 4 GiB a package needs longer fields.
const LONGEST_TRIANGLE: u64 = 400;

fn write_model(model: &mut impl Write, pieces: &[Exact]) -> io::Result<()> {
    let pieces: Vec<&Exact> = pieces.iter().filter(|piece| !piece.mesh.triangles.is_empty()).collect();
    let mut colours: Vec<[u8; 4]> = pieces.iter().filter_map(|piece| piece.colour).collect();
    colours.sort_unstable();
    colours.dedup();
    writeln!(model, r#"<?xml version="1.0" encoding="UTF-8"?>"#)?;
    write!(model, r#"<model unit="millimeter" xml:lang="en-US" "#)?;
    writeln!(model, r#"xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">"#)?;
    writeln!(model, r#"<metadata name="Application">Seamwright</metadata>"#)?;
    writeln!(model, "<resources>")?;
    if !colours.is_empty() {
        writeln!(model, r#"<basematerials id="1">"#)?;
        for [r, g, b, a] in &colours {
            let colour = format!("#{r:02X}{g:02X}{b:02X}{a:02X}");
            writeln!(model, r#"<base name="{colour}" displaycolor="{colour}"/>"#)?;
        }
        writeln!(model, "</basematerials>")?;
    }
    for (id, piece) in (FIRST_OBJECT..).zip(&pieces) {
        let kind = if is_manifold(piece) { "model" } else { "surface" };
        write!(model, r#"<object id="{id}" type="{kind}""#)?;
        let name = plain(piece.name);
        if !name.is_empty() {
            write!(model, r#" name="{}""#, escape(&name))?;
        }
        if let Some(index) = piece.colour.and_then(|colour| colours.binary_search(&colour).ok()) {
            write!(model, r#" pid="1" pindex="{index}""#)?;
        }
        writeln!(model, "><mesh><vertices>")?;
        for p in &piece.mesh.vertices {
            writeln!(model, r#"<vertex x="{}" y="{}" z="{}"/>"#, Number(p.x), Number(p.y), Number(p.z))?;
        }
        writeln!(model, "</vertices><triangles>")?;
        for [a, b, c] in &piece.mesh.triangles {
            writeln!(model, r#"<triangle v1="{a}" v2="{b}" v3="{c}"/>"#)?;
        }
        writeln!(model, "</triangles></mesh></object>")?;
    }
    writeln!(model, "</resources>\n<build>")?;
    for (id, _) in (FIRST_OBJECT..).zip(&pieces) {
        writeln!(model, r#"<item objectid="{id}"/>"#)?;
    }
    writeln!(model, "</build>\n</model>")
}

/// Identities are shared by all resources; 1 is that of the materials.
const FIRST_OBJECT: u32 = 2;

/// Whether the object may be of type "model": at least four triangles, and every edge has two, turned alike.
fn is_manifold(piece: &Exact) -> bool {
    if piece.mesh.triangles.len() < 4 || piece.mesh.triangles.len() > EdgeTable::MAX_FACES {
        return false;
    }
    let report = crate::edge_report(&piece.mesh);
    report.open == 0 && report.over_used == 0 && report.misturned == 0
}
