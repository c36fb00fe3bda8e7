//! Mending what the health report finds, step by step.

mod clear;
mod drop;
mod envelope;
mod fair;
mod flat;
mod holes;
mod near;
mod obstacles;
mod outer;
mod patch;
mod refine;
mod sheets;
mod surface;
mod turn;
mod unite;

use crate::{Cancelled, Mesh, Progress, Resolution, drop_unused_vertices};

/// One way to mend a mesh. What it does is decided by the mesh and its parameters alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MendStep {
    /// Makes one vertex of vertices at open edges that are within this distance, mm, of each other: cracks close. A vertex
    /// moves by no more than that. Others are left alone: merging them could only pinch the surface.
    MergeNear {
        /// Distance, mm; 0 merges vertices at the same place.
        tolerance_mm: f64,
    },
    /// Takes out faces without area, without opening anything: the face across the long side is led through the third
    /// corner instead.
    DropZeroArea,
    /// Of faces on the same vertices turned the same way, keeps the first. Of two turned to each other both go, unless a
    /// whole surface is stored twice that way: then one side stays.
    DropDuplicates,
    /// Parts edges with more than two faces, and vertices that join surfaces in one point, into clean sheets: faces are
    /// paired so that the material is between them, and vertices are made anew.
    SplitSheets,
    /// Turns faces the way of the others around them, and closed shells outwards but for walls of cavities.
    TurnOutward,
    /// Closes the rims of holes: flat ones by triangles in their plane, others by a patch with faces as large as those around it
    /// that takes up their form; where that would pass through the mesh, or cannot be found, by the patch of least area that
    /// does not. One that passes through another shell is taken where all do, and counted; a hole over which all pass through its
    /// own shell is left.
    FillHoles {
        /// Rims that are not flat and have more edges than this are left open: the time grows with the third power.
        most_edges: usize,
        /// Whether to fill rims that are not flat.
        curved: bool,
    },
    /// Makes one solid of closed shells that cross or lie on each other, and of shells that cross themselves. Open ones take part
    /// if their holes are clearly holes (closed rims that go round no more than a tenth of the shell's area): those are filled
    /// first, and the report says so. Others are left, to be filled by [`FillHoles`](Self::FillHoles) first.
    UniteCrossing,
    /// Drops shells that lie inside a closed shell and cross none: all that is seen from outside stays. A shell whose holes are
    /// clearly holes, as for [`UniteCrossing`](Self::UniteCrossing), counts as closed, and stays open.
    KeepOuter,
}

/// A mended mesh.
#[derive(Clone, Debug, PartialEq)]
pub struct Mended {
    /// The mesh.
    pub mesh: Mesh,
    /// For each face the one of the mesh before that it is, or is a part of; [`NEW_FACE`] for others.
    pub came_from: Vec<u32>,
    /// What was done.
    pub report: MendReport,
}

/// Stands in [`Mended::came_from`] for a face that comes from none.
pub const NEW_FACE: u32 = u32::MAX;

/// What a step did, in numbers. All 0 where there was nothing to do.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MendReport {
    /// Vertices that became one with another.
    pub vertices_merged: usize,
    /// Vertices made to part surfaces.
    pub vertices_added: usize,
    /// The farthest that a vertex moved, mm.
    pub farthest_mm: f64,
    /// Faces taken out.
    pub faces_dropped: usize,
    /// Faces made, or made anew.
    pub faces_added: usize,
    /// Faces turned.
    pub faces_turned: usize,
    /// Whole shells turned.
    pub shells_turned: usize,
    /// Edges with more than two faces that were parted.
    pub edges_parted: usize,
    /// Rims closed.
    pub holes_filled: usize,
    /// Area of what closes them, mm².
    pub filled_mm2: f64,
    /// Patches that pass through a shell other than that of the hole.
    pub patches_passing: usize,
    /// Shells that were united with others or with themselves.
    pub shells_united: usize,
    /// Shells taken out.
    pub shells_dropped: usize,
    /// What was found and could not be mended by this step: faces, edges, rims or shells, as the step deals with.
    pub left: usize,
}

impl MendReport {
    /// Whether the mesh is as it was.
    pub fn did_nothing(&self) -> bool {
        MendReport { left: 0, ..*self } == MendReport::default()
    }

    /// What was done by this and then once more; what is left, is what the later left.
    fn and(&self, later: &MendReport) -> MendReport {
        MendReport {
            vertices_merged: self.vertices_merged + later.vertices_merged,
            vertices_added: self.vertices_added + later.vertices_added,
            farthest_mm: self.farthest_mm.max(later.farthest_mm),
            faces_dropped: self.faces_dropped + later.faces_dropped,
            faces_added: self.faces_added + later.faces_added,
            faces_turned: self.faces_turned + later.faces_turned,
            shells_turned: self.shells_turned + later.shells_turned,
            edges_parted: self.edges_parted + later.edges_parted,
            holes_filled: self.holes_filled + later.holes_filled,
            filled_mm2: self.filled_mm2 + later.filled_mm2,
            patches_passing: self.patches_passing + later.patches_passing,
            shells_united: self.shells_united + later.shells_united,
            shells_dropped: self.shells_dropped + later.shells_dropped,
            left: later.left,
        }
    }
}

/// Why a step was not done. The mesh is as it was.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MendError {
    /// Stopped.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
    /// The library that unites solids could not make one of these shells.
    #[error(
        "shell {shell} and those that cross it cannot be united: {reason}; cut it as it is, or mend it where it was made"
    )]
    CannotUnite {
        /// The lowest shell concerned.
        shell: u32,
        /// What the library says.
        reason: String,
    },
}

impl MendStep {
    /// Mends `mesh`. The same step finds nothing more to do on what comes out, which the tests try; what it could not mend is
    /// counted in [`MendReport::left`].
    pub fn apply(&self, mesh: &Mesh, progress: &Progress) -> Result<Mended, MendError> {
        progress.check()?;
        progress.stage(self.name());
        let work = Work::new(mesh);
        Ok(match *self {
            MendStep::MergeNear { tolerance_mm } => near::merge(work, tolerance_mm),
            MendStep::DropZeroArea => drop::zero_area(work, progress)?,
            MendStep::DropDuplicates => drop::duplicates(work),
            MendStep::SplitSheets => sheets::split(work, progress)?,
            MendStep::TurnOutward => turn::outward(work, progress)?,
            MendStep::FillHoles { most_edges, curved } => {
                holes::fill(work, holes::Filling { most_edges, curved, anywhere: false }, progress)?
            }
            MendStep::UniteCrossing => unite::crossing(work, progress)?,
            MendStep::KeepOuter => outer::keep(work, progress)?,
        })
    }

    /// In a few words.
    pub fn name(&self) -> &'static str {
        match self {
            MendStep::MergeNear { .. } => "merging near vertices",
            MendStep::DropZeroArea => "dropping faces without area",
            MendStep::DropDuplicates => "dropping duplicate faces",
            MendStep::SplitSheets => "parting edges with more than two faces",
            MendStep::TurnOutward => "turning shells outwards",
            MendStep::FillHoles { .. } => "filling holes",
            MendStep::UniteCrossing => "uniting shells that cross",
            MendStep::KeepOuter => "keeping the outer surface",
        }
    }

    /// The steps that cannot alter the form that is seen, in the order in which each leaves the next as little as possible
    /// to do. Vertices move by the [`Resolution`] of the mesh at most, which no file of single precision keeps.
    pub fn safe(mesh: &Mesh) -> [MendStep; 5] {
        [
            MendStep::MergeNear { tolerance_mm: Resolution::of(mesh).on_plane_mm },
            MendStep::DropZeroArea,
            MendStep::DropDuplicates,
            MendStep::SplitSheets,
            MendStep::TurnOutward,
        ]
    }
}

/// What [`mend_all_safe`] made.
#[derive(Clone, Debug, PartialEq)]
pub struct AllMended {
    /// The mesh.
    pub mesh: Mesh,
    /// As [`Mended::came_from`], over all steps.
    pub came_from: Vec<u32>,
    /// The steps in their order, each with what it did.
    pub steps: Vec<(MendStep, MendReport)>,
}

/// Times that all safe steps are gone through at most. Turning a face may let an edge close that was beside one turned the
/// wrong way, and so on; two times nearly always do. Our own choice, no source.
const PASSES: usize = 8;

/// Does all that is [safe](MendStep::safe), again and again until there is nothing more to do.
pub fn mend_all_safe(mesh: &Mesh, progress: &Progress) -> Result<AllMended, MendError> {
    let came_from = (0..mesh.triangles.len() as u32).collect();
    let steps = MendStep::safe(mesh).map(|step| (step, MendReport::default())).to_vec();
    let mut all = AllMended { mesh: mesh.clone(), came_from, steps };
    for _ in 0..PASSES {
        let mut did_nothing = true;
        for (step, report) in &mut all.steps {
            let done = step.apply(&all.mesh, progress)?;
            did_nothing &= done.report.did_nothing();
            let before = |&face: &u32| all.came_from.get(face as usize).copied().unwrap_or(NEW_FACE);
            all.came_from = done.came_from.iter().map(before).collect();
            all.mesh = done.mesh;
            *report = report.and(&done.report);
        }
        if did_nothing {
            break;
        }
    }
    Ok(all)
}

/// A mesh being mended.
struct Work {
    mesh: Mesh,
    came_from: Vec<u32>,
    report: MendReport,
}

impl Work {
    fn new(mesh: &Mesh) -> Work {
        Work {
            mesh: mesh.clone(),
            came_from: (0..mesh.triangles.len() as u32).collect(),
            report: MendReport::default(),
        }
    }

    /// Keeps the faces for which `kept` holds, in their order, and counts the others as dropped.
    fn keep_faces(&mut self, kept: impl Fn(usize, &[u32; 3]) -> bool) {
        let before = self.mesh.triangles.len();
        let kept: Vec<bool> = self.mesh.triangles.iter().enumerate().map(|(t, face)| kept(t, face)).collect();
        let mut flags = kept.iter();
        self.mesh.triangles.retain(|_| *flags.next().unwrap_or(&false));
        let mut flags = kept.iter();
        self.came_from.retain(|_| *flags.next().unwrap_or(&false));
        self.report.faces_dropped += before - self.mesh.triangles.len();
    }

    fn push(&mut self, face: [u32; 3], came_from: u32) {
        self.mesh.triangles.push(face);
        self.came_from.push(came_from);
    }

    /// Without vertices that no face uses any more, if anything was done.
    fn done(mut self) -> Mended {
        if !self.report.did_nothing() {
            drop_unused_vertices(&mut self.mesh);
        }
        Mended { mesh: self.mesh, came_from: self.came_from, report: self.report }
    }
}
