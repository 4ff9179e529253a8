//! The interface's wording; what only Card or Shelf say stands in their `words`. Words about sky, ports and findings come from
//! the core's `sheet`.

use std::path::Path;

use chrono::{NaiveDate, Offset};
use evenfall_core::sheet::numbers;
use evenfall_core::time::{Instant, LocalNight};
use evenfall_core::units::{Angle, SurfaceBrightness};

use super::file_words;
use crate::state::Notice;

/// The name of the program.
pub const PROGRAM: &str = "Evenfall";

/// The menu of the document.
pub const EVENING_MENU: &str = "Evening";
/// Chooses a file to open.
pub const OPEN: &str = "Open…";
/// The same on a button.
pub const OPEN_SHORT: &str = "Open";
/// Saves.
pub const SAVE: &str = "Save";
/// Saves under another name.
pub const SAVE_AS: &str = "Save as…";
/// Writes the evening as numbers.
pub const EXPORT_PROBLEM: &str = "Save the evening as numbers…";
/// Lays the rest of the evening anew.
pub const PICK_UP: &str = "Pick up from here…";
/// The same on a button, while the evening runs.
pub const PICK_UP_NOW: &str = "Pick up";
/// The orders that are kept beside the one on the Board.
pub const KEPT_ORDERS: &str = "Running orders…";
/// Leaves the program.
pub const QUIT: &str = "Quit";
/// Takes the last step back.
pub const UNDO: &str = "Undo";
/// Brings it back.
pub const REDO: &str = "Redo";
/// Lays the running order out anew.
pub const DRAFT: &str = "Draft anew";
/// What drafting does.
pub const DRAFT_HINT: &str = "Lay the running order out anew around everything that is held";
/// Puts the red palette on.
pub const RED_LAMP: &str = "Red lamp";
/// What the red palette is for.
pub const RED_LAMP_HINT: &str = "Red light only, for dark-adapted eyes";
/// The list of keys.
pub const KEYS: &str = "Keys";
/// The day before.
pub const DAY_BEFORE: &str = "Day before";
/// The day after.
pub const DAY_AFTER: &str = "Day after";
/// The field of the date.
pub const DATE: &str = "Date of the evening";
/// How a date is typed.
pub const DATE_HINT: &str = "Type a date as 2027-03-13 or 13 March 2027, then press Enter";

/// How a date looks in the empty field.
pub const DATE_FORM: &str = "2027-03-13";

/// The part that lists every target.
pub const SHELF: &str = "Shelf";
/// Brings a target on.
pub const BRING_ON: &str = "Bring on";
/// What an azimuth is.
pub const AZIMUTH_HINT: &str = "From north through east";
/// Between the two azimuths of a part of the sky.
pub const TO: &str = "to";
/// A part of the sky that no wind names.
pub const OWN_PART: &str = "Between two azimuths";

/// Shows the Shelf beside the Board.
pub const TO_SHELF: &str = "Show the Shelf";
/// Shows the Board where it is hidden.
pub const TO_BOARD: &str = "Show the Board";
/// Files are held over the window.
pub const LET_GO: &str = "Let go to open the evening";
/// Shows the Card beside the Board.
pub const TO_CARD: &str = "Show the Card";

/// The part with the running order.
pub const BOARD: &str = "Board";
/// Shows doors only.
pub const SPAN_DOORS: &str = "Doors";
/// Shows the night.
pub const SPAN_NIGHT: &str = "From sunset";
/// The strip of sky light.
pub const SKY_LIGHT: &str = "Sky light";
/// The strip of the Moon.
pub const MOON: &str = "Moon";
/// The strip of those who wait at the eyepiece, on the Board and in full.
pub const IN_LINE: &str = "In line";
pub const IN_LINE_AT_EYEPIECE: &str = "In line at the eyepiece";
/// Nobody waits.
pub const NO_LINE: &str = "nobody waits";
/// The scale of the altitude paths.
pub const ALTITUDE: &str = "Altitude";
/// The scale of airmass.
pub const AIRMASS: &str = "Airmass";
/// Sunset on the Board.
pub const SUNSET: &str = "Sunset";
/// Sunrise on the Board.
pub const SUNRISE: &str = "Sunrise";
/// How to read the Board without a pointer.
pub const READING_HINT: &str =
    "Point at the Board to read the sky there. Drag a stop, or push it with the arrow keys.";
/// Nothing laid out.
pub const BOARD_EMPTY: &str = "No stops yet. Bring targets on from the Shelf, or press Draft anew.";

/// The part about the one thing selected.
pub const CARD: &str = "Card";
/// Nothing selected.
pub const CARD_EMPTY: &str = "Select a stop on the Board or a target on the Shelf, and everything about it stands here. E brings this back.";
/// The words for visitors.
pub const WORDS: &str = "What to say";
/// Findings.
pub const FINDINGS: &str = "Needs a look";
/// Holds the time.
pub const HOLD_TIME: &str = "Hold time";
/// Holds the port.
pub const HOLD_PORT: &str = "Hold port";
/// Removes a stop.
pub const REMOVE: &str = "Remove";
/// Puts a stop on a port.
pub const USE_PORT: &str = "Use";
/// On this port now.
pub const PORT_IN_USE: &str = "in use";
/// Understudy.
pub const UNDERSTUDY: &str = "Understudy";
/// No understudy.
pub const NO_UNDERSTUDY: &str = "none named";
/// Comparison with something known.
pub const COMPARISON: &str = "Compare";
/// What to look for.
pub const LOOK_FOR: &str = "Look for";
/// The cue.
pub const CUE: &str = "Cue";

/// While an evening is read.
pub const READING: &str = "Reading the evening";
/// Gives up what is being computed.
pub const STOP_WAITING: &str = "Stop waiting";
/// What that leaves.
pub const STOP_WAITING_HINT: &str = "The evening stays as it was";
/// While a file is written.
pub const WRITING: &str = "Writing the file";
/// Nothing wrong.
pub const NO_FINDINGS: &str = "No Stoppers, no Cautions";
/// What pressing the count of findings does.
pub const TO_FINDINGS: &str = "Show the whole evening and what needs a look on the Card";
/// Saved.
pub const IS_SAVED: &str = "Saved";
/// Not saved.
pub const IS_NOT_SAVED: &str = "Not saved";
/// The demonstration, untouched.
pub const IS_DEMO: &str = "Demonstration evening";

/// Closes a dialog.
pub const CLOSE: &str = "Close";
/// What the safety of an evening rests on.
pub const ADVICE: &str = "Advice only: local codes, park rules and the night lead decide.";

/// The azimuth at which a part of the sky begins, for a screen reader.
pub fn part_from(name: &str) -> String {
    format!("{name}, from azimuth")
}

/// The azimuth at which a part of the sky ends, clockwise, for a screen reader.
pub fn part_to(name: &str) -> String {
    format!("{name}, clockwise to azimuth")
}

/// A clock time, with its zone in a night in which the clocks change.
pub fn clock(night: &LocalNight, at: Instant) -> String {
    let offset = |at| night.local(at).offset().fix();
    if offset(night.window().start()) == offset(night.window().end()) {
        numbers::clock(night.local(at))
    } else {
        numbers::clock_with_zone(night, at)
    }
}

/// A date as the top bar shows it: `Sat 13 March 2027`.
pub fn date(date: NaiveDate) -> String {
    date.format("%a %-d %B %Y").to_string()
}

/// A typed date, in the forms of [`DATE_HINT`] and as the top bar shows it.
pub fn parse_date(text: &str) -> Option<NaiveDate> {
    let text = text.trim();
    ["%Y-%m-%d", "%d %B %Y", "%a %d %B %Y"].iter().find_map(|form| NaiveDate::parse_from_str(text, form).ok())
}

/// What was typed is no date.
pub fn not_a_date(typed: &str) -> String {
    format!("\"{typed}\" is no date. Type one as 2027-03-13 or 13 March 2027.")
}

/// A message for the status bar.
pub fn notice(notice: &Notice) -> String {
    match notice {
        Notice::Saved(path) => format!("Saved as {}", path.display()),
        Notice::SavedWith(path, parts) => {
            format!("Saved as {}, with its {}", path.display(), file_words::parts(parts))
        }
        Notice::SavedOnly(path, why) => {
            format!("Saved as {}, but what it held before was not kept: {why}", path.display())
        }
        Notice::OpenElsewhere(path) => format!(
            "{} is open in another window of Evenfall too. Save it from one of them only: whoever saves second is stopped",
            path.display()
        ),
        Notice::NotNoted(why) => {
            format!("Until you save, changes are lost if this computer stops: {why}")
        }
        Notice::Exported(path) => format!("Written to {}", path.display()),
        Notice::PagesWritten(count, folder) => {
            format!("{} written to {}", numbers::count(*count, "file", "files"), folder.display())
        }
        Notice::NothingBetter => "No better order was found: this one stays.".to_owned(),
        Notice::NothingToShow(title) => format!("{title} can't be brought on: no port shows it tonight."),
        Notice::Gone(path) => {
            format!("The last evening, {}, is gone: this is the demo.", path.display())
        }
        Notice::SettingsDamaged(Some(kept)) => format!(
            "The settings could not be read, so the usual ones hold. The old file is kept as {}.",
            kept.display()
        ),
        Notice::SettingsDamaged(None) => "The settings could not be read, so the usual ones hold.".to_owned(),
        Notice::SettingsLeftOut(names) => {
            format!("Of the settings, {} could not be read: there the usual holds.", names.join(", "))
        }
        Notice::Rated { title, percent } => format!(
            "{title} is rated {} now. The order stays as it is; Draft anew lays the evening out with it.",
            numbers::percent_of(*percent)
        ),
        Notice::BroughtIn { count: 0, file } => format!("The catalogue has what it lacked from {file}."),
        Notice::BroughtIn { count, file } => {
            format!(
                "{} of {file} on the Shelf; Draft anew lays the evening out with them.",
                numbers::count(*count, "new target", "new targets")
            )
        }
        Notice::DropOne => {
            "Drop one file at a time: an evening, whose name ends in .evening.ron, or a list of targets."
                .to_owned()
        }
        Notice::Trouble(message) => message.clone(),
    }
}

/// While a date is being computed.
pub fn computing(day: Option<NaiveDate>) -> String {
    day.map_or_else(|| READING.to_owned(), |day| format!("Computing the sky of {}", date(day)))
}

/// How many of a kind of finding.
pub fn findings(stoppers: usize, cautions: usize) -> String {
    if stoppers + cautions == 0 {
        return NO_FINDINGS.to_owned();
    }
    let stoppers = numbers::count(stoppers, "Stopper", "Stoppers");
    let cautions = numbers::count(cautions, "Caution", "Cautions");
    format!("{stoppers}, {cautions}")
}

/// The window's name: the evening's title, its file and whether it is saved, and the program's.
pub fn window_title(title: &str, file: Option<&Path>, is_dirty: bool) -> String {
    let file = file.map(|path| path.file_name().unwrap_or(path.as_os_str()).to_string_lossy());
    let state = match (file, is_dirty) {
        (Some(file), true) => format!("{file}, not saved"),
        (Some(file), false) => format!("{file}, saved"),
        (None, true) => "not saved".to_owned(),
        (None, false) => "demonstration".to_owned(),
    };
    format!("{title} ({state}) – {PROGRAM}")
}

/// While better orders are looked for.
pub const IMPROVING: &str = "Looking for a better order. Escape keeps this one.";
/// The same where there is little room.
pub const IMPROVING_SHORT: &str = "Still looking. Escape stops.";
/// What the line about quality rests on.
pub const QUALITY_HINT: &str = "By the worth of what is shown and the order rules, with the same held stops, among all \
                                that a draft could choose: whole minutes, the usual lengths, and some of the slack \
                                kept free after each stop";
/// How to have the better draft.
pub const DRAFT_KEY: &str = "Ctrl + D";
/// How good the order on the Board is, for a screen reader.
pub fn board_quality(words: &str) -> String {
    format!("How good this order is: {words}")
}

/// The sky straight up, with its unit.
pub fn zenith_sky(zenith: SurfaceBrightness) -> String {
    format!("zenith\u{a0}{}\u{a0}mag/arcsec²", numbers::decimal(zenith.0, 1))
}

/// An entry without the telescope.
pub const ALL_PORTS: &str = "without the telescope";
/// Doors open.
pub const DOORS_OPEN: &str = "Doors open";
/// Doors close.
pub const DOORS_CLOSE: &str = "Doors close";
/// Moonrise.
pub const MOONRISE: &str = "Moonrise";
/// Moonset.
pub const MOONSET: &str = "Moonset";
/// A port that can't be used tonight.
pub const OUT_OF_SERVICE: &str = "out of service";
/// A camera with a screen.
pub const CAMERA: &str = "on a screen";
/// Eyepieces.
pub const EYEPIECE: &str = "one by one";
/// A spectrograph with a screen.
pub const SPECTROGRAPH: &str = "on a screen";
/// The scale of time.
pub const CLOCK: &str = "Clock";
/// The scale of time with its zone, and the clock it goes on with where the clocks change.
pub fn clock_axis(zone: &str, change: Option<String>) -> String {
    match change {
        Some(change) => format!("{CLOCK} {zone},\nfrom {change}"),
        None => format!("{CLOCK} {zone}"),
    }
}

/// The clocks change.
pub fn clocks_go(forward: bool, to: &str) -> String {
    format!("Clocks go {} to {to}", if forward { "forward" } else { "back" })
}

/// What the mount can't reach.
pub fn below_mount(lowest: Angle) -> String {
    format!("below the mount's limit {}", numbers::degrees(lowest))
}

/// The Moon is below the horizon.
pub const IS_DOWN: &str = "below the horizon";
/// A held stop on the Board.
pub const HELD_MARK: &str = "held";
/// A finding of no single stop.
pub const WHOLE_EVENING: &str = "The whole evening";
/// The clock.
pub const TIME: &str = "Time";
/// The start of a stop.
pub const START: &str = "Start";
/// Its middle.
pub const MIDDLE: &str = "Middle";
/// Its end.
pub const END: &str = "End";
/// The best time.
pub const BEST: &str = "Best";
/// Azimuth with its wind.
pub const DIRECTION: &str = "Direction";
/// Angle to the Moon.
pub const FROM_MOON: &str = "From Moon";
/// Brightness of the sky behind a target.
pub const SKY_THERE: &str = "Sky there";
/// Its unit.
pub const SKY_UNIT: &str = "Sky in mag/arcsec²: larger is darker";
/// The upper transit.
pub const TRANSIT: &str = "Highest, on the meridian, at";
/// What swapping does.
pub const SWAP_HINT: &str = "Swap with its understudy";
/// A target that the catalogue does not have.
pub const NOT_IN_CATALOGUE: &str = "Not in the catalogue";
/// No port was ranked.
pub const NO_PORT_KNOWN: &str = "No port shows it tonight.";

/// The window can't open: why, and what to do.
pub fn no_window(reason: &str) -> String {
    let reason = if reason.contains("neither WAYLAND_DISPLAY") {
        "there is no display"
    } else {
        // Where in its sources the window library gave up helps nobody here.
        reason.rsplit(": ").next().unwrap_or(reason).trim_end_matches('.')
    };
    format!(
        "Evenfall could not open its window: {reason}. It needs a display and OpenGL (on Debian: libgl1, libx11-6, \
         libxcursor1, libxi6, libxkbcommon-x11-0). Without a display, use the commands: evenfall --help."
    )
}

/// The scale of the strip of those who wait.
pub fn at_most(people: f64) -> String {
    format!("at most {people:.0}")
}

/// How many wait, those of them at a screen, and how long the last of them waits.
pub fn line_and_wait(people: f64, at_screen: f64, wait_minutes: f64) -> String {
    let seated = if at_screen >= 0.5 { format!(" ({at_screen:.0} at the screen)") } else { String::new() };
    format!("{people:.0} in line{seated}, wait {}", numbers::minutes(wait_minutes))
}

/// The longest wait beside its place.
pub fn wait(minutes: &str) -> String {
    format!("wait {minutes}")
}

/// Nobody waits but by chance.
pub fn no_line(by_chance_minutes: f64) -> String {
    if by_chance_minutes < 0.5 {
        "no line".to_owned()
    } else {
        format!("no line, wait about {}", numbers::minutes(by_chance_minutes))
    }
}

/// Why a wait is marked.
pub fn longer_than(humane_minutes: f64) -> String {
    format!(", more than {} with nothing else to see", numbers::minutes(humane_minutes))
}

/// What everybody's look takes, its move counted in.
pub fn everybody_takes(total: &str, mean_wait: &str) -> String {
    format!(
        "; if all come at once they have looked after {total}, the move counted in, and wait {mean_wait} on average"
    )
}
