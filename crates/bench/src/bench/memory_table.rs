//! What reading and cutting take of memory, as Markdown.

use std::fmt::Write;

use super::job::Measured;
use super::plan::ONE_CUT;
use super::results::{Results, Row};
use super::table::{everyone, joined, ours_and_peers, thousands};

/// Reading: how much more than before.
pub fn reading(results: &Results) -> String {
    table(
        results,
        "## Memory of reading\n\nThe most that the process held while it read and, in brackets, what it held before, MiB. \
         *Live* is what our own code had asked for and not given back, at most; the rest is what the allocator keeps for \
         later. The mesh is what comes out: vertices in 64 bits, indices in 32.",
        |row| row.job.work.file().is_some(),
    )
}

/// The single cut.
pub fn cutting(results: &Results) -> String {
    table(
        results,
        "## Memory of one cut\n\nThe most that the process held during the cut and, in brackets, what it held before (the \
         mesh and, for libraries, Python with what it has loaded), MiB. *Live* is what our own code had asked for and not \
         given back, at most, beyond the mesh; the rest is what the allocator keeps for later.",
        |row| row.title == ONE_CUT,
    )
}

fn table(results: &Results, head: &str, is_wanted: impl Fn(&Row) -> bool) -> String {
    let mut text = format!("{head}\n\n| work | triangles | our mesh | {}", ours_and_peers(results));
    text.push_str("| our live | live ÷ mesh | our peak − before ÷ mesh |\n|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|\n");
    for row in results.rows.iter().filter(|row| is_wanted(row)) {
        let cells = everyone().map(|who| match row.measured(who) {
            Some(Measured { peak_mib: Some(peak), before_mib: Some(before), .. }) => format!("{peak:.0} ({before:.0})"),
            _ => none(),
        });
        let ours = row.measured(super::contender::Contender::Ours);
        let grown = ours.and_then(|ours| Some(ours.peak_mib? - ours.before_mib?));
        let times = |mib: Option<f64>| mib.map_or_else(none, |mib| format!("{:.1}", mib / row.mesh_mib));
        _ = writeln!(
            text,
            "| {} | {} | {:.0} | {} | {} | {} | {} |",
            row.title,
            thousands(row.triangles),
            row.mesh_mib,
            joined(cells),
            row.live_mib.map_or_else(none, |live| format!("{live:.0}")),
            times(row.live_mib),
            times(grown)
        );
    }
    text
}

fn none() -> String {
    "–".to_owned()
}
