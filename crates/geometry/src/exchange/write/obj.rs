//! Writing OBJ.

use super::exact::{Exact, Number, plain};
use std::fs::File;
use std::io::{self, BufWriter, Write};

pub(super) fn write(file: &mut File, pieces: &[Exact]) -> io::Result<()> {
    let mut file = BufWriter::with_capacity(1 << 18, file);
    writeln!(file, "# Seamwright; unit: millimetre")?;
    let mut before = 1;
    for piece in pieces.iter().filter(|piece| !piece.mesh.triangles.is_empty()) {
        // A mark of comments or of a line that goes on would not be read as part of a name.
        writeln!(file, "o {}", plain(piece.name).replace('#', "_").replace('\\', "/"))?;
        let colour = piece.colour.map(|[r, g, b, _]| {
            let [r, g, b] = [r, g, b].map(|channel| f64::from(channel) / 255.0);
            format!(" {r:.4} {g:.4} {b:.4}")
        });
        let colour = colour.unwrap_or_default();
        for p in &piece.mesh.vertices {
            writeln!(file, "v {} {} {}{colour}", Number(p.x), Number(p.y), Number(p.z))?;
        }
        for face in &piece.mesh.triangles {
            let [a, b, c] = face.map(|i| u64::from(i) + before);
            writeln!(file, "f {a} {b} {c}")?;
        }
        before += piece.mesh.vertices.len() as u64;
    }
    file.flush()
}
