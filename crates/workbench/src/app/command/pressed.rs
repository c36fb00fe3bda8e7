//! The keys of a frame.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::{COMMANDS, Command};

/// The commands whose keys were pressed in this frame, in the order of pressing; keys without a modifier are left to a text that
/// is being typed. `was_typing` tells that one was when the frame began: where a frame takes long, a number and the Enter
/// that ends it come in one, and its digits are no commands.
pub fn pressed(ctx: &egui::Context, was_typing: bool) -> Vec<Command> {
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
        .filter(|(_, keys)| !was_typing || !writes(keys))
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

/// Whether the keys write a letter or a digit into a text.
fn writes(keys: &KeyboardShortcut) -> bool {
    let plain = !keys.modifiers.command && !keys.modifiers.ctrl && !keys.modifiers.alt;
    plain && keys.logical_key.name().chars().count() == 1
}

fn is_function_key(key: Key) -> bool {
    matches!(key, Key::F1 | Key::F2 | Key::F3 | Key::F4 | Key::F9)
}
