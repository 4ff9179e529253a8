//! What is wrong, and what is odd, with an answer as it is typed.

use std::ops::RangeInclusive;
use std::str::FromStr;

use chrono::{Datelike, NaiveDate, NaiveTime, Offset, TimeDelta, TimeZone, Timelike};
use chrono_tz::{TZ_VARIANTS, Tz};
use evenfall_core::site::nearest_zone;
use evenfall_core::time::{Instant, LocalNight};

use super::field::Form;
use super::number::{degrees, is_doubtful, number, numbers, two_ways};
use super::{OwnField, OwnForm};

/// Hours on the local clock between which the Sun is highest almost everywhere people live: zones are kept within two and a
/// half hours of the Sun (common practice of zones, no source).
const NOONS: RangeInclusive<f64> = 9.5..=15.5;
/// The hour around which they lie.
const USUAL_NOON: f64 = 12.5;
/// Years for which there is an ephemeris.
const YEARS: RangeInclusive<i32> = 1950..=2100;
/// Focal ratios that are usual.
const FOCAL_RATIOS: RangeInclusive<f64> = 2.5..=25.0;
/// How long doors stay open, in minutes.
const OPEN_MINUTES: RangeInclusive<i64> = 60..=600;
/// How long before doors close everybody is sent home, in minutes.
pub(super) const CLOSING_MINUTES: i64 = 10;

/// Of one answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Judgement {
    /// There is none yet.
    Missing,
    /// Nothing is wrong, and this is how it is understood; empty where that is plain.
    Good(String),
    /// It can be, but it looks odd.
    Odd(String),
    /// It can't be.
    Wrong(String),
}

impl Judgement {
    /// Whether the evening can be made with it.
    pub const fn lets_go_on(&self) -> bool {
        matches!(self, Self::Good(_) | Self::Odd(_))
    }

    /// What there is to say.
    pub fn words(&self) -> &str {
        match self {
            Self::Missing => "",
            Self::Good(words) | Self::Odd(words) | Self::Wrong(words) => words,
        }
    }
}

impl OwnForm {
    /// Judges what stands in a field.
    pub fn judge(&self, field: OwnField) -> Judgement {
        let typed = self.text(field).trim();
        if typed.is_empty() {
            return Judgement::Missing;
        }
        match readable(field, typed) {
            Err(wrong) => Judgement::Wrong(wrong),
            Ok(understood) => match self.oddity(field) {
                Some(Judgement::Good(more)) if !understood.is_empty() => {
                    Judgement::Good(format!("{understood}, {more}"))
                }
                Some(judgement) => judgement,
                None => Judgement::Good(understood),
            },
        }
    }

    /// A number of a field that stands.
    pub(super) fn number(&self, field: OwnField) -> Option<f64> {
        match field.form() {
            Form::Degrees(range, positive, negative) => {
                degrees(self.text(field), positive, negative).filter(|value| range.contains(value))
            }
            Form::Number(range, _) | Form::People(range) => {
                number(self.text(field)).filter(|value| range.contains(value))
            }
            _ => None,
        }
    }

    pub(super) fn zone(&self) -> Option<Tz> {
        Tz::from_str(self.text(OwnField::Zone).trim()).ok()
    }

    pub(super) fn date(&self) -> Option<NaiveDate> {
        parse_date(self.text(OwnField::Date))
    }

    /// When doors open on the local clock, when everybody is sent home, and when doors close.
    pub(super) fn doors(&self) -> Option<[NaiveTime; 3]> {
        let close = self.clock(OwnField::DoorsClose)?;
        let closing = closing(&self.night()?, close).ok()?;
        Some([self.clock(OwnField::DoorsOpen)?, closing, close])
    }

    fn clock(&self, field: OwnField) -> Option<NaiveTime> {
        parse_clock(self.text(field))
    }

    /// The night of date and zone, once both are known.
    fn night(&self) -> Option<LocalNight> {
        LocalNight::new(self.date()?, self.zone()?).ok()
    }

    /// How many minutes doors are open: by the clock alone until the night is known. `None` where a time is skipped.
    fn open_minutes(&self) -> Option<i64> {
        let (open, close) = (self.clock(OwnField::DoorsOpen)?, self.clock(OwnField::DoorsClose)?);
        let Some(night) = self.night() else {
            return Some((close - open).num_minutes().rem_euclid(24 * 60));
        };
        let minutes = night.at(close).ok()?.to_utc() - night.at(open).ok()?.to_utc();
        Some(minutes.num_minutes())
    }

    fn wrong_opening(&self) -> Option<String> {
        let open = self.clock(OwnField::DoorsOpen)?;
        self.night()?.at(open).err().map(|_| SKIPPED.to_owned())
    }

    /// What there is to say about the time at which doors close.
    fn closing_time(&self) -> Option<Judgement> {
        let close = self.clock(OwnField::DoorsClose)?;
        if let Some(Err(wrong)) = self.night().map(|night| closing(&night, close)) {
            return Some(Judgement::Wrong(wrong.to_owned()));
        }
        let minutes = self.open_minutes()?;
        Some(if OPEN_MINUTES.contains(&minutes) {
            Judgement::Good(format!("Open for {}:{:02} hours", minutes / 60, minutes % 60))
        } else {
            Judgement::Wrong("Doors stay open for an hour to ten hours.".to_owned())
        })
    }

    /// What is odd about an answer that can be read, or wrong beside the others.
    fn oddity(&self, field: OwnField) -> Option<Judgement> {
        match field {
            OwnField::Latitude => self.odd_latitude().map(Judgement::Odd),
            OwnField::Longitude => self.odd_longitude().map(Judgement::Odd),
            OwnField::FocalLength => {
                let ratio = self.number(OwnField::FocalLength)? / self.number(OwnField::Aperture)?;
                Some(if FOCAL_RATIOS.contains(&ratio) {
                    Judgement::Good(format!("f/{ratio:.1}"))
                } else {
                    Judgement::Odd(format!("That makes f/{ratio:.1}: are both in millimetres?"))
                })
            }
            OwnField::DoorsOpen => self.wrong_opening().map(Judgement::Wrong),
            OwnField::DoorsClose => self.closing_time(),
            _ => None,
        }
    }

    fn odd_latitude(&self) -> Option<String> {
        let latitude = self.number(OwnField::Latitude)?;
        let usually = usual_side(self.zone()?.name())?;
        (latitude * usually < 0.0).then(|| {
            let (side, sign) = if latitude > 0.0 { ("north", "minus") } else { ("south", "plus") };
            format!("That is {side} of the equator, and this time zone lies on the other side: should it be {sign}?")
        })
    }

    /// A longitude can be held against the zone: where is the Sun at its highest on the local clock?
    fn odd_longitude(&self) -> Option<String> {
        let longitude = self.number(OwnField::Longitude)?;
        let noon = |longitude: f64| self.noon(longitude);
        if NOONS.contains(&noon(longitude)?) {
            return None;
        }
        let clock = clock_words(noon(longitude)?);
        let told = format!("There the Sun would be highest at {clock} on this zone's clock");
        let side = if longitude > 0.0 { "west" } else { "east" };
        let other_sign = format!("is the site {side} of Greenwich? Then the sign changes");
        let swapped = "have latitude and longitude changed places?".to_owned();
        let latitude = degrees(self.text(OwnField::Latitude), 'N', 'S');
        let meant = [(Some(-longitude), other_sign), (latitude, swapped)];
        let from_usual = |longitude: f64| Some((noon(longitude)? - USUAL_NOON).abs());
        let remedy = meant
            .into_iter()
            .filter_map(|(longitude, words)| Some((from_usual(longitude?)?, words)))
            .filter(|(hours, _)| NOONS.contains(&(USUAL_NOON + hours)))
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .map_or_else(|| "check longitude and time zone".to_owned(), |(_, words)| words);
        Some(format!("{told}: {remedy}."))
    }

    /// Hours on the local clock at which the mean Sun is highest.
    fn noon(&self, longitude_deg: f64) -> Option<f64> {
        let date = self.date().or_else(|| NaiveDate::from_ymd_opt(2027, 1, 15))?;
        let offset = self.zone()?.offset_from_utc_date(&date).fix().local_minus_utc();
        Some((12.0 + f64::from(offset) / 3600.0 - longitude_deg / 15.0).rem_euclid(24.0))
    }
}

const SKIPPED: &str = "The clocks go forward over this time on that night: give one before or after.";
const COMES_TWICE: &str =
    "The clocks go back within the ten minutes before: close doors a little earlier or later.";

/// When everybody is sent home, or why doors can't close then. A clock time that comes twice is taken as the first of the
/// two, so the last minutes must not begin in the second.
fn closing(night: &LocalNight, close: NaiveTime) -> Result<NaiveTime, &'static str> {
    let close = night.at(close).map_err(|_| SKIPPED)?;
    let begins = Instant::from_utc(close.to_utc() - TimeDelta::minutes(CLOSING_MINUTES));
    let clock = night.local(begins).time();
    if night.at(clock) == Ok(begins) { Ok(clock) } else { Err(COMES_TWICE) }
}

/// How an answer is understood, or why it can't be read.
fn readable(field: OwnField, typed: &str) -> Result<String, String> {
    match field.form() {
        Form::Words(most) if typed.chars().count() > most => Err(format!("At most {most} characters.")),
        Form::Words(_) | Form::Folder => Ok(String::new()),
        Form::Degrees(range, positive, negative) => {
            let value = degrees(typed, positive, negative).ok_or_else(|| {
                two_ways(typed).unwrap_or_else(|| format!("Give degrees, such as 12.5 or 12.5 {negative}."))
            })?;
            within(value, &range, "degrees")?;
            let side = match (positive, value >= 0.0) {
                ('N', true) => "north",
                ('N', false) => "south",
                (_, true) => "east of Greenwich",
                (_, false) => "west of Greenwich",
            };
            Ok(format!("{:.2}° {side}", value.abs()))
        }
        Form::Number(range, unit) => {
            let value = a_number(typed, "Give a number.")?;
            within(value, &range, unit)?;
            Ok(if is_doubtful(typed) { format!("{value} {unit}") } else { String::new() })
        }
        Form::People(range) => {
            const WHOLE: &str = "Give a whole number.";
            let value = a_number(typed, WHOLE)?;
            if value.fract() != 0.0 {
                return Err(WHOLE.to_owned());
            }
            within(value, &range, "people")?;
            Ok(if is_doubtful(typed) { format!("{value} people") } else { String::new() })
        }
        Form::Numbers(range, unit) => {
            let values = numbers(typed).ok_or_else(|| "Give numbers with commas between them.".to_owned())?;
            values.iter().try_for_each(|value| within(*value, &range, unit))?;
            // A decimal comma would make two of one.
            let is_tight =
                typed.split(',').skip(1).any(|part| part.starts_with(|first: char| first.is_ascii_digit()));
            let read =
                || values.iter().map(|value| format!("{value} {unit}")).collect::<Vec<_>>().join(" and ");
            Ok(if is_tight { read() } else { String::new() })
        }
        Form::Zone => match Tz::from_str(typed) {
            Ok(_) => Ok(String::new()),
            Err(_) => Err(format!("There is no zone \"{typed}\". {}", near_zones(typed))),
        },
        Form::Date => parse_date(typed)
            .map(|date| date.format("%A %-d %B %Y").to_string())
            .ok_or_else(|| "Give a date such as 2027-03-13, from 1950 to 2100.".to_owned()),
        Form::Clock => match parse_clock(typed) {
            None => Err("Give a time such as 20:30.".to_owned()),
            Some(time) if field == OwnField::DoorsOpen && time.hour() < 12 => {
                Err("Doors open at noon or later; an evening belongs to the date on which it begins."
                    .to_owned())
            }
            Some(_) => Ok(String::new()),
        },
    }
}

fn a_number(typed: &str, wanted: &str) -> Result<f64, String> {
    number(typed).ok_or_else(|| two_ways(typed).unwrap_or_else(|| wanted.to_owned()))
}

fn within(value: f64, range: &RangeInclusive<f64>, unit: &str) -> Result<(), String> {
    if range.contains(&value) {
        return Ok(());
    }
    Err(format!("{value} is out of range: from {} to {} {unit}.", range.start(), range.end()))
}

/// Zones with the same letters, or the nearest one.
fn near_zones(typed: &str) -> String {
    let wanted = typed.to_lowercase().replace(' ', "_");
    let with_letters = TZ_VARIANTS.iter().map(|zone| zone.name());
    let found: Vec<&str> =
        with_letters.filter(|name| name.to_lowercase().contains(&wanted)).take(3).collect();
    if found.is_empty() {
        format!("Did you mean {}?", nearest_zone(typed))
    } else {
        format!("Did you mean {}?", found.join(" or "))
    }
}

/// 1 where a zone lies north of the equator, -1 where it lies south; `None` where it may lie on either side or was not
/// looked at (read off a map).
fn usual_side(zone: &str) -> Option<f64> {
    const SOUTH: [&str; 14] = [
        "Australia/",
        "Antarctica/",
        "America/Argentina/",
        "Pacific/Auckland",
        "Africa/Johannesburg",
        "Africa/Windhoek",
        "Africa/Harare",
        "America/Santiago",
        "America/Sao_Paulo",
        "America/Montevideo",
        "America/La_Paz",
        "America/Lima",
        "America/Asuncion",
        "Indian/Mauritius",
    ];
    const NORTH: [&str; 22] = [
        "Europe/",
        "Asia/Tokyo",
        "Asia/Seoul",
        "Asia/Shanghai",
        "Asia/Kolkata",
        "Asia/Tehran",
        "Asia/Dubai",
        "Asia/Jerusalem",
        "Asia/Taipei",
        "Atlantic/Canary",
        "Atlantic/Reykjavik",
        "Africa/Cairo",
        "Africa/Casablanca",
        "America/New_York",
        "America/Chicago",
        "America/Denver",
        "America/Phoenix",
        "America/Los_Angeles",
        "America/Toronto",
        "America/Vancouver",
        "America/Mexico_City",
        "Pacific/Honolulu",
    ];
    let lies_in = |zones: &[&str]| zones.iter().any(|start| zone.starts_with(start));
    match (lies_in(&NORTH), lies_in(&SOUTH)) {
        (true, _) => Some(1.0),
        (_, true) => Some(-1.0),
        _ => None,
    }
}

fn parse_date(typed: &str) -> Option<NaiveDate> {
    let forms = ["%Y-%m-%d", "%d %B %Y"];
    let date = forms.iter().find_map(|form| NaiveDate::parse_from_str(typed.trim(), form).ok())?;
    YEARS.contains(&date.year()).then_some(date)
}

fn parse_clock(typed: &str) -> Option<NaiveTime> {
    ["%H:%M", "%H.%M", "%H%M"].iter().find_map(|form| NaiveTime::parse_from_str(typed.trim(), form).ok())
}

fn clock_words(hours: f64) -> String {
    let minutes = (hours * 60.0).round() as u32 % 1440;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests {
    use chrono::{NaiveTime, TimeZone, Utc};
    use evenfall_core::time::Instant;

    use super::{COMES_TWICE, Judgement, OwnField, OwnForm, SKIPPED};

    fn form(answers: &[(OwnField, &str)]) -> OwnForm {
        let now = Instant::from_utc(Utc.with_ymd_and_hms(2027, 3, 10, 12, 0, 0).unwrap());
        let mut form = OwnForm::new(now, None);
        for (field, text) in answers {
            form.put(*field, (*text).to_owned());
        }
        form
    }

    #[test]
    fn a_changed_sign_is_told_gently() {
        let place = |latitude, longitude, zone| {
            form(&[(OwnField::Latitude, latitude), (OwnField::Longitude, longitude), (OwnField::Zone, zone)])
        };
        for (form, field, words) in [
            (place("39.7", "105", "America/Denver"), OwnField::Longitude, "west of Greenwich"),
            (place("33.9", "151.2", "Australia/Sydney"), OwnField::Latitude, "should it be minus"),
            (place("-105", "39.7", "America/Denver"), OwnField::Longitude, "changed places"),
            (place("-75", "40", "America/New_York"), OwnField::Longitude, "changed places"),
        ] {
            let judgement = form.judge(field);
            assert!(matches!(&judgement, Judgement::Odd(told) if told.contains(words)), "{judgement:?}");
        }
        // Places whose clocks are far from the Sun, and right: Kashgar on Beijing's time, western Spain, Samoa.
        for (latitude, longitude, zone) in [
            ("39.5", "76", "Asia/Shanghai"),
            ("42.9", "-9.2", "Europe/Madrid"),
            ("-13.8", "-171.8", "Pacific/Apia"),
        ] {
            let form = place(latitude, longitude, zone);
            for field in [OwnField::Latitude, OwnField::Longitude] {
                assert!(matches!(form.judge(field), Judgement::Good(_)), "{zone}: {:?}", form.judge(field));
            }
        }
    }

    #[test]
    fn what_was_understood_is_told_where_it_can_be_doubted() {
        for (field, typed, words) in [
            (OwnField::Height, "1.200", "1.2 m"),
            (OwnField::Height, "102,5", "102.5 m"),
            (OwnField::Height, "1200", ""),
            (OwnField::FocalLength, "3,2e3", "3200 mm, f/8.0"),
            (OwnField::Visitors, "4e1", "40 people"),
            (OwnField::EyepieceLengths, "35,5", "35 mm and 5 mm"),
            (OwnField::EyepieceLengths, "35, 24", ""),
        ] {
            assert_eq!(form(&[(field, typed)]).judge(field), Judgement::Good(words.to_owned()), "{typed}");
        }
    }

    /// In the European Union and the United Kingdom clocks change at 01:00 UTC on the last Sundays of March and October
    /// (Directive 2000/84/EC; Summer Time Order 2002): in London 01:00 to 02:00 is skipped on 28 March 2027, and comes
    /// twice on 31 October.
    #[test]
    fn doors_are_held_against_the_clock_change_of_the_night() {
        let close = |date, close| {
            let form = form(&[
                (OwnField::Zone, "Europe/London"),
                (OwnField::Date, date),
                (OwnField::DoorsOpen, "22:00"),
                (OwnField::DoorsClose, close),
            ]);
            (form.judge(OwnField::DoorsClose), form.doors().map(|[_, closing, _]| clock(closing)))
        };
        let open_for = |hours: &str, closing: &str| {
            (Judgement::Good(format!("Open for {hours} hours")), Some(closing.to_owned()))
        };
        for skipped in ["01:00", "01:30", "01:59"] {
            assert_eq!(close("2027-03-27", skipped), (Judgement::Wrong(SKIPPED.to_owned()), None));
        }
        assert_eq!(close("2027-03-27", "02:05"), open_for("3:05", "00:55"));
        assert_eq!(close("2027-03-26", "01:30"), open_for("3:30", "01:20"));
        assert_eq!(close("2027-10-30", "02:05"), (Judgement::Wrong(COMES_TWICE.to_owned()), None));
        assert_eq!(close("2027-10-30", "02:15"), open_for("5:15", "02:05"));
        assert_eq!(close("2027-10-30", "01:30"), open_for("3:30", "01:20"));
        // Samoa went without 30 December 2011 when it crossed the date line (tz database, Pacific/Apia).
        let lost_day = form(&[(OwnField::Zone, "Pacific/Apia"), (OwnField::Date, "2011-12-30")]);
        assert_eq!(lost_day.judge(OwnField::DoorsOpen), Judgement::Wrong(SKIPPED.to_owned()));
    }

    fn clock(time: NaiveTime) -> String {
        time.format("%H:%M").to_string()
    }

    #[test]
    fn answers_out_of_range_name_the_range() {
        for (field, typed, words) in [
            (OwnField::Latitude, "91", "from -90 to 90"),
            (OwnField::Aperture, "0", "from 20 to 50000 mm"),
            (OwnField::Zone, "europe london", "Europe/London"),
            (OwnField::Zone, "Denver", "America/Denver"),
            (OwnField::Date, "2127-01-01", "1950 to 2100"),
            (OwnField::DoorsOpen, "8:30", "noon or later"),
            (OwnField::DoorsClose, "20:10", "an hour to ten hours"),
            (OwnField::Visitors, "2.5", "whole number"),
            (OwnField::EyepieceLengths, "35, 999", "from 1 to 200 mm"),
            (OwnField::Height, "1,200", "write 1200 or 1.2"),
            (OwnField::Visitors, "1,000", "write 1000 or 1"),
            (OwnField::Latitude, "55,123", "write 55123 or 55.123"),
        ] {
            let judgement = form(&[(field, typed)]).judge(field);
            assert!(matches!(&judgement, Judgement::Wrong(told) if told.contains(words)), "{judgement:?}");
        }
        assert_eq!(form(&[]).judge(OwnField::SiteName), Judgement::Missing);
        assert_eq!(form(&[]).judge(OwnField::FocalLength), Judgement::Good("f/8.0".to_owned()));
    }
}
