//! The stock: reading its file, after making sure that it is the file that the recipe names.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use seamwright_geometry::exchange::read_stl;
use seamwright_geometry::{Mesh, Progress, inspect_with_shells};

use super::Stop;
use crate::cache::{Cache, Key, Weigh};
use crate::outcome::{Failure, Stage, Stock};
use crate::recipe::SourceFile;
use crate::store;

/// Reads the stock, or finds it in the cache.
pub(crate) fn stock(
    source: &SourceFile,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<(Key, Arc<Stock>), Stop> {
    let file = store::resolve_source(source, project_dir);
    check_is_same(source, &file, cache)?;
    let key = Key::new("stock").with(source.sha256.as_bytes());
    let stock = cache.get_or_make(key, || read(file, progress))?;
    Ok((key, stock))
}

fn read(file: PathBuf, progress: &Progress) -> Result<Stock, Stop> {
    progress.stage(format!("reading {}", name_of(&file)));
    let read = match read_stl(&file, progress) {
        Ok(read) => read,
        Err(_) if progress.check().is_err() => return Err(Stop::Cancelled),
        Err(error) => return Err(failed(error.to_string(), false)),
    };
    progress.stage("looking at its health");
    let (report, shells) = inspect_with_shells(&read.mesh);
    progress.check()?;
    Ok(Stock {
        file,
        mesh: read.mesh,
        shell_of_face: shells.of_triangle,
        report,
        set_aside: read.set_aside_not_finite,
        read_s: read.read_s,
        merge_s: read.merge_s,
    })
}

/// A source may have been moved, or changed by another program, since the recipe was made.
fn check_is_same(source: &SourceFile, file: &Path, cache: &Cache) -> Result<(), Stop> {
    let meta = match std::fs::metadata(file) {
        Ok(meta) if meta.is_file() => meta,
        Ok(_) => return Err(moved(file, "is a folder, not a mesh file")),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return Err(moved(file, "is not there any more: it was moved, renamed or deleted"));
        }
        Err(error) => return Err(moved(file, &format!("cannot be read: {error}"))),
    };
    if meta.len() != source.bytes {
        return Err(changed(source, file, &format!("it has {} bytes and had {}", meta.len(), source.bytes)));
    }
    // Hashing a large file takes its time; a file with the same length and time of change was hashed already.
    let changed_at = meta.modified().ok().and_then(|t| t.duration_since(SystemTime::UNIX_EPOCH).ok());
    let key = Key::new("fingerprint")
        .with(file.as_os_str().as_encoded_bytes())
        .with_numbers(&[meta.len() as f64, changed_at.map_or(0.0, |t| t.as_secs_f64())]);
    let print = cache.get_or_make(key, || store::fingerprint(file).map(Fingerprint));
    match print {
        Ok(print) if print.0.1 == source.sha256 => Ok(()),
        Ok(_) => Err(changed(source, file, "its content is another one")),
        Err(error) => Err(moved(file, &format!("cannot be read: {error}"))),
    }
}

fn moved(file: &Path, what: &str) -> Stop {
    failed(format!("{} {what}. Point at its new place, or open another model", file.display()), true)
}

fn changed(source: &SourceFile, file: &Path, what: &str) -> Stop {
    let stored = name_of(Path::new(&source.path));
    failed(
        format!(
            "{} is not the {stored} that this project was made with: {what}. Point at the file of before, or at this \
             one to go on with it as it is now",
            file.display()
        ),
        true,
    )
}

fn failed(text: String, stock_moved: bool) -> Stop {
    Stop::Failed(Failure { stage: Stage::Stock, text, stock_moved })
}

fn name_of(file: &Path) -> String {
    file.file_name().unwrap_or(file.as_os_str()).to_string_lossy().into_owned()
}

struct Fingerprint((u64, String));

impl Weigh for Fingerprint {
    fn bytes(&self) -> usize {
        self.0.1.len()
    }
}

impl Weigh for Stock {
    fn bytes(&self) -> usize {
        mesh_bytes(&self.mesh) + size_of_val(self.shell_of_face.as_slice())
    }
}

pub(crate) fn mesh_bytes(mesh: &Mesh) -> usize {
    size_of_val(mesh.vertices.as_slice()) + size_of_val(mesh.triangles.as_slice())
}
