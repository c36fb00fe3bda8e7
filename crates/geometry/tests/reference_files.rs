//! Mesh files as trimesh reads them, beside what we read: every real mesh, and files of all formats that we wrote. What
//! we write as 3MF is held against the rules of its specification too, by a check that shares nothing with ours.

use seamwright_geometry::exchange::{Format, ModelFile, Overwrite, Piece, ReadOptions, read, write};
use seamwright_geometry::{EdgeTable, Mesh, Progress, Shells};
use serde_json::Value;
use std::env;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The Python with the reference libraries, named by `SEAMWRIGHT_PYTHON`; `cargo xtask test` makes it.
fn python() -> Option<PathBuf> {
    let python = env::var_os("SEAMWRIGHT_PYTHON").map(PathBuf::from);
    if python.is_none() {
        assert!(env::var_os("SEAMWRIGHT_TOOLS_REQUIRED").is_none(), "SEAMWRIGHT_PYTHON names no Python");
        eprintln!("SKIPPED: SEAMWRIGHT_PYTHON names no Python with the reference libraries");
    }
    python
}

fn mesh_files() -> Option<Vec<PathBuf>> {
    let Some(folder) = env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from) else {
        eprintln!("SKIPPED: SEAMWRIGHT_MESHES names no folder of meshes");
        return None;
    };
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<_> = entries.filter(|path| Format::of_name(path).is_some()).collect();
    files.sort();
    Some(files)
}

fn by_trimesh(python: &Path, files: &[PathBuf]) -> Vec<Value> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/files.py");
    // Byte code would be written into the checkout.
    let output = Command::new(python).arg("-B").arg(script).args(files).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let told: Vec<Value> = output
        .stdout
        .split(|&b| b == b'\n')
        .filter(|line| !line.is_empty())
        .map(|line| serde_json::from_slice(line).unwrap())
        .collect();
    assert_eq!(told.len(), files.len());
    told
}

fn ours(path: &Path) -> Result<ModelFile, String> {
    read(path, &ReadOptions::default(), &Progress::new()).map_err(|error| error.to_string())
}

/// Volumes and areas agree to this share: both add up some 10⁶ numbers of 64 bits in orders of their own, and volumes
/// lose some more to cancelling.
const SHARE: f64 = 1e-7;
/// Bounds agree to this share of the largest coordinate: transforms round in orders of their own.
const PLACE: f64 = 1e-12;
/// Those of STL to this: we take its text for the same 32 bits that its binary form has, trimesh takes 64.
const PLACE_IN_STL: f64 = 1.0 / (1 << 24) as f64;

/// Files whose areas differ by more, by how much, and why.
const AREAS: [(&str, f64, &str); 2] = [
    (
        "material2-dirty.3mf",
        1e-6,
        "one component is scaled by 0.03937 and then by 25.4, which is 0.999998; trimesh takes that for 1",
    ),
    (
        "sword-quads.obj",
        2e-6,
        "one of its 22 117 quads is concave; trimesh parts it along the diagonal that folds it over, we along the other",
    ),
];

/// Larger files are read above and not written here: the check of 3MF is in plain Python, and takes a minute for 10⁶
/// triangles.
const MOST_WRITTEN: usize = 100_000;

/// All in which we differ.
fn differences(name: &str, model: ModelFile, theirs: &Value) -> Vec<String> {
    let mut found = Vec::new();
    let (format, collapsed) = (model.format, model.collapsed);
    let mesh = model.into_mesh().unwrap();
    let edges = EdgeTable::new(&mesh);
    let report = edges.report(&mesh);
    let shells = Shells::of_edges(&edges).reports(&mesh, &edges).len();
    let watertight = report.open == 0 && report.over_used == 0;
    println!(
        "{name}: {} triangles, {shells} shells, watertight {watertight}, volume {:.9e} beside {} {} {} {}",
        mesh.triangles.len(),
        mesh.volume_mm3(),
        theirs["triangles"],
        theirs["shells"],
        theirs["watertight"],
        theirs["volume"],
    );
    let mut same = |what: &str, ours: usize| {
        if theirs[what] != ours as u64 {
            found.push(format!("{name}: {what}: {ours} beside {}", theirs[what]));
        }
    };
    same("triangles", mesh.triangles.len());
    same("collapsed", collapsed);
    same("vertices", mesh.vertices.len());
    same("shells", shells);
    if theirs["watertight"] != watertight {
        found.push(format!("{name}: watertight: {watertight} beside {}", theirs["watertight"]));
    }
    let bounds = mesh.bounds().unwrap();
    let largest = bounds.min.coords.amax().max(bounds.max.coords.amax());
    let box_volume = bounds.size().product();
    let otherwise = AREAS.iter().find(|(file, ..)| *file == name);
    let area_share = otherwise.map_or(SHARE, |(_, share, why)| {
        println!("{name}: not the same area: {why}");
        *share
    });
    let place = if format == Format::Stl { PLACE_IN_STL } else { PLACE };
    let mut near = |what: &str, ours: f64, theirs: &Value, allowed: f64| {
        if !theirs.as_f64().is_some_and(|theirs| (ours - theirs).abs() <= allowed) {
            found.push(format!("{name}: {what}: {ours} beside {theirs}"));
        }
    };
    near("area", mesh.area_mm2(), &theirs["area"], area_share * mesh.area_mm2());
    // That of an open surface depends on the point that it is taken about.
    if report.unbalanced == 0 {
        near("volume", mesh.volume_mm3(), &theirs["volume"], SHARE * box_volume);
    }
    for axis in 0..3 {
        near("lowest", bounds.min[axis], &theirs["min"][axis], place * largest);
        near("highest", bounds.max[axis], &theirs["max"][axis], place * largest);
    }
    found
}

#[test]
fn every_real_file_is_read_as_trimesh_reads_it() {
    let (Some(python), Some(files)) = (python(), mesh_files()) else { return };
    let (mut found, mut refused) = (Vec::new(), Vec::new());
    for (path, theirs) in files.iter().zip(by_trimesh(&python, &files)) {
        let name = path.file_name().unwrap().to_string_lossy();
        match (ours(path), theirs.get("refused")) {
            (Ok(model), None) => found.extend(differences(&name, model, &theirs)),
            (Err(why), Some(theirs)) => {
                println!("{name}: refused: {why}; by trimesh: {theirs}");
                refused.push(name.into_owned());
            }
            (Err(why), None) => found.push(format!("{name}: refused by us alone: {why}")),
            (Ok(_), Some(why)) => found.push(format!("{name}: refused by trimesh alone: {why}")),
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    assert_eq!(refused, ["broken-fourVertices.ascii.stl", "variable-voronoi.3mf"]);
}

#[test]
fn what_we_write_is_read_by_trimesh_and_keeps_the_rules_of_3mf() {
    let (Some(python), Some(files)) = (python(), mesh_files()) else { return };
    let folder = tempfile::tempdir().unwrap();
    let mut written = Vec::new();
    for path in files {
        let Ok(model) = ours(&path) else { continue };
        if model.facets > MOST_WRITTEN {
            println!("{}: too large for this check, which goes through 3MF in Python", path.display());
            continue;
        }
        let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
        let pieces = |colour| -> Vec<Piece> {
            let piece = |part| Piece { name: "Saltgate <helm> & \"crest\"", mesh: mesh_of(part), colour };
            model.parts.iter().map(piece).collect()
        };
        for format in [Format::Obj, Format::Ply, Format::ThreeMf] {
            let target = folder.path().join(format!("{stem}-{}.{}", written.len(), format.ending()));
            let colour = (written.len() % 2 == 0).then_some([176, 141, 87, 255]);
            write(&target, format, &pieces(colour), Overwrite::Refuse).unwrap();
            written.push(target);
        }
    }
    let told = by_trimesh(&python, &written);
    let mut found = Vec::new();
    for (path, theirs) in written.iter().zip(told) {
        let name = path.file_name().unwrap().to_string_lossy();
        found.extend(differences(&name, ours(path).unwrap(), &theirs));
        if Format::of_name(path) == Some(Format::ThreeMf) && theirs["faults"] != Value::Array(Vec::new()) {
            found.push(format!("{name}: {}", theirs["faults"]));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

fn mesh_of(part: &seamwright_geometry::exchange::Part) -> &Mesh {
    &part.mesh
}
