//! The steps of mending as a recipe has them: which numbers make sense, in which order they work best, and what they did
//! in words.

use seamwright_geometry::Mesh;
use seamwright_geometry::mend::{MendReport, MendStep};

/// Why a step of mending makes no sense.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum MendStepError {
    /// A distance that is none.
    #[error("vertices are merged within a distance of 0 or more, not {0}")]
    Tolerance(f64),
    /// A rim of a hole has three edges or more.
    #[error("holes have at least 3 edges; {0} would fill none")]
    MostEdges(usize),
    /// The time of filling grows with the third power of the edges.
    #[error("holes of {0} edges would take for ever; fill those of up to {MOST_RIM_EDGES}")]
    TooManyEdges(usize),
}

/// Rims of holes that are not flat are filled up to this many edges unless said otherwise. Our own choice, no source: a
/// tenth of a second's work, and a larger hole is better looked at first.
pub const RIM_EDGES: usize = 200;
/// Rims of holes that are not flat may have at most this many edges: the time grows with the third power, to minutes.
/// Our own choice, no source.
pub const MOST_RIM_EDGES: usize = 4000;

/// Fails for numbers that make no sense.
pub fn check(step: &MendStep) -> Result<(), MendStepError> {
    match *step {
        MendStep::MergeNear { tolerance_mm } if !(0.0..f64::INFINITY).contains(&tolerance_mm) => {
            Err(MendStepError::Tolerance(tolerance_mm))
        }
        MendStep::FillHoles { most_edges, .. } if most_edges < 3 => Err(MendStepError::MostEdges(most_edges)),
        MendStep::FillHoles { most_edges, .. } if most_edges > MOST_RIM_EDGES => {
            Err(MendStepError::TooManyEdges(most_edges))
        }
        _ => Ok(()),
    }
}

/// Filling all holes.
pub fn fill_holes() -> MendStep {
    MendStep::FillHoles { most_edges: RIM_EDGES, curved: true }
}

/// Merging vertices that lie within what single precision tells apart.
pub fn merge_near(mesh: &Mesh) -> MendStep {
    MendStep::safe(mesh)[0]
}

/// The place of a step among others: the lower leave the later as little as possible to do.
pub fn order(step: &MendStep) -> u32 {
    match step {
        MendStep::MergeNear { .. } => 0,
        MendStep::DropZeroArea => 1,
        MendStep::DropDuplicates => 2,
        MendStep::SplitSheets => 3,
        MendStep::FillHoles { .. } => 4,
        MendStep::TurnOutward => 5,
        MendStep::UniteCrossing => 6,
        MendStep::KeepOuter => 7,
    }
}

/// What a step does, as one asks for it: `fill holes`.
pub fn name(step: &MendStep) -> &'static str {
    match step {
        MendStep::MergeNear { .. } => "join corners that should be one",
        MendStep::DropZeroArea => "drop triangles without area",
        MendStep::DropDuplicates => "drop triangles that are there twice",
        MendStep::SplitSheets => "part surfaces that share an edge",
        MendStep::TurnOutward => "turn shells outwards",
        MendStep::FillHoles { .. } => "fill holes",
        MendStep::UniteCrossing => "unite shells that cross",
        MendStep::KeepOuter => "keep the outer surface only",
    }
}

/// Words of the geometry, which calls steps by what they do to a mesh, with the names that makers know the mends by.
pub(crate) fn plain_names(text: &str) -> String {
    let names = [
        ("merge near vertices", MendStep::MergeNear { tolerance_mm: 0.0 }),
        ("part edges with more than two faces", MendStep::SplitSheets),
    ];
    names.into_iter().fold(text.to_owned(), |text, (in_mesh, step)| text.replace(in_mesh, name(&step)))
}

/// A short name for machines: words joined by hyphens, as the command line has them.
pub fn key(step: &MendStep) -> &'static str {
    match step {
        MendStep::MergeNear { .. } => "merge-near",
        MendStep::DropZeroArea => "drop-zero-area",
        MendStep::DropDuplicates => "drop-duplicates",
        MendStep::SplitSheets => "split-sheets",
        MendStep::TurnOutward => "turn-outward",
        MendStep::FillHoles { .. } => "fill-holes",
        MendStep::UniteCrossing => "unite-crossing",
        MendStep::KeepOuter => "keep-outer",
    }
}

/// Whether a step can alter the form that is seen.
pub fn is_safe(step: &MendStep) -> bool {
    matches!(step, MendStep::DropZeroArea | MendStep::DropDuplicates | MendStep::SplitSheets | MendStep::TurnOutward)
}

/// As [`words`], with what would let the step mend what it left.
pub fn words_of(step: &MendStep, report: &MendReport, scale: f64) -> String {
    let way_out = match step {
        _ if report.left == 0 => "",
        MendStep::UniteCrossing => ": shells that are open have no inside; fill their holes first",
        MendStep::KeepOuter => ": shells that cross may be seen; unite them first",
        MendStep::FillHoles { .. } => {
            ": rims that are not closed or too long, or whose patch would pass through its own shell"
        }
        _ => "",
    };
    format!("{}{way_out}", words(report, scale))
}

/// Moves below this are told as less than it, mm: no printer places finer. Our own choice, no source.
const LEAST_TOLD_MM: f64 = 0.01;

/// What a step did, in words; lengths are in the unit of the mesh, `scale` mm each.
pub fn words(report: &MendReport, scale: f64) -> String {
    let counted = [
        (report.vertices_merged, "corner joined to another", "corners joined to others"),
        (report.vertices_added, "corner added", "corners added"),
        (report.edges_parted, "edge parted", "edges parted"),
        (report.holes_filled, "hole filled", "holes filled"),
        (report.faces_dropped, "face dropped", "faces dropped"),
        (report.faces_added, "face added", "faces added"),
        (report.faces_turned, "face turned", "faces turned"),
        (report.shells_turned, "shell turned", "shells turned"),
        (report.shells_united, "shell united", "shells united"),
        (report.shells_dropped, "shell dropped", "shells dropped"),
    ];
    let mut said: Vec<String> = counted
        .into_iter()
        .filter(|(n, ..)| *n > 0)
        .map(|(n, one, many)| format!("{n} {}", if n == 1 { one } else { many }))
        .collect();
    if report.farthest_mm > 0.0 {
        let moved_mm = report.farthest_mm * scale;
        said.push(if moved_mm < LEAST_TOLD_MM {
            format!("moved by less than {LEAST_TOLD_MM} mm")
        } else {
            format!("moved by {moved_mm:.2} mm at most")
        });
    }
    if report.filled_mm2 > 0.0 {
        said.push(format!("{:.2} cm² filled", report.filled_mm2 * scale * scale / 100.0));
    }
    if report.patches_passing > 0 {
        let n = report.patches_passing;
        let passing = if n == 1 { "patch passes" } else { "patches pass" };
        said.push(format!("{n} {passing} through another shell: look again, and unite shells that cross"));
    }
    if said.is_empty() {
        said.push("nothing to do".into());
    }
    if report.left > 0 {
        said.push(format!("{} left that this cannot mend", report.left));
    }
    said.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_make_no_sense_are_refused() {
        for tolerance_mm in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(check(&MendStep::MergeNear { tolerance_mm }).is_err());
        }
        for most_edges in [0, 2, usize::MAX] {
            assert!(check(&MendStep::FillHoles { most_edges, curved: true }).is_err());
        }
        assert_eq!(check(&fill_holes()), Ok(()));
    }

    #[test]
    fn what_was_done_is_told_in_numbers() {
        let report =
            MendReport { holes_filled: 2, faces_added: 31, filled_mm2: 0.25, left: 1, ..MendReport::default() };
        assert_eq!(
            words(&report, 10.0),
            "2 holes filled, 31 faces added, 0.25 cm² filled, 1 left that this cannot mend"
        );
        assert_eq!(words(&MendReport::default(), 1.0), "nothing to do");
        let moved = |farthest_mm| words(&MendReport { farthest_mm, ..MendReport::default() }, 10.0);
        assert_eq!(moved(0.012_345), "moved by 0.12 mm at most");
        assert_eq!(moved(0.000_012), "moved by less than 0.01 mm");
        let left = MendReport { left: 1, ..MendReport::default() };
        assert!(
            words_of(&MendStep::UniteCrossing, &left, 1.0)
                .ends_with("cannot mend: shells that are open have no inside; fill their holes first")
        );
        assert_eq!(words_of(&MendStep::UniteCrossing, &MendReport::default(), 1.0), "nothing to do");
    }
}
