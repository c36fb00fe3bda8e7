//! Writing PLY: little endian, coordinates in 64 bits.

use super::exact::{Exact, plain};
use std::fs::File;
use std::io::{self, BufWriter, Write};

/// Stands for pieces without a colour among others that have one.
const WHITE: [u8; 4] = [255; 4];

pub(super) fn write(file: &mut File, pieces: &[Exact]) -> io::Result<()> {
    let mut file = BufWriter::with_capacity(1 << 18, file);
    let vertices: usize = pieces.iter().map(|piece| piece.mesh.vertices.len()).sum();
    let faces: usize = pieces.iter().map(|piece| piece.mesh.triangles.len()).sum();
    let coloured = pieces.iter().any(|piece| piece.colour.is_some());
    write!(file, "ply\nformat binary_little_endian 1.0\ncomment Seamwright; unit: millimetre\n")?;
    for piece in pieces {
        writeln!(file, "comment piece: {}", plain(piece.name))?;
    }
    writeln!(file, "element vertex {vertices}")?;
    for axis in ["x", "y", "z"] {
        writeln!(file, "property double {axis}")?;
    }
    if coloured {
        for channel in ["red", "green", "blue", "alpha"] {
            writeln!(file, "property uchar {channel}")?;
        }
    }
    write!(file, "element face {faces}\nproperty list uchar uint vertex_indices\nend_header\n")?;
    for piece in pieces {
        for p in &piece.mesh.vertices {
            for x in p.iter() {
                file.write_all(&x.to_le_bytes())?;
            }
            if coloured {
                file.write_all(&piece.colour.unwrap_or(WHITE))?;
            }
        }
    }
    let mut before = 0;
    for piece in pieces {
        for face in &piece.mesh.triangles {
            file.write_all(&[3])?;
            for i in face {
                file.write_all(&(i + before).to_le_bytes())?;
            }
        }
        before += piece.mesh.vertices.len() as u32;
    }
    file.flush()
}
