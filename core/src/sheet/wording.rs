//! The only phrases for single things: kinds, ports, fits, reasons, limits, the Moon and the twilights.
//!
//! Plain words for people who know the sky or the public, not for programmers. Sentences about an evening's
//! Stoppers and Cautions stand in `findings`.

use chrono::NaiveDate;

use super::numbers;
use super::phrases::lower_first;
use crate::assign::{Fit, Reason};
use crate::catalogue::Kind;
use crate::events::MoonPhase;
use crate::plan::{EntryKind, Limit, POOR_VIEW, Severity, WeakestLink};
use crate::rig::Side;
use crate::time::{LAST_CERTAIN_DAY, LEAP_SECONDS_OF, TimeDoubt};
use crate::units::{Angle, Fraction};

/// The word for a kind, such as `Open cluster`.
pub const fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Moon => "Moon",
        Kind::Planet => "Planet",
        Kind::Star => "Star",
        Kind::DoubleStar => "Double star",
        Kind::OpenCluster => "Open cluster",
        Kind::GlobularCluster => "Globular cluster",
        Kind::PlanetaryNebula => "Planetary nebula",
        Kind::Nebula => "Nebula",
        Kind::SupernovaRemnant => "Supernova remnant",
        Kind::Galaxy => "Galaxy",
        Kind::DarkNebula => "Dark nebula",
        Kind::Comet => "Comet",
    }
}

/// The word for an entry without the telescope.
pub const fn entry_kind_word(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Welcome => "Welcome and safety talk",
        EntryKind::Talk => "Talk",
        EntryKind::Interval => "Interval",
        EntryKind::ScreenTalk => "Talk at the screen",
        EntryKind::Closing => "Closing",
    }
}

/// Where a port sits, in words.
pub const fn side_word(side: Side) -> &'static str {
    match side {
        Side::NasmythLeft => "left Nasmyth side",
        Side::NasmythRight => "right Nasmyth side",
        Side::Cassegrain => "behind the mirror",
    }
}

/// The Moon's phase in words.
pub const fn phase_word(phase: MoonPhase) -> &'static str {
    match phase {
        MoonPhase::New => "New Moon",
        MoonPhase::WaxingCrescent => "Waxing crescent",
        MoonPhase::FirstQuarter => "First quarter",
        MoonPhase::WaxingGibbous => "Waxing gibbous",
        MoonPhase::Full => "Full Moon",
        MoonPhase::WaningGibbous => "Waning gibbous",
        MoonPhase::LastQuarter => "Last quarter",
        MoonPhase::WaningCrescent => "Waning crescent",
    }
}

/// A phase in a sentence: `waxing crescent`, `new Moon`.
pub fn phase_phrase(phase: MoonPhase) -> String {
    lower_first(phase_word(phase))
}

/// One of the three twilights.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Twilight {
    /// Sun 6 degrees below.
    Civil,
    /// Sun 12 degrees below.
    Nautical,
    /// Sun 18 degrees below.
    Astronomical,
}

impl Twilight {
    /// The name of its end in the evening.
    pub const fn dusk(self) -> &'static str {
        match self {
            Self::Civil => "Civil dusk",
            Self::Nautical => "Nautical dusk",
            Self::Astronomical => "Astronomical dusk",
        }
    }

    /// The name of its beginning in the morning.
    pub const fn dawn(self) -> &'static str {
        match self {
            Self::Civil => "Civil dawn",
            Self::Nautical => "Nautical dawn",
            Self::Astronomical => "Astronomical dawn",
        }
    }

    /// What it means, in words.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Civil => "Sun 6° below",
            Self::Nautical => "Sun 12° below",
            Self::Astronomical => "Sun 18° below",
        }
    }
}

/// How grave a finding is, in our own words.
pub const fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Stopper => "Stopper",
        Severity::Caution => "Caution",
    }
}

/// What keeps a target from being shown, as a short phrase.
pub const fn limit_phrase(limit: Limit) -> &'static str {
    match limit {
        Limit::Horizon => "below the horizon or behind the trees",
        Limit::MountLow => "lower than the mount can point",
        Limit::Keyhole => "where the mount can't follow it",
        Limit::Sun => "too near the Sun",
        Limit::ClosedSky => "in a part of the sky that is closed tonight",
        Limit::Light => "lost in a sky too bright for it",
        Limit::NoPort => "no port shows it",
    }
}

/// What is doubtful about the clock on a date.
pub fn doubt_sentence(doubt: TimeDoubt) -> String {
    match doubt {
        TimeDoubt::BeforeLeapSeconds => {
            "Before 1972 the clock did not keep leap seconds: times may be off by a second.".to_owned()
        }
        TimeDoubt::AfterAnnouncement => {
            let day = |(year, month, day)| NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default();
            let (year, month) = LEAP_SECONDS_OF;
            format!(
                "Leap seconds are not announced for this date: the table of them here is of {} and holds to {}. Times may be \
                 off by some seconds.",
                day((year, month, 1)).format("%B %Y"),
                day(LAST_CERTAIN_DAY).format("%-d %B %Y")
            )
        }
    }
}

/// The least view that shows well.
const SHOWS_WELL: f64 = 0.75;

/// The four words for a view: from 0.75 it shows well, from 0.3 (below which the check warns) it shows, above nothing it
/// is hard to show. The thresholds are common practice, no source.
pub fn view_word(view: Fraction) -> &'static str {
    match view.value() {
        view if view >= SHOWS_WELL => "shows well",
        view if view >= POOR_VIEW => "shows",
        view if view > 0.0 => "hard to show",
        _ => "cannot show",
    }
}

/// A view in whole percent, rounded to the nearest that earns the same of the four words: 74.6% shows, and 75% would
/// show well.
pub fn view_percent(view: Fraction) -> String {
    let percent = view.percent();
    let same = |whole: &f64| view_word(Fraction::clamped(whole / 100.0)) == view_word(view);
    let whole = [percent.round(), percent.floor(), percent.ceil()].into_iter().find(same);
    numbers::percent_of(whole.unwrap_or(percent))
}

/// The same four as what a port does: `shows it well`, `shows it`, `makes it hard to see`, `cannot show it`.
pub fn view_phrase(view: Fraction) -> &'static str {
    match view.value() {
        view if view >= SHOWS_WELL => "shows it well",
        view if view >= POOR_VIEW => "shows it",
        view if view > 0.0 => "makes it hard to see",
        _ => "cannot show it",
    }
}

/// Whether a field shows a target whole, but for a very edge that nobody misses.
pub const fn shows_all(fit: &Fit) -> bool {
    match fit {
        Fit::Whole { .. } => true,
        Fit::Part { shown } => *shown >= ALL_BUT_THE_EDGE,
        Fit::Dot | Fit::Unknown => false,
    }
}

/// How much a field shows of a target that is larger than it: `64% across`; `None` where nothing is missed.
pub(super) fn part_across(fit: &Fit) -> Option<String> {
    match fit {
        Fit::Part { shown } if !shows_all(fit) => {
            Some(format!("{} across", numbers::percent_of((shown * 100.0).max(1.0))))
        }
        Fit::Whole { .. } | Fit::Part { .. } | Fit::Dot | Fit::Unknown => None,
    }
}

/// How a target sits in a field, as a phrase.
pub fn fit_phrase(fit: &Fit) -> String {
    match fit {
        Fit::Whole { filled } => {
            format!("whole, filling {} of the field", numbers::percent_of((filled * 100.0).max(1.0)))
        }
        Fit::Part { shown } if *shown >= ALL_BUT_THE_EDGE => "all but its very edge".to_owned(),
        Fit::Part { shown } => {
            format!("only {} of its length", numbers::percent_of((shown * 100.0).max(1.0)))
        }
        Fit::Dot => "a dot".to_owned(),
        Fit::Unknown => "size not known".to_owned(),
    }
}

/// The share from which a part is as good as the whole.
const ALL_BUT_THE_EDGE: f64 = 0.95;

/// A disc of so many blurs keeps its belts or its rings: only the finest is lost. Common practice, no source.
const MUCH_DETAIL: f64 = 8.0;

/// A reason for or against a port, with its numbers.
pub fn reason_sentence(reason: &Reason) -> String {
    let size = |angle: &Angle| numbers::size(*angle);
    match reason {
        Reason::Fits { target, field } => {
            format!("Fits whole: {} across in a field of {}", size(target), size(field))
        }
        Reason::TooBig { target, field } if *field / *target >= ALL_BUT_THE_EDGE => {
            format!("{} across just fills the field of {}", size(target), size(field))
        }
        Reason::TooBig { target, field } => {
            format!("Too big: {} across, the field shows {} of it", size(target), size(field))
        }
        Reason::TooSmall { target, field } => {
            format!("Too small: {} across is a dot in a field of {}", size(target), size(field))
        }
        Reason::CoreFits { core, field, whole, shown } => format!(
            "Its bright core of {} fits a field of {}, which shows {} of the whole {}",
            size(core),
            size(field),
            size(shown),
            size(whole)
        ),
        Reason::FieldTurns { arcsec_per_s, longest_frame_s } => format!(
            "Without a rotator the field turns by {}″ a second: frames of {} s at most keep its corners sharp",
            numbers::decimal(arcsec_per_s.abs(), 1),
            numbers::decimal(*longest_frame_s, 1)
        ),
        Reason::UnderSampled { pixel, seeing } => format!(
            "Pixels too coarse: {} of sky each, while the air tonight allows detail of {}",
            size(pixel),
            size(seeing)
        ),
        Reason::OverSampled { pixel, seeing, bin } => format!(
            "Pixels finer than the air allows: {} of sky each for a blur of {}; binned {bin} by {bin} the picture is as sharp and \
             there sooner",
            size(pixel),
            size(seeing)
        ),
        Reason::ForTrainedEyes { trained_above_mag, visitor_above_mag } => format!(
            "Experienced eyes only: {} mag above what one used to the dark needs, {} mag {} a first-time visitor's",
            numbers::decimal(*trained_above_mag, 1),
            numbers::decimal(visitor_above_mag.abs(), 1),
            if *visitor_above_mag < 0.0 { "below" } else { "above" }
        ),
        Reason::TooFaintForEye { target, sky } => format!(
            "Too faint for the eye: {} against a sky of {}",
            numbers::decimal(target.0, 1),
            numbers::surface_brightness(*sky)
        ),
        Reason::BrightForEye { above_mag } => {
            format!("{} mag above what a first-time visitor's eye needs", numbers::decimal(*above_mag, 1))
        }
        Reason::OutshinesSky { above_mag } => {
            format!("Its disc is {} mag brighter than the sky around it", numbers::decimal(*above_mag, 1))
        }
        Reason::ScreenShowsIt { seconds, .. } if *seconds < 1.0 => "The camera shows it at once".to_owned(),
        Reason::ScreenShowsIt { seconds, clear_s } if clear_s > seconds => format!(
            "The camera shows it on the screen after {}, clearly after {}",
            numbers::duration(*seconds),
            numbers::duration(*clear_s)
        ),
        Reason::ScreenShowsIt { seconds, .. } => {
            format!("The camera shows it on the screen after {}", numbers::duration(*seconds))
        }
        Reason::FineDetailLost { target, blur } => {
            let lost =
                if *target / *blur >= MUCH_DETAIL { "Its finest detail is lost" } else { "Little detail" };
            format!("{lost}: {} across, while the air blurs by {}", size(target), size(blur))
        }
        Reason::Glare { separation, difference_mag } => format!(
            "The fainter star is {} mag below the brighter one and {} from it",
            numbers::decimal(*difference_mag, 1),
            size(separation)
        ),
        Reason::NoShadows { illuminated } => format!(
            "{} of the disc is lit: shadows show craters best at half phase",
            numbers::percent(*illuminated)
        ),
        Reason::TooFaintForScreen { target, sky } => format!(
            "Too faint for the camera within a stop: {} against a sky of {}",
            numbers::decimal(target.0, 1),
            numbers::surface_brightness(*sky)
        ),
        Reason::Saturates { full_s, shortest_s } => format!(
            "Too bright: it burns out on this camera after {} ms, its shortest exposure is {} ms",
            numbers::decimal(full_s * 1000.0, usize::from(*full_s < 0.01)),
            numbers::decimal(shortest_s * 1000.0, 0)
        ),
        Reason::Dazzles { brightness } => format!(
            "Dazzles in the eyepiece, {} to the eye: a filter helps",
            numbers::surface_brightness(*brightness)
        ),
        Reason::ShadowsAt { sun_altitude } => format!(
            "The Sun stands {} high there: shadows are longest below 15°",
            numbers::degrees(*sun_altitude)
        ),
        Reason::NearLimb { from_limb, sun_altitude } => format!(
            "Near the Moon's edge, {} inside it, and drawn out to a line; the Sun stands {} high there",
            numbers::degrees(*from_limb),
            numbers::degrees(*sun_altitude)
        ),
        Reason::BeyondLimb { beyond } => {
            format!("Turned away from us tonight: {} beyond the Moon's edge", numbers::degrees(*beyond))
        }
        Reason::LunarNight { sun_altitude } => {
            format!("In the lunar night: the Sun is {} below its horizon", numbers::degrees(-*sun_altitude))
        }
        Reason::SplitsPair { separation, seeing } => {
            format!("Splits the pair: {} apart, while the air blurs by {}", size(separation), size(seeing))
        }
        Reason::PairTooClose { separation, limit } => {
            format!("The pair is too close: {} apart, {} can be split tonight", size(separation), size(limit))
        }
        Reason::ColourByEye => "Its colours are seen better by eye".to_owned(),
        Reason::NoSpectrum => "It has no spectrum to show visitors".to_owned(),
        Reason::SpectrumShows { star, limit } => format!(
            "Shows its spectrum within a stop: {}, the faintest that does is {}",
            numbers::magnitude(*star),
            numbers::decimal(limit.0, 1)
        ),
        Reason::TooFaintForSpectrum { star, limit } => format!(
            "Too faint for a spectrum within a stop: {}, the faintest that shows one is {}",
            numbers::magnitude(*star),
            numbers::decimal(limit.0, 1)
        ),
        Reason::TooMuchMagnification { magnification, blur } => format!(
            "Magnified {}×, the blur of {} by the air grows to {}",
            numbers::decimal(*magnification, 0),
            size(blur),
            size(&(*blur * *magnification))
        ),
        Reason::SizeUnknown => "Its size is not known, so the fit is a guess".to_owned(),
        Reason::BrightnessUnknown => "Its brightness is not known, so the view is a guess".to_owned(),
        Reason::SeeingUnknown => "The seeing given is none, so an ordinary night's was taken".to_owned(),
        Reason::NumbersMissing => "Sky or air are not known here, so nothing can be said".to_owned(),
        Reason::OutOfService => "Out of service tonight".to_owned(),
    }
}

/// The altitude of two airmasses: from here on nobody says "only".
const WELL_UP: Angle = Angle::from_degrees(30.0);

/// What holds a view back most, in one sentence with its numbers.
pub fn weakest_link_sentence(link: &WeakestLink) -> String {
    match link {
        WeakestLink::Low { altitude, airmass } => format!(
            "{}{} up: seen through {} airmasses",
            if *altitude < WELL_UP { "Only " } else { "" },
            numbers::degrees(*altitude),
            numbers::airmass(*airmass)
        ),
        WeakestLink::Moonlight { separation, brighter_mag } => format!(
            "The Moon is {} away and brightens the sky by {} mag",
            numbers::degrees(*separation),
            numbers::decimal(*brighter_mag, 1)
        ),
        WeakestLink::Twilight { sun_altitude, brighter_mag } => {
            let below = numbers::degrees(-*sun_altitude);
            let mag = numbers::decimal(*brighter_mag, 1);
            format!("The Sun is only {below} below the horizon: twilight brightens the sky by {mag} mag")
        }
        WeakestLink::Port(reason) => reason_sentence(reason),
    }
}

#[cfg(test)]
mod tests {
    use super::{fit_phrase, reason_sentence, view_percent, view_word, weakest_link_sentence};
    use crate::assign::{Fit, Reason};
    use crate::plan::WeakestLink;
    use crate::units::{Angle, Fraction};

    #[test]
    fn four_words_for_a_view() {
        let words = [1.0, 0.75, 0.74, 0.3, 0.29, 0.05, 0.0].map(|view| view_word(Fraction::clamped(view)));
        let [well, shows, hard, cannot] = ["shows well", "shows", "hard to show", "cannot show"];
        assert_eq!(words, [well, well, shows, shows, hard, hard, cannot]);
    }

    #[test]
    fn the_percentage_of_a_view_never_contradicts_its_word() {
        let told = |percent: f64| view_percent(Fraction::clamped(percent / 100.0));
        let shown = [74.4, 74.6, 74.999, 75.0, 75.4, 29.7, 30.0, 0.2, 0.0, 99.7].map(told);
        assert_eq!(shown, ["74%", "74%", "74%", "75%", "75%", "29%", "30%", "1%", "0%", "100%"]);
        for thousandth in 0..=1000 {
            let view = Fraction::clamped(f64::from(thousandth) / 1000.0);
            let written: f64 = view_percent(view).trim_end_matches('%').parse().unwrap();
            assert_eq!(view_word(Fraction::clamped(written / 100.0)), view_word(view), "{thousandth}");
            assert!((written - view.percent()).abs() < 1.0, "{thousandth}: {written}");
        }
    }

    #[test]
    fn the_weakest_link_in_one_sentence() {
        let degrees = Angle::from_degrees;
        let low = WeakestLink::Low { altitude: degrees(14.2), airmass: 4.02 };
        assert_eq!(weakest_link_sentence(&low), "Only 14° up: seen through 4.0 airmasses");
        let moon = WeakestLink::Moonlight { separation: degrees(12.0), brighter_mag: 2.1 };
        assert_eq!(weakest_link_sentence(&moon), "The Moon is 12° away and brightens the sky by 2.1 mag");
    }

    #[test]
    fn a_reason_gives_its_numbers_with_units() {
        let reason =
            Reason::TooBig { target: Angle::from_degrees(3.0), field: Angle::from_arcminutes(29.47) };
        assert_eq!(reason_sentence(&reason), "Too big: 3.0° across, the field shows 29′ of it");
        assert_eq!(fit_phrase(&Fit::Part { shown: 0.001 }), "only 1% of its length");
        assert_eq!(fit_phrase(&Fit::Part { shown: 0.99 }), "all but its very edge");
    }
}
