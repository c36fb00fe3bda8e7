//! Faces turned as their neighbours, shells turned outwards.

use super::{Mended, Work};
use crate::{Cancelled, EdgeTable, Progress, Shells, nesting};

/// Turns faces and shells.
pub(super) fn outward(mut work: Work, progress: &Progress) -> Result<Mended, Cancelled> {
    turn_alike(&mut work, progress)?;
    turn_shells(&mut work, progress)?;
    Ok(work.done())
}

/// Turns the fewest faces that make every edge of two faces used both ways, surface by surface (faces joined at such
/// edges). Surfaces for which there is no such way, as a Möbius strip, stay as they are and are counted.
fn turn_alike(work: &mut Work, progress: &Progress) -> Result<(), Cancelled> {
    let edges = EdgeTable::new(&work.mesh);
    if edges.edges().all(|edge| edge.count() != 2 || edge.balance() == 0) {
        return Ok(());
    }
    let faces = work.mesh.triangles.len();
    // Neighbours over each side, and whether they are turned otherwise.
    let mut beside: Vec<[Option<(u32, bool)>; 3]> = vec![[None; 3]; faces];
    for edge in edges.edges().filter(|edge| edge.count() == 2) {
        let mut uses = edge.faces();
        let (Some((a, x)), Some((b, y))) = (uses.next(), uses.next()) else { continue };
        for (own, other) in [(a, b), (b, a)] {
            if let Some(free) = beside[own as usize].iter_mut().find(|slot| slot.is_none()) {
                *free = Some((other, x == y));
            }
        }
    }
    let mut turned: Vec<Option<bool>> = vec![None; faces];
    for start in 0..faces {
        if turned[start].is_some() {
            continue;
        }
        progress.check()?;
        turned[start] = Some(false);
        let mut surface = vec![start as u32];
        let mut next = 0;
        let mut one_sided = false;
        while let Some(&face) = surface.get(next) {
            next += 1;
            let own = turned[face as usize].unwrap_or(false);
            for (other, otherwise) in beside[face as usize].iter().flatten() {
                match turned[*other as usize] {
                    None => {
                        turned[*other as usize] = Some(own != *otherwise);
                        surface.push(*other);
                    }
                    Some(known) => one_sided |= known != (own != *otherwise),
                }
            }
        }
        if one_sided {
            work.report.left += 1;
            continue;
        }
        let count = surface.iter().filter(|face| turned[**face as usize] == Some(true)).count();
        let fewest = 2 * count <= surface.len();
        for face in surface {
            if turned[face as usize] == Some(fewest) {
                work.mesh.triangles[face as usize].swap(1, 2);
                work.report.faces_turned += 1;
            }
        }
    }
    Ok(())
}

/// Turns closed shells that face inwards where no material is around them, from the largest to the smallest.
fn turn_shells(work: &mut Work, progress: &Progress) -> Result<(), Cancelled> {
    let edges = EdgeTable::new(&work.mesh);
    let shells = Shells::of_edges(&edges);
    let reports = shells.reports(&work.mesh, &edges);
    if !reports.iter().any(|report| report.turned_inwards()) {
        return Ok(());
    }
    let nesting = nesting(&work.mesh, &shells, &reports, progress)?;
    let mut outward: Vec<i32> = reports.iter().map(|report| if report.volume_mm3 < 0.0 { -1 } else { 1 }).collect();
    let mut order: Vec<usize> = (0..reports.len()).filter(|i| reports[*i].closed).collect();
    order.sort_by(|a, b| reports[*b].volume_mm3.abs().total_cmp(&reports[*a].volume_mm3.abs()).then(a.cmp(b)));
    let mut turned = vec![false; reports.len()];
    for i in order {
        // How much material there is around it, once the larger shells are turned.
        let depth: i32 = nesting.around[i].iter().map(|&outer| outward[outer as usize]).sum();
        if outward[i] < 0 && depth < 1 {
            outward[i] = 1;
            turned[i] = true;
            work.report.shells_turned += 1;
        }
    }
    for (face, &shell) in work.mesh.triangles.iter_mut().zip(&shells.of_triangle) {
        if turned[shell as usize] {
            face.swap(1, 2);
        }
    }
    Ok(())
}
