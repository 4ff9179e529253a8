//! The trade's rules for a running order and closed parts of the sky, in words.

use chrono::NaiveTime;

use super::numbers;
use crate::plan::{ClosedSky, OrderRule};

/// A rule in few words, such as `Bright and easy first`.
pub const fn rule_words(rule: OrderRule) -> &'static str {
    match rule {
        OrderRule::BrightFirst => "Bright and easy first",
        OrderRule::SetsFirst => "What sets first goes first",
        OrderRule::ChildrenFirst => "The children's best before bedtime",
        OrderRule::FaintApart => "Never two faint smudges in a row",
        OrderRule::InTurn => "Eyepiece and screen in turn",
        OrderRule::Crescendo => "One crescendo at 60 to 70 percent",
        OrderRule::FavouriteLast => "A long-lived favourite last",
    }
}

/// What a rule does in a draft, and what its weight means.
pub const fn rule_meaning(rule: OrderRule) -> &'static str {
    match rule {
        OrderRule::BrightFirst => {
            "A stop that shows something bright and easy early counts up to so much more: the first look should succeed."
        }
        OrderRule::SetsFirst => {
            "A stop whose target the sky soon takes away counts up to so much more: what stays up can wait."
        }
        OrderRule::ChildrenFirst => {
            "A stop that children like best counts up to so much more before bedtime, when they go home."
        }
        OrderRule::FaintApart => {
            "A faint smudge directly after another loses so much of its worth: eyes and patience need a rest."
        }
        OrderRule::InTurn => {
            "A stop at the eyepiece directly after another there, or at a screen after a screen, loses so much of its \
             worth: one line forms while the other is served."
        }
        OrderRule::Crescendo => {
            "The stop that stands where 60 to 70 percent of the evening has gone counts up to so much more: the finest \
             sight belongs there."
        }
        OrderRule::FavouriteLast => {
            "A favourite that stays up long counts up to so much more as the last look of the evening."
        }
    }
}

/// A sector of the sky in words: `90° E to 180° S`; `all around` for the whole circle.
pub fn sector_words(closed: &ClosedSky) -> String {
    if (closed.to - closed.from).wrapped().degrees() == 0.0 {
        return "all around".to_owned();
    }
    let end =
        |azimuth| format!("{} {}", numbers::azimuth_degrees(azimuth), numbers::compass_letters(azimuth));
    format!("{} to {}", end(closed.from), end(closed.to))
}

/// A closed part of the sky in words: `90° E to 180° S, since 21:30, until 22:10`.
pub fn closed_sky_words(closed: &ClosedSky) -> String {
    let clock = |time: Option<NaiveTime>, again: bool| {
        let again = if again { ", the second time" } else { "" };
        time.map(|time| format!("{}{again}", time.format("%H:%M")))
    };
    let when = match (clock(closed.since, closed.since_again), clock(closed.until, closed.until_again)) {
        (None, None) => "all night".to_owned(),
        (Some(since), None) => format!("since {since}"),
        (None, Some(until)) => format!("until {until}"),
        (Some(since), Some(until)) => format!("since {since}, until {until}"),
    };
    format!("{}, {when}", sector_words(closed))
}

#[cfg(test)]
mod tests {
    use chrono::NaiveTime;

    use super::closed_sky_words;
    use crate::plan::ClosedSky;
    use crate::units::Angle;

    #[test]
    fn a_closed_part_says_where_and_when() {
        let words = |from, to, since: Option<&str>, until: Option<&str>| {
            let clock = |text: &str| NaiveTime::parse_from_str(text, "%H:%M").unwrap();
            let (from, to) = (Angle::from_degrees(from), Angle::from_degrees(to));
            closed_sky_words(&ClosedSky::new(from, to, since.map(clock), until.map(clock)))
        };
        let all = words(90.0, 180.0, Some("21:30"), Some("22:10"));
        assert_eq!(all, "90° E to 180° S, since 21:30, until 22:10");
        assert_eq!(words(337.5, 22.5, None, Some("01:05")), "338° NNW to 23° NNE, until 01:05");
        assert_eq!(words(0.0, 360.0, None, None), "all around, all night");
        let until = NaiveTime::from_hms_opt(1, 5, 0);
        let closed = ClosedSky::new(Angle::ZERO, Angle::ZERO, None, until);
        let again = closed_sky_words(&ClosedSky { until_again: true, ..closed });
        assert_eq!(again, "all around, until 01:05, the second time");
    }
}
