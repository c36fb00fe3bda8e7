//! What the card of a first job says, in one place.

use crate::app::first_job::JobStep;
use crate::app::state::State;
use crate::app::words;

/// What is said of a step.
pub struct StepWords {
    /// What it is about.
    pub title: &'static str,
    /// What to do, and why.
    pub text: String,
    /// The same by keyboard, where that differs.
    pub keys: &'static str,
}

/// What is said of a step as things are now.
pub fn words_of(step: JobStep, state: &State) -> StepWords {
    let say = |title, text: &str, keys| StepWords { title, text: text.to_owned(), keys };
    match step {
        JobStep::Open if state.recipe().stock.is_none() => say(
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
            "Line 7 of the job card holds the size of your printer's bed. Type yours, or leave it if it is right, and go \
             on to another line.",
            "7 opens the line, 5 goes on to the cuts.",
        ),
        JobStep::Cut => {
            say("Place a cut", &cut_words(state), "N adds a cut by number; choose its axis and type its offset.")
        }
        JobStep::Verdicts => say(
            "Read the verdicts",
            &format!(
                "The ledger at the foot has a row for each piece: {}. Choose a row, and its piece lights up.",
                fit_words(state)
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
             the pieces it touches, and undo takes back everything.",
            "",
        ),
    }
}

fn cut_words(state: &State) -> String {
    let too_big: Vec<&str> =
        state.pieces().iter().filter(|piece| !piece.fit.verdict.fits()).map(|piece| piece.mark.as_str()).collect();
    let how = "Press S, then click on top of the model, about the middle. Then drag the arrow: both sides say how they \
               would fit, and letting go makes the cut.";
    match too_big.as_slice() {
        [] => format!("All pieces fit already; one more cut shows how it goes. {how}"),
        [one] => format!("{one} is still too big for the bed. {how}"),
        more => format!("{} are still too big for the bed. {how}", words::count(more.len(), "piece", "pieces")),
    }
}

fn fit_words(state: &State) -> String {
    let fits = state.pieces().iter().filter(|piece| piece.fit.verdict.fits()).count();
    match (fits, state.pieces().len()) {
        (fits, all) if fits == all => format!("all {all} fit"),
        (fits, all) => format!("{fits} of {all} fit, and of the others it says by how much they are too big"),
    }
}
