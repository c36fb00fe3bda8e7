//! The stock: reading its file, after making sure that it is the file that the recipe names.

use std::fs::Metadata;
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};

use seamwright_geometry::exchange::{Format, JoinError, ModelFile, ReadOptions, joined, read as read_model};
use seamwright_geometry::mend::MendStep;
use seamwright_geometry::{Mesh, Progress, Report, ShellReport, Shells, inspect_with_shells, nesting};

use super::Stop;
use crate::cache::{Cache, Key, Weigh};
use crate::outcome::{Failure, Stage, Stock};
use crate::read_remarks::remarks_on;
use crate::recipe::{Recipe, SourceFile};
use crate::store;

/// Reads the files of the stock, or finds it in the cache.
pub(crate) fn stock(
    recipe: &Recipe,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<(Key, Arc<Stock>), Stop> {
    let mut key = Key::new("stock");
    let mut files = Vec::new();
    for (at, source) in recipe.sources().enumerate() {
        let file = store::resolve_source(source, project_dir);
        check_is_same(source, &file, cache, progress).map_err(|stop| of_source(at, stop))?;
        key = key.with(source.sha256.as_bytes());
        files.push(file);
    }
    let stock = cache.get_or_make(key, || read(files, progress))?;
    Ok((key, stock))
}

/// Several files are read one after the other and put side by side: the shells of each keep their order.
fn read(files: Vec<PathBuf>, progress: &Progress) -> Result<Stock, Stop> {
    let mut mesh = Mesh::default();
    let mut first_faces = Vec::with_capacity(files.len());
    let (mut set_aside, mut read_s, mut merge_s) = (0, 0.0, 0.0);
    let (mut remarks, mut stated_unit, mut names) = (Vec::new(), None, Vec::new());
    for (at, file) in files.iter().enumerate() {
        let read = match read_model(file, &ReadOptions::default(), progress) {
            Ok(read) => read,
            Err(_) if progress.check().is_err() => return Err(Stop::Cancelled),
            Err(error) => return Err(failed(format!("{}: {}", shown(file), error.problem), false)),
        };
        first_faces.push(mesh.triangles.len());
        set_aside += read.set_aside_not_finite;
        read_s += read.read_s;
        merge_s += read.merge_s;
        remarks.extend(remarks_on(&read).iter().map(|remark| format!("{}: {remark}", name_of(file))));
        if at == 0 {
            stated_unit = read.unit;
        }
        names.extend(put_together(&mut mesh, read, file, progress)?);
    }
    progress.stage("looking at its health");
    let (report, shells) = inspect_with_shells(&mesh);
    let cavity_of = cavities(&mesh, &shells, &report, progress)?;
    let safe_mends = MendStep::safe(&mesh).to_vec();
    let come_apart = come_apart(&mesh, &report, &safe_mends, progress)?;
    progress.check()?;
    let shell_of_face = shells.of_triangle;
    let first_shell = first_faces.iter().map(|&face| shell_of_face.get(face).copied().unwrap_or(0)).collect();
    let names = names.into_iter().map(|(face, name)| (shell_of_face.get(face).copied().unwrap_or(0), name)).collect();
    Ok(Stock {
        files,
        first_shell,
        names,
        mesh,
        shell_of_face,
        cavity_of,
        report,
        set_aside,
        remarks,
        stated_unit,
        safe_mends,
        come_apart,
        read_s,
        merge_s,
    })
}

/// How many more shells the safe mends leave. Looked at only where they part something: most models have no such edges.
fn come_apart(mesh: &Mesh, report: &Report, safe: &[MendStep], progress: &Progress) -> Result<usize, Stop> {
    if report.over_used_edges == 0 {
        return Ok(0);
    }
    let mut now = mesh.clone();
    // What comes after the parting joins nothing and parts nothing.
    let parting = safe.iter().take_while(|step| !matches!(step, MendStep::TurnOutward));
    for step in parting {
        match step.apply(&now, progress) {
            Ok(mended) => now = mended.mesh,
            Err(_) => progress.check()?,
        }
    }
    progress.stage("looking at its health");
    Ok((Shells::of(&now).count as usize).saturating_sub(report.shells.len()))
}

/// Only shells that face inwards can be walls of cavities, and most models have none.
fn cavities(mesh: &Mesh, shells: &Shells, report: &Report, progress: &Progress) -> Result<Vec<Option<u32>>, Stop> {
    if report.shells.len() < 2 || !report.shells.iter().any(ShellReport::turned_inwards) {
        return Ok(vec![None; report.shells.len()]);
    }
    Ok(nesting(mesh, shells, &report.shells, progress)?.cavity_of)
}

/// Says which file a failure is about.
fn of_source(at: usize, stop: Stop) -> Stop {
    match stop {
        Stop::Failed(failure) => Stop::Failed(Failure { source: at, ..failure }),
        Stop::Cancelled => Stop::Cancelled,
    }
}

/// Adds what a file holds; the first face and the name of each part that has one.
///
/// Things of a 3MF file are solids of their own, even where they touch. The groups of an OBJ file are parts of one
/// surface and share its vertices.
fn put_together(
    mesh: &mut Mesh,
    file: ModelFile,
    path: &Path,
    progress: &Progress,
) -> Result<Vec<(usize, String)>, Stop> {
    let mut names = Vec::new();
    let mut first = mesh.triangles.len();
    for part in &file.parts {
        if !part.name.is_empty() {
            names.push((first, part.name.clone()));
        }
        first += part.mesh.triangles.len();
    }
    let meshes: Vec<Mesh> = file.parts.into_iter().map(|part| part.mesh).collect();
    let not_joined = |error| match error {
        JoinError::Cancelled(_) => Stop::Cancelled,
        JoinError::TooManyVertices(_) => {
            let text = format!("{} holds more vertices than can be numbered: take parts of it out", path.display());
            failed(text, false)
        }
    };
    match file.format {
        Format::ThreeMf => meshes.into_iter().for_each(|part| append(mesh, part)),
        Format::Stl | Format::Obj | Format::Ply => append(mesh, joined(meshes, progress).map_err(not_joined)?),
    }
    Ok(names)
}

fn append(mesh: &mut Mesh, other: Mesh) {
    if mesh.triangles.is_empty() {
        *mesh = other;
        return;
    }
    let first = mesh.vertices.len() as u32;
    mesh.vertices.extend(other.vertices);
    mesh.triangles.extend(other.triangles.into_iter().map(|face| face.map(|v| v + first)));
}

/// A source may have been moved, or changed by another program, since the recipe was made.
fn check_is_same(source: &SourceFile, file: &Path, cache: &Cache, progress: &Progress) -> Result<(), Stop> {
    let meta = match std::fs::metadata(file) {
        Ok(meta) if meta.is_file() => meta,
        Ok(_) => return Err(moved(file, "is a folder, not a mesh file")),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            // Whatever lay in a folder that is gone is gone with it: that is what to look for.
            let gone = file.ancestors().skip(1).take_while(|folder| !folder.exists()).last();
            let why = match gone.filter(|folder| !folder.as_os_str().is_empty()) {
                Some(folder) => format!("is not there any more: its folder {} is gone", folder.display()),
                None => "is not there any more: it was moved, renamed or deleted".to_owned(),
            };
            return Err(moved(file, &why));
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
    failed(format!("{} {what}. Point at its new place, or open another model", shown(file)), true)
}

fn changed(source: &SourceFile, file: &Path, what: &str) -> Stop {
    let stored = name_of(Path::new(&source.path));
    failed(
        format!(
            "{} is not the {stored} that this project was made with: {what}. Point at the file of before, or at this \
             one to go on with it as it is now",
            shown(file)
        ),
        true,
    )
}

fn failed(text: String, stock_moved: bool) -> Stop {
    Stop::Failed(Failure { stage: Stage::Stock, text, stock_moved, source: 0 })
}

/// A path as people read it: without the ways up that lead from the project to its model.
fn shown(file: &Path) -> String {
    let mut plain = PathBuf::new();
    for step in std::path::absolute(file).unwrap_or_else(|_| file.into()).components() {
        match step {
            Component::ParentDir => drop(plain.pop()),
            Component::CurDir => {}
            step => plain.push(step),
        }
    }
    plain.display().to_string()
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
