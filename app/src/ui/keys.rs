//! Keys to commands. A key that types something is left to a text field that has the keyboard.

use egui::{Context, Event, Key, KeyboardShortcut, Modifiers};
use evenfall_core::output::pdf::Paper;

use crate::state::Command;

/// Where the keyboard is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyboardOn {
    /// A stop on the Board, or nothing.
    Board,
    /// A row of the Shelf, on which letters search.
    Shelf,
    /// Something that needs the arrow keys itself.
    Elsewhere,
    /// A text field.
    Text,
    /// A dialog or a menu.
    Dialog,
}

/// A key with its modifiers, and the command it makes.
type Binding = (Modifiers, Key, fn() -> Command);

const CONTROL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// With Ctrl; those with Shift too come first, as a shortcut also matches with more modifiers than it asks for.
const CHORDS: [Binding; 12] = [
    (CONTROL_SHIFT, Key::Z, || Command::Redo),
    (CONTROL_SHIFT, Key::S, || Command::SaveAs),
    (CONTROL_SHIFT, Key::P, || Command::Export(Paper::Letter)),
    (Modifiers::COMMAND, Key::Z, || Command::Undo),
    (Modifiers::COMMAND, Key::Y, || Command::Redo),
    (Modifiers::COMMAND, Key::S, || Command::Save),
    (Modifiers::COMMAND, Key::O, || Command::Open),
    (Modifiers::COMMAND, Key::P, || Command::Export(Paper::A4)),
    (CONTROL_SHIFT, Key::E, || Command::ExportProblem),
    (Modifiers::COMMAND, Key::D, || Command::DraftAnew),
    (Modifiers::COMMAND, Key::Q, || Command::Close),
    (Modifiers::NONE, Key::F1, || Command::ShowKeys),
];

/// Plain keys, wherever the keyboard is but in a text field.
const PLAIN: [Binding; 17] = [
    (Modifiers::NONE, Key::B, || Command::ToBoard),
    (Modifiers::NONE, Key::D, || Command::TypeDate),
    (Modifiers::NONE, Key::E, || Command::Select(None)),
    (Modifiers::NONE, Key::P, || Command::AskPickUp),
    (Modifiers::NONE, Key::V, || Command::ShowOrders),
    (Modifiers::NONE, Key::I, || Command::AskInsert),
    (Modifiers::NONE, Key::S, || Command::SplitSelected),
    (Modifiers::NONE, Key::M, || Command::ToggleRipple),
    (Modifiers::NONE, Key::U, || Command::SwapSelected),
    (Modifiers::NONE, Key::R, || Command::TogglePalette),
    (Modifiers::NONE, Key::N, || Command::ToggleSpan),
    (Modifiers::NONE, Key::O, || Command::ToggleRules),
    (Modifiers::NONE, Key::PageUp, || Command::ShiftDate(-1)),
    (Modifiers::NONE, Key::PageDown, || Command::ShiftDate(1)),
    (Modifiers::NONE, Key::H, || Command::ToggleHold),
    (Modifiers::NONE, Key::Delete, || Command::Remove),
    (Modifiers::NONE, Key::Backspace, || Command::Remove),
];

/// Keys that push the selected stop.
const PUSHES: [Binding; 10] = [
    (CONTROL_SHIFT, Key::ArrowLeft, || Command::MoveStart(-1)),
    (CONTROL_SHIFT, Key::ArrowRight, || Command::MoveStart(1)),
    (Modifiers::COMMAND, Key::ArrowLeft, || Command::Lengthen(-1)),
    (Modifiers::COMMAND, Key::ArrowRight, || Command::Lengthen(1)),
    (Modifiers::SHIFT, Key::ArrowLeft, || Command::Nudge(-5)),
    (Modifiers::SHIFT, Key::ArrowRight, || Command::Nudge(5)),
    (Modifiers::NONE, Key::ArrowLeft, || Command::Nudge(-1)),
    (Modifiers::NONE, Key::ArrowRight, || Command::Nudge(1)),
    (Modifiers::NONE, Key::ArrowUp, || Command::StepPort(-1)),
    (Modifiers::NONE, Key::ArrowDown, || Command::StepPort(1)),
];

/// Takes the keys that mean something now.
pub fn read(context: &Context, keyboard: KeyboardOn, commands: &mut Vec<Command>) {
    if keyboard == KeyboardOn::Dialog {
        return;
    }
    let typing = keyboard == KeyboardOn::Text;
    for (modifiers, key, command) in CHORDS {
        // A text field undoes its own typing.
        if !(typing && matches!(key, Key::Z | Key::Y)) {
            take(context, modifiers, key, command, commands);
        }
    }
    if typing {
        return;
    }
    if keyboard != KeyboardOn::Shelf {
        for (modifiers, key, command) in PLAIN {
            take(context, modifiers, key, command, commands);
        }
    }
    let typed = context.input_mut(|input| {
        let mut typed = Vec::new();
        input.events.retain(|event| match event {
            Event::Text(text) if text == "?" || text == "/" => {
                typed.push(text.clone());
                false
            }
            _ => true,
        });
        typed
    });
    for text in typed {
        commands.push(if text == "?" { Command::ShowKeys } else { Command::TypeSearch });
    }
    if keyboard == KeyboardOn::Board {
        for (modifiers, key, command) in PUSHES {
            take(context, modifiers, key, command, commands);
        }
    }
    take(context, Modifiers::NONE, Key::Escape, || Command::Dismiss, commands);
}

fn take(
    context: &Context,
    modifiers: Modifiers,
    key: Key,
    command: fn() -> Command,
    commands: &mut Vec<Command>,
) {
    let shortcut = KeyboardShortcut::new(modifiers, key);
    while context.input_mut(|input| input.consume_shortcut(&shortcut)) {
        commands.push(command());
    }
}
