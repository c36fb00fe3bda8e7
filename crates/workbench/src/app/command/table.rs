//! Every command with its words and its keys.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::Command;
use crate::app::measuring::MeasureKind;
use crate::app::state::Line;
use crate::bench::StandardView;
use crate::text::commands as words;

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
