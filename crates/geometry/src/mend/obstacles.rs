//! What patches must not pass through: the mesh as it was, and the patches made since.

use std::ops::Range;

use super::refine::Patch;
use crate::boxes::SmallBox;
use crate::health::meeting;
use crate::tree::FaceTree;
use crate::{Cancelled, Meeting, Mesh, Point, Progress, Shells};

pub(super) struct Obstacles {
    tree: FaceTree,
    /// Those of patches count to the shell whose hole they close.
    shell_of_face: Vec<u32>,
    /// Patches that the tree does not hold yet.
    late: Vec<(SmallBox, Range<usize>)>,
    settled: usize,
}

/// What a patch has to keep clear of.
#[derive(Clone, Copy)]
pub(super) enum ClearOf<'a> {
    Everything,
    /// Shells of the mesh before.
    Shells(&'a [u32]),
}

/// Patches gone through one by one before the tree is made anew with them; more where it holds many already, so that
/// making it anew does not become the most of the work. Our own choice, no source.
const LATE: usize = 256;

impl Obstacles {
    pub(super) fn of(mesh: &Mesh, progress: &Progress) -> Result<Obstacles, Cancelled> {
        let (tree, shells) = (FaceTree::build(mesh, progress)?, Shells::of(mesh));
        Ok(Obstacles { tree, shell_of_face: shells.of_triangle, late: Vec::new(), settled: 0 })
    }

    pub(super) fn shell_of(&self, face: u32) -> u32 {
        self.shell_of_face[face as usize]
    }

    /// Takes in a patch: the faces of the mesh from `first` on, which close a hole of that shell.
    pub(super) fn add(&mut self, mesh: &Mesh, first: usize, shell: u32, progress: &Progress) -> Result<(), Cancelled> {
        let faces = first..mesh.triangles.len();
        self.shell_of_face.resize(faces.end, shell);
        self.late.push((SmallBox::around(faces.clone().flat_map(|face| mesh.corners(face))), faces));
        if self.late.len() > LATE + self.settled / 2 {
            self.settled += self.late.len();
            self.late.clear();
            self.tree = FaceTree::build(mesh, progress)?;
        }
        Ok(())
    }

    /// Whether a triangle passes through what it has to keep clear of.
    pub(super) fn is_met(&self, mesh: &Mesh, triangle: &[Point; 3], of: ClearOf<'_>) -> bool {
        let near = SmallBox::around(triangle.iter().copied());
        let counts = |face: &usize| match of {
            ClearOf::Everything => true,
            ClearOf::Shells(shells) => shells.contains(&self.shell_of_face[*face]),
        };
        let settled = self.tree.faces_near(&near).into_iter().map(|face| face as usize);
        let late = self.late.iter().filter(|(place, _)| place.meets(&near)).flat_map(|(_, faces)| faces.clone());
        settled.chain(late).filter(counts).any(|face| meeting(triangle, &mesh.corners(face)) == Some(Meeting::Crossing))
    }

    /// Whether a patch passes through nothing that it has to keep clear of, nor through or along itself.
    pub(super) fn let_pass(
        &self,
        mesh: &Mesh,
        patch: &Patch,
        of: ClearOf<'_>,
        progress: &Progress,
    ) -> Result<bool, Cancelled> {
        Ok(!patch.faces.iter().any(|face| self.is_met(mesh, &patch.corners(face), of))
            && keeps_clear_of_itself(patch, progress)?)
    }
}

fn keeps_clear_of_itself(patch: &Patch, progress: &Progress) -> Result<bool, Cancelled> {
    let own = Mesh {
        vertices: patch.places.clone(),
        triangles: patch.faces.iter().map(|face| face.map(|v| v as u32)).collect(),
    };
    let tree = FaceTree::build(&own, progress)?;
    let meets_another = |(f, face): (u32, &[usize; 3])| {
        let place = patch.corners(face);
        let near = tree.faces_near(&SmallBox::around(place.into_iter()));
        near.into_iter().filter(|other| *other != f).any(|other| {
            matches!(meeting(&place, &own.corners(other as usize)), Some(Meeting::Crossing | Meeting::Overlapping))
        })
    };
    Ok(!(0..).zip(&patch.faces).any(meets_another))
}
