//! The results as Markdown.

use std::fmt::Write;

use super::contender::Contender;
use super::job::{Answer, Measured};
use super::memory_table;
use super::results::{Against, Results, Row, Scaled};

/// Figures that differ by more than this share are said to differ beside the time: far above what 32-bit coordinates
/// can do to a volume, far below a lost piece.
const AGREES: f64 = 1e-5;

/// All tables, with where and when.
pub fn markdown(results: &Results) -> String {
    let parts = [
        head(results),
        times(results),
        fits(results),
        agreement(results),
        memory_table::reading(results),
        memory_table::cutting(results),
        against_triangles(results),
        scaling(results, Against::Cuts, "cuts"),
        scaling(results, Against::Threads, "threads"),
        "## The same drawn\n\n![Time against triangles, before cutting](plots/stock.svg)\n\n![Time against \
         triangles](plots/triangles.svg)\n\n![Time against \
         cuts](plots/cuts.svg)\n\n![Time against cores](plots/cores.svg)\n"
            .to_owned(),
    ];
    parts.join("\n")
}

fn head(results: &Results) -> String {
    let machine = &results.machine;
    let mut text = format!(
        "# Speed beside general-purpose libraries\n\n\
         Written by `cargo xtask bench`; do not edit. Measured on {} at commit {} on {} cores ({}) with {:.0} GiB of \
         memory; load average {} at the start, {} at the end.\n\n\
         The model is the demo helm, made at each size. Times are medians; every contender runs alone, in a process of \
         its own, on the same planes, with its defaults. From indexed mesh to indexed pieces for us; for a library, from \
         its own form of the mesh to its own form of the result: making that form is not counted.\n",
        machine.date,
        machine.commit,
        machine.cores,
        machine.processor,
        machine.memory_gib,
        machine.load_at_start,
        results.load_at_end
    );
    for (words, then) in &results.renewed {
        _ = writeln!(
            text,
            "\nMeasured once more, with all its contenders, on {} at commit {} ({}, load average {} at the start): every \
             row whose work has \u{201c}{words}\u{201d} in its name.",
            then.date, then.commit, then.processor, then.load_at_start
        );
    }
    text
}

fn times(results: &Results) -> String {
    let mut text = format!("## Time\n\n| work | triangles | {}", ours_and_peers(results));
    text.push_str("| fastest library ÷ ours |\n|---|--:|--:|--:|--:|--:|--:|\n");
    for row in &results.rows {
        let ours = row.measured(Contender::Ours);
        let factor = match (ours, row.fastest_peer()) {
            (Some(ours), Some((peer, peer_s))) => format!("**{:.1}×** ({})", peer_s / ours.median_s(), peer.name()),
            _ => "–".to_owned(),
        };
        let cell = |who| row.answer(who).map_or_else(|| "–".to_owned(), |answer| time_cell(answer, ours));
        let cells = everyone().map(cell);
        _ = writeln!(text, "| {} | {} | {} | {factor} |", row.title, thousands(row.triangles), joined(cells));
    }
    text
}

fn fits(results: &Results) -> String {
    let Some((fits, [median_s, worst_s])) =
        results.fits.as_ref().and_then(|fits| Some((fits, fits.median_and_worst_s()?)))
    else {
        return String::new();
    };
    let mut text = format!(
        "## Exact verdicts\n\nDoes it fit, in any pose, or can it be proven that it does not: the hulls of {} meshes made \
         by others, each brought to a diagonal of 400 mm, on five beds (a small cube, 220 × 220 × 250 mm with margins and a \
         raft, a low and wide one, a large cube, a round one), each once, on all cores.\n\n\
         | verdicts | median | worst | undecided |\n|--:|--:|--:|--:|\n| {} | {} | {} | {} |\n",
        fits.meshes,
        fits.seconds.len(),
        time(median_s),
        time(worst_s),
        fits.undecided
    );
    if !fits.failed.is_empty() {
        _ = writeln!(text, "\nFiles with nothing to place: {}.", fits.failed.join(", "));
    }
    text
}

fn time_cell(answer: &Answer, ours: Option<&Measured>) -> String {
    match (answer, ours) {
        (Answer::Failed { error }, _) => error.replace('|', "/").replace('\n', " "),
        (Answer::Measured(measured), Some(ours)) if measured.disagreement(ours) > AGREES => {
            format!("{} (other figures)", time(measured.median_s()))
        }
        (Answer::Measured(measured), _) => time(measured.median_s()),
    }
}

fn agreement(results: &Results) -> String {
    let mut text = String::from(
        "## Agreement\n\nThe largest difference from our figures, as a share of the whole: volumes of the pieces and \
         shells, volume of what was read or turned, length of the outline, numbers of vertices, edges, pairs and faces of \
         what was merged, counted, crossed and filled.\n\n| work | triangles | ",
    );
    text.push_str(&joined(Contender::PEERS.map(|peer| peer.name().to_owned())));
    text.push_str(" |\n|---|--:|--:|--:|--:|\n");
    for row in compared(results) {
        let difference = |peer| match (row.measured(peer), row.measured(Contender::Ours)) {
            (Some(theirs), Some(ours)) if theirs.figures.len() != ours.figures.len() => {
                format!("{} figures, ours {}", theirs.figures.len(), ours.figures.len())
            }
            (Some(theirs), Some(ours)) if theirs.figures == ours.figures => "none".to_owned(),
            (Some(theirs), Some(ours)) => format!("{:.0e}", theirs.disagreement(ours)),
            _ => "–".to_owned(),
        };
        let cells = joined(Contender::PEERS.map(difference));
        _ = writeln!(text, "| {} | {} | {cells} |", row.title, thousands(row.triangles));
    }
    text
}

/// Time for each triangle: level where time grows as the mesh.
fn against_triangles(results: &Results) -> String {
    let mut sizes: Vec<usize> = results.rows.iter().map(|row| row.triangles).collect();
    sizes.dedup();
    let header = joined(sizes.iter().map(|&size| thousands(size)));
    let mut text = format!(
        "## Our time against triangles\n\nNanoseconds for each triangle of the mesh, and the power of the number of \
         triangles that the time grows as (least squares through the logarithms; N log N over these sizes is a power of \
         {:.2}).\n\n| work | {header} | power |\n|---{}|--:|\n",
        linearithmic(&sizes),
        "|--:".repeat(sizes.len())
    );
    for title in titles(results.rows.iter().map(|row| &row.title)) {
        let rows = || results.rows.iter().filter(|row| row.title == title);
        let cells = rows().map(|row| {
            let ours = row.measured(Contender::Ours);
            ours.map_or("–".to_owned(), |ours| format!("{:.1}", ours.median_s() * 1e9 / row.triangles as f64))
        });
        let points = rows().filter_map(|row| Some((row.triangles as f64, row.measured(Contender::Ours)?.median_s())));
        let power = power(points.collect::<Vec<_>>().as_slice());
        let power = power.map_or("–".to_owned(), |power| format!("{power:.2}"));
        _ = writeln!(text, "| {title} | {} | {power} |", joined(cells));
    }
    text
}

/// The power of the first that the second grows as, by least squares through the logarithms; of two points at least.
fn power(points: &[(f64, f64)]) -> Option<f64> {
    let logs: Vec<(f64, f64)> = points.iter().map(|(x, y)| (x.ln(), y.ln())).collect();
    let count = logs.len() as f64;
    let (x, y) = (logs.iter().map(|p| p.0).sum::<f64>() / count, logs.iter().map(|p| p.1).sum::<f64>() / count);
    let across = logs.iter().map(|p| (p.0 - x).powi(2)).sum::<f64>();
    (logs.len() > 1 && across > 0.0).then(|| logs.iter().map(|p| (p.0 - x) * (p.1 - y)).sum::<f64>() / across)
}

/// The power that N log N seems to grow as over these sizes.
fn linearithmic(sizes: &[usize]) -> f64 {
    let points: Vec<(f64, f64)> = sizes.iter().map(|&n| (n as f64, n as f64 * (n as f64).ln())).collect();
    power(&points).unwrap_or(f64::NAN)
}

fn scaling(results: &Results, against: Against, noun: &str) -> String {
    let of_table: Vec<&Scaled> = results.scaling.iter().filter(|scaled| scaled.against == against).collect();
    let Some(triangles) =
        results.rows.iter().map(|row| row.triangles).filter(|&n| n <= super::plan::SCALED_UP_TO).max()
    else {
        return String::new();
    };
    let mut counts: Vec<usize> = of_table.iter().map(|scaled| scaled.count).collect();
    counts.sort_unstable();
    counts.dedup();
    let mut text = format!(
        "## Our time against {noun}\n\n{} triangles.\n\n| {noun} | {} |\n|---{}|\n",
        thousands(triangles),
        joined(counts.iter().map(usize::to_string)),
        "|--:".repeat(counts.len())
    );
    for title in titles(of_table.iter().map(|scaled| &scaled.title)) {
        let cells = of_table.iter().filter(|scaled| scaled.title == title).map(|scaled| match &scaled.answer {
            Answer::Measured(measured) => time(measured.median_s()),
            Answer::Failed { error } => error.clone(),
        });
        _ = writeln!(text, "| {title} | {} |", joined(cells));
    }
    text
}

/// Rows that a library took part in.
fn compared(results: &Results) -> impl Iterator<Item = &Row> {
    results.rows.iter().filter(|row| row.answers.len() > 1)
}

/// All, in the order of the columns.
pub fn everyone() -> impl Iterator<Item = Contender> {
    [Contender::Ours].into_iter().chain(Contender::PEERS)
}

/// The columns of all.
pub fn ours_and_peers(results: &Results) -> String {
    joined(everyone().map(|who| if who == Contender::Ours { who.name().to_owned() } else { versions(results, who) }))
        + " "
}

/// The name, with the version that was measured.
pub fn versions(results: &Results, who: Contender) -> String {
    let measured = results.rows.iter().find_map(|row| row.measured(who));
    format!("{} {}", who.name(), measured.map_or("", |measured| &measured.version)).trim_end().to_owned()
}

/// Distinct, in the order of their first.
pub fn titles<'a>(all: impl Iterator<Item = &'a String>) -> Vec<&'a str> {
    let mut titles = Vec::new();
    for title in all {
        if !titles.contains(&title.as_str()) {
            titles.push(title);
        }
    }
    titles
}

/// Cells of a row.
pub fn joined(cells: impl IntoIterator<Item = String>) -> String {
    cells.into_iter().collect::<Vec<_>>().join(" | ")
}

/// Three digits that mean something.
pub fn time(seconds: f64) -> String {
    let (number, unit) = if seconds < 1.0 { (seconds * 1e3, "ms") } else { (seconds, "s") };
    let decimals = if number < 10.0 { 2 } else { usize::from(number < 100.0) };
    format!("{number:.decimals$} {unit}")
}

/// Digits in groups of three.
pub fn thousands(count: usize) -> String {
    let digits = count.to_string();
    let groups: Vec<&str> = digits.as_bytes().rchunks(3).rev().filter_map(|g| std::str::from_utf8(g).ok()).collect();
    groups.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_show_three_digits() {
        for (seconds, shown) in [(0.001234, "1.23 ms"), (0.0123, "12.3 ms"), (0.1234, "123 ms"), (12.34, "12.3 s")] {
            assert_eq!(time(seconds), shown);
        }
    }

    #[test]
    fn the_power_of_growth_is_found() {
        let grown = |n: f64| (n, 3.0 * n.powf(1.5));
        assert!((power(&[1e5, 1e6, 5e6].map(grown)).unwrap() - 1.5).abs() < 1e-12);
        assert_eq!(power(&[grown(1e5)]), None);
        assert!((linearithmic(&[100_000, 1_000_000]) - 1.079).abs() < 1e-3, "log10 of 10 · 6 / 5");
    }

    #[test]
    fn large_numbers_are_grouped() {
        assert_eq!([thousands(7), thousands(1000), thousands(4_012_345)], ["7", "1 000", "4 012 345"]);
    }
}
