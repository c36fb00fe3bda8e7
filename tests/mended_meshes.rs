//! Models made by others, mended by `seamwright mend`, and looked at by libraries that know nothing of us.
//!
//! What is safe moves nothing: every corner and middle of a face that is new lies on the model as it was. With holes filled, what
//! we call closed is closed for trimesh and for manifold3d too, and no shell crosses itself more than before; where what crosses is united as well and all is closed, nothing crosses at all. The figures stand side by side in a table that is left among the artefacts, with the
//! reason where a model stays open.

mod support;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use seamwright_geometry::exchange::{Format, Overwrite, ReadOptions, read, write_stl};
use seamwright_geometry::mend::{MendStep, mend_all_safe};
use seamwright_geometry::{Meeting, Mesh, Progress, Shells, crossings, inspect};
use seamwright_project::mending::RIM_EDGES;
use serde::Deserialize;
use serde_json::json;
use support::{artefacts, program, tools};

/// Models of more faces are left to other tests: Python takes minutes for them.
const MOST_FACES: usize = 150_000;

#[derive(Debug, Deserialize)]
struct Judged {
    triangles: usize,
    balanced: bool,
    unbalanced: usize,
    unbalanced_before: usize,
    watertight: bool,
    winding_consistent: bool,
    volume_mm3: f64,
    manifold3d: String,
    new_vertices: usize,
    /// Of corners and middles of new faces from the model before, where it was measured.
    off_mm: Option<f64>,
    rounding_mm: f64,
}

/// One model, mended twice: what is safe, and all holes filled too.
struct Mended {
    name: String,
    before: PathBuf,
    safe: PathBuf,
    filled: PathBuf,
    /// What the program says about the latter.
    closed: bool,
    volume_mm3: Option<f64>,
    why_open: String,
    /// Pairs of faces of one shell that pass through each other, before and after; without the rounding of a file.
    crossing: [usize; 2],
    /// Where uniting what crosses as well leaves it closed: pairs of faces that still pass through each other.
    united_crossing: Option<usize>,
    largest_mm: f64,
}

#[test]
fn mended_models_are_closed_and_where_they_were_for_other_libraries_too() {
    let Some(python) = tools::python() else { return };
    let Some(folder) = tools::meshes() else { return };
    let shop = tempfile::tempdir().expect("a folder for the mended models");
    let models: Vec<Mended> =
        models(&folder).into_iter().map(|(name, mesh)| mended(shop.path(), name, &mesh)).collect();
    assert!(models.len() > 10, "only {} models in {}", models.len(), folder.display());
    let jobs = |after: fn(&Mended) -> &PathBuf, measure: bool| -> Vec<serde_json::Value> {
        let job = |model: &Mended| json!({ "before": model.before, "after": after(model), "measure": measure });
        models.iter().map(job).collect()
    };
    let safe = judge(&python, &jobs(|model| &model.safe, true));
    let filled = judge(&python, &jobs(|model| &model.filled, false));
    let mut table = format!(
        "{:<32} {:>9} {:>8} {:>8} {:>8} {:>10} {:>18} {:>10} {:>8} {:>12} {:>6}  left open because\n",
        "mesh",
        "triangles",
        "unbal.",
        "safe",
        "filled",
        "watertight",
        "manifold3d",
        "off mm",
        "new v.",
        "crossing",
        "united"
    );
    let mut faults = Vec::new();
    for ((model, safe), filled) in models.iter().zip(&safe).zip(&filled) {
        table.push_str(&format!(
            "{:<32} {:>9} {:>8} {:>8} {:>8} {:>10} {:>18} {:>10.2e} {:>8} {:>12} {:>6}  {}\n",
            model.name,
            filled.triangles,
            filled.unbalanced_before,
            safe.unbalanced,
            filled.unbalanced,
            filled.watertight,
            filled.manifold3d,
            safe.off_mm.unwrap_or(f64::NAN),
            filled.new_vertices,
            format!("{} > {}", model.crossing[0], model.crossing[1]),
            model.united_crossing.map_or_else(|| "–".to_owned(), |pairs| pairs.to_string()),
            model.why_open,
        ));
        faults.extend(faults_of(model, safe, filled));
    }
    artefacts::write("mended-meshes.txt", &table);
    println!("{table}");
    assert!(faults.is_empty(), "{table}\n{}", faults.join("\n"));
}

fn faults_of(model: &Mended, safe: &Judged, filled: &Judged) -> Vec<String> {
    let mut faults = Vec::new();
    let mut expect = |holds: bool, what: &str| {
        if !holds {
            faults.push(format!("{}: {what}", model.name));
        }
    };
    // What merging near vertices may move, and what storing in 32 bits does.
    let stated_mm = model.largest_mm / f64::from(1_u32 << 22) + 2.0 * safe.rounding_mm;
    let off_mm = safe.off_mm.unwrap_or(f64::INFINITY);
    expect(off_mm <= stated_mm, &format!("safe mends moved it by {off_mm} mm, more than {stated_mm}"));
    expect(model.closed == filled.balanced, "we and trimesh differ on whether it is closed");
    if let Some(volume_mm3) = model.volume_mm3.filter(|_| filled.balanced) {
        let off = (filled.volume_mm3 - volume_mm3).abs();
        expect(off <= 1e-4 * volume_mm3.abs().max(1.0), &format!("volume {volume_mm3} here, {}", filled.volume_mm3));
        expect(filled.winding_consistent, "its faces are turned against each other");
    }
    expect(!filled.balanced || filled.manifold3d == "NoError", "manifold3d does not take it");
    let [crossing_before, crossing] = model.crossing;
    expect(crossing <= crossing_before, &format!("{crossing} pairs of faces of a shell cross, not {crossing_before}"));
    let united = model.united_crossing.unwrap_or(0);
    expect(united == 0, &format!("{united} pairs of faces cross once all is united"));
    faults
}

/// All readable models of moderate size.
fn models(folder: &Path) -> Vec<(String, Mesh)> {
    let entries =
        std::fs::read_dir(folder).expect("the folder of meshes can be read").flatten().map(|entry| entry.path());
    let mut files: Vec<PathBuf> = entries.filter(|file| Format::of_name(file).is_some()).collect();
    files.sort();
    let model = |file: &PathBuf| {
        let mesh = read(file, &ReadOptions::default(), &Progress::new()).ok()?.into_mesh().ok()?;
        let name = file.file_name()?.to_string_lossy().into_owned();
        (!mesh.triangles.is_empty() && mesh.triangles.len() <= MOST_FACES).then_some((name, mesh))
    };
    files.iter().filter_map(model).collect()
}

fn mended(folder: &Path, name: String, mesh: &Mesh) -> Mended {
    let file = |what: &str| folder.join(format!("{what}-{}.stl", name.replace('.', "-")));
    let (before, safe, filled) = (file("before"), file("safe"), file("filled"));
    write_stl(&before, mesh, &name, Overwrite::Refuse).expect("the model can be written");
    let path = |file: &Path| file.to_string_lossy().into_owned();
    let mend = |more: &[&str], out: &Path| {
        let mut line = vec!["mend".to_owned(), path(&before), "--safe".to_owned()];
        line.extend(more.iter().map(|word| (*word).to_owned()));
        line.extend(["--out".to_owned(), path(out), "--json".to_owned()]);
        let run = program::seamwright(&line);
        assert!(matches!(run.code, Some(0 | 1)), "{name}: {run:?}");
        run.json()
    };
    mend(&[], &safe);
    let answer = mend(&["--fill-holes"], &filled);
    let read_back = |file: &Path| read(file, &ReadOptions::default(), &Progress::new()).unwrap().into_mesh().unwrap();
    let crossing_itself = |mesh: &Mesh| {
        let pairs = crossings(mesh, &Progress::new()).unwrap().by_shell(&Shells::of(mesh));
        pairs.iter().filter(|pair| pair.shells[0] == pair.shells[1]).map(|pair| pair.crossing).sum()
    };
    // What the program does, without the rounding of a file between.
    let progress = Progress::new();
    let fill = MendStep::FillHoles { most_edges: RIM_EDGES, curved: true };
    let mended = mend_all_safe(&read_back(&before), &progress).unwrap();
    let filled_here = fill.apply(&mended.mesh, &progress).unwrap().mesh;
    let united = MendStep::UniteCrossing.apply(&filled_here, &progress).ok().map(|united| united.mesh);
    let united_crossing = united
        .filter(|mesh| inspect(mesh).closed)
        .map(|mesh| crossings(&mesh, &progress).unwrap().count(Meeting::Crossing));
    let closed = answer["after"]["closed"] == true;
    let steps = answer["steps"].as_array().cloned().unwrap_or_default();
    let left = steps.iter().filter(|step| step["left"] != 0).map(|step| format!("{}: {}", step["step"], step["left"]));
    Mended {
        closed,
        volume_mm3: answer["after"]["volume_mm3"].as_f64(),
        why_open: if closed { String::new() } else { left.collect::<Vec<_>>().join(", ") },
        crossing: [crossing_itself(&read_back(&before)), crossing_itself(&filled_here)],
        united_crossing,
        largest_mm: mesh.vertices.iter().fold(0.0, |most, p| p.coords.amax().max(most)),
        name,
        before,
        safe,
        filled,
    }
}

fn judge(python: &Path, jobs: &[serde_json::Value]) -> Vec<Judged> {
    let mut script = Command::new(python);
    // Byte code would be written into the checkout.
    script.arg("-B").arg(support::root().join("tests/reference/mended.py"));
    let mut child = script.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("Python starts");
    let job = serde_json::Value::from(jobs.to_vec()).to_string();
    child.stdin.take().expect("stdin is piped").write_all(job.as_bytes()).expect("Python reads the job");
    let output = child.wait_with_output().expect("Python ends");
    assert!(output.status.success(), "mended.py failed");
    serde_json::from_slice(&output.stdout).expect("mended.py answers with the promised keys")
}
