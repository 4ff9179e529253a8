//! The words of the Shelf.

use evenfall_core::catalogue::{Kind, Public};
use evenfall_core::sheet::numbers;
use evenfall_core::sheet::wording::kind_word;

use crate::state::{ShelfSort, Wish};

/// The field that searches it.
pub const SEARCH: &str = "Search the Shelf";
/// What is found by it.
pub const SEARCH_HINT: &str = "Any name or designation, words in any order, or a kind";
/// Adds to the catalogue.
pub const ADD: &str = "Add…";
/// What that is.
pub const ADD_HINT: &str = "A target of your own, or a whole list of them";
/// Lays open what is listed.
pub const FILTER: &str = "Filter";
/// What is listed is narrowed.
pub const FILTER_HINT: &str = "What is listed on the Shelf";
/// Keeps those that can't be shown.
pub const SHOW_ALL: &str = "Also what can't be shown";
/// Only what is seen to be.
const ONLY_SHOWN: &str = "only what can be shown";
/// Keeps to a part of the sky.
pub const ONLY_PART: &str = "Only in a part of the sky";
/// What keeping to a part of the sky is for.
pub const ONLY_PART_HINT: &str =
    "For a hole in the cloud: what can be shown there at the minute that is read, best first";
/// The part to which the Shelf keeps.
pub const CLEAR_PART: &str = "Clear part";
/// Ports to choose from.
pub const PORT: &str = "Port";
/// No port in particular.
pub const ANY_PORT: &str = "any port";
/// Kinds to choose from.
pub const KIND: &str = "Kind";
/// No kind in particular.
pub const ANY_KIND: &str = "any kind";
/// Publics to choose from.
pub const PUBLIC: &str = "Public";
/// No public in particular.
pub const ANY_PUBLIC: &str = "any public";
/// What it is sorted by.
pub const SORT: &str = "Sort the Shelf";
/// Ends all that narrows the Shelf.
pub const CLEAR_ALL: &str = "Clear all";
/// What that does.
pub const CLEAR_ALL_HINT: &str = "The whole Shelf again: nothing searched for, nothing left out";
/// Nothing found.
pub const NOTHING_FOUND: &str = "Nothing on the Shelf has these words.";
/// Nothing is left.
pub const NOTHING_LEFT: &str = "Nothing on the Shelf is all of this.";
/// Nothing to look through.
pub const NO_TARGETS: &str = "The catalogue has no targets.";
/// Nothing to show.
pub const NONE_TONIGHT: &str = "None of the targets can be shown tonight.";
/// The rows.
pub const LIST: &str = "Targets on the Shelf";

/// Only what shows at the minute that is read.
pub fn shows_at(clock: &str) -> String {
    format!("Shows at {clock}")
}

/// A kind, as one of those to choose from.
pub fn kind(kind: Option<Kind>) -> &'static str {
    kind.map_or(ANY_KIND, kind_word)
}

/// A public, as one of those to choose from.
pub const fn public(public: Option<Public>) -> &'static str {
    match public {
        None => ANY_PUBLIC,
        Some(Public::Children) => "for children",
        Some(Public::All) => "for everybody",
        Some(Public::Adults) => "for the patient",
    }
}

/// What the Shelf is sorted by.
pub fn sort(sort: ShelfSort, clock: &str) -> String {
    match sort {
        ShelfSort::Worth => "by worth tonight".to_owned(),
        ShelfSort::WorthNow => format!("by worth at {clock}"),
        ShelfSort::BestTime => "by best time".to_owned(),
        ShelfSort::Name => "by name".to_owned(),
        ShelfSort::AltitudeNow => format!("by altitude at {clock}"),
        ShelfSort::Kind => "by kind".to_owned(),
    }
}

/// The same where there is little room.
pub const fn sort_short(sort: ShelfSort) -> &'static str {
    match sort {
        ShelfSort::Worth | ShelfSort::WorthNow => "by worth",
        ShelfSort::BestTime => "by time",
        ShelfSort::Name => "by name",
        ShelfSort::AltitudeNow => "by altitude",
        ShelfSort::Kind => "by kind",
    }
}

/// Which end of the order stands first.
pub const fn first(sort: ShelfSort, reversed: bool) -> &'static str {
    match (sort, reversed) {
        (ShelfSort::Worth | ShelfSort::WorthNow, false) => "best first",
        (ShelfSort::Worth | ShelfSort::WorthNow, true) => "least first",
        (ShelfSort::BestTime, false) => "earliest first",
        (ShelfSort::BestTime, true) => "latest first",
        (ShelfSort::Name, false) => "A to Z",
        (ShelfSort::Name, true) => "Z to A",
        (ShelfSort::AltitudeNow, false) => "highest first",
        (ShelfSort::AltitudeNow, true) => "lowest first",
        (ShelfSort::Kind, false) => "Moon first",
        (ShelfSort::Kind, true) => "Moon last",
    }
}

/// The button that turns the order round.
pub fn turn_round(sort: ShelfSort, reversed: bool) -> String {
    format!("{}; press for {}", first(sort, reversed), first(sort, !reversed))
}

/// How many are listed, of how many, and in which order.
pub fn head(listed: usize, whole: usize, order: &str) -> String {
    let count = if listed == whole {
        numbers::count(whole, "target", "targets")
    } else {
        format!("{listed} of {whole}")
    };
    format!("{count}, {order}")
}

/// How much can be shown in the clear part, and when.
pub fn shown_in_part(targets: usize, clock: &str) -> String {
    match targets {
        0 => format!("At {clock} nothing can be shown there."),
        _ => format!("{} at {clock}", numbers::count(targets, "target", "targets")),
    }
}

/// What was searched for has a slip in it.
pub fn nearest(words: &str) -> String {
    format!("Nothing has these words. Nearest: {words}")
}

/// Everything that narrows the Shelf, in one line.
pub fn narrowed(
    search: &str,
    now: Option<&str>,
    choices: [Option<&str>; 3],
    part: Option<&str>,
    show_all: bool,
) -> String {
    let search = search.trim();
    let search = (!search.is_empty()).then(|| format!("\"{search}\""));
    let now = now.map(|clock| format!("shows at {clock}"));
    let shown = (!show_all).then(|| ONLY_SHOWN.to_owned());
    let choices = choices.into_iter().flatten().map(str::to_owned);
    let all = search.into_iter().chain(now).chain(choices).chain(part.map(str::to_owned)).chain(shown);
    all.collect::<Vec<_>>().join(", ")
}

/// A wish that the running order does not follow yet.
pub const fn wish(wish: Wish, is_shown: bool) -> Option<&'static str> {
    match (wish, is_shown) {
        (Wish::MustShow, true) => None,
        (Wish::MustShow, false) => Some("must show"),
        (Wish::LeaveOut, _) => Some("left out"),
    }
}

/// Already in the running order.
pub fn on_the_board(clock: &str) -> String {
    format!("on the Board at {clock}")
}

/// When it is best.
pub fn best(clock: &str) -> String {
    format!("best {clock}")
}

/// How long a target stays in the clear part.
pub fn until(clock: &str) -> String {
    format!("until {clock}")
}

/// When a target shows, for those who can't see its curve.
pub fn curve(from: &str, to: &str, stretches: &[(String, String)]) -> String {
    let stretches: Vec<String> =
        stretches.iter().map(|(since, until)| format!("{since} to {until}")).collect();
    match stretches.as_slice() {
        [] => format!("Between {from} and {to} it never shows well."),
        stretches => format!("Between {from} and {to} it shows well from {}.", stretches.join(", and from ")),
    }
}
