//! The stock: reading its file, after making sure that it is the file that the recipe names.

use std::fs::Metadata;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};

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
    check_is_same(source, &file, cache, progress)?;
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
fn check_is_same(source: &SourceFile, file: &Path, cache: &Cache, progress: &Progress) -> Result<(), Stop> {
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
    if fingerprint(file, &meta, cache, progress)?.0 != source.sha256 {
        return Err(changed(source, file, "its content is another one"));
    }
    Ok(())
}

/// A file that was changed less than this ago may be changed again within the same tick of its time stamp. The coarsest
/// stamps in use are those of FAT, 2 s (common knowledge, no source).
const SETTLED: Duration = Duration::from_secs(3);

/// Hashing a large file takes its time; a file with the same length and time of change was hashed already.
fn fingerprint(file: &Path, meta: &Metadata, cache: &Cache, progress: &Progress) -> Result<Arc<Fingerprint>, Stop> {
    let print = || {
        progress.stage(format!("checking {}", name_of(file)));
        let print = store::fingerprint_while(file, || progress.check());
        let (_, sha256) = print.map_err(|error| moved(file, &format!("cannot be read: {error}")))??;
        Ok::<_, Stop>(Fingerprint(sha256))
    };
    let changed_at = meta.modified().ok();
    let settled = changed_at.filter(|at| at.elapsed().is_ok_and(|age| age > SETTLED));
    let Some(since) = settled.and_then(|at| at.duration_since(SystemTime::UNIX_EPOCH).ok()) else {
        return print().map(Arc::new);
    };
    let key = Key::new("fingerprint")
        .with(file.as_os_str().as_encoded_bytes())
        .with(&meta.len().to_le_bytes())
        .with(&since.as_nanos().to_le_bytes());
    cache.get_or_make(key, print)
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

/// SHA-256 of a file.
struct Fingerprint(String);

impl Weigh for Fingerprint {
    fn bytes(&self) -> usize {
        self.0.len()
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
