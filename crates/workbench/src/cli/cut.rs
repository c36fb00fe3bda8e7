//! `cut`: a model parted by planes, its closed pieces written.

use std::fmt;
use std::path::{Path, PathBuf};
use std::time::Instant;

use seamwright_geometry::exchange::write_stl;
use seamwright_geometry::{Mesh, Progress, Solid, edge_report};
use seamwright_project::{Unit, saved_beds};
use serde::Serialize;

use super::args::CutArgs;
use super::measures::Box3;
use super::output::Answer;
use super::parting::{self, Part, Parting};
use super::planes::AskedCut;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{stock, targets, words};

/// Reads the model, parts it, and writes the pieces once it is sure that none replaces anything.
pub fn run(args: &CutArgs) -> Result<CutUp, Trouble> {
    targets::check_folder(&args.write.out)?;
    let waiting = Waiting::new();
    let progress = waiting.progress();
    let stock = stock::read(&args.stock, progress)?;
    let (read_s, merge_s) = (stock.read_s, stock.merge_s);
    let (file, unit) = (stock.file.clone(), stock.unit);

    let mut cuts = match (&args.step_off, &args.bed) {
        (Some(steps), Some(bed)) => {
            let bed = bed.bed(saved_beds::default_path().as_deref())?;
            steps.cuts(&stock.mesh, &bed, progress)?
        }
        _ => Vec::new(),
    };
    cuts.extend(args.planes.iter().cloned());
    let begun = Instant::now();
    let parting = parting::part(stock.mesh, &cuts, args.keep_together, progress).map_err(Trouble::said)?;
    let cut_s = begun.elapsed().as_secs_f64();

    let paths: Vec<PathBuf> = parting.parts.iter().map(|part| args.write.out.join(file_name(part))).collect();
    targets::check_free(&paths, args.write.force.force)?;
    targets::make_folder(&args.write.out)?;
    let begun = Instant::now();
    let triangles = write(&parting.parts, &paths, args, progress)?;
    let write_s = begun.elapsed().as_secs_f64();

    let timings_s = Timings { read: read_s, merge: merge_s, cut: cut_s, write: write_s };
    Ok(CutUp::new(&file, unit, args, (&cuts, &parting), &triangles, timings_s))
}

/// Marks are letters and digits, which every file system can hold.
fn file_name(part: &Part) -> String {
    format!("{}.stl", part.mark)
}

/// Writes every piece and gives the number of triangles in each file.
fn write(parts: &[Part], paths: &[PathBuf], args: &CutArgs, progress: &Progress) -> Result<Vec<usize>, Trouble> {
    progress.stage("writing the pieces");
    let overwrite = args.write.force.overwrite();
    let write_one = |(i, (part, path)): (usize, (&Part, &PathBuf))| {
        progress.report(i as f64 / parts.len() as f64);
        write_stl(path, &part.solid.mesh, &part.mark, overwrite).map(|written| written.facets).map_err(Trouble::said)
    };
    parts.iter().zip(paths).enumerate().map(write_one).collect()
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct CutUp {
    file: String,
    unit: &'static str,
    out: String,
    pieces: Vec<Piece>,
    planes: Vec<AskedPlane>,
    timings_s: Timings,
}

#[derive(Debug, Serialize)]
struct Piece {
    mark: String,
    file: String,
    triangles: usize,
    closed: bool,
    volume_mm3: f64,
    area_mm2: f64,
    cap_area_mm2: f64,
    bounds_mm: Option<Box3>,
}

#[derive(Debug, Serialize)]
struct AskedPlane {
    normal: [f64; 3],
    offset_mm: f64,
    form: &'static str,
    kerf_mm: f64,
    parted: bool,
    left_open_mm: Vec<[f64; 3]>,
    ended_inside_mm: Vec<[f64; 3]>,
}

#[derive(Clone, Copy, Debug, Serialize)]
struct Timings {
    read: f64,
    merge: f64,
    cut: f64,
    write: f64,
}

impl CutUp {
    fn new(
        file: &Path,
        unit: Unit,
        args: &CutArgs,
        (cuts, parting): (&[AskedCut], &Parting),
        triangles: &[usize],
        timings_s: Timings,
    ) -> CutUp {
        CutUp {
            file: file.display().to_string(),
            unit: unit.name(),
            out: args.write.out.display().to_string(),
            pieces: parting.parts.iter().zip(triangles).map(|(part, n)| Piece::new(part, *n)).collect(),
            planes: cuts.iter().zip(&parting.cuts).map(|(plane, cut)| AskedPlane::new(plane, cut)).collect(),
            timings_s,
        }
    }

    fn open_pieces(&self) -> impl Iterator<Item = &Piece> {
        self.pieces.iter().filter(|piece| !piece.closed)
    }
}

impl Piece {
    fn new(part: &Part, triangles: usize) -> Piece {
        let mesh = &part.solid.mesh;
        Piece {
            mark: part.mark.clone(),
            file: file_name(part),
            triangles,
            closed: edge_report(mesh).closed(),
            volume_mm3: mesh.volume_mm3(),
            area_mm2: mesh.area_mm2(),
            cap_area_mm2: cap_area_mm2(&part.solid),
            bounds_mm: mesh.bounds().map(Box3::from),
        }
    }
}

fn cap_area_mm2(solid: &Solid) -> f64 {
    let of_cap = solid.origins.iter().zip(&solid.mesh.triangles).filter(|(o, _)| o.is_cap());
    let triangles = of_cap.map(|(_, triangle)| *triangle).collect();
    Mesh { vertices: solid.mesh.vertices.clone(), triangles }.area_mm2()
}

impl AskedPlane {
    fn new(asked: &AskedCut, cut: &parting::CutMade) -> AskedPlane {
        AskedPlane {
            normal: asked.plane.normal().into(),
            offset_mm: asked.plane.offset_mm(),
            form: asked.form.name(),
            kerf_mm: asked.kerf_mm,
            parted: cut.parted,
            left_open_mm: cut.left_open.iter().map(super::measures::place).collect(),
            ended_inside_mm: cut.ended_inside.iter().map(super::measures::place).collect(),
        }
    }
}

impl Answer for CutUp {
    fn is_yes(&self) -> bool {
        self.open_pieces().next().is_none()
    }
}

impl fmt::Display for CutUp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {} in {}", self.file, words::count(self.pieces.len(), "piece", "pieces"), self.out)?;
        for piece in &self.pieces {
            let size = piece.bounds_mm.map_or(String::new(), |bounds| words::size(&bounds.size()));
            let state = if piece.closed { words::volume(piece.volume_mm3) } else { "open".to_owned() };
            let cap = words::area(piece.cap_area_mm2);
            writeln!(f, "  {:<8} {size}, {state}, caps {cap}", piece.file)?;
        }
        for (i, plane) in self.planes.iter().enumerate() {
            if !plane.parted {
                writeln!(f, "  noticed  plane {} crosses nothing", i + 1)?;
            }
            if let Some(place) = plane.ended_inside_mm.first() {
                let places = words::count(plane.ended_inside_mm.len(), "place", "places");
                let place = words::place(place);
                writeln!(f, "  noticed  cut {} ends inside the material in {places}, see {place}", i + 1)?;
            }
            if let Some(place) = plane.left_open_mm.first() {
                let places = words::count(plane.left_open_mm.len(), "place", "places");
                writeln!(f, "  noticed  cut {} could not be closed in {places}, see {}", i + 1, words::place(place))?;
            }
        }
        let open = self.open_pieces().count();
        if open > 0 {
            let pieces = words::count(open, "piece is", "pieces are");
            writeln!(f, "  noticed  {pieces} open because the model is; inspect says where to mend it")?;
        }
        Ok(())
    }
}
