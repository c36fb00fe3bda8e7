//! Line 4: bores and the rods that they take.

use std::fmt::Display;

use super::numbers::{count, entry, mm};

pub const NONE_YET: &str =
    "A bore is a channel for a rod. It is made before the cuts, and so lines up through every piece.";
/// What a rod in a prop asks for.
pub const CAUTION: &str = "A rod makes a prop heavier and harder. It is not protective equipment and no real weapon: follow \
                           your venue's weapon policy and local codes; where they differ from this text, they decide.";
pub const ADD_ALONG: &str = "Add a bore along";
pub const ALONG_HINT: &str = "Through the middle of the model's box, from side to side";
pub const THE_MIDDLE: &str = "the middle";
pub const THE_MIDDLE_HINT: &str = "Along the middle of the material, from end to end of its longest side";
pub const TWO_POINTS: &str = "two points";
pub const CLICK_IN: &str = "Click the model where the rod goes in.";
pub const CLICK_OUT: &str = "Click where it should come out; a click on the point takes it back.";
pub const ON_OFF: &str = "On: it is bored. Off: it stays here and does nothing";
pub const IS_NOT_BORED: &str = "not bored";
pub const MAY_CROSS: &str = "may cross other bores";
pub const MAY_CROSS_HINT: &str = "Two rods cannot be in one place: bores that cross are refused otherwise";
pub const WALL_FROM: &str = "wall from";
pub const WALL_FROM_HINT: &str = "A wall around the rod that is thinner than this is told, mm";
pub const WORKING_OUT_WALL: &str = "working out the wall around it…";
pub const NO_MATERIAL: &str = "It goes through no material here.";
pub const ONLY_MOUTHS: &str = "What it goes through is so thin that its mouths take all of it: no wall lies beside it.";
pub const SHOW_LEAST_HINT: &str = "Look at the place where the wall is thinnest";
pub const CENTRE: &str = "centre it";
pub const CENTRE_HINT: &str = "Move it to where its least wall is greatest";
pub const CENTRED: &str = "centred";
pub const BREAKS_THROUGH: &str = "breaks through";
pub const CHANGED_MEANWHILE: &str = "The bore was changed meanwhile: ask for it again";

/// The name of the button for an axis.
pub fn along(axis: &str) -> String {
    format!("bore along {axis}")
}

/// How wide the channel is, and why.
pub fn bored_wide(wide_mm: f64, measured_mm: f64, source: impl Display) -> String {
    format!("bored {} mm wide: {} mm by {source}", entry(wide_mm), entry(measured_mm))
}

/// It could not be made.
pub fn not_bored(why: &str) -> String {
    format!("Not bored: {why}")
}

/// The least wall around it, and what to think of that.
pub fn least_wall_is(wall_mm: f64, tone: &str) -> String {
    format!("least wall {} mm: {tone}", mm(wall_mm))
}

/// The same beside the handle.
pub fn least_wall(wall_mm: f64) -> String {
    format!("least wall {} mm", mm(wall_mm))
}

/// It comes out where it should not.
pub fn breaks_through_at(along_mm: f64) -> String {
    format!("It breaks through the surface {} mm along its line.", mm(along_mm))
}

/// Walls thinner than asked for.
pub fn thin_stretches(n: usize, first_mm: f64) -> String {
    let stretches = count(n, "stretch is", "stretches are");
    format!("{stretches} thinner than asked for, first {} mm along", mm(first_mm))
}

/// What centring gained.
pub fn gained(after_mm: f64, before_mm: f64) -> String {
    format!("least wall {} mm, was {}", mm(after_mm), mm(before_mm))
}

/// A piece and the stretch of the bore within it: `A2 0.0–120.5`.
pub fn piece_stretch(mark: &str, from_mm: f64, to_mm: f64) -> String {
    format!("{mark} {}–{}", mm(from_mm), mm(to_mm))
}

/// The pieces that it goes through.
pub fn through(stretches: &[String]) -> String {
    format!("through {} mm along its line", stretches.join(", "))
}

/// What to saw: `rod run 2: saw 320.0 mm of M6, 71 g`.
pub fn saw(bore: &str, run: Option<usize>, length_mm: f64, rod: impl Display, mass_g: Option<f64>) -> String {
    let run = run.map_or_else(String::new, |run| format!(" run {run}"));
    let mass = mass_g.map_or_else(String::new, |g| format!(", {g:.0} g"));
    format!("{bore}{run}: saw {} mm of {rod}{mass}", mm(length_mm))
}

/// How far a rod bends, as far as that is known; `None` where nothing is. `loaded` is with the pieces on it, and what they
/// weigh, g.
pub fn droops(own_weight_mm: Option<f64>, per_newton_mm: Option<f64>, loaded: Option<(f64, f64)>) -> Option<String> {
    let own = own_weight_mm.map(|own| format!("{} mm by its weight", mm(own)));
    let newton = per_newton_mm.map(|newton| format!("{} mm per newton at its tip", mm(newton)));
    let loaded = loaded.map(|(loaded, g)| format!("{} mm with the pieces on it printed solid, {g:.0} g", mm(loaded)));
    let told: Vec<String> = [own, newton, loaded].into_iter().flatten().collect();
    (!told.is_empty()).then(|| format!("held at one end, this rod alone droops {}: an estimate", told.join(", ")))
}

/// It bends farther than the estimate reaches.
pub const TOO_SOFT: &str =
    "too soft: with the pieces on it printed solid it droops by more than a tenth of its length. Take a thicker rod";

/// The bars to buy.
pub fn buy(bars_mm: impl Iterator<Item = f64>, rod: impl Display, left_mm: f64) -> String {
    let bars: Vec<String> = bars_mm.map(|mm| format!("{} mm", entry(mm))).collect();
    format!("buy {} of {rod}; {} mm are left over", bars.join(", "), mm(left_mm))
}

/// They cannot be bought.
pub fn no_bars(rod: impl Display, why: impl Display) -> String {
    format!("{rod}: {why}")
}

/// The wall around a channel, from thick to none.
pub mod walls {
    pub const AMPLE: &str = "ample";
    pub const ENOUGH: &str = "enough";
    pub const TOO_THIN: &str = "too thin";
    pub const NONE: &str = "no wall";
}
