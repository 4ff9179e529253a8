//! Stoppers and Cautions in words: what is wrong, with its numbers, and what would mend it.

use super::findings_of_views::{no_view, nothing_to_show, nothing_yet, poor_view};
use super::missing_words::missing_phrase;
use super::names::Names;
use super::numbers;
use super::phrases::upper_first;
use super::wording::{doubt_sentence, limit_phrase};
use crate::plan::{ClockTime, Finding, Limit, Rule};
use crate::rig::SEATED_EYE_MM;
use crate::time::time_doubt;
use crate::units::Angle;

/// The stop a finding belongs to, such as `Stop 3, Lantern Drift`; `None` for the whole evening.
pub fn finding_place(finding: &Finding, names: &Names<'_>) -> Option<String> {
    Some(upper_first(&names.stop_phrase(finding.stop?)))
}

/// What is wrong, and what would mend it: two sentences.
pub fn finding_sentence(finding: &Finding, names: &Names<'_>) -> (String, String) {
    let night = &names.prepared.night.local;
    let (what, remedy): (String, &str) = match &finding.rule {
        Rule::Overlap { with } => {
            (format!("Shares time with {}.", names.stop_phrase(*with)), "Move or shorten one of the two.")
        }
        Rule::MoveDoesNotFit { short_by_minutes } => (
            format!(
                "The move to it does not fit: {} short.",
                numbers::duration((short_by_minutes * 60.0).max(1.0))
            ),
            "Start it later, or end the stop before it sooner.",
        ),
        Rule::OutsideDoors => (
            format!(
                "Lies outside doors, which are open {}.",
                numbers::clock_span(night, names.prepared.doors)
            ),
            "Move it inside, or change the doors.",
        ),
        Rule::UnknownTarget(target) => (
            format!("The catalogue has no target \"{target}\"."),
            "Remove the stop, or use the catalogue that has it.",
        ),
        Rule::UnknownPort(port) => {
            (format!("The rig has no port \"{port}\"."), "Choose another port for the stop.")
        }
        Rule::PortOutOfService(port) => (
            format!("The port {} is out of service tonight.", names.port_name(port)),
            "Choose another port for the stop.",
        ),
        Rule::TooLow { at, altitude, needed } => (
            format!(
                "Too low at {}: altitude {}, and {} is needed there.",
                names.clock(*at),
                short_of(*altitude),
                needed_degrees(*needed)
            ),
            "Move it to when the target stands higher.",
        ),
        Rule::InKeyhole { at, throughout } if names.materials.rig.mount.is_equatorial() => {
            near_the_pole(&names.clock(*at), *throughout)
        }
        Rule::InKeyhole { at, throughout: true } => (
            format!("Too near the zenith to be followed, from {} to its end.", names.clock(*at)),
            "Move it to before or after the target passes overhead.",
        ),
        Rule::InKeyhole { at, throughout: false } => (
            format!("Enters the zenith keyhole at {}, where the mount can't follow well.", names.clock(*at)),
            "Move or shorten it so that it misses the passage overhead.",
        ),
        Rule::InClosedSky { at } => (
            format!("In a part of the sky that is closed tonight, at {}.", names.clock(*at)),
            "Move it to when that part is open, show something elsewhere, or open that part again.",
        ),
        Rule::NearSun { separation, limit } => (
            format!(
                "Only {} from the Sun; {} is the limit while the Sun is above −6°.",
                short_of(*separation),
                needed_degrees(*limit)
            ),
            "Never point there. Move it to after civil dusk, or remove it.",
        ),
        Rule::Daylight => ("The Sun is still up.".to_owned(), "Move it to after sunset."),
        Rule::SlewNearSun { separation } => (
            format!("The slew to it passes {} from the Sun.", short_of(*separation)),
            "Move it to after civil dusk, or put another stop before it.",
        ),
        Rule::FirstSlewInDaylight => (
            "The first slew falls while the Sun is up, and its way from the parking place is not known here."
                .to_owned(),
            "Point away from the Sun first, covers on until it is there, and watch the telescope all the way.",
        ),
        Rule::SlewTooEarly { separation, from } => (
            format!(
                "Begun before {}, the slew to it would pass {} from the Sun.",
                names.clock(*from),
                short_of(*separation)
            ),
            "Leave the telescope where it is until then.",
        ),
        Rule::CablesEnd { at } => (
            format!(
                "The cables end at {}: the mount can't follow it further that way round.",
                names.clock(*at)
            ),
            "End it before then, or split it in two with room between for the mount to turn back.",
        ),
        Rule::FlipInside { at } => (
            format!("The telescope must flip at {}, in the middle of the stop.", names.clock(*at)),
            "Move the stop to before or after that, or split it in two with room between for the flip.",
        ),
        Rule::NotSeated { heights_mm, later_stops } => (
            format!(
                "The eyepiece stands {} above the floor, and seated visitors look at {}.{}",
                numbers::millimetres(*heights_mm),
                numbers::millimetres(SEATED_EYE_MM),
                match *later_stops {
                    0 => String::new(),
                    more => format!(
                        " They can't reach it at {} either.",
                        numbers::count(more, "later stop", "later stops")
                    ),
                }
            ),
            "Show it to them on a screen, or choose a target or a port that they can reach.",
        ),
        Rule::StepInUse { port, step_mm } => (
            format!(
                "Visitors stand on a step or ladder of {} at the port {}.",
                numbers::millimetres((*step_mm, *step_mm)),
                names.port_name(port)
            ),
            // 29 CFR 1910.23 (ladders), as on the sheet's cautions.
            "One person at a time, hand on the rail, lit red at the floor; never step back from the eyepiece. \
             Local codes and park rules go before this.",
        ),
        Rule::NoView => (no_view(finding, names), "Choose another port, another time or another target."),
        Rule::PoorView => poor_view(finding, names),
        Rule::TooShort { has_minutes, needed_minutes } => (
            format!(
                "Too short for the visitors expected: {}, they need {}.",
                numbers::minutes(*has_minutes),
                numbers::minutes(needed_minutes.ceil())
            ),
            "Lengthen it, or show the target on a screen.",
        ),
        Rule::LongWait { at, wait_minutes } => (
            format!(
                "The line is longest at {}: whoever joins then waits {}.",
                names.clock(*at),
                numbers::minutes(*wait_minutes)
            ),
            "Give those in line something else to see: a talk at the screen, the sky by eye; or number the places.",
        ),
        Rule::NoPictureYet => (
            "No picture has come to a screen before this talk.".to_owned(),
            "Move it behind a stop on a camera, or have a picture of an earlier night ready.",
        ),
        Rule::ShownTwice { with } => (
            format!("The same target as {}.", names.stop_phrase(*with)),
            "Bring on something else, if it is not wanted twice.",
        ),
        Rule::MustShowMissing(target) => (
            format!("No stop for {}, which must be shown.", names.target_name(target)),
            "Bring it on from the Shelf, or take it off the list of what must be shown.",
        ),
        Rule::LeftOutShown => (
            "This target was to be left out tonight.".to_owned(),
            "Remove the stop, or take the target off the list of those left out.",
        ),
        Rule::UnknownUnderstudy(understudy) => (
            format!("The catalogue has no target \"{understudy}\", which is this stop's understudy."),
            "Draft anew with this stop not held, or use the catalogue that has it.",
        ),
        Rule::LeftOutUnderstudy(understudy) => (
            format!("Its understudy {} was to be left out tonight.", names.target_name(understudy)),
            "Draft anew with this stop not held, or take it off the list of those left out.",
        ),
        Rule::UnderstudyLimited { understudy, at, limit: Limit::Sun } => (
            format!(
                "Its understudy {} is too near the Sun at {}.",
                names.target_name(understudy),
                names.clock(*at)
            ),
            "Never point there. Move the stop to after civil dusk, or lay out again with it not held.",
        ),
        Rule::UnderstudyLimited { understudy, at, limit } => (
            format!(
                "Its understudy {} can't stand in at {}: {}.",
                names.target_name(understudy),
                names.clock(*at),
                limit_phrase(*limit)
            ),
            "Move the stop, or lay the evening out again with it not held.",
        ),
        Rule::OldElements { age_days } => (
            format!(
                "The comet's elements are {} days old: it may stand minutes of arc away.",
                age_days.round()
            ),
            "Bring in new elements before the evening.",
        ),
        Rule::Incomplete { missing } => (
            format!("The catalogue does not tell all of it: {}.", missing_phrase(missing)),
            "Complete it in the catalogue, or look it up before the evening.",
        ),
        Rule::MoonNear { lit, separation } => (
            format!(
                "The Moon, {} lit, stands {} away.",
                numbers::percent(*lit),
                numbers::degrees(*separation)
            ),
            "Show it before moonrise or after moonset, if faint.",
        ),
        Rule::FixedEntryMissing { title } => (
            format!("\"{title}\" is in the programme and has no stop at its time."),
            "Draft anew, or put it back by hand.",
        ),
        Rule::LittleSlack { free_percent, wished_percent } => (
            format!(
                "Little slack: {} of the evening is free, {} was wished.",
                numbers::percent_down(*free_percent),
                numbers::percent_of(*wished_percent)
            ),
            "Remove or shorten a stop.",
        ),
        Rule::NothingYet { until } => (
            nothing_yet(names, *until),
            "Open doors later, or fill the time with a talk or another catalogue.",
        ),
        Rule::NothingToShow { limit } => {
            (nothing_to_show(*limit), "Choose other doors, another date or another catalogue.")
        }
        Rule::TooManyPortChanges { changes, most } => (
            format!("The port changes {changes} times, {most} at most were wished."),
            "Bring stops on one port together, or allow more changes.",
        ),
        Rule::TooFewOnPort { port, stops, least } => (
            format!("{stops} of the {least} stops wished on {}.", names.port_name(port)),
            "Draft anew, bring one on, or wish for fewer.",
        ),
        Rule::TooManyForScreen { visitors, at_most } => (
            format!("{visitors} visitors are too many for one screen: about {at_most} can look together."),
            "Show each screen stop to one group after another, or expect fewer visitors.",
        ),
        Rule::ParkCloses => {
            (park_closes(names), "Close the doors earlier, or agree on a later hour with the park.")
        }
        Rule::ClockTimeTwice { what, taken } => (
            format!(
                "{} at {}, which the clocks show twice tonight; the first, {}, is taken.",
                clock_time(what),
                numbers::clock(night.local(*taken)),
                names.clock(*taken)
            ),
            "Choose another time, or tell everybody which of the two is meant.",
        ),
        Rule::ClockTimeSkipped { what: ClockTime::ParkCloses, time } => (
            format!(
                "The park closes at {}, which the clocks jump over tonight, so nothing is held against it.",
                time.format("%H:%M")
            ),
            "Ask the park which hour holds, and give that one in the site's file.",
        ),
        Rule::ClockTimeSkipped { what: what @ (ClockTime::SkyCloses | ClockTime::SkyOpens), time } => (
            format!(
                "{} at {}, which the clocks jump over tonight; the jump itself is taken.",
                clock_time(what),
                time.format("%H:%M")
            ),
            "Choose an earlier or a later time.",
        ),
        Rule::ClockTimeSkipped { what, time } => (
            format!("{} at {}, which the clocks jump over tonight.", clock_time(what), time.format("%H:%M")),
            "Choose an earlier or a later time.",
        ),
        Rule::DoubtfulClock => (
            time_doubt(names.evening.date)
                .map_or_else(|| "Clock times are doubtful on this date.".to_owned(), doubt_sentence),
            "Check the times against a published almanac nearer the date.",
        ),
    };
    (what, remedy.to_owned())
}

/// What an equatorial mount can't follow.
fn near_the_pole(clock: &str, throughout: bool) -> (String, &'static str) {
    if throughout {
        (
            format!("Too near the pole or too high for the mount, from {clock} to its end."),
            "Choose another target or another time.",
        )
    } else {
        (
            format!("Comes too near the pole or too high for the mount at {clock}."),
            "Move or shorten it, or choose another target.",
        )
    }
}

/// What happens at a clock time, as the beginning of a sentence.
fn clock_time(what: &ClockTime) -> String {
    match what {
        ClockTime::DoorsOpen => "Doors open".to_owned(),
        ClockTime::DoorsClose => "Doors close".to_owned(),
        ClockTime::Entry(title) => format!("\"{title}\" starts"),
        ClockTime::ParkCloses => "The park closes".to_owned(),
        ClockTime::SkyCloses => "A part of the sky closes".to_owned(),
        ClockTime::SkyOpens => "A closed part of the sky opens again".to_owned(),
    }
}

/// An angle that falls short of a limit, rounded down to a tenth of a degree, so that it never reads as the limit.
fn short_of(angle: Angle) -> String {
    format!("{}°", numbers::decimal((angle.degrees() * 10.0).floor() / 10.0, 1))
}

/// A limit that was not reached, rounded up to a tenth of a degree.
fn needed_degrees(limit: Angle) -> String {
    /// Degrees by which a limit written in tenths may seem more, kept in radians.
    const KEPT: f64 = 1e-9;
    format!("{}°", numbers::decimal(((limit.degrees() - KEPT) * 10.0).ceil() / 10.0, 1))
}

fn park_closes(names: &Names<'_>) -> String {
    let closes = names.materials.site.park_closes;
    match closes.and_then(|time| names.prepared.night.local.at(time).ok()) {
        Some(at) => format!("The evening runs past {}, when the park closes.", names.clock(at)),
        None => "The evening runs past the park's closing time.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveTime;

    use super::{finding_place, finding_sentence};
    use crate::catalogue::{Missing, TargetId};
    use crate::plan::{ClockTime, Finding, Limit, Rule, Severity};
    use crate::rig::PortId;
    use crate::sheet::demo::Demo;
    use crate::units::{Angle, Fraction};

    #[test]
    fn every_finding_is_two_sentences_with_its_numbers() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let id = demo.evening.order.stops()[1].id;
        let at = prepared.doors.start();
        let angle = Angle::from_degrees;
        let rules = [
            Rule::Overlap { with: id },
            Rule::MoveDoesNotFit { short_by_minutes: 2.5 },
            Rule::OutsideDoors,
            Rule::UnknownTarget(TargetId("nobody".into())),
            Rule::UnknownPort(PortId("nowhere".into())),
            Rule::PortOutOfService(PortId("wide".into())),
            Rule::TooLow { at, altitude: angle(11.0), needed: angle(15.0) },
            Rule::InKeyhole { at, throughout: true },
            Rule::InKeyhole { at, throughout: false },
            Rule::InClosedSky { at },
            Rule::NearSun { separation: angle(12.0), limit: angle(30.0) },
            Rule::Daylight,
            Rule::SlewNearSun { separation: angle(9.0) },
            Rule::FirstSlewInDaylight,
            Rule::SlewTooEarly { separation: angle(9.0), from: at },
            Rule::CablesEnd { at },
            Rule::FlipInside { at },
            Rule::NotSeated { heights_mm: (1400.0, 1400.0), later_stops: 0 },
            Rule::NotSeated { heights_mm: (1400.0, 1400.0), later_stops: 3 },
            Rule::StepInUse { port: PortId("eyepiece".into()), step_mm: 300.0 },
            Rule::NoView,
            Rule::PoorView,
            Rule::TooShort { has_minutes: 12.0, needed_minutes: 19.2 },
            Rule::NothingYet { until: at },
            Rule::NothingToShow { limit: None },
            Rule::NothingToShow { limit: Some(Limit::Light) },
            Rule::NothingToShow { limit: Some(Limit::Horizon) },
            Rule::TooManyForScreen { visitors: 1600, at_most: 120 },
            Rule::TooManyPortChanges { changes: 9, most: 4 },
            Rule::TooFewOnPort { port: PortId("eyepiece".into()), stops: 1, least: 3 },
            Rule::LongWait { at, wait_minutes: 24.0 },
            Rule::NoPictureYet,
            Rule::ShownTwice { with: id },
            Rule::MustShowMissing(TargetId("nobody".into())),
            Rule::LeftOutShown,
            Rule::UnknownUnderstudy(TargetId("nobody".into())),
            Rule::LeftOutUnderstudy(TargetId("nobody".into())),
            Rule::UnderstudyLimited { understudy: TargetId("moon".into()), at, limit: Limit::Sun },
            Rule::UnderstudyLimited { understudy: TargetId("moon".into()), at, limit: Limit::Horizon },
            Rule::OldElements { age_days: 132.4 },
            Rule::Incomplete { missing: vec![Missing::Size, Missing::Line] },
            Rule::MoonNear { lit: Fraction::clamped(0.3), separation: angle(8.0) },
            Rule::FixedEntryMissing { title: "Talk".into() },
            Rule::LittleSlack { free_percent: 4.0, wished_percent: 12.0 },
            Rule::ParkCloses,
            Rule::ClockTimeTwice { what: ClockTime::DoorsClose, taken: at },
            Rule::ClockTimeTwice { what: ClockTime::Entry("Talk".into()), taken: at },
            Rule::ClockTimeSkipped { what: ClockTime::Entry("Talk".into()), time: NaiveTime::MIN },
            Rule::ClockTimeSkipped { what: ClockTime::ParkCloses, time: NaiveTime::MIN },
            Rule::ClockTimeSkipped { what: ClockTime::SkyCloses, time: NaiveTime::MIN },
            Rule::ClockTimeTwice { what: ClockTime::SkyOpens, taken: at },
            Rule::DoubtfulClock,
        ];
        demo.with_names(&prepared, |names| {
            for rule in rules {
                let finding = Finding { severity: Severity::Caution, stop: Some(id), rule };
                let (what, remedy) = finding_sentence(&finding, names);
                for sentence in [&what, &remedy] {
                    assert!(sentence.ends_with('.') && !sentence.contains(".."), "{sentence}");
                    assert!(
                        sentence.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit() || c == '"'),
                        "{sentence}"
                    );
                }
                assert!(finding_place(&finding, names).is_some_and(|place| place.starts_with("Stop 2, ")));
            }
            let rule = Rule::NotSeated { heights_mm: (1400.0, 1400.0), later_stops: 3 };
            let seated = Finding { severity: Severity::Caution, stop: Some(id), rule };
            let told = finding_sentence(&seated, names).0;
            assert!(told.ends_with("They can't reach it at 3 later stops either."), "{told}");
            let short = Finding {
                severity: Severity::Caution,
                stop: Some(id),
                rule: Rule::TooShort { has_minutes: 12.0, needed_minutes: 19.2 },
            };
            let told = finding_sentence(&short, names).0;
            assert_eq!(told, "Too short for the visitors expected: 12 min, they need 20 min.");
        });
    }

    #[test]
    fn no_sentence_gives_what_is_short_of_a_limit_as_the_limit() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let at = prepared.doors.start();
        let angle = Angle::from_degrees;
        demo.with_names(&prepared, |names| {
            let told = |rule| {
                let finding = Finding { severity: Severity::Stopper, stop: None, rule };
                finding_sentence(&finding, names).0
            };
            let low = told(Rule::TooLow { at, altitude: angle(14.97), needed: angle(15.0) });
            assert_eq!(low, "Too low at 18:30 GMT: altitude 14.9°, and 15.0° is needed there.");
            let low = told(Rule::TooLow { at, altitude: angle(14.03), needed: angle(14.04) });
            assert!(low.contains("altitude 14.0°, and 14.1° is needed"), "{low}");
            let near = told(Rule::NearSun { separation: angle(29.96), limit: angle(30.0) });
            assert_eq!(near, "Only 29.9° from the Sun; 30.0° is the limit while the Sun is above −6°.");
            assert!(told(Rule::SlewNearSun { separation: angle(29.96) }).contains("passes 29.9° from"));
            let little = told(Rule::LittleSlack { free_percent: 11.96, wished_percent: 12.0 });
            assert_eq!(little, "Little slack: 11% of the evening is free, 12% was wished.");
            let closes = told(Rule::ParkCloses);
            assert!(closes.ends_with("GMT, when the park closes."), "{closes}");
        });
    }
}
