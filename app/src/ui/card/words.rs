//! The wording that only the Card needs.

use evenfall_core::assign::Reason;
use evenfall_core::ephemeris::Appearance;
use evenfall_core::plan::{Link, Overruled, PortMinute, Sample, WeakestLink};
use evenfall_core::rig::{EyepieceView, PortId, Rig};
use evenfall_core::sheet::wording::{reason_sentence, view_word, weakest_link_sentence};
use evenfall_core::sheet::{Formula, NumberBehind, numbers};
use evenfall_core::units::{Angle, Fraction, SurfaceBrightness};

/// The least view that shows well; as in the words for a view.
pub const SHOWS_WELL: f64 = 0.75;

/// A factor from which a link takes nothing worth telling. Common practice, no source; as for the weakest link.
pub const TAKES_NOTHING: f64 = 0.95;
/// A group's wait from which it is told, in seconds. Common practice, no source.
const LONG_WAIT_S: f64 = 30.0;

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
const LITTLE_HOLDS_BACK: &str = "Little holds it back";
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

/// A link of the chain on its strip.
pub const fn link(link: Link) -> &'static str {
    match link {
        Link::Height => "Height",
        Link::Twilight => "Twilight",
        Link::Moonlight => "Moonlight",
        Link::Light => "Brightness",
        Link::Framing => "Framing",
        Link::Sharpness => "Sharpness",
        Link::Gap => "Gap",
        Link::Glare => "Glare",
        Link::Shadows => "Shadows",
        Link::Turning => "Turning",
        Link::Colour => "Colour",
        Link::Instrument => "Instrument",
    }
}

/// The links that take nothing all evening.
pub fn nothing_lost(links: &[Link]) -> String {
    let names: Vec<String> = links.iter().map(|one| link(*one).to_lowercase()).collect();
    let (last, others) = names.split_last().map_or(("", &[][..]), |(last, others)| (last.as_str(), others));
    let and = if others.is_empty() { "" } else { " or " };
    format!("Nothing is lost to {}{and}{last}.", others.join(", "))
}

/// A view in words and as a number.
pub fn view(view: Fraction) -> String {
    format!("{}, {}", view_word(view), numbers::percent(view))
}

/// The name of a port for people.
pub fn port_name<'r>(rig: &'r Rig, port: &'r PortId) -> &'r str {
    rig.port(port).map_or(port.0.as_str(), |port| port.name.as_str())
}

/// What the user chose, and what would be better.
pub fn overruled(against: &Overruled, rig: &Rig) -> String {
    let (chosen, better) = (port_name(rig, &against.chosen.0), port_name(rig, &against.better.0));
    let (here, there) = (view(against.chosen.1), view(against.better.1));
    let because = complaint(against.weakest.as_ref(), &against.chain);
    let because = because.map_or_else(String::new, |sentence| format!(" {sentence}."));
    format!("You chose {chosen} ({here}); {better} shows it better ({there}).{because}")
}

/// A sentence that goes on after a colon.
pub fn lower_first(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// Whether a reason is a complaint, not the least of a port's virtues.
const fn speaks_against(reason: &Reason) -> bool {
    !matches!(
        reason,
        Reason::Fits { .. }
            | Reason::CoreFits { .. }
            | Reason::BrightForEye { .. }
            | Reason::OutshinesSky { .. }
            | Reason::ScreenShowsIt { seconds: ..LONG_WAIT_S, .. }
            | Reason::SplitsPair { .. }
            | Reason::SpectrumShows { .. }
    )
}

/// What holds a view back, if that is a complaint; else the first complaint of the chain that takes enough to be told.
fn complaint(weakest: Option<&WeakestLink>, chain: &[(Reason, Fraction)]) -> Option<String> {
    let by_link =
        weakest.filter(|link| !matches!(link, WeakestLink::Port(reason) if !speaks_against(reason)));
    by_link.map(weakest_link_sentence).or_else(|| {
        let takes = |entry: &&(Reason, Fraction)| entry.1.value() < TAKES_NOTHING && speaks_against(&entry.0);
        chain.iter().find(takes).map(|(reason, _)| reason_sentence(reason))
    })
}

/// What holds a view back, in a sentence: a complaint, or the link that leaves least of what is not all but perfect.
pub fn holds_back(minute: &PortMinute) -> String {
    let (least, left) = minute.least();
    match complaint(minute.weakest.as_ref(), &minute.choice.chain) {
        Some(sentence) => format!("{sentence}."),
        None if left.value() >= TAKES_NOTHING => NOTHING_HOLDS_BACK.to_owned(),
        None if minute.choice.view.value() >= SHOWS_WELL => {
            format!("{LITTLE_HOLDS_BACK}: {} leaves {}.", link(least).to_lowercase(), numbers::percent(left))
        }
        None => format!("{}.", weakest_link(minute)),
    }
}

/// What speaks against a port that is not used: a complaint, or the link that leaves least.
pub fn against(minute: &PortMinute) -> String {
    complaint(minute.weakest.as_ref(), &minute.choice.chain).unwrap_or_else(|| weakest_link(minute))
}

/// The link that leaves least, with the reason behind it.
fn weakest_link(minute: &PortMinute) -> String {
    let (least, left) = minute.least();
    let because = match minute.choice.reasons().find(|reason| Link::of(reason) == least) {
        // That it fits is no reason for a loss; how little of the field it takes is.
        Some(Reason::Fits { target, field }) => {
            format!(" ({} across in a field of {})", numbers::size(*target), numbers::size(*field))
        }
        Some(reason) => format!(" ({})", lower_first(&reason_sentence(reason))),
        None => String::new(),
    };
    format!("{} leaves {}{because}", link(least), numbers::percent(left))
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
/// Twilight is less.
pub const DARKER: &str = "The sky is darker then.";
/// Moonlight is less.
pub const LESS_MOON: &str = "The Moon brightens the sky less then.";

/// A stretch of time.
pub fn from_to(from: &str, to: &str) -> String {
    if from == to { format!("at {from}") } else { format!("from {from} to {to}") }
}

/// The best time of a target that is not laid out.
pub fn best_time(span: &str, best: f64) -> String {
    format!("Best {span} ({}).", view(Fraction::clamped(best)))
}

/// Now is as good as any time.
pub fn as_good(span: &str) -> String {
    format!("This is its time: it stays as good {span}.")
}

/// Another time is better.
pub fn better_time(earlier: bool, span: &str, best: f64, now: f64) -> String {
    let (best, now) = (view(Fraction::clamped(best)), view(Fraction::clamped(now)));
    let word = if earlier { "earlier" } else { "later" };
    format!("Better {word}, {span}: {best}, instead of {now}.")
}

/// What forbids it now.
pub fn now_limited(phrase: &str) -> String {
    format!("Now: {phrase}.")
}

/// It stands higher at the better time.
pub fn higher(there: &str, here: &str) -> String {
    format!("It stands {there} up then, here {here}.")
}

/// Another link gains most.
pub fn link_gains(link: &str) -> String {
    format!("{link} is better then.")
}

/// It can't be shown within doors, and how high it gets.
pub fn never(phrase: &str, highest: Option<&(String, String)>) -> String {
    let highest = highest
        .map_or_else(String::new, |(at, altitude)| format!(" Highest within doors: {altitude} at {at}."));
    format!("Not tonight: {phrase}.{highest}")
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

/// How long everybody needs at a port.
pub fn for_all(minutes: f64) -> String {
    format!("; {} for everybody", numbers::minutes(minutes.ceil()))
}

/// Nothing shows it in this minute.
pub fn no_port_then(clock: &str, phrase: &str) -> String {
    format!("At {clock} no port can show it: {phrase}.")
}

/// A time after a verdict.
pub fn at(clock: &str) -> String {
    format!(" at {clock}")
}

/// A strip for a screen reader: its value in the minute that is read, and the least one.
pub fn strip(name: &str, clock: &str, now: Option<Fraction>, least: Option<Fraction>) -> String {
    let now = now.map_or_else(|| "not shown".to_owned(), numbers::percent);
    let least = least.map_or_else(String::new, |least| format!(", least {}", numbers::percent(least)));
    format!("{name}: {now} at {clock}{least}")
}

/// A number behind the view with its value, and its formula with the source.
pub fn number_behind(number: &NumberBehind) -> (String, String) {
    let Formula { name, source } = number.formula;
    (format!("{}: {}", number.what, number.value), format!("{name}: {source}"))
}
