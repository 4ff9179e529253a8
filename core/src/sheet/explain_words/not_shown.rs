//! Why a target is not in the order, when it is at its best, and where it could come in.

use super::shares::{evening_words, more_words, port};
use crate::plan::{BestHour, Limit, NotShown, NotShownWhy, WayIn, WhyNot};
use crate::sheet::phrases::{lower_first, upper_first};
use crate::sheet::why::{better_phrase, why_not_phrase};
use crate::sheet::wording::{limit_phrase, view_percent, view_phrase};
use crate::sheet::{Names, numbers};
use crate::time::Interval;
use crate::units::{Angle, Fraction};

/// Why a target is not in the order, in one sentence.
pub fn not_shown_sentence(names: &Names<'_>, why: &NotShownWhy) -> String {
    match why {
        NotShownWhy::LeftOut => "Left out, as you wish.".to_owned(),
        NotShownWhy::NeverUp { highest, at } => format!(
            "Never up while doors are open: {} at most, at {}.",
            numbers::degrees(*highest),
            names.clock(*at)
        ),
        NotShownWhy::TooLow { highest, at, needed, else_limit } => {
            let other = else_limit
                .map_or_else(String::new, |limit| format!("; at other times it is {}", limit_phrase(limit)));
            let at = names.clock(*at);
            if *highest < Angle::ZERO {
                let highest = numbers::degrees(*highest);
                format!("Below the horizon, {highest} at most, at {at}{other}.")
            } else {
                let (up, least) = apart_degrees(*highest, *needed);
                format!("Too low: {up} up at most, at {at}, and {least} is needed there{other}.")
            }
        }
        NotShownWhy::Limit(Limit::NoPort) => "No port in service shows it.".to_owned(),
        NotShownWhy::Limit(limit) => format!("Not tonight: {}.", limit_phrase(*limit)),
        NotShownWhy::OutOfService { port: only, view, at } => format!(
            "Only {} would show it ({} at {}), and that is out of service.",
            port(names, only),
            view_percent(*view),
            names.clock(*at)
        ),
        NotShownWhy::PoorView { why, at } => {
            let because = why.as_ref().map(|why| lower_first(&why_not_phrase(names, why)));
            let because = because.map_or_else(String::new, |because| format!(": {because}"));
            match why {
                Some(WhyNot::View { view, .. }) if *view > Fraction::ZERO => {
                    format!("Hard to show even at its best, at {}{because}.", names.clock(*at))
                }
                _ => format!("No port shows it{because}."),
            }
        }
        NotShownWhy::TooShort { port: nearest, minutes, needed_minutes } => format!(
            "{} shows it for {} at a time, and a stop there needs {}.",
            upper_first(&port(names, nearest)),
            numbers::minutes(*minutes),
            numbers::minutes(*needed_minutes)
        ),
        NotShownWhy::EntryInTheWay { entry, interval, port: nearest } => format!(
            "The time at which {} shows it is taken by {entry}, {}.",
            port(names, nearest),
            numbers::clock_span(&names.prepared.night.local, *interval)
        ),
        NotShownWhy::Gone { last } => {
            format!("Not any more: it could be shown until {}.", names.clock(*last))
        }
        NotShownWhy::NoAppeal => "Of so little appeal that no draft brings it in.".to_owned(),
        NotShownWhy::Beaten { by, more, way } => {
            let stop = names.evening.order.get(*by);
            let at = stop.map_or_else(String::new, |stop| format!(" at {}", names.clock(stop.start())));
            let beaten = stop.map_or_else(String::new, |stop| names.stop_title(stop));
            let lose = evening_words(way.change_share);
            if more.is_finite() {
                let more = more_words(*more);
                format!("Beaten by {beaten}{at}: that stop is worth {more}; in its place {lose}.")
            } else {
                format!("Beaten by {beaten}{at}: in its place this would add nothing, and {lose}.")
            }
        }
        NotShownWhy::Welcome { way } => format!("It could come in: {}.", way_phrase(names, way)),
        NotShownWhy::TooAlike { way } => {
            format!("It would stand beside what is too much like it: {}.", way_phrase(names, way))
        }
        NotShownWhy::NoRoom { needed_minutes } => format!(
            "No room: it needs {}, and what is held, fixed and kept free leaves none with its moves.",
            numbers::minutes(*needed_minutes)
        ),
    }
}

/// Why a target is not in the order, and the best hour it could have: one or two sentences.
pub fn not_shown_sentences(names: &Names<'_>, not_shown: &NotShown) -> Vec<String> {
    let mut all = vec![not_shown_sentence(names, &not_shown.why)];
    all.extend(not_shown.best.as_ref().map(|best| best_hour_sentence(names, best)));
    all.extend(not_shown.later(names.prepared, names.materials).map(|later| {
        let phrase = better_phrase(names, &later);
        let phrase = upper_first(&phrase);
        let doors = if later.from > names.prepared.doors.end() { ", after doors close" } else { "" };
        format!("{phrase}{doors}.")
    }));
    all
}

/// When a target is at its best: `Best from 21:05 to 22:10 GMT: 47° up in the south-east, the eyepiece shows it well.`
pub fn best_hour_sentence(names: &Names<'_>, best: &BestHour) -> String {
    let when = match Interval::new(best.from, best.to) {
        Some(hour) if hour.minutes() >= 1.0 => {
            format!("from {}", numbers::clock_span(&names.prepared.night.local, hour))
        }
        _ => format!("at {}", names.clock(best.at)),
    };
    format!(
        "Best {when}: {} up in the {} at {}, {} {}.",
        numbers::degrees(best.altitude),
        numbers::compass_word(best.azimuth),
        names.clock(best.at),
        port(names, &best.port),
        view_phrase(best.view)
    )
}

/// A place in the order: `at 21:10 GMT through the eyepiece instead of stop 4, Mars; the evening would lose 2.1%`.
pub fn way_phrase(names: &Names<'_>, way: &WayIn) -> String {
    let instead =
        way.replaces.map_or_else(String::new, |stop| format!(" instead of {}", names.stop_phrase(stop)));
    format!(
        "at {} for {} through {}{instead}; {}",
        names.clock(way.interval.start()),
        numbers::minutes(way.interval.minutes()),
        port(names, &way.port),
        evening_words(way.change_share)
    )
}

/// Two altitudes that differ, written so that it shows.
fn apart_degrees(one: Angle, other: Angle) -> (String, String) {
    let whole = (numbers::degrees(one), numbers::degrees(other));
    if whole.0 != whole.1 {
        return whole;
    }
    let finer = |angle: Angle, up: bool| {
        let tenths = angle.degrees() * 10.0;
        format!("{}°", numbers::decimal(if up { tenths.ceil() } else { tenths.floor() } / 10.0, 1))
    };
    (finer(one, false), finer(other, true))
}

#[cfg(test)]
mod tests {
    use super::not_shown_sentence;
    use crate::plan::{NotShownWhy, WayIn};
    use crate::rig::PortId;
    use crate::sheet::demo::Demo;
    use crate::units::Angle;

    #[test]
    fn what_is_beaten_names_by_what_when_and_by_how_much() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        demo.with_names(&prepared, |names| {
            let mars = names.evening.order.stops().iter().find(|stop| {
                stop.show().is_some_and(|show| show.target.0 == "mars")
            });
            let mars = mars.expect("the demo shows Mars");
            let way = WayIn {
                replaces: Some(mars.id),
                port: PortId("wide".into()),
                interval: mars.interval,
                change: -21,
                change_share: -0.021,
            };
            let at = names.clock(mars.start());
            let told = |more| not_shown_sentence(names, &NotShownWhy::Beaten { by: mars.id, more, way: way.clone() });
            let want = format!("Beaten by Mars at {at}: that stop is worth 18% more; in its place the evening would lose 2.1%.");
            assert_eq!(told(0.18), want);
            assert!(told(f64::INFINITY).contains("in its place this would add nothing, and the evening would lose 2.1%"));
            let low = NotShownWhy::TooLow {
                highest: Angle::from_degrees(14.96),
                at: mars.start(),
                needed: Angle::from_degrees(15.0),
                else_limit: None,
            };
            let want = format!("Too low: 14.9° up at most, at {at}, and 15.0° is needed there.");
            assert_eq!(not_shown_sentence(names, &low), want);
        });
    }
}
