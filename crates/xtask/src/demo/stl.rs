//! Binary STL out.
use seamwright_geometry::Mesh;
use std::io::{self, BufWriter, Write};
use std::path::Path;

/// Bytes of the free text at the start of a binary STL (M. Burns, "Automated Fabrication", 1993, §6.5).
const HEADER_BYTES: usize = 80;

/// Writes `mesh` as binary STL to `path`, coordinates in mm; an existing file is replaced only when all is written.
pub fn write(path: &Path, mesh: &Mesh) -> io::Result<()> {
    let partial = path.with_extension("stl.partial");
    let mut out = BufWriter::new(std::fs::File::create(&partial)?);
    write_to(&mut out, mesh)?;
    out.into_inner().map_err(|e| e.into_error())?.sync_all()?;
    std::fs::rename(&partial, path)
}

/// Writes `mesh` as binary STL.
pub fn write_to(out: &mut impl Write, mesh: &Mesh) -> io::Result<()> {
    let mut header = [0; HEADER_BYTES];
    let text = b"The Saltgate Sentinel, millimetres, z up";
    header[..text.len()].copy_from_slice(text);
    out.write_all(&header)?;
    let count = u32::try_from(mesh.triangles.len())
        .map_err(|_| io::Error::new(io::ErrorKind::InvalidInput, "more triangles than a binary STL can count"))?;
    out.write_all(&count.to_le_bytes())?;
    for t in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners(t);
        let normal = (b - a).cross(&(c - a)).try_normalize(0.0).unwrap_or_default();
        for v in [normal, a.coords, b.coords, c.coords] {
            for x in v.iter() {
                out.write_all(&(*x as f32).to_le_bytes())?;
            }
        }
        out.write_all(&[0, 0])?;
    }
    Ok(())
}
