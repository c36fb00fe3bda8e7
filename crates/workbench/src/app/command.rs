//! The commands: one table with the words, the explanation and the keys of each.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::measuring::MeasureKind;
use super::state::{Line, State};
use crate::bench::StandardView;

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

const fn entry(command: Command, text: &'static str, tooltip: &'static str) -> Entry {
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
    entry(Command::Manual, "manual", "The job, the words, every command, and how to stay well").key(Key::F1),
    entry(Command::Commands, "commands", "Everything that can be done here, by name").key(Key::F3),
    entry(Command::NewProject, "new project", "Begin with an empty job card").ctrl(Key::N),
    entry(Command::Open, "open", "Open a project, or a model as a new project").ctrl(Key::O),
    entry(Command::SaveAs, "save as", "Save under another name").ctrl_shift(Key::S),
    entry(Command::Save, "save", "Save the project; the last good file is kept beside it").ctrl(Key::S),
    entry(Command::Redo, "redo", "Make the change again").ctrl_shift(Key::Z),
    entry(Command::Undo, "undo", "Take back the last change").ctrl(Key::Z),
    entry(Command::History, "history", "All changes since the project was opened; go back to any of them").key(Key::F2),
    entry(Command::StartSheet, "start sheet", "What was open lately, the demos, and a first job").key(Key::F4),
    entry(Command::FirstJob, "show me how", "A first job, step by step, on the demo helm"),
    entry(Command::OpenStock, "choose the model", "Choose the mesh file that this part is made from").alt(Key::O),
    entry(Command::CutOnSurface, "cut on the surface", "Click the model where a cut should go").key(Key::S),
    entry(
        Command::CutThroughPoints,
        "cut through points",
        "Pick three or more points, along a trim line for instance; the cut goes as near to all as a plane can",
    )
    .key(Key::P),
    entry(Command::CutByNumber, "cut by number", "Add a cut across the middle and type where it goes").key(Key::N),
    entry(
        Command::StepOff,
        "step off",
        "The fewest parallel cuts with which all parts of a long piece fit; looked at before they are made",
    )
    .key(Key::T),
    entry(Command::BoreThroughPoints, "bore through points", "Pick two points; a channel for a rod goes through both")
        .key(Key::R),
    entry(Command::RemoveBore, "remove bore", "Take the bore in hand away").with(Modifiers::SHIFT, Key::Delete),
    entry(
        Command::MeasureDistance,
        "size by two points",
        "Pick two points whose distance you know on the real thing; the model is enlarged to it",
    )
    .key(Key::D),
    entry(
        Command::Measure(MeasureKind::Distance),
        "measure a distance",
        "Pick two points: how far apart they are, and how far along each axis",
    )
    .key(Key::M),
    entry(
        Command::Measure(MeasureKind::Angle),
        "measure an angle",
        "Pick two faces: the angle between them, as a bevel gauge shows it",
    )
    .alt(Key::A),
    entry(
        Command::Measure(MeasureKind::Thickness),
        "measure a thickness",
        "Pick a place: how thick the material is there, square to the surface",
    )
    .alt(Key::W),
    entry(
        Command::Measure(MeasureKind::Girth),
        "measure a girth",
        "Pick a place: how far it is round the model there, along the surface and taut",
    )
    .alt(Key::G),
    entry(Command::StandOnFace, "stand on a face", "Click the face that the model is to stand on").key(Key::B),
    entry(Command::RemoveCut, "remove cut", "Take the cut in hand away").key(Key::Delete),
    entry(Command::SwitchCut, "switch cut on or off", "A cut that is off stays on the card and does nothing")
        .key(Key::O),
    entry(Command::CutEarlier, "cut earlier", "Make the cut in hand before the one above it").alt(Key::ArrowUp),
    entry(Command::CutLater, "cut later", "Make the cut in hand after the one below it").alt(Key::ArrowDown),
    entry(Command::LayDown, "lay down", "Lay down the cut in hand, leave a tool, close a list").key(Key::Escape),
    entry(Command::FrameAll, "look at everything", "Bring the whole model into the picture").key(Key::Home),
    entry(Command::FrameSelection, "look at the selection", "Bring what is selected into the picture").key(Key::L),
    entry(Command::LookFrom(StandardView::ThreeQuarter), "look from a corner", "Three-quarter view").alt(Key::Num7),
    entry(Command::LookFrom(StandardView::Front), "look from the front", "Front view").alt(Key::Num1),
    entry(Command::LookFrom(StandardView::Back), "look from the back", "Back view").alt(Key::Num2),
    entry(Command::LookFrom(StandardView::Left), "look from the left", "View from the left").alt(Key::Num3),
    entry(Command::LookFrom(StandardView::Right), "look from the right", "View from the right").alt(Key::Num4),
    entry(Command::LookFrom(StandardView::Top), "look from above", "View from above").alt(Key::Num5),
    entry(Command::LookFrom(StandardView::Bottom), "look from below", "View from below").alt(Key::Num6),
    entry(
        Command::CompareBefore,
        "compare with before",
        "While the key is held, the bench shows the pieces as they were before the last change",
    )
    .key(Key::W),
    entry(Command::SelectAll, "select all pieces", "All pieces of the ledger").ctrl(Key::A),
    entry(Command::HidePieces, "hide", "Put the selected pieces out of sight; the ledger still lists them").key(Key::H),
    entry(Command::IsolatePieces, "only these", "Put all pieces but the selected ones out of sight").key(Key::I),
    entry(Command::SeeThrough, "see through", "Make the selected pieces see-through, or solid again").key(Key::G),
    entry(Command::ShowAll, "show all", "Bring all pieces back into sight, solid").key(Key::A),
    entry(Command::Explode, "pull apart", "Pull the pieces apart, or put them together again").key(Key::E),
    entry(
        Command::Magnifier,
        "magnifier",
        "A magnified piece of the picture beside the pointer while points are picked or a cut is dragged: on or off",
    )
    .key(Key::Z),
    entry(Command::OpenLine(Line::Stock), "line 1: stock", "Open the line of the stock").key(Key::Num1),
    entry(Command::OpenLine(Line::Size), "line 2: size", "Open the line of the size").key(Key::Num2),
    entry(Command::OpenLine(Line::Shells), "line 3: shells", "Open the line of the shells").key(Key::Num3),
    entry(Command::OpenLine(Line::Bores), "line 4: bores", "Open the line of the bores").key(Key::Num4),
    entry(Command::OpenLine(Line::Cuts), "line 5: cuts", "Open the line of the cuts").key(Key::Num5),
    entry(Command::OpenLine(Line::Lays), "line 7: lays and bed", "Open the line of the bed").key(Key::Num7),
    entry(Command::OpenLine(Line::Kit), "line 8: kit", "Open the line of the kit").key(Key::Num8),
    entry(Command::WriteKit, "write the kit", "Write the pieces and the list into a folder").ctrl(Key::K),
    entry(Command::CancelWork, "stop the work", "Stop what is being worked out; what was ready stays")
        .ctrl(Key::Period),
    entry(Command::OtherLight, "light or dark", "Light paper or dark").key(Key::F9),
    entry(Command::Quit, "close", "Close the window").ctrl(Key::Q),
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
            Some(keys) => format!("{tooltip}  ({})", ctx.format_shortcut(keys)),
            None => (*tooltip).to_owned(),
        }
    }

    /// Whether it would do anything now.
    pub fn is_possible(self, state: &State) -> bool {
        let recipe = state.document.recipe();
        let place_of_cut = state.cut_in_hand().and_then(|id| recipe.cuts.iter().position(|cut| cut.id == id));
        match self {
            Command::Undo => state.document.history().undo_title().is_some(),
            Command::Redo => state.document.history().redo_title().is_some(),
            Command::CutOnSurface
            | Command::CutThroughPoints
            | Command::BoreThroughPoints
            | Command::MeasureDistance
            | Command::Measure(_)
            | Command::StandOnFace => state.part_bounds().is_some(),
            Command::StepOff => !state.pieces().is_empty(),
            Command::RemoveBore => state.held_bore().is_some(),
            Command::RemoveCut | Command::SwitchCut => place_of_cut.is_some(),
            Command::CutEarlier => place_of_cut.is_some_and(|at| at > 0),
            Command::CutLater => place_of_cut.is_some_and(|at| at + 1 < recipe.cuts.len()),
            Command::FrameAll => state.part_bounds().is_some(),
            Command::CompareBefore => state.document.history().undo_title().is_some(),
            Command::SelectAll => !state.pieces().is_empty(),
            Command::HidePieces | Command::IsolatePieces | Command::SeeThrough => {
                state.selected_pieces().next().is_some()
            }
            Command::ShowAll => !state.shows_all(),
            Command::FrameSelection => state.selected_piece.is_some() || place_of_cut.is_some(),
            Command::Explode => state.pieces().len() > 1,
            Command::WriteKit => !state.pieces().is_empty() && !state.is_out_of_date(),
            Command::CancelWork => state.work.is_some(),
            _ => true,
        }
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
}
