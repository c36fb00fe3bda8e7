//! The commands: one table with the words, the explanation and the keys of each. The words are in `text::commands`.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::measuring::MeasureKind;
use super::state::{Line, State};
use crate::bench::StandardView;
use crate::text::commands as words;

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

/// What is said of a command.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// The command.
    pub command: Command,
    /// Its words.
    pub text: &'static str,
    /// What it does, for the tooltip.
    pub tooltip: &'static str,
    /// Its keys.
    pub shortcut: Option<KeyboardShortcut>,
}

const fn entry(command: Command, (text, tooltip): words::Words) -> Entry {
    Entry { command, text, tooltip, shortcut: None }
}

impl Entry {
    const fn key(self, key: Key) -> Entry {
        self.with(Modifiers::NONE, key)
    }

    const fn ctrl(self, key: Key) -> Entry {
        self.with(Modifiers::COMMAND, key)
    }

    const fn ctrl_shift(self, key: Key) -> Entry {
        self.with(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
    }

    const fn alt(self, key: Key) -> Entry {
        self.with(Modifiers::ALT, key)
    }

    const fn with(self, modifiers: Modifiers, key: Key) -> Entry {
        Entry { shortcut: Some(KeyboardShortcut::new(modifiers, key)), ..self }
    }
}

/// Every command. Where two share a key with different modifiers, the one with more of them comes first.
pub const COMMANDS: &[Entry] = &[
    entry(Command::Manual, words::MANUAL).key(Key::F1),
    entry(Command::Commands, words::COMMANDS).key(Key::F3),
    entry(Command::AtHand, words::AT_HAND).with(Modifiers::SHIFT, Key::F10),
    entry(Command::NewProject, words::NEW_PROJECT).ctrl(Key::N),
    entry(Command::Open, words::OPEN).ctrl(Key::O),
    entry(Command::SaveAs, words::SAVE_AS).ctrl_shift(Key::S),
    entry(Command::Save, words::SAVE).ctrl(Key::S),
    entry(Command::Redo, words::REDO).ctrl_shift(Key::Z),
    entry(Command::Undo, words::UNDO).ctrl(Key::Z),
    entry(Command::History, words::HISTORY).key(Key::F2),
    entry(Command::StartSheet, words::START_SHEET).key(Key::F4),
    entry(Command::FirstJob, words::FIRST_JOB),
    entry(Command::OpenStock, words::OPEN_STOCK).alt(Key::O),
    entry(Command::CutOnSurface, words::CUT_ON_SURFACE).key(Key::S),
    entry(Command::CutThroughPoints, words::CUT_THROUGH_POINTS).key(Key::P),
    entry(Command::CutByNumber, words::CUT_BY_NUMBER).key(Key::N),
    entry(Command::StepOff, words::STEP_OFF).key(Key::T),
    entry(Command::BoreThroughPoints, words::BORE_THROUGH_POINTS).key(Key::R),
    entry(Command::RemoveBore, words::REMOVE_BORE).with(Modifiers::SHIFT, Key::Delete),
    entry(Command::MeasureDistance, words::MEASURE_DISTANCE).key(Key::D),
    entry(Command::Measure(MeasureKind::Distance), words::DISTANCE).key(Key::M),
    entry(Command::Measure(MeasureKind::Angle), words::ANGLE).alt(Key::A),
    entry(Command::Measure(MeasureKind::Thickness), words::THICKNESS).alt(Key::W),
    entry(Command::Measure(MeasureKind::Girth), words::GIRTH).alt(Key::G),
    entry(Command::StandOnFace, words::STAND_ON_FACE).key(Key::B),
    entry(Command::RemoveCut, words::REMOVE_CUT).key(Key::Delete),
    entry(Command::SwitchCut, words::SWITCH_CUT).key(Key::O),
    entry(Command::CutEarlier, words::CUT_EARLIER).alt(Key::ArrowUp),
    entry(Command::CutLater, words::CUT_LATER).alt(Key::ArrowDown),
    entry(Command::LayDown, words::LAY_DOWN).key(Key::Escape),
    entry(Command::FrameAll, words::FRAME_ALL).key(Key::Home),
    entry(Command::FrameSelection, words::FRAME_SELECTION).key(Key::L),
    entry(Command::LookFrom(StandardView::ThreeQuarter), words::LOOK_FROM_THREE_QUARTER).alt(Key::Num7),
    entry(Command::LookFrom(StandardView::Front), words::LOOK_FROM_FRONT).alt(Key::Num1),
    entry(Command::LookFrom(StandardView::Back), words::LOOK_FROM_BACK).alt(Key::Num2),
    entry(Command::LookFrom(StandardView::Left), words::LOOK_FROM_LEFT).alt(Key::Num3),
    entry(Command::LookFrom(StandardView::Right), words::LOOK_FROM_RIGHT).alt(Key::Num4),
    entry(Command::LookFrom(StandardView::Top), words::LOOK_FROM_TOP).alt(Key::Num5),
    entry(Command::LookFrom(StandardView::Bottom), words::LOOK_FROM_BOTTOM).alt(Key::Num6),
    entry(Command::CompareBefore, words::COMPARE_BEFORE).key(Key::W),
    entry(Command::SelectAll, words::SELECT_ALL).ctrl(Key::A),
    entry(Command::HidePieces, words::HIDE_PIECES).key(Key::H),
    entry(Command::IsolatePieces, words::ISOLATE_PIECES).key(Key::I),
    entry(Command::SeeThrough, words::SEE_THROUGH).key(Key::G),
    entry(Command::ShowAll, words::SHOW_ALL).key(Key::A),
    entry(Command::Explode, words::EXPLODE).key(Key::E),
    entry(Command::Magnifier, words::MAGNIFIER).key(Key::Z),
    entry(Command::OpenLine(Line::Stock), words::LINE_STOCK).key(Key::Num1),
    entry(Command::OpenLine(Line::Size), words::LINE_SIZE).key(Key::Num2),
    entry(Command::OpenLine(Line::Shells), words::LINE_SHELLS).key(Key::Num3),
    entry(Command::OpenLine(Line::Bores), words::LINE_BORES).key(Key::Num4),
    entry(Command::OpenLine(Line::Cuts), words::LINE_CUTS).key(Key::Num5),
    entry(Command::OpenLine(Line::Lays), words::LINE_LAYS).key(Key::Num7),
    entry(Command::OpenLine(Line::Kit), words::LINE_KIT).key(Key::Num8),
    entry(Command::WriteKit, words::WRITE_KIT).ctrl(Key::K),
    entry(Command::CancelWork, words::CANCEL_WORK).ctrl(Key::Period),
    entry(Command::OtherLight, words::OTHER_LIGHT).key(Key::F9),
    entry(Command::LargerText, words::LARGER_TEXT).ctrl(Key::Plus),
    entry(Command::SmallerText, words::SMALLER_TEXT).ctrl(Key::Minus),
    entry(Command::UsualText, words::USUAL_TEXT).ctrl(Key::Num0),
    entry(Command::LessMotion, words::LESS_MOTION),
    entry(Command::FrameTimes, words::FRAME_TIMES).key(Key::F10),
    entry(Command::Quit, words::QUIT).ctrl(Key::Q),
];

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

/// The commands whose keys were pressed in this frame, in the order of pressing; keys without a modifier are left to a text that is being typed.
pub fn pressed(ctx: &egui::Context) -> Vec<Command> {
    let typing = ctx.text_edit_focused();
    let key_of = |event: &egui::Event| match event {
        egui::Event::Key { key, pressed: true, .. } => Some(*key),
        _ => None,
    };
    let struck: Vec<Key> = ctx.input(|i| i.events.iter().filter_map(key_of).collect());
    let mut pressed: Vec<(Command, KeyboardShortcut)> = COMMANDS
        .iter()
        .filter_map(|e| Some((e.command, e.shortcut?)))
        .filter(|(_, keys)| !typing || keys.modifiers.command || is_function_key(keys.logical_key))
        // While typing, Ctrl+Z and Ctrl+A belong to the text.
        .filter(|(command, _)| !(typing && matches!(command, Command::Undo | Command::Redo | Command::SelectAll)))
        .filter(|(_, keys)| ctx.input_mut(|i| consume(i, keys)))
        .collect();
    // Keyboards that have a key for it have no sign for it that could be written in a list.
    if !typing && ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Menu)) {
        pressed.push((Command::AtHand, KeyboardShortcut::new(Modifiers::NONE, Key::Menu)));
    }
    // Where a frame takes long, several come in one: undone and then saved is not saved and then undone.
    pressed.sort_by_key(|(_, keys)| struck.iter().position(|key| *key == keys.logical_key));
    pressed.into_iter().map(|(command, _)| command).collect()
}

/// Like `consume_shortcut`, and for keys without a modifier strict about there being none.
fn consume(input: &mut egui::InputState, keys: &KeyboardShortcut) -> bool {
    if keys.modifiers.is_none() && input.modifiers.any() {
        return false;
    }
    input.consume_shortcut(keys)
}

fn is_function_key(key: Key) -> bool {
    matches!(key, Key::F1 | Key::F2 | Key::F3 | Key::F4 | Key::F9)
}

#[cfg(test)]
mod tests {
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
            let mut output = egui::Context::default().run_ui(input, |ui| got.extend(pressed(ui.ctx())));
            // Of a window that is not there.
            output.textures_delta.clear();
            assert_eq!(got, expected);
        }
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
