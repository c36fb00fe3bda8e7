//! A close look at a model's health: every defect with its count, its worst place, and what would mend it.

mod between;
mod faces;
mod shells;
mod walls;

use seamwright_geometry::mend::MendStep;
use seamwright_geometry::{
    Cancelled, Gap, Mesh, Nesting, Point, Progress, Shells, crossings, defects, gaps, thin_walls,
};

use faces::of_faces_and_edges;
use shells::{of_crossing_shells, of_crossings, of_gaps};
use walls::of_thin_walls;

pub use between::{Beside, look_between};

/// What a close look found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Health {
    /// The defects, gravest first; nothing where the model is sound.
    pub findings: Vec<Finding>,
    /// Which shell lies in which, by their numbers.
    pub nesting: Nesting,
}

/// A kind of defect that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Which kind.
    pub defect: Defect,
    /// How often.
    pub count: usize,
    /// In the maker's words, with lengths in mm.
    pub text: String,
    /// The worst place, mm.
    pub place: Option<Point>,
    /// Faces to highlight, the worst first, at most [`MOST_FACES`].
    pub faces: Vec<u32>,
    /// The two shells concerned, by their numbers, where room made in one for the other would help.
    pub shells: Option<[u32; 2]>,
    /// The steps that would mend it, in their order; none where only the maker of the model can.
    pub mends: Vec<MendStep>,
    /// Whether those steps leave the visible form as it is.
    pub mends_are_safe: bool,
}

/// Faces that a finding names at most: enough to see where, and no more than a card draws at once. Our own choice, no
/// source.
pub const MOST_FACES: usize = 10_000;

/// A kind of defect, in the order of how grave it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Defect {
    /// Rims of holes.
    OpenEdges,
    /// Edges with more than two faces.
    OverUsedEdges,
    /// Faces turned against their neighbours.
    MisturnedFaces,
    /// Shells inside out.
    InsideOut,
    /// Shells that pass through one another.
    CrossingShells,
    /// Faces of one shell that pass through one another.
    SelfCrossing,
    /// Faces that lie on one another.
    OverlappingFaces,
    /// Walls that a printer cannot make.
    ThinWalls,
    /// Shells so near each other that they would not go back together.
    NearShells,
    /// Tiny shells.
    Debris,
    /// Faces with no area.
    ZeroAreaFaces,
    /// Faces that are there twice.
    DuplicateFaces,
}

impl Defect {
    /// A short name for machines: words joined by underscores.
    pub fn name(self) -> &'static str {
        match self {
            Defect::OpenEdges => "open_edges",
            Defect::OverUsedEdges => "over_used_edges",
            Defect::MisturnedFaces => "misturned_faces",
            Defect::InsideOut => "inside_out",
            Defect::CrossingShells => "crossing_shells",
            Defect::SelfCrossing => "self_crossing",
            Defect::OverlappingFaces => "overlapping_faces",
            Defect::ThinWalls => "thin_walls",
            Defect::NearShells => "near_shells",
            Defect::Debris => "debris",
            Defect::ZeroAreaFaces => "zero_area_faces",
            Defect::DuplicateFaces => "duplicate_faces",
        }
    }
}

/// What a close look is held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Walls thinner than this are told, mm.
    pub print_width_mm: f64,
    /// Shells of different solids that come nearer than this are told, mm.
    pub near_mm: f64,
}

impl Default for Look {
    fn default() -> Self {
        Look { print_width_mm: PRINT_WIDTH_MM, near_mm: NEAR_MM }
    }
}

/// Two lines of a nozzle of 0.4 mm, the commonest (common practice, no source): what is thinner has no wall to speak of.
const PRINT_WIDTH_MM: f64 = 0.8;
/// Parts printed apart that are to go into one another need about this much room all round (common practice, no source).
const NEAR_MM: f64 = 0.3;
/// Walls are looked at every so many widths along a face. Our own choice, no source.
const SPACING_WIDTHS: f64 = 2.0;

/// Looks closely at `mesh`, mm. Takes seconds for a model of a million faces; see `examples/health_speed.rs` of the
/// geometry crate.
pub fn look_closely(mesh: &Mesh, look: &Look, progress: &Progress) -> Result<Health, Cancelled> {
    look_closely_named(mesh, &|_| None, look, progress)
}

/// As [`look_closely`], of a mesh whose faces belong to shells that have other numbers (where `shell_of_face` knows them): those
/// are told.
pub fn look_closely_named(
    mesh: &Mesh,
    shell_of_face: &dyn Fn(u32) -> Option<u32>,
    look: &Look,
    progress: &Progress,
) -> Result<Health, Cancelled> {
    let found = defects(mesh, progress)?;
    let mut findings = of_faces_and_edges(mesh, &found);
    let shells = Shells::of(mesh);
    let names = names(&shells, shell_of_face);
    let crossed = crossings(mesh, progress)?;
    let pairs = crossed.by_shell(&shells);
    findings.extend(of_crossing_shells(mesh, &shells, &names, &found.shells, &pairs, progress)?);
    findings.extend(of_crossings(mesh, &crossed, &pairs));
    let width = look.print_width_mm;
    findings.extend(of_thin_walls(&thin_walls(mesh, width, width * SPACING_WIDTHS, progress)?, width));
    let near = gaps(mesh, &shells, &pairs, look.near_mm, progress)?;
    // The wall of a cavity and the shell around it are one solid: the gap between them is its wall.
    let solid = |shell: u32| found.nesting.cavity_of.get(shell as usize).copied().flatten().unwrap_or(shell);
    let apart: Vec<&Gap> = near.iter().filter(|gap| solid(gap.shells[0]) != solid(gap.shells[1])).collect();
    findings.extend(of_gaps(&apart, &names));
    findings.sort_by_key(|finding| finding.defect);
    Ok(Health { findings, nesting: found.nesting })
}

/// What the shells of a mesh are called.
fn names(shells: &Shells, shell_of_face: &dyn Fn(u32) -> Option<u32>) -> Vec<u32> {
    let mut names: Vec<Option<u32>> = vec![None; shells.count as usize];
    for (face, &shell) in (0..).zip(&shells.of_triangle) {
        let name = &mut names[shell as usize];
        *name = name.or_else(|| shell_of_face(face));
    }
    (0..).zip(names).map(|(own, name)| name.unwrap_or(own)).collect()
}

fn finding(defect: Defect, count: usize, text: String) -> Finding {
    Finding {
        defect,
        count,
        text,
        place: None,
        faces: Vec::new(),
        shells: None,
        mends: Vec::new(),
        mends_are_safe: false,
    }
}

fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}
