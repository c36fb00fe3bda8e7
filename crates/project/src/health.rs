//! A close look at a model's health: every defect with its count, its worst place, and what would mend it.

mod between;

use seamwright_geometry::mend::MendStep;
use seamwright_geometry::{
    Cancelled, Crossings, Defects, Gap, Meeting, Mesh, Nesting, Point, Progress, ShellPair, ShellReport, Shells,
    ThinWalls, crossing_depths, crossings, defects, gaps, thin_walls,
};

use crate::mending;
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

fn middle(mesh: &Mesh, face: u32) -> Point {
    let [a, b, c] = mesh.corners(face as usize);
    Point::from((a.coords + b.coords + c.coords) / 3.0)
}

fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

fn of_faces_and_edges(mesh: &Mesh, found: &Defects) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut add = |finding: Finding| findings.push(finding);
    let some = |faces: &mut dyn Iterator<Item = u32>| faces.take(MOST_FACES).collect::<Vec<u32>>();
    if let Some(worst) = found.open.first() {
        let text = format!("{}, the longest {:.1} mm long", count(found.open.len(), "hole", "holes"), worst.length_mm);
        add(Finding {
            place: worst.vertices.first().map(|&v| mesh.vertices[v as usize]),
            mends: vec![mending::merge_near(mesh), mending::fill_holes()],
            ..finding(Defect::OpenEdges, found.open.len(), text)
        });
    }
    if let Some(worst) = found.over_used.first() {
        let text = count(found.over_used.len(), "edge with more than two faces", "edges with more than two faces");
        add(Finding {
            place: Some(worst.middle()),
            faces: some(&mut found.over_used.iter().map(|edge| edge.face)),
            mends: vec![MendStep::SplitSheets],
            mends_are_safe: true,
            ..finding(Defect::OverUsedEdges, found.over_used.len(), text)
        });
    }
    if let Some(worst) = found.misturned.first() {
        let text = count(
            found.misturned.len(),
            "edge between faces turned against each other",
            "edges between faces turned against each other",
        );
        add(Finding {
            place: Some(worst.middle()),
            faces: some(&mut found.misturned.iter().map(|edge| edge.face)),
            mends: vec![MendStep::TurnOutward],
            mends_are_safe: true,
            ..finding(Defect::MisturnedFaces, found.misturned.len(), text)
        });
    }
    if let Some(&worst) = found.inside_out.first() {
        let text = count(found.inside_out.len(), "shell is inside out", "shells are inside out");
        add(Finding {
            place: Some(found.shells[worst as usize].bounds.centre()),
            mends: vec![MendStep::TurnOutward],
            mends_are_safe: true,
            ..finding(Defect::InsideOut, found.inside_out.len(), text)
        });
    }
    if let Some(&worst) = found.debris.first() {
        let size = found.shells[worst as usize].bounds.size();
        let text = format!(
            "{}, the largest {:.1} × {:.1} × {:.1} mm: drop them if they are no rivets",
            count(found.debris.len(), "tiny shell", "tiny shells"),
            size.x,
            size.y,
            size.z
        );
        add(Finding {
            place: Some(found.shells[worst as usize].bounds.centre()),
            ..finding(Defect::Debris, found.debris.len(), text)
        });
    }
    if let Some(&worst) = found.zero_area.first() {
        add(Finding {
            place: Some(middle(mesh, worst)),
            faces: some(&mut found.zero_area.iter().copied()),
            mends: vec![MendStep::DropZeroArea],
            mends_are_safe: true,
            ..finding(
                Defect::ZeroAreaFaces,
                found.zero_area.len(),
                count(found.zero_area.len(), "face without area", "faces without area"),
            )
        });
    }
    if let Some(worst) = found.duplicates.first() {
        add(Finding {
            place: Some(middle(mesh, worst.face)),
            faces: some(&mut found.duplicates.iter().map(|duplicate| duplicate.face)),
            mends: vec![MendStep::DropDuplicates],
            mends_are_safe: true,
            ..finding(
                Defect::DuplicateFaces,
                found.duplicates.len(),
                count(found.duplicates.len(), "face is there twice", "faces are there twice"),
            )
        });
    }
    findings
}

/// Shells that pass through one another.
fn of_crossing_shells(
    mesh: &Mesh,
    shells: &Shells,
    names: &[u32],
    reports: &[ShellReport],
    pairs: &[ShellPair],
    progress: &Progress,
) -> Result<Option<Finding>, Cancelled> {
    let of_two: Vec<_> = pairs.iter().filter(|pair| pair.shells[0] != pair.shells[1] && pair.crossing > 0).collect();
    let Some(first) = of_two.first() else { return Ok(None) };
    let deepest = crossing_depths(mesh, shells, reports, pairs, progress)?.into_iter().next();
    let worst = match deepest {
        Some(depth) => of_two.iter().find(|pair| pair.shells == depth.shells).unwrap_or(first),
        None => first,
    };
    let called = worst.shells.map(|shell| names[shell as usize]);
    let mut text = format!(
        "{}: ",
        count(of_two.len(), "pair of shells passes through each other", "pairs of shells pass through each other")
    );
    match &deepest {
        Some(depth) => text.push_str(&format!("deepest {} by {:.1} mm", both(called), depth.depth_mm)),
        None => text.push_str(&both(called)),
    }
    text.push_str(". Printed apart they would not go back together");
    Ok(Some(Finding {
        place: Some(deepest.map_or_else(|| worst.worst.place(mesh), |depth| depth.deepest)),
        faces: worst.worst.faces.to_vec(),
        shells: Some(called),
        mends: vec![MendStep::UniteCrossing],
        ..finding(Defect::CrossingShells, of_two.len(), text)
    }))
}

fn both(shells: [u32; 2]) -> String {
    format!("shells {} and {}", u64::from(shells[0]) + 1, u64::from(shells[1]) + 1)
}

/// Shells that pass through themselves, and faces that lie on each other.
fn of_crossings(mesh: &Mesh, crossed: &Crossings, pairs: &[ShellPair]) -> Vec<Finding> {
    let mut findings = Vec::new();
    let own: usize = pairs.iter().filter(|pair| pair.shells[0] == pair.shells[1]).map(|pair| pair.crossing).sum();
    if let Some(pair) = pairs.iter().find(|pair| pair.shells[0] == pair.shells[1] && pair.crossing > 0) {
        let text =
            count(own, "place where a shell passes through itself", "places where a shell passes through itself");
        findings.push(Finding {
            place: Some(pair.worst.place(mesh)),
            faces: crossed.faces(&[Meeting::Crossing]).into_iter().take(MOST_FACES).collect(),
            mends: vec![MendStep::UniteCrossing],
            ..finding(Defect::SelfCrossing, own, text)
        });
    }
    let overlapping = crossed.count(Meeting::Overlapping);
    if let Some(pair) = crossed.pairs.iter().find(|pair| pair.meeting == Meeting::Overlapping) {
        let text = count(overlapping, "pair of faces lies on each other", "pairs of faces lie on each other");
        findings.push(Finding {
            place: Some(pair.place(mesh)),
            faces: crossed.faces(&[Meeting::Overlapping]).into_iter().take(MOST_FACES).collect(),
            ..finding(Defect::OverlappingFaces, overlapping, text)
        });
    }
    findings
}

fn of_thin_walls(thin: &ThinWalls, width_mm: f64) -> Option<Finding> {
    let worst = thin.thinnest?;
    let text = format!(
        "walls thinner than {width_mm} mm over {:.1} cm², the thinnest {:.2} mm: a printer leaves gaps there",
        thin.area_mm2 / 100.0,
        worst.thickness_mm
    );
    Some(Finding {
        place: Some(worst.place),
        faces: thin.faces.iter().copied().take(MOST_FACES).collect(),
        ..finding(Defect::ThinWalls, thin.faces.len(), text)
    })
}

fn of_gaps(apart: &[&Gap], names: &[u32]) -> Option<Finding> {
    let worst = apart.first()?;
    let called = worst.shells.map(|shell| names[shell as usize]);
    let text = format!(
        "{}: {:.2} mm between {}. Printed apart they need more room",
        count(apart.len(), "pair of shells nests tightly", "pairs of shells nest tightly"),
        worst.gap_mm,
        both(called)
    );
    Some(Finding {
        place: Some(worst.places[0]),
        faces: worst.faces.to_vec(),
        shells: Some(called),
        ..finding(Defect::NearShells, apart.len(), text)
    })
}
