//! Which shells lie in which.

use super::PROBES;
use super::columns::Columns;
use crate::{Cancelled, EdgeTable, Mesh, Point, Progress, ShellReport, Shells};

/// A place of a shell that is tried for lying inside others.
#[derive(Clone, Copy)]
pub(super) struct Probe {
    pub at: Point,
    pub shell: u32,
}

/// How often shells go round probes.
pub(super) struct Nest {
    shells: Vec<ShellReport>,
    probes: Vec<Probe>,
    /// For each probe the closed shells, without its own, that go round it, rising, and how often.
    around: Vec<Vec<(u32, i32)>>,
}

impl Nest {
    /// Tries the shells that are `asked` for only.
    pub fn of(
        mesh: &Mesh,
        shells: &Shells,
        edges: &EdgeTable,
        asked: impl Fn(u32) -> bool,
        progress: &Progress,
    ) -> Result<Nest, Cancelled> {
        let reports = shells.reports(mesh, edges);
        let mut probes = probes(mesh, shells, &reports);
        probes.retain(|probe| asked(probe.shell));
        let around = Columns::of(&probes).around(mesh, shells, &reports, progress)?;
        Ok(Nest { shells: reports, probes, around })
    }

    /// The body of each shell, numbered in the order of the shells.
    pub fn bodies(&self) -> Vec<u32> {
        let homes: Vec<Option<usize>> = self.homes();
        let mut parent: Vec<usize> = (0..self.shells.len()).collect();
        let root = |parent: &[usize], mut i: usize| {
            while parent[i] != i {
                i = parent[i];
            }
            i
        };
        for (i, home) in homes.into_iter().enumerate() {
            if let Some(home) = home {
                let (a, b) = (root(&parent, i), root(&parent, home));
                parent[a.max(b)] = a.min(b);
            }
        }
        let mut body = vec![0u32; self.shells.len()];
        let mut count = 0;
        for i in 0..self.shells.len() {
            let r = root(&parent, i);
            body[i] = if r == i {
                count += 1;
                count - 1
            } else {
                body[r]
            };
        }
        body
    }

    /// The shell that each shell belongs to: for an inward one the smallest outward one around it, for any other one whose
    /// material it begins in.
    pub fn homes(&self) -> Vec<Option<usize>> {
        let mut homes: Vec<Option<usize>> = vec![None; self.shells.len()];
        for (probe, around) in self.probes.iter().zip(&self.around) {
            // Within the material means: inside an outward shell and not in one of its cavities.
            let in_material = around.iter().map(|(_, turns)| turns).sum::<i32>() > 0;
            let inner = &self.shells[probe.shell as usize];
            let inward = inner.volume_mm3 < 0.0;
            if !inward && !in_material {
                continue;
            }
            let home = &mut homes[probe.shell as usize];
            let smaller = |a: usize, b: usize| {
                let volume = |i: usize| self.shells[i].volume_mm3;
                volume(a).total_cmp(&volume(b)).then(a.cmp(&b)).is_lt()
            };
            for outer in around.iter().filter(|(_, turns)| *turns > 0).map(|(outer, _)| *outer as usize) {
                if self.shells[outer].volume_mm3 > 0.0 && home.is_none_or(|known| smaller(outer, known)) {
                    *home = Some(outer);
                }
            }
        }
        homes
    }
}

/// The first corners of [`PROBES`] faces of each shell, spread evenly.
fn probes(mesh: &Mesh, shells: &Shells, reports: &[ShellReport]) -> Vec<Probe> {
    let steps: Vec<usize> = reports.iter().map(|report| report.triangles.div_ceil(PROBES).max(1)).collect();
    // Faces of each shell until its next probe.
    let mut until = vec![0; reports.len()];
    let mut probes = Vec::new();
    for (t, &shell) in shells.of_triangle.iter().enumerate() {
        let until = &mut until[shell as usize];
        if *until == 0 {
            *until = steps[shell as usize];
            probes.push(Probe { at: mesh.corners(t)[0], shell });
        }
        *until -= 1;
    }
    probes
}
