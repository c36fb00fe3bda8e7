//! Parts that are printed apart, looked at together.

use seamwright_geometry::{Cancelled, EdgeTable, Gap, Mesh, Progress, ShellPair, Shells, crossings, gaps, solids};

use super::{Finding, Look, names, of_crossing_shells, of_gaps};

/// A part that is looked at together with others.
pub struct Beside<'a> {
    /// Its faces, mm.
    pub mesh: &'a Mesh,
    /// The number of the shell that a face belongs to, where it is known.
    pub shell_of_face: &'a dyn Fn(u32) -> Option<u32>,
}

impl std::fmt::Debug for Beside<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Beside").field("mesh", self.mesh).finish_non_exhaustive()
    }
}

/// Where parts that are printed apart would not go back together: shells of different ones that cross or nest too tightly. What
/// is wrong within a part is for [`look_closely`](super::look_closely). Findings name no faces.
pub fn look_between(parts: &[Beside<'_>], look: &Look, progress: &Progress) -> Result<Vec<Finding>, Cancelled> {
    let mesh = solids::joined(&parts.iter().map(|part| part.mesh).collect::<Vec<_>>());
    let mut first_faces = Vec::with_capacity(parts.len());
    let mut count = 0;
    for part in parts {
        first_faces.push(count);
        count += part.mesh.triangles.len() as u32;
    }
    let part_of_face = |face: u32| first_faces.partition_point(|first| *first <= face) - 1;
    let shells = Shells::of(&mesh);
    let mut part_of_shell = vec![0; shells.count as usize];
    for (face, &shell) in (0..).zip(&shells.of_triangle) {
        part_of_shell[shell as usize] = part_of_face(face);
    }
    let of_two = |shells: &[u32; 2]| part_of_shell[shells[0] as usize] != part_of_shell[shells[1] as usize];
    let shell_of_face = |face: u32| {
        let part = part_of_face(face);
        (parts[part].shell_of_face)(face - first_faces[part])
    };
    let names = names(&shells, &shell_of_face);
    let met = crossings(&mesh, progress)?.by_shell(&shells);
    let reports = shells.reports(&mesh, &EdgeTable::new(&mesh));
    let pairs: Vec<ShellPair> = met.iter().copied().filter(|pair| of_two(&pair.shells)).collect();
    let mut findings: Vec<Finding> =
        of_crossing_shells(&mesh, &shells, &names, &reports, &pairs, progress)?.into_iter().collect();
    let near = gaps(&mesh, &shells, &met, look.near_mm, progress)?;
    let apart: Vec<&Gap> = near.iter().filter(|gap| of_two(&gap.shells)).collect();
    findings.extend(of_gaps(&apart, &names));
    for finding in &mut findings {
        // Faces are those of the parts joined, and shells of different parts cannot be united.
        (finding.faces, finding.mends) = (Vec::new(), Vec::new());
    }
    Ok(findings)
}
