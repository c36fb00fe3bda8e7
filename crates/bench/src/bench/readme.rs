//! The table of the README: the long form in few lines, put between two marks so that it cannot drift.

use std::fmt::Write;

use super::contender::Contender;
use super::plan::{
    BORE, CLOSE, CROSSINGS, EIGHT_CUTS, EXACT_FIT, LIVE, LIVE_FIT, MERGE, ONE_CUT, READ_PLY, READ_STL, REPORT,
    REST_FIT, SHELLS,
};
use super::results::{Results, Row};
use super::table::{joined, thousands, time, versions};
use xtask::steps::StepError;

const BEGIN: &str = "<!-- speed: written by `cargo xtask bench`; do not edit -->\n";
const END: &str = "<!-- end of speed -->";

/// The text with the table of these results between the marks.
pub fn with_speed(readme: &str, results: &Results) -> Result<String, StepError> {
    let marks = readme.split_once(BEGIN).and_then(|(before, rest)| Some((before, rest.split_once(END)?.1)));
    let (before, after) = marks.ok_or_else(|| format!("README.md has no place for the table: {BEGIN}{END}"))?;
    Ok(format!("{before}{BEGIN}{}{END}{after}", section(results)))
}

fn section(results: &Results) -> String {
    let machine = &results.machine;
    let peers = Contender::PEERS.map(|peer| versions(results, peer)).join(", ");
    let mut text = format!(
        "Measured on {} on {} cores ({}), {:.0} GiB of memory, beside {peers} on the same files and planes, each in its own process.\n\n\
         | work | triangles | time | fastest library | times as fast |\n|---|--:|--:|--:|--:|\n",
        machine.date, machine.cores, machine.processor, machine.memory_gib
    );
    // What is done to a stock is told for the largest size; all are in the long form.
    let largest = results.rows.iter().map(|row| row.triangles).max().unwrap_or_default();
    let on_stock = [READ_STL, READ_PLY, MERGE, REPORT, CROSSINGS, CLOSE];
    for title in on_stock.into_iter().chain([ONE_CUT, EIGHT_CUTS, LIVE, LIVE_FIT, REST_FIT, SHELLS, BORE]) {
        let is_told = |row: &&Row| row.title == title && (row.triangles == largest || !on_stock.contains(&title));
        for row in results.rows.iter().filter(is_told) {
            let cells = [row.title.clone(), thousands(row.triangles)].into_iter().chain(figures(row));
            _ = writeln!(text, "| {} |", joined(cells));
        }
    }
    if let Some((fits, worst)) = results.fits.as_ref().and_then(|fits| Some((fits, fits.median_and_worst_s()?))) {
        for (which, seconds) in ["median", "worst"].into_iter().zip(worst) {
            let title = format!("{EXACT_FIT} ({which} of {})", fits.seconds.len());
            _ = writeln!(text, "| {} |", joined([title, "–".into(), time(seconds), "–".into(), "–".into()]));
        }
    }
    text + "\nAll figures, and how they were taken: [BENCHMARKS.md](crates/geometry/BENCHMARKS.md).\n"
}

/// Our time, the fastest library and its time, and how many times as long it took.
fn figures(row: &Row) -> [String; 3] {
    let ours = row.measured(Contender::Ours).map(|ours| ours.median_s());
    let peer = row.fastest_peer();
    let none = || "–".to_owned();
    [
        ours.map_or_else(none, time),
        peer.map_or_else(none, |(peer, seconds)| format!("{} ({})", time(seconds), peer.name())),
        ours.zip(peer).map_or_else(none, |(ours, (_, peer_s))| format!("{:.1}", peer_s / ours)),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::machine::Machine;

    #[test]
    fn what_is_between_the_marks_is_replaced_and_nothing_else() {
        let readme = format!("# Title\n\n{BEGIN}old\n{END}\n\nmore\n");
        let text = with_speed(&readme, &Results::new(Machine::now())).unwrap();
        assert!(
            text.starts_with(&format!("# Title\n\n{BEGIN}Measured on "))
                && text.ends_with("\n<!-- end of speed -->\n\nmore\n")
        );
        assert!(!text.contains("\nold\n"));
        assert_eq!(with_speed(&text, &Results::new(Machine::now())).unwrap().matches(END).count(), 1);
        assert!(with_speed("# Title\n", &Results::new(Machine::now())).is_err());
    }

    #[test]
    fn the_readme_has_the_marks() {
        let readme = std::fs::read_to_string(xtask::workspace::root().join("README.md")).unwrap();
        assert!(with_speed(&readme, &Results::new(Machine::now())).is_ok());
    }
}
