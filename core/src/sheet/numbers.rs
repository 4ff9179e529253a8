//! The only rounding rules: how a time, an angle, a brightness or a length of time is written for people.

use chrono::{DateTime, Duration, NaiveDate, NaiveTime};
use chrono_tz::Tz;

use crate::time::{Instant, Interval, LocalNight};
use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

/// The true minus sign, which a screen reader says and a hyphen is not.
const MINUS: char = '\u{2212}';

/// A local time to the minute, rounded to the nearest: `20:40`.
pub fn clock(local: DateTime<Tz>) -> String {
    (local + Duration::seconds(30)).format("%H:%M").to_string()
}

/// A local time rounded down to the minute, for what must not begin late: `20:38`.
pub fn clock_down(local: DateTime<Tz>) -> String {
    local.format("%H:%M").to_string()
}

/// An instant on the night's clock with its zone: `20:40 GMT`.
pub fn clock_with_zone(night: &LocalNight, instant: Instant) -> String {
    format!("{} {}", clock(night.local(instant)), night.zone_label(instant))
}

/// From when to when with the zone, named twice only where the clocks change between: `19:30 to 22:30 GMT`.
pub fn clock_span(night: &LocalNight, interval: Interval) -> String {
    let (from, to) = (interval.start(), interval.end());
    if night.zone_label(from) == night.zone_label(to) {
        format!("{} to {}", clock(night.local(from)), clock_with_zone(night, to))
    } else {
        format!("{} to {}", clock_with_zone(night, from), clock_with_zone(night, to))
    }
}

/// A date in full: `Saturday 13 March 2027`.
pub fn date_in_full(date: NaiveDate) -> String {
    date.format("%A %-d %B %Y").to_string()
}

/// A number with `decimals` decimals, with a true minus and never `−0`.
pub fn decimal(value: f64, decimals: usize) -> String {
    let digits = format!("{:.decimals$}", value.abs());
    let is_zero = digits.chars().all(|digit| digit == '0' || digit == '.');
    if value < 0.0 && !is_zero { format!("{MINUS}{digits}") } else { digits }
}

/// An angle in whole degrees: `46°`.
pub fn degrees(angle: Angle) -> String {
    format!("{}°", decimal(angle.degrees(), 0))
}

/// A direction in whole degrees from 0 to 359: `135°`.
pub fn azimuth_degrees(azimuth: Angle) -> String {
    format!("{}°", azimuth_number(azimuth))
}

/// The digits of [`azimuth_degrees`]: 359.7 degrees is `0`, not `360`.
pub fn azimuth_number(azimuth: Angle) -> String {
    decimal(azimuth.wrapped().degrees().round() % 360.0, 0)
}

/// The size of something on the sky, in the unit that suits it: `1.5°`, `42′`, `3.5′`, `18″`.
pub fn size(angle: Angle) -> String {
    let arcminutes = angle.arcminutes().abs();
    if arcminutes >= 59.5 {
        format!("{}°", decimal(angle.degrees(), 1))
    } else if arcminutes >= 9.95 {
        format!("{}′", decimal(angle.arcminutes(), 0))
    } else if arcminutes >= 0.995 {
        format!("{}′", decimal(angle.arcminutes(), 1))
    } else if angle.arcseconds().abs() >= 9.95 {
        format!("{}″", decimal(angle.arcseconds(), 0))
    } else {
        format!("{}″", decimal(angle.arcseconds(), 1))
    }
}

const WINDS: [(&str, &str); 16] = [
    ("N", "north"),
    ("NNE", "north-north-east"),
    ("NE", "north-east"),
    ("ENE", "east-north-east"),
    ("E", "east"),
    ("ESE", "east-south-east"),
    ("SE", "south-east"),
    ("SSE", "south-south-east"),
    ("S", "south"),
    ("SSW", "south-south-west"),
    ("SW", "south-west"),
    ("WSW", "west-south-west"),
    ("W", "west"),
    ("WNW", "west-north-west"),
    ("NW", "north-west"),
    ("NNW", "north-north-west"),
];

/// Position in [`WINDS`] of the nearest of `winds` (8 or 16) directions.
fn wind_index(azimuth: Angle, winds: usize) -> usize {
    let sector = (azimuth.wrapped().degrees() * winds as f64 / 360.0).round() as usize % winds;
    sector * (WINDS.len() / winds)
}

/// The nearest of sixteen winds in letters: `SSE`.
pub fn compass_letters(azimuth: Angle) -> &'static str {
    WINDS[wind_index(azimuth, 16)].0
}

/// The nearest of eight winds in words: `south-east`.
pub fn compass_word(azimuth: Angle) -> &'static str {
    WINDS[wind_index(azimuth, 8)].1
}

/// A length of time, to the second below two minutes and to the minute from ten: `50 s`, `2 min 10 s`, `20 min`,
/// `1 h 5 min`. A negative one is written without its sign.
pub fn duration(seconds: f64) -> String {
    let whole = seconds.abs().round() as u64;
    let minutes = (seconds.abs() / 60.0).round() as u64;
    match whole {
        0..60 => format!("{whole} s"),
        60..600 if whole.is_multiple_of(60) => format!("{} min", whole / 60),
        60..600 => format!("{} min {} s", whole / 60, whole % 60),
        _ if minutes < 60 => format!("{minutes} min"),
        _ if minutes.is_multiple_of(60) => format!("{} h", minutes / 60),
        _ => format!("{} h {} min", minutes / 60, minutes % 60),
    }
}

/// Minutes of people's time, to the minute: `20 min`.
pub fn minutes(minutes: f64) -> String {
    if minutes.abs() < 0.5 { duration(minutes * 60.0) } else { duration(minutes.round() * 60.0) }
}

/// Heights from the lowest to the highest, whole: `1200 mm`, `1090–1295 mm`.
pub fn millimetres((low_mm, high_mm): (f64, f64)) -> String {
    let (low, high) = (decimal(low_mm, 0), decimal(high_mm, 0));
    if low == high { format!("{low} mm") } else { format!("{low}–{high} mm") }
}

/// A magnitude to a tenth: `magnitude 4.2`.
pub fn magnitude(magnitude: Magnitude) -> String {
    format!("magnitude {}", decimal(magnitude.0, 1))
}

/// A surface brightness to a tenth: `21.3 mag per square arcsecond`.
pub fn surface_brightness(brightness: SurfaceBrightness) -> String {
    format!("{} mag per square arcsecond", decimal(brightness.0, 1))
}

/// A share in whole percent: `38%`.
pub fn percent(share: Fraction) -> String {
    percent_of(share.percent())
}

/// A number of percent, whole: `38%`.
pub fn percent_of(percent: f64) -> String {
    format!("{}%", decimal(percent, 0))
}

/// A number of percent rounded down, for what must not be promised: `37%`. As the check has it, a hundredth of a percent
/// short is rounding.
pub fn percent_down(percent: f64) -> String {
    percent_of((percent + 0.01).floor())
}

/// An airmass to a tenth, never below 1 (the formula gives 0.9997 at the zenith): `1.4`.
pub fn airmass(airmass: f64) -> String {
    decimal(airmass.max(1.0), 1)
}

/// A height in fists at arm's length, whole: one fist is about ten degrees (common practice, no source).
pub fn fists(altitude: Angle) -> u32 {
    (altitude.degrees() / 10.0).round().max(0.0) as u32
}

/// A right ascension to a tenth of a second of time: `16h 41m 41.6s`.
pub fn hours_minutes_seconds(right_ascension: Angle) -> String {
    let tenths = (right_ascension.wrapped().hours() * 36_000.0).round() as u64 % 864_000;
    let (hours, minutes, tenths) = (tenths / 36_000, tenths / 600 % 60, tenths % 600);
    format!("{hours:02}h {minutes:02}m {:02}.{}s", tenths / 10, tenths % 10)
}

/// A declination to an arcsecond, always with its sign: `+36° 27′ 37″`.
pub fn degrees_minutes_seconds(declination: Angle) -> String {
    let whole = declination.arcseconds().abs().round() as u64;
    let sign = if declination < Angle::ZERO && whole > 0 { MINUS } else { '+' };
    format!("{sign}{:02}° {:02}′ {:02}″", whole / 3600, whole / 60 % 60, whole % 60)
}

/// An angle to a tenth of a degree: `46.2°`.
pub fn tenths_of_degrees(angle: Angle) -> String {
    format!("{}°", decimal(angle.degrees(), 1))
}

/// An azimuth to a tenth of a degree, from 0.0 to 359.9: `135.4°`.
pub fn azimuth_tenths(azimuth: Angle) -> String {
    format!("{}°", decimal((azimuth.wrapped().degrees() * 10.0).round() % 3600.0 / 10.0, 1))
}

/// The length of one frame: `4 ms`, `0.5 s`, `10 s`.
pub fn exposure(seconds: f64) -> String {
    match seconds {
        _ if seconds < 0.0995 => format!("{} ms", decimal((seconds * 1000.0).max(1.0), 0)),
        _ if seconds < 9.95 => format!("{} s", decimal(seconds, 1)),
        _ => format!("{} s", decimal(seconds, 0)),
    }
}

/// Steps of a focuser with their sign: `+120 steps`, `0 steps`.
pub fn steps(steps: i32) -> String {
    let sign = if steps > 0 { "+" } else { "" };
    format!("{sign}{} steps", decimal(f64::from(steps), 0))
}

/// A clock time as it was given: `16:30`.
pub fn given_clock(time: NaiveTime) -> String {
    time.format("%H:%M").to_string()
}

/// An instant on the clock of UTC to the second: `19:20:00`.
pub fn clock_utc(instant: Instant) -> String {
    (instant.to_utc() + Duration::milliseconds(500)).format("%H:%M:%S").to_string()
}

/// A count with its noun: `1 visitor`, `60 visitors`.
pub fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use chrono::TimeZone;
    use chrono_tz::Europe::London;

    use super::{
        azimuth_degrees, azimuth_tenths, clock, compass_letters, compass_word, decimal, degrees,
        degrees_minutes_seconds, duration, exposure, fists, hours_minutes_seconds, minutes, percent_down,
        size, steps,
    };
    use crate::units::Angle;

    #[test]
    fn clock_rounds_to_the_nearest_minute_and_carries() {
        let at = |h, m, s| London.with_ymd_and_hms(2027, 3, 13, h, m, s).unwrap();
        assert_eq!(clock(at(18, 8, 29)), "18:08");
        assert_eq!(clock(at(18, 8, 30)), "18:09");
        assert_eq!(clock(at(23, 59, 45)), "00:00");
    }

    #[test]
    fn nothing_prints_as_minus_zero_or_a_full_turn() {
        assert_eq!(degrees(Angle::from_degrees(-0.4)), "0°");
        assert_eq!(degrees(Angle::from_degrees(-0.6)), "\u{2212}1°");
        assert_eq!(azimuth_degrees(Angle::from_degrees(359.7)), "0°");
        assert_eq!(azimuth_degrees(Angle::from_degrees(-0.2)), "0°");
        assert_eq!(decimal(-0.04, 1), "0.0");
    }

    #[test]
    fn what_is_short_of_a_percent_is_not_promised() {
        assert_eq!([12.0, 11.96, 11.999_999].map(percent_down), ["12%", "11%", "12%"]);
    }

    #[test]
    fn sizes_take_the_unit_that_suits_them() {
        // By arithmetic of the units: 60′ in a degree, 60″ in an arcminute.
        assert_eq!(size(Angle::from_degrees(1.52)), "1.5°");
        assert_eq!(size(Angle::from_arcminutes(59.7)), "1.0°");
        assert_eq!(size(Angle::from_arcminutes(31.4)), "31′");
        assert_eq!(size(Angle::from_arcseconds(59.9)), "1.0′");
        assert_eq!(size(Angle::from_arcseconds(18.2)), "18″");
        assert_eq!(size(Angle::from_arcseconds(2.34)), "2.3″");
    }

    #[test]
    fn winds_meet_across_north() {
        // The sixteen winds of the compass are 22.5 degrees apart, the eight 45.
        let letters = |deg| compass_letters(Angle::from_degrees(deg));
        assert_eq!([letters(0.0), letters(11.2), letters(11.3), letters(348.8)], ["N", "N", "NNE", "N"]);
        assert_eq!(letters(157.5), "SSE");
        assert_eq!(compass_word(Angle::from_degrees(157.4)), "south-east");
        assert_eq!(compass_word(Angle::from_degrees(337.6)), "north");
    }

    #[test]
    fn coordinates_carry_and_keep_their_sign() {
        // By arithmetic of the units: 24 h and 360° are a turn, 60 s a minute, 60″ an arcminute.
        assert_eq!(hours_minutes_seconds(Angle::from_hours(16.694_889)), "16h 41m 41.6s");
        assert_eq!(hours_minutes_seconds(Angle::from_hours(23.999_999)), "00h 00m 00.0s");
        assert_eq!(degrees_minutes_seconds(Angle::from_degrees(-0.5)), "\u{2212}00° 30′ 00″");
        assert_eq!(degrees_minutes_seconds(Angle::from_degrees(36.999_99)), "+37° 00′ 00″");
        assert_eq!(degrees_minutes_seconds(Angle::from_arcseconds(-0.2)), "+00° 00′ 00″");
        assert_eq!(azimuth_tenths(Angle::from_degrees(359.97)), "0.0°");
    }

    #[test]
    fn fists_exposures_and_steps() {
        assert_eq!([4.0, 14.9, 45.1, -3.0].map(|deg| fists(Angle::from_degrees(deg))), [0, 1, 5, 0]);
        assert_eq!([0.0004, 0.004, 0.5, 9.96].map(exposure), ["1 ms", "4 ms", "0.5 s", "10 s"]);
        assert_eq!([120, 0, -40].map(steps), ["+120 steps", "0 steps", "\u{2212}40 steps"]);
    }

    #[test]
    fn lengths_of_time() {
        assert_eq!(duration(49.6), "50 s");
        assert_eq!(duration(130.0), "2 min 10 s");
        assert_eq!(duration(180.0), "3 min");
        assert_eq!(duration(599.7), "10 min");
        assert_eq!(duration(3899.0), "1 h 5 min");
        assert_eq!(minutes(19.96), "20 min");
    }
}
