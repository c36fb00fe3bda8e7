//! The ledger: a row for each piece.

use seamwright_geometry::{Point, Vector};

use super::common::pieces;
use super::numbers::{count, mm, signed_mm, sizes};

pub const NO_MODEL: &str = "The ledger lists the pieces. There are none before a model is chosen.";
pub const IN_THE_WAY: &str = "No pieces: what is in the way stands in the notes.";
pub const WORKING_OUT: &str = "The pieces are being worked out.";
pub const MARK: &str = "mark";
pub const SIZE: &str = "size mm";
pub const FIT: &str = "fit";
pub const SLACK: &str = "slack mm";
pub const VOLUME: &str = "volume";
pub const CAP: &str = "largest cap";
pub const BORES: &str = "bores";
pub const CLOSED: &str = "closed";
pub const OPEN: &str = "open";
/// Between two sides of a size.
pub const TIMES: &str = " × ";
pub const ABOUT_SIZE: &str = "Width, depth and height of a piece as it stands in the whole. Of one that is too big, what is \
                              longer than the bed has room for is underlined.";
pub const SORT: &str = "Sort by this";
pub const OUT_OF_SIGHT: &str = "out of sight";
pub const SEEN_THROUGH: &str = "seen through";
pub const HIDDEN: &str = "hidden";
pub const THROUGH: &str = "through";

/// The column of one of several beds.
pub fn on_bed(bed: &str) -> String {
    format!("on {bed}")
}

/// What a column is about, and what a click does.
pub fn sort_by(meaning: &str) -> String {
    format!("{meaning}\n{SORT}")
}

/// How many pieces fit; which do not follows after it.
pub fn fit_of(all: usize, unfit: usize, crumbs: usize) -> String {
    let beside = match crumbs {
        0 => String::new(),
        n => format!("; {} beside", count(n, "crumb", "crumbs")),
    };
    match (all, unfit) {
        (1, 0) => format!("1 piece, it fits{beside}"),
        (_, 0) => format!("{}, all fit{beside}", pieces(all)),
        (_, 1) => format!("{}{beside}, 1 does not fit:", pieces(all)),
        _ => format!("{}{beside}, {unfit} do not fit:", pieces(all)),
    }
}

/// A piece among those that do not fit, as a link.
pub fn does_not_fit(mark: &str) -> String {
    format!("{mark} does not fit")
}

/// Rows and columns that are out of sight.
pub fn out_of_reach(beneath: usize, beside: usize) -> String {
    let down = (beneath > 0).then(|| format!("{beneath} more farther down"));
    let right = (beside > 0).then(|| count(beside, "column farther right", "columns farther right"));
    down.into_iter().chain(right).collect::<Vec<_>>().join(", ")
}

/// `2 pieces out of sight`.
pub fn so_many(n: usize, how: &str) -> String {
    format!("{} {how}", pieces(n))
}

/// A verdict with the room that is left.
pub fn with_slack(fit: &str, slack_mm: f64) -> String {
    format!("{fit}  {}", signed_mm(slack_mm))
}

/// What a row says, for those who do not see it; `seen` only where it is not seen as it is.
pub fn row(sizes_mm: &Vector, fit: &str, seen: Option<&str>) -> String {
    let seen = seen.map_or_else(String::new, |seen| format!(", {seen}"));
    format!("{} mm, {fit}{seen}", sizes(sizes_mm))
}

/// Where a bore crosses a piece.
pub fn bore_place(bore: &str, [low_mm, high_mm]: [f64; 2], ends: [Point; 2]) -> String {
    let [from, to] = ends.map(|p| format!("({}, {}, {})", mm(p.x), mm(p.y), mm(p.z)));
    format!("{bore}: {}–{} mm along it, from {from} to {to}", mm(low_mm), mm(high_mm))
}

/// By how much a piece is too big in its best pose; which way, would be told of a pose that nobody sees.
pub fn too_big(excess_mm: f64) -> String {
    format!("too big by {} at best", mm(excess_mm))
}

/// A piece as it stands against the room of a bed; `over` says which ways it is too long.
pub fn as_it_stands(sizes_mm: [f64; 3], room_mm: [f64; 3], over: impl std::fmt::Display) -> String {
    let [size, room] = [sizes_mm, room_mm].map(|sides| sizes(&sides.into()));
    format!("As it stands {size} mm, the bed has room for {room} mm: {over}.")
}

/// The sizes in the best pose that was found, and why it fits or not.
pub fn at_best(sizes_mm: [f64; 3], reason: impl std::fmt::Display) -> String {
    format!("In the best pose found {} mm: {reason}.", sizes(&sizes_mm.into()))
}

/// A row of what does not fit as it stands, for those who do not see which sides are marked.
pub fn stands_over(over: impl std::fmt::Display) -> String {
    format!("as it stands {over}")
}
