//! What is seen from outside stays.

use super::{Mended, Work, clear};
use crate::{Cancelled, EdgeTable, Progress, Shells, crossings, nesting};

/// Drops shells inside closed ones. A shell that meets another is kept, since it may be seen.
pub(super) fn keep(mut work: Work, progress: &Progress) -> Result<Mended, Cancelled> {
    let edges = EdgeTable::new(&work.mesh);
    let shells = Shells::of_edges(&edges);
    let reports = shells.reports(&work.mesh, &edges);
    // As if clear holes were filled: what is seen through them alone is not seen.
    let all = vec![reports.len() > 1; reports.len()];
    let nesting = match clear::closed(&work.mesh, &edges, &shells, &reports, &all, progress)? {
        None => nesting(&work.mesh, &shells, &reports, progress)?,
        Some(closed) => {
            // Patches come after all other faces, so that shells keep their numbers.
            let edges = EdgeTable::new(&closed.mesh);
            let shells = Shells::of_edges(&edges);
            nesting(&closed.mesh, &shells, &shells.reports(&closed.mesh, &edges), progress)?
        }
    };
    let mut enclosed: Vec<bool> = nesting.around.iter().map(|around| !around.is_empty()).collect();
    if !enclosed.contains(&true) {
        return Ok(work.done());
    }
    for pair in crossings(&work.mesh, progress)?.by_shell(&shells) {
        if pair.shells[0] != pair.shells[1] {
            pair.shells.iter().for_each(|&shell| {
                work.report.left += usize::from(enclosed[shell as usize]);
                enclosed[shell as usize] = false;
            });
        }
    }
    work.report.shells_dropped = enclosed.iter().filter(|enclosed| **enclosed).count();
    work.keep_faces(|t, _| !enclosed[shells.of_triangle[t] as usize]);
    Ok(work.done())
}
