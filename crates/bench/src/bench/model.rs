//! The demo helm at a wanted size, in files that every measuring process reads.

use std::fs::{self, File};
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use seamwright_geometry::exchange::{Format, Overwrite, Piece, read_stl, write, write_stl};
use seamwright_geometry::{Mesh, Point, Progress, Solid, Vector};

use super::{own, spoilt};
use crate::demo::{DemoModel, build};
use xtask::steps::StepError;

/// The helm, whole and in nine pieces, and the planes that part it.
///
/// `NAME.stl` is what is read; `NAME.vertices` (64-bit) and `NAME.triangles` (32-bit, little-endian, three to a line)
/// are the same mesh with its corners merged, and `NAME.obj`, `NAME.ply`, `NAME.3mf` as well; `NAME-pieces.*` are the
/// nine pieces moved apart, as one mesh. What there is to find and mend lies in others (see `spoilt.rs`).
#[derive(Clone, Debug)]
pub struct Model {
    /// Triangles.
    pub triangles: usize,
    /// What the whole mesh takes in memory as we hold it, MiB.
    pub mesh_mib: f64,
    /// The same without where its faces come from.
    pub bare_mib: f64,
    /// Unit normal of all planes: oblique, so that it meets no symmetry of the model.
    pub normal: [f64; 3],
    /// The plane of the single cut, through the middle.
    pub middle_mm: f64,
    /// Eight planes, evenly spaced over the whole length.
    pub eight_mm: Vec<f64>,
    stem: PathBuf,
}

/// Mostly upwards.
const NORMAL: [f64; 3] = [0.30, 0.25, 0.9];
/// How far the pieces are moved apart, mm: shells must not touch.
const GAP_MM: f64 = 10.0;
/// How far one half is pushed into the other, mm: through some rows of faces.
const PUSH_MM: f64 = 2.0;

impl Model {
    /// The model with about `triangles` triangles, from its files where they are.
    pub fn ensure(triangles: usize) -> Result<Model, StepError> {
        let stem = super::folder().join(format!("helm-{triangles}"));
        if !with_extension(&stem, "stl").exists() {
            fs::create_dir_all(super::folder()).map_err(|error| error.to_string())?;
            eprintln!("making {}", stem.display());
            write_stl(&with_extension(&stem, "stl"), &build(DemoModel::Helm, triangles), "helm", Overwrite::Allow)
                .map_err(|error| error.to_string())?;
        }
        // As a maker's file comes in, not in the order in which it was made.
        let read = read_stl(&with_extension(&stem, "stl"), &Progress::new()).map_err(|error| error.to_string())?;
        write_arrays(&stem, &read.mesh)?;
        write_formats(&stem, &read.mesh)?;
        let solid = Solid::from_stock(read.mesh);
        let model = Model::planned(stem, &solid)?;
        write_arrays(&model.pieces(), &moved(&solid, &model, &model.eight_mm, GAP_MM)?)?;
        write_arrays(&model.torn(), &spoilt::torn(&solid.mesh))?;
        write_arrays(&model.turned(), &spoilt::turned(&solid.mesh))?;
        write_arrays(&model.untidy(), &spoilt::untidy(&solid.mesh))?;
        if !with_extension(&model.glaive(), "triangles").exists() {
            write_arrays(&model.glaive(), &build(DemoModel::Glaive, triangles))?;
        }
        write_arrays(&model.pushed(), &moved(&solid, &model, &[model.middle_mm], -PUSH_MM)?)?;
        Ok(model)
    }

    /// The files of the mesh with holes, without extension.
    pub fn torn(&self) -> PathBuf {
        self.named("torn")
    }

    /// The files of the mesh with faces turned round and others there twice, without extension.
    pub fn untidy(&self) -> PathBuf {
        self.named("untidy")
    }

    /// The files of the mesh with faces turned round, without extension.
    pub fn turned(&self) -> PathBuf {
        self.named("turned")
    }

    /// The files of two halves pushed into each other, without extension.
    pub fn pushed(&self) -> PathBuf {
        self.named("pushed")
    }

    /// The files of the whole mesh, without extension.
    pub fn whole(&self) -> PathBuf {
        self.stem.clone()
    }

    /// The files of the glaive with as many triangles, through which a rod runs lengthways, without extension.
    pub fn glaive(&self) -> PathBuf {
        self.named("glaive")
    }

    /// The files of the nine pieces, without extension.
    pub fn pieces(&self) -> PathBuf {
        self.named("pieces")
    }

    fn named(&self, which: &str) -> PathBuf {
        let mut name = self.stem.clone().into_os_string();
        name.push(format!("-{which}"));
        name.into()
    }

    /// `count` planes, evenly spaced over the whole length; a single one is that of the single cut.
    pub fn spread_mm(&self, count: usize) -> Vec<f64> {
        match (count, self.eight_mm.as_slice()) {
            (1, _) => vec![self.middle_mm],
            (_, [first, .., last]) => {
                // Eight planes make nine parts; so many more make one part each.
                let part = (last - first) / 7.0;
                let (low, length) = (first - part, 9.0 * part);
                (1..=count).map(|i| low + length * i as f64 / (count + 1) as f64).collect()
            }
            _ => Vec::new(),
        }
    }

    fn planned(stem: PathBuf, solid: &Solid) -> Result<Model, StepError> {
        let normal = Vector::from(NORMAL).normalize();
        let heights = || solid.mesh.vertices.iter().map(|p| normal.dot(&p.coords));
        let (low, high) = (heights().fold(f64::INFINITY, f64::min), heights().fold(f64::NEG_INFINITY, f64::max));
        let bounds = solid.mesh.bounds().ok_or("the model is empty")?;
        Ok(Model {
            triangles: solid.mesh.triangles.len(),
            mesh_mib: own::size_mib(solid),
            bare_mib: own::size_mib(&Solid { origins: Vec::new(), ..solid.clone() }),
            normal: normal.into(),
            middle_mm: normal.dot(&bounds.centre().coords),
            eight_mm: (1..=8).map(|i| low + (high - low) * f64::from(i) / 9.0).collect(),
            stem,
        })
    }
}

/// Reads a size in triangles: 250000, 100k, 4m.
pub fn parse_size(text: &str) -> Result<usize, String> {
    let (digits, factor) = match text.strip_suffix(['k', 'K']) {
        Some(digits) => (digits, 1_000),
        None => text.strip_suffix(['m', 'M']).map_or((text, 1), |digits| (digits, 1_000_000)),
    };
    let count: usize = digits.parse().map_err(|_| "a number of triangles like 250000, 100k or 4m".to_owned())?;
    // What the demo models can be made at.
    count.checked_mul(factor).filter(|n| (10_000..=10_000_000).contains(n)).ok_or("10k to 10m triangles".to_owned())
}

/// Reads the mesh of [`write_arrays`].
pub fn read_arrays(stem: &Path) -> Result<Mesh, StepError> {
    let vertices =
        read_all(&with_extension(stem, "vertices"), |p: [[u8; 8]; 3]| Point::from(p.map(f64::from_le_bytes)));
    let triangles = read_all(&with_extension(stem, "triangles"), |t: [[u8; 4]; 3]| t.map(u32::from_le_bytes));
    vertices
        .and_then(|vertices| Ok(Mesh { vertices, triangles: triangles? }))
        .map_err(|error| format!("could not read the arrays of {}: {error}", stem.display()))
}

/// Without holding the whole file beside what is made of it, which would count as memory of the work that follows.
fn read_all<const N: usize, T>(path: &Path, item: impl Fn([[u8; N]; 3]) -> T) -> io::Result<Vec<T>> {
    let file = File::open(path)?;
    let count = usize::try_from(file.metadata()?.len()).map_or(0, |bytes| bytes / (3 * N));
    let mut reader = BufReader::new(file);
    let mut items = Vec::with_capacity(count);
    for _ in 0..count {
        let mut bytes = [[0; N]; 3];
        reader.read_exact(bytes.as_flattened_mut())?;
        items.push(item(bytes));
    }
    Ok(items)
}

fn write_arrays(stem: &Path, mesh: &Mesh) -> Result<(), StepError> {
    let vertices = mesh.vertices.iter().flat_map(|p| [p.x, p.y, p.z]).map(f64::to_le_bytes);
    let triangles = mesh.triangles.iter().flatten().map(|corner| corner.to_le_bytes());
    write_all(&with_extension(stem, "vertices"), vertices)
        .and_then(|()| write_all(&with_extension(stem, "triangles"), triangles))
        .map_err(|error| format!("could not write the arrays of {}: {error}", stem.display()))
}

fn write_all<const N: usize>(path: &Path, numbers: impl Iterator<Item = [u8; N]>) -> io::Result<()> {
    let mut file = BufWriter::new(File::create(path)?);
    for number in numbers {
        file.write_all(&number)?;
    }
    file.flush()
}

fn with_extension(stem: &Path, extension: &str) -> PathBuf {
    stem.with_extension(extension)
}

/// The formats that are read beside STL, where they are not there yet.
fn write_formats(stem: &Path, mesh: &Mesh) -> Result<(), StepError> {
    for format in [Format::Obj, Format::Ply, Format::ThreeMf] {
        let path = with_extension(stem, format.ending());
        if !path.exists() {
            let piece = Piece { name: "helm", mesh, colour: None };
            write(&path, format, &[piece], Overwrite::Refuse).map_err(|error| error.to_string())?;
        }
    }
    Ok(())
}

/// The pieces between these planes, each moved along the normal by so much more than the one below, as one mesh of many
/// shells.
fn moved(solid: &Solid, model: &Model, offsets_mm: &[f64], by_mm: f64) -> Result<Mesh, StepError> {
    let normal = Vector::from(model.normal);
    let mut all = Mesh::default();
    for (i, piece) in own::parted(solid, normal, offsets_mm)?.iter().enumerate() {
        let first = all.vertices.len() as u32;
        // 32 bits must hold the coordinates: not every library takes more.
        let moved = piece.mesh.vertices.iter().map(|p| p + normal * by_mm * i as f64);
        all.vertices.extend(moved.map(|p| p.map(|x| f64::from(x as f32))));
        all.triangles.extend(piece.mesh.triangles.iter().map(|t| t.map(|v| v + first)));
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_with_and_without_a_letter() {
        assert_eq!(parse_size("250000"), Ok(250_000));
        assert_eq!(parse_size("100k"), Ok(100_000));
        assert_eq!(parse_size("4M"), Ok(4_000_000));
        for bad in ["", "m", "1.5m", "-3", "9k", "11m", "99999999999999999999m"] {
            assert!(parse_size(bad).is_err(), "{bad}");
        }
    }
}
