//! The commands: one table with the words, the explanation and the keys of each. The words are in `text::commands`.

mod pressed;
mod table;

use super::measuring::MeasureKind;
use super::state::{Line, State};
use crate::bench::StandardView;
use crate::text::commands as words;
pub use pressed::pressed;
pub use table::{COMMANDS, Entry};

/// Something that can be asked for by a button, by its keys, or by name from the list of commands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Command {
    /// Begins an empty project.
    NewProject,
    /// Opens a project or a model.
    Open,
    /// Saves.
    Save,
    /// Saves under another name.
    SaveAs,
    /// Takes back the last edit.
    Undo,
    /// Makes it again.
    Redo,
    /// Shows all steps.
    History,
    /// Shows all commands.
    Commands,
    /// Shows what can be done with what is selected or in hand.
    AtHand,
    /// Shows the manual.
    Manual,
    /// Shows the start sheet.
    StartSheet,
    /// Begins a first job.
    FirstJob,
    /// Chooses the model file of this project.
    OpenStock,
    /// The next click on the surface places a cut.
    CutOnSurface,
    /// Clicks on the surface pick points for a cut.
    CutThroughPoints,
    /// Adds a cut across the middle, to be placed by number.
    CutByNumber,
    /// Steps a long piece off.
    StepOff,
    /// Clicks on the surface pick two points that a bore goes through.
    BoreThroughPoints,
    /// Removes the bore in hand.
    RemoveBore,
    /// Clicks on the surface pick two points whose true distance is known.
    MeasureDistance,
    /// Clicks on the surface measure something.
    Measure(MeasureKind),
    /// The next click picks the face that the model stands on.
    StandOnFace,
    /// Removes the cut in hand.
    RemoveCut,
    /// Switches the cut in hand on or off.
    SwitchCut,
    /// Makes the cut in hand earlier.
    CutEarlier,
    /// Makes the cut in hand later.
    CutLater,
    /// Lays the cut down, leaves a tool, closes a list.
    LayDown,
    /// Looks at everything.
    FrameAll,
    /// Looks at what is selected.
    FrameSelection,
    /// Looks from a known side.
    LookFrom(StandardView),
    /// Shows the pieces as they were before the last change.
    CompareBefore,
    /// Selects all pieces.
    SelectAll,
    /// Puts the selected pieces out of sight.
    HidePieces,
    /// Puts all other pieces out of sight.
    IsolatePieces,
    /// Makes the selected pieces see-through, or solid again.
    SeeThrough,
    /// Brings everything back into sight.
    ShowAll,
    /// Pulls the pieces apart, or puts them together.
    Explode,
    /// Shows a magnified piece of the picture beside the pointer, or does not.
    Magnifier,
    /// Opens a line of the job card.
    OpenLine(Line),
    /// Writes the kit.
    WriteKit,
    /// Stops the work that is going on.
    CancelWork,
    /// Light paper or dark.
    OtherLight,
    /// Larger writing, and all that goes with it.
    LargerText,
    /// Smaller writing.
    SmallerText,
    /// Writing as large as at first.
    UsualText,
    /// Nothing glides, or everything does.
    LessMotion,
    /// Shows how long frames take, or does not.
    FrameTimes,
    /// Closes the window.
    Quit,
}

impl Command {
    /// What is said of it.
    pub fn entry(self) -> &'static Entry {
        // `COMMANDS` names every command: a test goes through them.
        COMMANDS.iter().find(|e| e.command == self).unwrap_or(&COMMANDS[0])
    }

    /// Its words.
    pub fn text(self) -> &'static str {
        self.entry().text
    }

    /// Its explanation with its keys.
    pub fn tooltip(self, ctx: &egui::Context) -> String {
        let Entry { tooltip, shortcut, .. } = self.entry();
        match shortcut {
            Some(keys) => words::with_keys(tooltip, &ctx.format_shortcut(keys)),
            None => (*tooltip).to_owned(),
        }
    }

    /// Whether it would do anything now.
    pub fn is_possible(self, state: &State) -> bool {
        self.why_not(state).is_none()
    }

    /// Why it would do nothing now, in words; `None` where it would do something.
    pub fn why_not(self, state: &State) -> Option<&'static str> {
        let recipe = state.document.recipe();
        let place_of_cut = state.cut_in_hand().and_then(|id| recipe.cuts.iter().position(|cut| cut.id == id));
        let unless = |possible: bool, why: &'static str| (!possible).then_some(why);
        match self {
            Command::Undo => unless(state.document.history().undo_title().is_some(), words::NO_CHANGE),
            Command::Redo => unless(state.document.history().redo_title().is_some(), words::NOTHING_UNDONE),
            Command::CutOnSurface
            | Command::CutThroughPoints
            | Command::BoreThroughPoints
            | Command::MeasureDistance
            | Command::Measure(_)
            | Command::FrameAll
            | Command::StandOnFace => unless(state.part_bounds().is_some(), words::NO_MODEL),
            Command::StepOff | Command::SelectAll => unless(!state.pieces().is_empty(), words::NO_PIECES),
            Command::RemoveBore => unless(state.held_bore().is_some(), words::NO_BORE),
            Command::RemoveCut | Command::SwitchCut => unless(place_of_cut.is_some(), words::NO_CUT),
            Command::CutEarlier | Command::CutLater if place_of_cut.is_none() => Some(words::NO_CUT),
            Command::CutEarlier => unless(place_of_cut != Some(0), words::FIRST_ALREADY),
            Command::CutLater => unless(place_of_cut.map(|at| at + 1) != Some(recipe.cuts.len()), words::LAST_ALREADY),
            Command::CompareBefore => unless(state.document.history().undo_title().is_some(), words::NO_CHANGE),
            Command::HidePieces | Command::IsolatePieces | Command::SeeThrough => {
                unless(state.selected_pieces().next().is_some(), words::NOTHING_SELECTED)
            }
            Command::ShowAll => unless(!state.shows_all(), words::ALL_SHOWN),
            Command::FrameSelection => {
                unless(state.selected_piece.is_some() || place_of_cut.is_some(), words::NOTHING_SELECTED)
            }
            Command::Explode => unless(state.pieces().len() > 1, words::ONE_PIECE),
            Command::WriteKit if state.pieces().is_empty() => Some(words::NO_PIECES),
            Command::WriteKit => unless(!state.is_out_of_date(), words::NOT_READY),
            Command::CancelWork => unless(state.work.is_some() || state.advice.sought.is_some(), words::NO_WORK),
            _ => None,
        }
    }

    /// Other words by which it is found.
    pub fn also(self) -> &'static str {
        let text = self.text();
        words::ALSO.iter().find(|(of, _)| *of == text).map_or("", |(_, also)| also)
    }
}

#[cfg(test)]
mod tests {
    use egui::{Key, Modifiers};

    use super::*;

    #[test]
    fn keys_of_one_frame_are_taken_in_the_order_of_pressing() {
        let strike = |key| egui::Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::CTRL | Modifiers::COMMAND,
        };
        for (keys, expected) in
            [([Key::Z, Key::S], [Command::Undo, Command::Save]), ([Key::S, Key::Z], [Command::Save, Command::Undo])]
        {
            let input = egui::RawInput { events: keys.map(strike).to_vec(), ..Default::default() };
            let mut got = Vec::new();
            let mut output = egui::Context::default().run_ui(input, |ui| got.extend(pressed(ui.ctx(), false)));
            // Of a window that is not there.
            output.textures_delta.clear();
            assert_eq!(got, expected);
        }
    }

    #[test]
    fn what_was_typed_in_the_frame_that_ends_it_is_no_command() {
        let strike = |key| egui::Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::NONE,
        };
        let got = |was_typing: bool, keys: [Key; 2]| {
            let input = egui::RawInput { events: keys.map(strike).to_vec(), ..Default::default() };
            let mut got = Vec::new();
            let mut output = egui::Context::default().run_ui(input, |ui| got.extend(pressed(ui.ctx(), was_typing)));
            output.textures_delta.clear();
            got
        };
        assert_eq!(got(false, [Key::Num3, Key::Enter]), [Command::OpenLine(Line::Shells)]);
        assert_eq!(got(true, [Key::Num3, Key::Enter]), []);
        assert_eq!(got(true, [Key::S, Key::F2]), [Command::History], "keys that write nothing are commands still");
    }

    #[test]
    fn every_command_is_in_the_table_once_and_no_two_share_their_keys() {
        let mut commands = std::collections::HashSet::new();
        let mut keys = std::collections::HashSet::new();
        for entry in COMMANDS {
            assert!(commands.insert(entry.command), "{} is there twice", entry.text);
            assert_eq!(entry.command.entry().text, entry.text);
            if let Some(shortcut) = entry.shortcut {
                assert!(keys.insert(shortcut), "{} shares its keys", entry.text);
            }
        }
    }

    #[test]
    fn other_words_are_those_of_commands_that_are_there() {
        for (of, _) in words::ALSO {
            assert!(COMMANDS.iter().any(|entry| entry.text == *of), "{of} is no command");
        }
        assert!(Command::SeeThrough.also().contains("glass") && Command::LayDown.also().contains("cancel"));
    }
}
