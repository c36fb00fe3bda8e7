//! What the card of a first job says.

use super::common::{all_fit, pieces};
use crate::app::first_job::JobStep;

pub const PUT_AWAY: &str = "put the card away";
pub const GO_ON: &str = "go on";
pub const GO_ON_HINT: &str = "The next step, whether this one is done or not";
pub const BACK: &str = "back";
pub const BACK_HINT: &str = "The step before";
pub const STEP_DONE: &str = "Done. Go on when you like.";
pub const LEAVE: &str = "leave the first job";
pub const LEAVE_HINT: &str = "What you have done stays";

/// `3 of 7`: how far it is.
pub fn so_far(at: usize, all: usize) -> String {
    format!("{at} of {all}")
}

/// What the words depend on.
#[derive(Clone, Debug)]
pub struct AsItIs<'a> {
    /// A model is open.
    pub has_model: bool,
    /// The marks of the pieces that no bed takes.
    pub too_big: Vec<&'a str>,
    /// How many pieces there are.
    pub pieces: usize,
}

/// What is said of a step.
#[derive(Clone, Debug)]
pub struct StepWords {
    /// What it is about.
    pub title: &'static str,
    /// What to do, and why.
    pub text: String,
    /// The same by keyboard, where that differs.
    pub keys: &'static str,
}

/// What is said of a step as things are now.
pub fn step(step: JobStep, now: &AsItIs<'_>) -> StepWords {
    let say = |title, text: &str, keys| StepWords { title, text: text.to_owned(), keys };
    match step {
        JobStep::Open if !now.has_model => say(
            "Bring in a model",
            "The demo helm was not found beside the program. Choose a model of your own, or drop one on the window.",
            "Alt+O chooses a model.",
        ),
        JobStep::Open => say("Bring in a model", "The helm is being read and cut where cuts are placed already.", ""),
        JobStep::Look => say(
            "Look at it",
            "Drag on the bench to turn the helm, roll the wheel to come nearer. Colour and hatch of a piece say how it \
             fits the bed.",
            "Alt+1 to Alt+7 look from known sides; Home shows all.",
        ),
        JobStep::Bed => say(
            "Set your bed",
            "Open line 7 of the job card: it holds the size of your printer's bed. Type yours, or leave it if it is right.",
            "7 opens the line, Tab goes from number to number.",
        ),
        JobStep::Cut => say("Place a cut", &cut(now), "N adds a cut by number; choose its axis and type its offset."),
        JobStep::Verdicts => say(
            "Read the verdicts",
            &format!(
                "The ledger at the foot has a row for each piece: {}. Choose a row, and its piece lights up.",
                fit(now)
            ),
            "Tab goes through the window; Space or Enter chooses.",
        ),
        JobStep::Apart => say(
            "Pull it apart",
            "The slider at the lower right of the bench pulls the pieces apart along their seams, each with its mark.",
            "E pulls apart and puts together.",
        ),
        JobStep::Kit => say(
            "Write the kit",
            "Line 8 writes the pieces, lying as they print, and a list of where every one belongs. Choose a folder of \
             its own for it.",
            "Ctrl+K writes the kit.",
        ),
        JobStep::Done => say(
            "That was a first job",
            "Pieces and list are written. From here: your own model, your own bed. A cut that is moved later changes only \
             the pieces it touches, and undo takes back everything. The kit holds pieces, not cuts: save the project to go \
             on with it another day.",
            "Ctrl+S saves the project.",
        ),
    }
}

fn cut(now: &AsItIs<'_>) -> String {
    let how = "Press S, then click on the crown, about the middle. This first cut parts only the piece that you click; \
               others cross all that they meet, unless their card says otherwise. Then drag the arrow: both sides say \
               how they would fit, and letting go makes the cut.";
    match now.too_big.as_slice() {
        [] => format!("All pieces fit already; one more cut shows how it goes. {how}"),
        [one] => format!("{one} is still too big for the bed. {how}"),
        more => format!("{} are still too big for the bed. {how}", pieces(more.len())),
    }
}

fn fit(now: &AsItIs<'_>) -> String {
    let (fit, all) = (now.pieces - now.too_big.len(), now.pieces);
    if fit == all {
        all_fit(all)
    } else {
        format!("{fit} of {all} fit, and of the others it says by how much they are too big")
    }
}
