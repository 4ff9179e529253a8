//! Every command that can be given by its name: words, keys, place in the menu. One table for the menu, the finder, the list
//! of keys, the keys themselves and the tooltips.
//!
//! To add one, add a [`Row`]; the tests hold that no two rows share a key.

use egui::{Key, Modifiers};

use super::dialogs::{call, earlier, house, left_unsaved, wishes};
use super::shelf::SEARCH;
use super::step_words::step_words;
use super::{list_in, pages, rig_editor, shaping_words, site_editor, sky_view, target_editor, text};
use crate::state::{AppState, Command, Part, Side, TextStep, Wish};

/// What a command is about; in the order of the list of keys.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// The selected stop.
    Stop,
    /// The Shelf.
    Shelf,
    /// The Card.
    Card,
    /// The evening and its running order.
    Evening,
    /// Files and pages.
    Files,
    /// The window.
    Window,
}

impl Group {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Stop, Self::Evening, Self::Shelf, Self::Card, Self::Files, Self::Window];

    /// Its heading.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Stop => "The selected stop",
            Self::Shelf => "The Shelf",
            Self::Card => "The Card",
            Self::Evening => "The evening",
            Self::Files => "Files and pages",
            Self::Window => "The window",
        }
    }
}

/// Where the keyboard may be for a key to count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// Wherever it is, also in a text field.
    Anywhere,
    /// Anywhere but in a text field, which undoes its own typing and takes letters.
    OutsideText,
    /// Anywhere but in a text field or on the Shelf, whose rows are walked with it.
    OutsideLists,
    /// On a stop of the Board, or nowhere: other things use the arrow keys themselves.
    OnBoard,
}

/// A key with its modifiers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chord {
    /// With these held down.
    pub modifiers: Modifiers,
    /// The key.
    pub key: Key,
    /// Where it counts.
    pub counts: Where,
}

/// A command by its name.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// What it is about.
    pub group: Group,
    /// Its name.
    pub words: &'static str,
    /// More about it, in a tooltip; empty if the name says all.
    pub hint: &'static str,
    /// The keys that give it, the one to show first.
    pub keys: &'static [Chord],
    /// Whether it stands in the menu of the evening.
    pub in_menu: bool,
    /// The command.
    pub make: fn() -> Command,
}

const fn chord(modifiers: Modifiers, key: Key) -> Chord {
    Chord { modifiers, key, counts: Where::Anywhere }
}

const fn ctrl(key: Key) -> Chord {
    chord(Modifiers::COMMAND, key)
}

const CONTROL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

const fn ctrl_shift(key: Key) -> Chord {
    chord(CONTROL_SHIFT, key)
}

const fn plain(key: Key) -> Chord {
    Chord { counts: Where::OutsideText, ..chord(Modifiers::NONE, key) }
}

const fn page(key: Key) -> Chord {
    Chord { counts: Where::OutsideLists, ..plain(key) }
}

const fn untyped(mut chord: Chord) -> Chord {
    chord.counts = Where::OutsideText;
    chord
}

const fn push(modifiers: Modifiers, key: Key) -> Chord {
    Chord { counts: Where::OnBoard, ..chord(modifiers, key) }
}

const fn row(group: Group, words: &'static str, keys: &'static [Chord], make: fn() -> Command) -> Row {
    Row { group, words, hint: "", keys, in_menu: false, make }
}

impl Row {
    const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }

    const fn in_menu(self) -> Self {
        Self { in_menu: true, ..self }
    }

    /// The key to show, in words; empty without one.
    pub fn key_words(&self) -> String {
        self.keys.first().map(|chord| chord_words(*chord)).unwrap_or_default()
    }

    /// All its keys, in words.
    pub fn all_key_words(&self) -> String {
        self.keys.iter().map(|chord| chord_words(*chord)).collect::<Vec<_>>().join(", ")
    }
}

/// Every command that can be given by its name, in the order of menu and list.
pub const ROWS: &[Row] = &[
    row(Group::Files, text::OPEN, &[ctrl(Key::O)], || Command::Open)
        .in_menu()
        .hint("Or drop its file on the window"),
    row(Group::Files, "Recent evenings…", &[ctrl_shift(Key::O)], || Command::ShowRecent).in_menu(),
    row(Group::Files, "New evening of your own…", &[ctrl(Key::N)], || Command::AskOwn)
        .in_menu()
        .hint("Your site, your telescope and a first date, asked on one page"),
    row(Group::Files, "Open the demo evening", &[], || Command::OpenDemo).in_menu(),
    row(Group::Files, text::SAVE, &[ctrl(Key::S)], || Command::Save).in_menu(),
    row(Group::Files, text::SAVE_AS, &[ctrl_shift(Key::S)], || Command::SaveAs).in_menu(),
    row(Group::Files, earlier::EARLIER_NAME, &[], || Command::ShowEarlier)
        .in_menu()
        .hint(earlier::EARLIER_HINT),
    row(Group::Files, left_unsaved::LEFT_NAME, &[], || Command::ShowLeft)
        .in_menu()
        .hint(left_unsaved::LEFT_HINT),
    row(Group::Files, pages::PAGES_NAME, &[ctrl(Key::P)], || Command::ShowPages)
        .in_menu()
        .hint(pages::PAGES_HINT),
    row(Group::Evening, text::UNDO, &[untyped(ctrl(Key::Z))], || Command::Undo),
    row(Group::Evening, text::REDO, &[untyped(ctrl_shift(Key::Z)), untyped(ctrl(Key::Y))], || Command::Redo),
    row(Group::Evening, text::DRAFT, &[ctrl(Key::D)], || Command::DraftAnew).in_menu().hint(text::DRAFT_HINT),
    row(Group::Evening, "Order rules and closed sky", &[plain(Key::O)], || Command::ToggleRules)
        .in_menu()
        .hint("How much the rules of the trade count in a draft, and what of the sky is closed"),
    row(Group::Evening, text::PICK_UP, &[plain(Key::P)], || Command::AskPickUp)
        .in_menu()
        .hint("Lay the rest of the evening anew from now"),
    row(Group::Evening, call::CALL_NAME, &[plain(Key::G)], || Command::AskCall)
        .in_menu()
        .hint(call::CALL_HINT),
    row(Group::Evening, house::HOUSE_NAME, &[plain(Key::W)], || Command::AskHouse)
        .in_menu()
        .hint(house::HOUSE_HINT),
    row(Group::Evening, wishes::WISHES_NAME, &[plain(Key::T)], || Command::AskWishes)
        .in_menu()
        .hint(wishes::WISHES_HINT),
    row(Group::Card, wishes::MUST_SHOW_NAME, &[plain(Key::A)], || Command::ToggleWish(Wish::MustShow))
        .hint(wishes::MUST_SHOW_HINT),
    row(Group::Card, wishes::LEAVE_OUT_NAME, &[plain(Key::X)], || Command::ToggleWish(Wish::LeaveOut))
        .hint(wishes::LEAVE_OUT_HINT),
    row(Group::Evening, site_editor::SITE_NAME, &[plain(Key::L)], || Command::AskPlace(Part::Site))
        .in_menu()
        .hint(site_editor::SITE_HINT),
    row(Group::Evening, rig_editor::RIG_NAME, &[plain(Key::F)], || Command::AskPlace(Part::Rig))
        .in_menu()
        .hint(rig_editor::RIG_HINT),
    row(Group::Evening, text::KEPT_ORDERS, &[plain(Key::V)], || Command::ShowOrders)
        .in_menu()
        .hint("Keep other orders of the same evening beside this one"),
    row(Group::Evening, shaping_words::INSERT_NAME, &[plain(Key::I)], || Command::AskInsert).in_menu(),
    row(Group::Evening, shaping_words::RIPPLE, &[plain(Key::M)], || Command::ToggleRipple)
        .in_menu()
        .hint(shaping_words::RIPPLE_HINT),
    row(Group::Evening, "To the Board; Tab goes from stop to stop", &[plain(Key::B)], || Command::ToBoard),
    row(Group::Evening, "Type a date", &[plain(Key::D)], || Command::TypeDate),
    row(Group::Evening, text::DAY_BEFORE, &[page(Key::PageUp)], || Command::ShiftDate(-1)),
    row(Group::Evening, text::DAY_AFTER, &[page(Key::PageDown)], || Command::ShiftDate(1)),
    row(Group::Card, "The whole evening on the Card", &[plain(Key::E)], || Command::Select(None)),
    row(Group::Files, text::EXPORT_PROBLEM, &[ctrl_shift(Key::E)], || Command::ExportProblem).in_menu(),
    row(Group::Stop, "One minute earlier", &[push(Modifiers::NONE, Key::ArrowLeft)], || Command::Nudge(-1)),
    row(Group::Stop, "One minute later", &[push(Modifiers::NONE, Key::ArrowRight)], || Command::Nudge(1)),
    row(Group::Stop, "Five minutes earlier", &[push(Modifiers::SHIFT, Key::ArrowLeft)], || {
        Command::Nudge(-5)
    }),
    row(Group::Stop, "Five minutes later", &[push(Modifiers::SHIFT, Key::ArrowRight)], || Command::Nudge(5)),
    row(Group::Stop, "One minute shorter", &[push(Modifiers::COMMAND, Key::ArrowLeft)], || {
        Command::Lengthen(-1)
    }),
    row(Group::Stop, "One minute longer", &[push(Modifiers::COMMAND, Key::ArrowRight)], || {
        Command::Lengthen(1)
    }),
    row(Group::Stop, "Start one minute earlier", &[push(CONTROL_SHIFT, Key::ArrowLeft)], || {
        Command::MoveStart(-1)
    }),
    row(Group::Stop, "Start one minute later", &[push(CONTROL_SHIFT, Key::ArrowRight)], || {
        Command::MoveStart(1)
    }),
    row(Group::Stop, shaping_words::SPLIT_NAME, &[plain(Key::S)], || Command::SplitSelected).in_menu(),
    row(Group::Stop, "To the port above", &[push(Modifiers::NONE, Key::ArrowUp)], || Command::StepPort(-1)),
    row(Group::Stop, "To the port below", &[push(Modifiers::NONE, Key::ArrowDown)], || Command::StepPort(1)),
    row(Group::Stop, "Hold the stop, or let it go", &[plain(Key::H)], || Command::ToggleHold),
    row(Group::Stop, text::SWAP_HINT, &[plain(Key::U)], || Command::SwapSelected),
    row(Group::Stop, "Remove the stop", &[plain(Key::Delete), plain(Key::Backspace)], || Command::Remove),
    row(Group::Shelf, list_in::LIST_NAME, &[ctrl(Key::L)], || Command::AskList)
        .in_menu()
        .hint(list_in::LIST_HINT),
    row(Group::Shelf, target_editor::NEW_NAME, &[ctrl_shift(Key::T)], || Command::AskNewTarget)
        .in_menu()
        .hint(target_editor::NEW_HINT),
    row(Group::Card, target_editor::CHANGE_NAME, &[plain(Key::C)], || Command::AskTarget)
        .hint(target_editor::CHANGE_HINT),
    row(Group::Card, target_editor::DUPLICATE_NAME, &[], || Command::DuplicateTarget)
        .hint(target_editor::DUPLICATE_HINT),
    row(Group::Card, target_editor::REMOVE_NAME, &[], || Command::RemoveTarget)
        .hint(target_editor::REMOVE_HINT),
    row(Group::Shelf, SEARCH, &[], || Command::TypeSearch),
    row(Group::Window, "Find a command…", &[ctrl(Key::K)], || Command::ShowFinder)
        .in_menu()
        .hint("Type a few letters of what you want to do"),
    row(Group::Window, text::RED_LAMP, &[plain(Key::R)], || Command::TogglePalette)
        .in_menu()
        .hint(text::RED_LAMP_HINT),
    row(Group::Window, "Board from sunset, or doors only", &[plain(Key::N)], || Command::ToggleSpan),
    row(Group::Window, "Hours of UTC too, or the park's only", &[plain(Key::Z)], || Command::ToggleUtc),
    row(Group::Evening, sky_view::SKY_NAME, &[plain(Key::Y)], || Command::ToggleSky)
        .in_menu()
        .hint(sky_view::SKY_HINT),
    row(Group::Window, text::TO_SHELF, &[], || Command::ShowSide(Side::Shelf)),
    row(Group::Window, text::TO_BOARD, &[], || Command::ShowSide(Side::Board)),
    row(Group::Window, text::TO_CARD, &[], || Command::ShowSide(Side::Card)),
    row(Group::Window, "Larger text", &[ctrl(Key::Plus), ctrl(Key::Equals)], || {
        Command::TextSize(TextStep::Larger)
    })
    .in_menu(),
    row(Group::Window, "Smaller text", &[ctrl(Key::Minus)], || Command::TextSize(TextStep::Smaller))
        .in_menu(),
    row(Group::Window, "Usual size of text", &[ctrl(Key::Num0)], || Command::TextSize(TextStep::Usual))
        .in_menu(),
    row(Group::Window, "Keys", &[chord(Modifiers::NONE, Key::F1)], || Command::ShowKeys)
        .in_menu()
        .hint("Also on ?"),
    row(Group::Window, "First steps", &[], || Command::ShowWelcome).in_menu(),
    row(Group::Window, text::QUIT, &[ctrl(Key::Q)], || Command::Close).in_menu(),
];

/// Keys that do something where the keyboard is, and are no commands by name.
pub const MORE_KEYS: [(Group, &str, &str); 18] = [
    (Group::Stop, "Escape", "put a dragged stop back"),
    (Group::Evening, "Escape", "stop looking for better orders"),
    (Group::Evening, "Arrows on the sky, Home", "the direction that is read, the zenith"),
    (Group::Shelf, "/", "search"),
    (Group::Shelf, "Up, Down", "the target above, below"),
    (Group::Shelf, "Page up, Page down, Home, End", "further, first, last"),
    (Group::Shelf, "Enter", "bring the target on"),
    (Group::Card, "Left, Right", "the minute before, after"),
    (Group::Card, "Shift + Left, Right", "ten minutes before, after"),
    (Group::Card, "Home, End", "the first minute, the last"),
    (Group::Card, "Space", "fold a part away, or open it"),
    (Group::Evening, "Arrows on a corner of the horizon", "a degree; with Shift a tenth"),
    (Group::Evening, "Page up, Page down on a corner", "the corner before, after"),
    (Group::Evening, "Insert, Delete on a corner", "another corner, none"),
    (Group::Evening, "F6 on Site and horizon", "to the ring and back"),
    (Group::Files, "Page up, Page down among the pages", "the side before, after"),
    (Group::Files, "Ctrl + Enter among the pages", "write them"),
    (Group::Window, "Tab, Shift + Tab", "what comes next, what came before"),
];

/// The row of a command, if it has a name of its own.
pub fn row_of(command: &Command) -> Option<&'static Row> {
    ROWS.iter().find(|row| (row.make)() == *command)
}

/// A command in a tooltip: `name`, what more there is to know, and its key.
pub fn tooltip(name: &str, command: &Command) -> String {
    let Some(row) = row_of(command) else { return name.to_owned() };
    let hint = if row.hint.is_empty() { String::new() } else { format!("\n{}", row.hint) };
    match row.key_words() {
        key if key.is_empty() => format!("{name}{hint}"),
        key => format!("{name}   {key}{hint}"),
    }
}

/// What a row is called now: a step back or forth by what it would do.
pub fn name_now(row: &Row, state: &AppState) -> String {
    let Some(open) = state.open() else { return row.words.to_owned() };
    let step = match (row.make)() {
        Command::Undo => open.history.undo_name(),
        Command::Redo => open.history.redo_name(),
        _ => None,
    };
    let night = &open.derived.prepared.night.local;
    let rig = &open.document.stock.rig;
    step.map_or_else(
        || row.words.to_owned(),
        |step| format!("{}: {}", row.words, step_words(step, night, rig)),
    )
}

/// Why a command can't be given now; `None` if it can.
pub fn why_not(state: &AppState, command: &Command) -> Option<&'static str> {
    if command.allowed(state) {
        return None;
    }
    let Some(open) = state.open() else { return Some("no evening is open yet") };
    Some(match command {
        _ if state.is_opening() => "an evening is being opened",
        Command::Undo if open.history.undo_name().is_none() => "there is no step to take back",
        Command::Redo if open.history.redo_name().is_none() => "no step was taken back",
        Command::Save | Command::SaveAs | Command::ExportProblem => "a file is being written",
        Command::Pages(_) if state.is_writing() => "a file is being written",
        Command::Pages(_) if !state.has_pages_to_write() => "nothing is ticked, or no folder is named",
        _ if state.is_computing() => "the sky is being computed",
        Command::SwapSelected if state.selected_stop().is_some() => "this stop has no understudy",
        Command::StepPort(_) if state.selected_stop().is_some() => "this stop needs no port",
        Command::ShowEarlier => "it has no file yet",
        Command::ShowLeft => "everything was saved, or closed in peace",
        Command::TextSize(TextStep::Usual) => "the text has its usual size",
        Command::TextSize(_) => "the text can go no further",
        Command::ToggleWish(_) | Command::AskTarget | Command::DuplicateTarget | Command::RemoveTarget => {
            "no target is on the Card"
        }
        Command::SetTarget(form) if !form.is_changed() => "nothing was changed",
        Command::SetTarget(_) | Command::SetHouse(_) => "something is missing or wrong",
        Command::SetPlace if state.view.place.as_ref().is_some_and(|form| !form.is_changed()) => {
            "nothing was changed"
        }
        Command::SetPlace => "something is wrong",
        Command::BringList => "there is nothing to bring in",
        _ if state.selected_stop().is_none() => "no stop is selected",
        _ => "something else is under way",
    })
}

/// A key with its modifiers as people write it: `Ctrl + Shift + Z`.
pub fn chord_words(chord: Chord) -> String {
    let key = match chord.key {
        Key::ArrowLeft => "Left",
        Key::ArrowRight => "Right",
        Key::ArrowUp => "Up",
        Key::ArrowDown => "Down",
        Key::PageUp => "Page up",
        Key::PageDown => "Page down",
        Key::Num0 => "0",
        other => other.name(),
    };
    let mut words = String::new();
    for (held, name) in [(chord.modifiers.command, "Ctrl + "), (chord.modifiers.shift, "Shift + ")] {
        if held {
            words.push_str(name);
        }
    }
    words + key
}

#[cfg(test)]
mod tests {
    use super::{Group, MORE_KEYS, ROWS, chord_words};

    #[test]
    fn no_key_is_given_twice_and_no_name_either() {
        for (position, row) in ROWS.iter().enumerate() {
            for other in &ROWS[position + 1..] {
                assert_ne!(row.words, other.words);
                for key in row.keys {
                    let taken = other
                        .keys
                        .iter()
                        .any(|taken| taken.key == key.key && taken.modifiers == key.modifiers);
                    assert!(!taken, "{} is given to {} and {}", chord_words(*key), row.words, other.words);
                }
            }
        }
    }

    #[test]
    fn every_group_has_a_key() {
        for group in Group::ALL {
            let named = ROWS.iter().any(|row| row.group == group && !row.keys.is_empty());
            assert!(named || MORE_KEYS.iter().any(|(other, ..)| *other == group), "{group:?}");
        }
    }
}
