//! What a cut is made along.

pub const FORM: &str = "form";
pub const FORM_HINT: &str = "What the cut is made along";
pub const KERF: &str = "kerf";
pub const KERF_HINT: &str = super::terms::KERF.means;
pub const ENDS_AT: &str = "ends at";
pub const ENDS_AT_HINT: &str = "How far from the cut's place its end lies, mm";
pub const TURNED: &str = "turned";
pub const ENDING_TURNED_HINT: &str = "180° cuts on the other side of the end";
pub const PROFILE_TURNED_HINT: &str = "Turns the line about the cut's normal";
pub const RISE: &str = "rise";
pub const RISE_HINT: &str = "Height of the step, mm; negative for a step down";
pub const FLANKS: &str = "flanks";
pub const FLANKS_HINT: &str = "How far the flanks lean out from upright";
pub const SMOOTH: &str = "smooth";
pub const SMOOTH_HINT: &str = "A curve through the points";
pub const PITCH_HINT: &str = "Length of one, mm";
pub const HEIGHT_HINT: &str = "From the lowest to the highest point, mm";
pub const HOW_MANY: &str = "how many";
pub const HOW_MANY_HINT: &str = "Beyond them the cut goes on straight";

/// How many points a drawn line has.
pub fn points(n: usize) -> String {
    format!("{n} points")
}

/// Each form, and what it is good for.
pub mod forms {
    pub const FLAT: &str = "flat";
    pub const ENDING: &str = "ends at a line";
    pub const STEP: &str = "step";
    pub const ZIGZAG: &str = "zigzag";
    pub const WAVE: &str = "wave";
    pub const DOVETAIL: &str = "dovetail";
    pub const DRAWN: &str = "drawn line";
    pub const FLAT_HINT: &str = "All of the plane";
    pub const ENDING_HINT: &str = "The plane up to a line; what lies beyond the line stays whole";
    pub const STEP_HINT: &str = "One step: the two sides find their place against it";
    pub const ZIGZAG_HINT: &str = "Teeth with straight flanks: more to glue, and nothing slides";
    pub const WAVE_HINT: &str = "A wave: as teeth, with no sharp corners";
    pub const DOVETAIL_HINT: &str = "Tongues wider at their end: the two sides slide into each other and hold";
}
