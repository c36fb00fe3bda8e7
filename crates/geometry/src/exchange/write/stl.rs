//! Writing STL.

use super::new_file::NewFile;
use super::{Overwrite, WriteError, Written};
use crate::merge::Numbering;
use crate::{Mesh, Point, Vector};
use std::io::{Seek, SeekFrom, Write};
use std::path::Path;

/// Writes a binary STL file, facets in the order of the mesh, with `name` in its header (cut to what fits).
///
/// STL holds 32-bit numbers: coordinates are rounded to them (about 1e-4 mm at 2000 mm). Vertices that coincide
/// after rounding become one, and faces that lose a corner that way are left out, so that a closed mesh is closed
/// again when it is read back: leaving out a face whose edges run to and fro unbalances none.
///
/// Written under a passing name in the same folder and renamed at the end.
pub fn write_stl(path: &Path, mesh: &Mesh, name: &str, overwrite: Overwrite) -> Result<Written, WriteError> {
    let file = NewFile::begin(path, overwrite)?;
    let rounded = Rounded::of(mesh).map_err(|vertex| {
        let at = mesh.vertices[vertex].coords.into();
        WriteError::OutOfRange { path: path.to_owned(), vertex, at }
    })?;
    if rounded.faces.is_empty() {
        return Err(WriteError::NoFacets { path: path.to_owned() });
    }
    let bytes = file.write(|file| {
        stl_io::write_stl(file, rounded.facets())?;
        file.seek(SeekFrom::Start(0))?;
        file.write_all(&header(name))
    })?;
    Ok(Written { facets: rounded.faces.len(), collapsed: mesh.triangles.len() - rounded.faces.len(), bytes })
}

/// A mesh in 32-bit numbers, without the faces that rounding has folded up.
struct Rounded {
    places: Vec<[f32; 3]>,
    faces: Vec<[u32; 3]>,
}

impl Rounded {
    /// The index of a vertex that 32 bits can't hold, if there is one.
    fn of(mesh: &Mesh) -> Result<Rounded, usize> {
        let mut numbering = Numbering::with_room_for(mesh.vertices.len());
        let mut new_index = Vec::with_capacity(mesh.vertices.len());
        for (vertex, p) in mesh.vertices.iter().enumerate() {
            // Adding 0 makes −0 into 0, which is the same place.
            let place = [p.x as f32 + 0.0, p.y as f32 + 0.0, p.z as f32 + 0.0];
            if !place.iter().all(|x| x.is_finite()) {
                return Err(vertex);
            }
            // Indices of a mesh are 32-bit numbers, so there can't be more places than they can number, save for
            // the very last one.
            new_index.push(numbering.number(place).map_err(|_| vertex)?);
        }
        let faces = mesh.triangles.iter().map(|face| face.map(|i| new_index[i as usize]));
        let faces = faces.filter(|[a, b, c]| a != b && b != c && c != a).collect();
        Ok(Rounded { places: numbering.places, faces })
    }

    fn facets(&self) -> impl ExactSizeIterator<Item = stl_io::Triangle> {
        self.faces.iter().map(|face| {
            let corners = face.map(|i| self.places[i as usize]);
            stl_io::Triangle { normal: normal(corners), vertices: corners.map(stl_io::Vertex::new) }
        })
    }
}

/// Unit normal by the right-hand rule; zero where the corners lie on one line, as the format has it.
fn normal(corners: [[f32; 3]; 3]) -> stl_io::Normal {
    let [a, b, c] = corners.map(|p| Point::from(p.map(f64::from)));
    let across: Vector = (b - a).cross(&(c - a));
    let unit = across.try_normalize(0.0).unwrap_or_default();
    stl_io::Normal::new([unit.x as f32, unit.y as f32, unit.z as f32])
}

/// Eighty bytes that never begin with "solid", which would pass for a text file.
fn header(name: &str) -> [u8; 80] {
    let text = format!("Seamwright: {name}");
    let fits = text.char_indices().map(|(at, c)| at + c.len_utf8()).take_while(|&end| end <= 80).last().unwrap_or(0);
    let mut header = [b' '; 80];
    header[..fits].copy_from_slice(&text.as_bytes()[..fits]);
    header
}
