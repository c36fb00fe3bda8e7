//! Tables with their sources in lines that begin with `#`, then a line of headings, then one thing a line.

/// The cells of every line that is a thing.
pub(super) fn lines(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let kept = table.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    kept.skip(1).map(|line| line.split(',').map(str::trim).collect())
}
