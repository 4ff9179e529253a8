//! Keys to commands, by the table in `commands`. A key that types something is left to a text field that has the keyboard.

use egui::{Context, Event, Key, KeyboardShortcut, Modifiers};

use super::commands::{Chord, ROWS, Where};
use crate::state::Command;

/// Where the keyboard is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyboardOn {
    /// A stop on the Board, or nothing.
    Board,
    /// A row of the Shelf, on which the keys of a list walk.
    Shelf,
    /// Something that needs the arrow keys itself.
    Elsewhere,
    /// A text field.
    Text,
    /// A dialog or a menu.
    Dialog,
}

impl KeyboardOn {
    fn lets(self, chord: Chord) -> bool {
        match chord.counts {
            Where::Anywhere => self != Self::Dialog,
            Where::OutsideText => matches!(self, Self::Board | Self::Shelf | Self::Elsewhere),
            Where::OutsideLists => matches!(self, Self::Board | Self::Elsewhere),
            Where::OnBoard => self == Self::Board,
        }
    }
}

/// Takes the keys that mean something now.
pub fn read(context: &Context, keyboard: KeyboardOn, commands: &mut Vec<Command>) {
    // The size of the text is a matter of the eyes, whatever stands over the window.
    let is_size = |command: &Command| matches!(command, Command::TextSize(_));
    let mut chords: Vec<(Chord, fn() -> Command)> = ROWS
        .iter()
        .flat_map(|row| row.keys.iter().map(|chord| (*chord, row.make)))
        .filter(|(chord, make)| keyboard.lets(*chord) || is_size(&make()))
        .collect();
    // Those with more modifiers come first, as a shortcut also matches with more of them than it asks for.
    let held = |modifiers: Modifiers| u8::from(modifiers.command) + u8::from(modifiers.shift);
    chords.sort_by_key(|(chord, _)| 2 - held(chord.modifiers));
    for (chord, make) in chords {
        take(context, chord, make, commands);
    }
    if matches!(keyboard, KeyboardOn::Text | KeyboardOn::Dialog) {
        return;
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
    let escape = Chord { modifiers: Modifiers::NONE, key: Key::Escape, counts: Where::OutsideText };
    take(context, escape, || Command::Dismiss, commands);
}

fn take(context: &Context, chord: Chord, command: fn() -> Command, commands: &mut Vec<Command>) {
    let shortcut = KeyboardShortcut::new(chord.modifiers, chord.key);
    while context.input_mut(|input| input.consume_shortcut(&shortcut)) {
        commands.push(command());
    }
}
