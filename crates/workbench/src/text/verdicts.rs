//! The verdicts of fit.

use seamwright_geometry::Verdict;

pub const AS_IT_STANDS: &str = "fits as it stands";
pub const TURNED: &str = "fits turned";
pub const TILTED: &str = "fits tilted";
pub const TOO_BIG: &str = "too big";
pub const UNDECIDED: &str = "undecided";
/// Instead of a verdict, of what is so little that nobody meant it.
pub const CRUMB: &str = "crumb";
pub const CRUMB_MEANS: &str = "A crumb: so little that nobody means it, left where a cut only just grazes the surface. The \
                               notes say how to leave it out";

/// What a verdict means, in a sentence.
pub fn means(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::AsItStands => "Fits as it stands: it goes onto the bed in the pose that it has in the model",
        Verdict::Turned => "Fits turned: it goes onto the bed once it is turned about the vertical",
        Verdict::Tilted => "Fits tilted: it goes onto the bed only when it is tilted, and may want supports",
        Verdict::TooBig => "Too big: no pose was found in which it goes onto the bed",
        Verdict::Undecided => "Undecided: it is not known whether a pose is left in which it fits",
    }
}
