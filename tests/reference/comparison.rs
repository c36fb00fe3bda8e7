//! Cuts one model after another with the program and with the libraries, and collects a table and the faults.

use std::fmt::Write as _;

use tempfile::TempDir;

use crate::{
    judge::{Answer, Cap, Judge, Judged, JudgedCut, Solid, WrittenPiece},
    models::{Model, Surface},
    table::Table,
    told::{self, Bounds, CutAnswer, Inspected, Piece, Plane},
};

/// How far two exact methods may differ, as a share of the whole model's volume, or of the whole cap.
///
/// All start from the same numbers and sum in 64 bits, so they differ by rounding only: less than 1e-12 was seen
/// between the formula and manifold3d. Three digits are left for larger models.
const AGREEMENT: f64 = 1e-9;

/// The program counts a vertex as on the plane within this share of the largest coordinate (`Resolution::RELATIVE` of
/// `seamwright-geometry`, 2⁻²²): so far may a cap lie off the plane.
const ON_PLANE: f64 = 1.0 / (1u64 << 22) as f64;

/// Directions across all axes, of no special length or angle, and where along them to cut, as shares of the half
/// extent from the middle.
const DIRECTIONS: [[f64; 3]; 3] = [[0.3, 0.2, 0.9], [0.8, -0.5, 0.33], [-0.17, 0.96, 0.21]];
const SHARES: [f64; 3] = [-0.25, 0.1, 0.3];

/// A comparison under way.
#[derive(Debug)]
pub struct Comparison {
    judge: Judge,
    folder: TempDir,
    pub table: Table,
    pub faults: Vec<String>,
}

impl Comparison {
    /// Starts with an empty table.
    pub fn new(judge: Judge) -> Comparison {
        let folder = tempfile::tempdir().expect("a temporary folder can be made");
        Comparison { judge, folder, table: Table::new(), faults: Vec::new() }
    }

    /// Cuts one model by several planes, one at a time.
    pub fn compare(&mut self, model: &Model) {
        let name = model.name();
        let stl = self.folder.path().join(format!("{name}.stl"));
        self.judge.prepare(&model.file, model.scale, &stl);
        let inspected = told::inspect(&stl);
        let cuts: Vec<_> = planes(&inspected.bounds_mm)
            .into_iter()
            .enumerate()
            .map(|(index, plane)| {
                let out = self.folder.path().join(format!("{name}-{index}"));
                let answer = told::cut(&stl, plane, &out);
                (plane, answer.files(&out), answer)
            })
            .collect();
        let files: Vec<_> = cuts.iter().map(|(plane, files, _)| (*plane, files.clone())).collect();
        let judged = self.judge.judge(&stl, &files);
        self.compare_whole(&name, &inspected, &judged.mesh);
        for (index, ((_, _, told), judged_cut)) in cuts.iter().zip(&judged.cuts).enumerate() {
            let label = format!("{name}, cut {}", index + 1);
            self.compare_cut(&label, model, told, judged_cut, &judged.mesh);
            self.compare_folds(&label, model, judged_cut);
            self.table.add(&label, told, judged_cut, judged.mesh.volume_mm3);
        }
        self.compare_libraries(model, &judged);
    }

    fn compare_whole(&mut self, name: &str, told: &Inspected, judged: &Solid) {
        let mut faults = String::new();
        let mut check = |holds: bool, what: &str| {
            if !holds {
                let _ = write!(faults, " {what}");
            }
        };
        check(judged.watertight && told.closed, "closed");
        check(told.triangles == judged.triangles, "triangles");
        check(told.shells.len() == judged.shells, "shells");
        check(told.shells.iter().map(|shell| shell.triangles).sum::<usize>() == told.triangles, "triangles of shells");
        check(told.shells.iter().all(|shell| shell.closed), "closed shells");
        check(close(told.shells.iter().map(|shell| shell.volume_mm3).sum(), told.volume_mm3), "volumes of shells");
        check(close(told.volume_mm3, judged.volume_mm3), "volume_mm3");
        check(close(told.area_mm2, judged.area_mm2), "area_mm2");
        check(told.bounds_mm.are_those_of(judged, 0.0), "bounds_mm");
        if !faults.is_empty() {
            self.faults.push(format!("{name}: inspect is off in{faults}: {told:?}, by trimesh {judged:?}"));
        }
    }

    fn compare_cut(&mut self, label: &str, model: &Model, told: &CutAnswer, judged: &JudgedCut, whole: &Solid) {
        let on_plane_mm = whole.largest_coordinate_mm() * ON_PLANE;
        let cap_mm2 = judged.formula.cap_mm2;
        if !told.timings_s.are_all_measured() {
            self.faults.push(format!("{label}: {:?}", told.timings_s));
        }
        for (piece, written) in told.pieces.iter().zip(&judged.pieces) {
            for fault in piece_faults(piece, written, model.surface, on_plane_mm) {
                self.faults.push(format!("{label}, {}: {fault}", piece.file));
            }
        }
        for (side, above, expected) in
            [("above", true, judged.formula.above_mm3), ("below", false, judged.formula.below_mm3)]
        {
            let difference = told.sum(judged, above, |piece| piece.volume_mm3) - expected;
            // A cap that lies off the plane takes a slice of that thickness from one side to the other.
            if difference.abs() > AGREEMENT * whole.volume_mm3.abs() + cap_mm2 * on_plane_mm {
                self.faults.push(format!("{label}: the volume {side} the plane is off by {difference} mm³"));
            }
            // So does its outline, along walls that cross the plane steeply enough.
            let outline_mm = judged.written_sum(above, |cap| cap.outline_mm);
            let allowed_mm2 = AGREEMENT * cap_mm2 + outline_mm * on_plane_mm;
            let difference = told.sum(judged, above, |piece| piece.cap_area_mm2) - cap_mm2;
            if difference.abs() > allowed_mm2 {
                self.faults.push(format!("{label}: the cap told {side} the plane is off by {difference} mm²"));
            }
            // Rounding moves the outline, and so the area by no more than its length times the distance moved.
            let difference = judged.written_sum(above, |cap| cap.signed_mm2) - cap_mm2;
            if difference.abs() > allowed_mm2 + outline_mm * whole.rounding_mm {
                self.faults.push(format!("{label}: the cap written {side} the plane is off by {difference} mm²"));
            }
        }
    }

    /// On a surface that meets itself nowhere no triangle of a cap faces the other way.
    fn compare_folds(&mut self, label: &str, model: &Model, judged: &JudgedCut) {
        for piece in &judged.pieces {
            let folded_mm2 = piece.cap.covered_mm2 - piece.cap.signed_mm2;
            let rounding_mm2 = piece.cap.outline_mm * piece.solid.rounding_mm;
            if model.surface == Surface::Simple && folded_mm2 > rounding_mm2 {
                self.faults.push(format!("{label}: {folded_mm2} mm² of a cap are folded"));
            }
        }
    }

    /// Where a library and the formula differ, one of them is wrong. It is the library if the sides that it made are not
    /// closed, which is counted: they bound no volume, and its figures are of no solid.
    fn compare_libraries(&mut self, model: &Model, judged: &Judged) {
        let name = model.name();
        for (library, of) in Answer::LIBRARIES {
            let mut open = Vec::new();
            for (index, cut) in judged.cuts.iter().enumerate() {
                let Err(difference) = agrees(of(cut), cut, &judged.mesh) else { continue };
                match of(cut) {
                    Answer::Measured(measures) if measures.unbalanced > 0 => {
                        open.push(format!("{} ({})", index + 1, measures.unbalanced));
                    }
                    _ => {
                        let what = format!("{name}, cut {}: {library} and the formula differ: {difference}", index + 1);
                        self.faults.push(what);
                    }
                }
            }
            if !open.is_empty() {
                self.table.remark(&format!(
                    "{name}: {library} is wrong at cuts {}: in brackets how many edges of its sides have no partner, so \
                     that they bound no volume{}",
                    open.join(", "),
                    if model.surface == Surface::ShellsCross { "; the shells cross here" } else { "" },
                ));
            }
        }
    }
}

/// A piece is closed, lies wholly on one side, and was written as it was told.
fn piece_faults(told: &Piece, written: &WrittenPiece, surface: Surface, on_plane_mm: f64) -> Vec<String> {
    let solid = &written.solid;
    let mut faults = Vec::new();
    let mut check = |holds: bool, fault: String| {
        if !holds {
            faults.push(fault);
        }
    };
    check(told.closed, "told to be open".to_owned());
    let closed = if surface == Surface::CrossesItself { solid.balanced } else { solid.watertight };
    check(closed, "not watertight as written".to_owned());
    check(solid.collapsed == 0, format!("{} triangles collapsed in writing", solid.collapsed));
    check(told.triangles == solid.triangles, format!("{} triangles told, {} written", told.triangles, solid.triangles));
    // Rounding moves the surface, and so the volume by no more than area times the distance moved.
    let difference = (told.volume_mm3 - solid.volume_mm3).abs();
    check(
        difference <= solid.area_mm2 * solid.rounding_mm,
        format!("volume told and written differ by {difference} mm³"),
    );
    let nearly = on_plane_mm + solid.rounding_mm;
    check(written.beyond_plane_mm <= nearly, format!("passes the plane by {} mm", written.beyond_plane_mm));
    check(told.bounds_mm.are_those_of(solid, solid.rounding_mm), format!("bounds told {:?}", told.bounds_mm));
    faults
}

impl CutAnswer {
    /// Sum of something told of the pieces, over those on one side.
    pub fn sum(&self, judged: &JudgedCut, above: bool, what: impl Fn(&Piece) -> f64) -> f64 {
        let sided = self.pieces.iter().zip(&judged.pieces).filter(|(_, written)| written.above == above);
        sided.map(|(told, _)| what(told)).sum()
    }
}

impl JudgedCut {
    /// Sum of something of the caps as written, over the pieces on one side.
    pub fn written_sum(&self, above: bool, what: impl Fn(&Cap) -> f64) -> f64 {
        self.pieces.iter().filter(|piece| piece.above == above).map(|piece| what(&piece.cap)).sum()
    }
}

impl Solid {
    fn largest_coordinate_mm(&self) -> f64 {
        self.min_mm.iter().chain(&self.max_mm).fold(0.0, |largest, x| x.abs().max(largest))
    }
}

fn agrees(answer: &Answer, judged: &JudgedCut, whole: &Solid) -> Result<(), String> {
    let measures = match answer {
        Answer::Measured(measures) => measures,
        Answer::Refused { refused } => return Err(refused.clone()),
    };
    let allowed_mm3 = AGREEMENT * whole.volume_mm3.abs();
    let above = (measures.above_mm3 - judged.formula.above_mm3).abs() <= allowed_mm3;
    let below = (measures.below_mm3 - judged.formula.below_mm3).abs() <= allowed_mm3;
    let cap = close(measures.cap_mm2, judged.formula.cap_mm2);
    let outline = close(measures.outline_mm, judged.formula.outline_mm);
    if above && below && cap && outline {
        Ok(())
    } else {
        Err(format!("{measures:?}, by formula {:?}", judged.formula))
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= AGREEMENT * b.abs()
}

fn planes(bounds: &Bounds) -> Vec<Plane> {
    let mut planes = Vec::new();
    for direction in DIRECTIONS {
        let length = direction.iter().map(|x| x * x).sum::<f64>().sqrt();
        let normal = direction.map(|x| x / length);
        let middle: f64 = (0..3).map(|i| normal[i] * (bounds.min[i] + bounds.max[i]) / 2.0).sum();
        let half_extent: f64 = (0..3).map(|i| normal[i].abs() * (bounds.max[i] - bounds.min[i]) / 2.0).sum();
        planes.extend(SHARES.map(|share| Plane { normal, offset_mm: middle + share * half_extent }));
    }
    planes
}
