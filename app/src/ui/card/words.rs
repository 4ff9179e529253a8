//! The wording that only the Card needs.

use evenfall_core::ephemeris::Appearance;
use evenfall_core::plan::{Link, Overruled, PortMinute, Sample};
use evenfall_core::rig::{EyepieceView, PortId, Rig};
use evenfall_core::sheet::wording::{view_percent, view_word};
use evenfall_core::sheet::{Formula, NumberBehind, holds_back_sentence, link_word, lower_first, numbers};
use evenfall_core::units::{Angle, Fraction, SurfaceBrightness};

use crate::ui::text;

/// How to find it from home.
pub const AT_HOME: &str = "At home";
/// Not for visitors.
pub const CREW_NOTES: &str = "Notes";
/// Files of photos.
pub const PHOTOS: &str = "Photos";
/// The least view that shows well; as in the words for a view.
pub const SHOWS_WELL: f64 = 0.75;

/// A factor from which a link takes nothing worth telling. Common practice, no source; as for the weakest link.
pub const TAKES_NOTHING: f64 = 0.95;
/// The path and the chain.
pub const THROUGH_THE_EVENING: &str = "Through the evening";
/// Why this port, and why then.
pub const WHY: &str = "Why this port, and when";
/// Who reaches the eyepiece, where the line forms, dome, field, guider.
pub const AT_THE_TELESCOPE: &str = "At the telescope";
/// The table.
pub const NUMBERS: &str = "The numbers";
/// Formulas and sources.
pub const SOURCES: &str = "Where these numbers come from";
/// No link takes enough of the view to be told.
pub const NOTHING_HOLDS_BACK: &str = "Nothing holds it back.";
/// What the weakest link takes is hardly missed.
const ALL_THE_SAME: &str = "it shows well all the same";
/// Before the worker has told the night.
pub const FOLLOWING: &str = "Following it through the night…";
/// The view, on its strip.
pub const VIEW: &str = "View";
/// Compass letters under the path.
pub const TOWARDS: &str = "Towards";
/// The lowest or highest altitude the mount may point to, on the path.
pub const MOUNT_LIMIT: &str = "mount's limit";
/// The minute that is read, for a screen reader.
pub const MINUTE: &str = "Minute that is read";
/// How to read another minute.
pub const MINUTE_HINT: &str = "Point or press to read a minute; Left and Right move it, Escape goes back.";
/// The other ports.
pub const OTHERS: &str = "The other ports";
/// The time.
pub const WHEN: &str = "When";
/// The stars that the picture counts from.
pub const NORTH: &str = "N";
/// The other one.
pub const EAST: &str = "E";
/// How the fields are drawn.
pub const AS_ON_THE_SKY: &str =
    "Drawn as on the sky; mirrors and diagonals may swap left and right in the eyepiece and on the screen.";
/// What a rotator does with a long target.
pub const ROTATOR: &str = "turned by the rotator";

/// The heading of the fields.
pub fn fields_title(clock: &str) -> String {
    format!("In the field of each port at {clock}")
}

/// An eyepiece after its port's name.
pub fn eyepiece(view: &EyepieceView) -> String {
    format!(", {}, {}×", view.name, numbers::decimal(view.magnification, 0))
}

/// The links that take nothing all evening.
pub fn nothing_lost(links: &[Link]) -> String {
    let names: Vec<String> = links.iter().map(|one| link_word(*one).to_lowercase()).collect();
    let (last, others) = names.split_last().map_or(("", &[][..]), |(last, others)| (last.as_str(), others));
    let and = if others.is_empty() { "" } else { " or " };
    format!("Nothing is lost to {}{and}{last}.", others.join(", "))
}

/// A view in words and as a number.
pub fn view(view: Fraction) -> String {
    format!("{}, {}", view_word(view), view_percent(view))
}

/// What a link leaves, or the view itself, as a number that does not contradict the word for it.
pub fn left(link: Option<Link>, left: Fraction) -> String {
    if link.is_some() { numbers::percent(left) } else { view_percent(left) }
}

/// The name of a port for people.
pub fn port_name<'r>(rig: &'r Rig, port: &'r PortId) -> &'r str {
    rig.port(port).map_or(port.0.as_str(), |port| port.name.as_str())
}

/// What the user chose, and what would be better.
pub fn overruled(against: &Overruled, rig: &Rig) -> String {
    let (chosen, better) = (port_name(rig, &against.chosen.0), port_name(rig, &against.better.0));
    let (here, there) = (view(against.chosen.1), view(against.better.1));
    let because = against.minute.as_ref().and_then(holds_back_sentence);
    let because = because.map_or_else(String::new, |sentence| format!(" {sentence}."));
    format!("You chose {chosen} ({here}); {better} shows it better ({there}).{because}")
}

/// What holds a view back, in a sentence.
pub fn holds_back(minute: &PortMinute) -> String {
    match holds_back_sentence(minute) {
        None => NOTHING_HOLDS_BACK.to_owned(),
        Some(sentence) if minute.choice.view.value() >= SHOWS_WELL => {
            format!("{sentence}; {ALL_THE_SAME}.")
        }
        Some(sentence) => format!("{sentence}."),
    }
}

/// How far a field turns while a stop lasts.
pub fn turns(by: Angle) -> String {
    format!("turns by {} in the stop", numbers::degrees(by.abs()))
}

/// A port that shows it better than the one in use, and what that costs.
pub fn better_here(longer_minutes: Option<f64>) -> String {
    const BETTER: &str = "; better than the one in use";
    match longer_minutes.filter(|longer| *longer >= 1.0) {
        Some(longer) => format!("{BETTER}, but takes {} longer", numbers::minutes(longer)),
        None => BETTER.to_owned(),
    }
}
/// What speaks against the minute that is read: `At 21:00: only 7° up; 30° up from about 23:30`.
pub fn why_not_at(clock: &str, sentence: &str) -> String {
    format!("At {clock}: {}.", lower_first(sentence))
}

/// Which minute the sources tell of.
pub fn sources_at(clock: &str) -> String {
    format!("For {clock}, the minute that is read above.")
}

/// The brightness of the sky behind a target.
pub fn sky(brightness: SurfaceBrightness) -> String {
    format!("sky\u{a0}{}\u{a0}mag/arcsec²", numbers::decimal(brightness.0, 1))
}

/// How far apart the stars of a pair are.
pub fn apart(separation: Angle) -> String {
    format!("{} apart", numbers::size(separation))
}

/// Altitude and azimuth.
pub fn altitude(sample: &Sample) -> String {
    format!(
        "Altitude {}°, azimuth {}°",
        numbers::decimal(sample.altitude.degrees(), 1),
        numbers::decimal(sample.azimuth.degrees(), 1)
    )
}

/// A body's disc.
pub fn disc(appearance: &Appearance) -> String {
    let lit =
        appearance.illuminated.map_or_else(String::new, |lit| format!(", {} lit", numbers::percent(lit)));
    let magnitude = appearance
        .magnitude
        .map_or_else(String::new, |magnitude| format!(", {}", numbers::magnitude(magnitude)));
    format!("Disc {} across{lit}{magnitude}", numbers::size(appearance.diameter))
}

/// The light of a comet, all in one point.
pub fn comet_light(appearance: &Appearance) -> String {
    appearance
        .magnitude
        .map_or_else(String::new, |magnitude| format!("About {}", numbers::magnitude(magnitude)))
}

/// How long everybody needs at a port.
pub fn for_all(minutes: f64) -> String {
    format!("; {} for everybody", numbers::minutes(minutes.ceil()))
}

/// A time after a verdict.
pub fn at(clock: &str) -> String {
    format!(" at {clock}")
}

/// A strip for a screen reader: its value in the minute that is read, and the least one.
pub fn strip(link: Option<Link>, clock: &str, now: Option<Fraction>, least: Option<Fraction>) -> String {
    let name = link.map_or(VIEW, link_word);
    let now = now.map_or_else(|| "not shown".to_owned(), |now| left(link, now));
    let least = least.map_or_else(String::new, |least| format!(", least {}", left(link, least)));
    format!("{name}: {now} at {clock}{least}")
}

/// A number behind the view with its value, and its formula with the source.
pub fn number_behind(number: &NumberBehind) -> (String, String) {
    let Formula { name, source } = number.formula;
    (format!("{}: {}", number.what, number.value), format!("{name}: {source}"))
}
/// Why the stop stands where it does.
pub const WHY_HERE: &str = "Why it stands here";
/// Why the target is not in the order.
pub const WHY_NOT_SHOWN: &str = "Why it is not shown";
/// A wish that the order does not follow yet.
pub fn wished() -> String {
    format!("You wish it: a new draft ({}) lays it in where it can.", text::DRAFT_KEY)
}
/// What would change the evening.
pub const WHAT_WOULD_CHANGE: &str = "What would change the evening";
/// Swaps, with its key.
pub const SWAP_KEY: &str = "Swap (U)";
/// Before the worker has found the reasons.
pub const REASONING: &str = "Finding the reasons…";
/// To a port that shows nothing of the target in the minute that is read.
pub const USE_ALL_THE_SAME: &str = "Use all the same";
/// Wishes that the draft could not keep.
pub const GIVEN_UP: &str = "Wishes given up";
/// The way back.
pub const UNDO_BRINGS_BACK: &str = "Undo brings all back as it was.";

/// The evening was picked up.
pub fn picked_up(clock: &str) -> String {
    format!("Picked up from {clock}")
}

/// What is shown no more.
pub fn lost(names: &[String]) -> String {
    if names.is_empty() {
        "Nothing is lost: all that was planned is still shown.".to_owned()
    } else {
        format!("No longer shown: {}.", names.join(", "))
    }
}

/// What kept its time.
pub fn kept(stops: &[String]) -> String {
    format!("Held, and kept: {}.", stops.join(", "))
}

/// A wish given up, on its target's Card.
pub fn given_up(what: &str, why: &str) -> String {
    format!("Given up: {what}. {why}")
}
