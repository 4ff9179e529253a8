//! Parts of the sky that are closed tonight: a bank of cloud, a crane, a neighbour's light.

use std::f64::consts::TAU;

use chrono::{NaiveTime, Timelike};

use super::{PrepareError, Prepared};
use crate::time::{Instant, Interval, LocalNight, LocalTimeError};
use crate::units::Angle;

/// A part of the sky in which nothing is to be shown, as the user gives it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosedSky {
    /// Azimuth at which it begins.
    pub from: Angle,
    /// Azimuth at which it ends, clockwise from where it begins; the same azimuth means all around.
    pub to: Angle,
    /// Since when, on the local clock; `None` from the beginning of the night.
    pub since: Option<NaiveTime>,
    /// Until when, on the local clock; `None` to the end of the night.
    pub until: Option<NaiveTime>,
    /// Whether it closes at the second of two, where the clock shows that time twice.
    pub since_again: bool,
    /// Whether it opens at the second of two, where the clock shows that time twice.
    pub until_again: bool,
}

impl ClosedSky {
    /// A closed part, its times the first of two where the clock shows them twice.
    pub const fn new(from: Angle, to: Angle, since: Option<NaiveTime>, until: Option<NaiveTime>) -> Self {
        Self { from, to, since, until, since_again: false, until_again: false }
    }

    /// Whether it opens again before it closes; clock times before noon lie after midnight. Between a time and the second
    /// of two only the night can tell.
    pub fn is_backwards(&self) -> bool {
        let past_noon_s = |time: NaiveTime| (time.num_seconds_from_midnight() + 43_200) % 86_400;
        let both = self.since.zip(self.until).filter(|_| self.since_again == self.until_again);
        both.is_some_and(|(since, until)| past_noon_s(until) <= past_noon_s(since))
    }

    /// Whether it can be closed so on a night: it closes before it opens again.
    pub fn fits(&self, local: &LocalNight) -> bool {
        closed_part(self, local).is_ok()
    }

    /// The same with no second of two where a night shows a time only once.
    #[must_use]
    pub fn on(self, local: &LocalNight) -> Self {
        let twice = |time: Option<NaiveTime>| time.is_some_and(|time| local.again_at(time).is_some());
        Self {
            since_again: self.since_again && twice(self.since),
            until_again: self.until_again && twice(self.until),
            ..self
        }
    }

    /// The instant since when it is closed; `None` from the beginning of the night, and where the clocks jump over it.
    pub fn closes_at(&self, local: &LocalNight) -> Option<Instant> {
        instant(self.since?, self.since_again, local).ok()
    }
}

/// The instant of a clock time, the second of two where that is meant.
fn instant(time: NaiveTime, again: bool, local: &LocalNight) -> Result<Instant, LocalTimeError> {
    local.again_at(time).filter(|_| again).map_or_else(|| local.at(time), Ok)
}

/// A closed part of the sky on one night.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosedPart {
    /// Azimuth at which it begins.
    pub from: Angle,
    /// Azimuth at which it ends, clockwise from where it begins.
    pub to: Angle,
    /// When; at either end it is open.
    pub interval: Interval,
    /// Whether it opens again that night.
    pub opens_again: bool,
}

impl ClosedPart {
    /// Whether a direction is closed at an instant.
    pub fn closes(&self, azimuth: Angle, instant: Instant) -> bool {
        self.interval.start() < instant
            && instant < self.interval.end()
            && in_sector(azimuth, self.from, self.to)
    }

    /// How far in azimuth a direction lies from it at an instant, zero within it; `None` while it is open.
    pub fn apart(&self, azimuth: Angle, instant: Instant) -> Option<Angle> {
        if self.closes(azimuth, instant) {
            return Some(Angle::ZERO);
        }
        let closed = self.interval.start() < instant && instant < self.interval.end();
        let off = |edge: Angle| (azimuth - edge).wrapped_signed().abs();
        closed.then(|| off(self.from).min(off(self.to)))
    }
}

/// Whether an azimuth lies in the sector that goes clockwise from one azimuth to another, both included; the same
/// azimuth twice means all around.
pub fn in_sector(azimuth: Angle, from: Angle, to: Angle) -> bool {
    let width = (to - from).wrapped().radians();
    let width = if width == 0.0 { TAU } else { width };
    (azimuth - from).wrapped().radians() <= width
}

/// The closed parts of the sky on one night. A clock time that the clocks jump over is taken at the jump; the check
/// tells.
///
/// # Errors
/// A part that opens again before it closes, or a date outside the calendar.
pub(super) fn closed_parts(
    closed: &[ClosedSky],
    local: &LocalNight,
) -> Result<Vec<ClosedPart>, PrepareError> {
    closed.iter().map(|closed| closed_part(closed, local)).collect()
}

fn closed_part(closed: &ClosedSky, local: &LocalNight) -> Result<ClosedPart, PrepareError> {
    let ClosedSky { from, to, since, until, since_again, until_again } = *closed;
    let at = |key, time, again| match (instant(time, again, local), local.clock_change()) {
        (Ok(instant), _) | (Err(LocalTimeError::Skipped), Some(instant)) => Ok(instant),
        (Err(error), _) => Err(PrepareError::LocalTime { key, time, error }),
    };
    let night = local.window();
    let start = since.map_or(Ok(night.start()), |time| at("wishes.closed_sky.since", time, since_again))?;
    let end = until.map_or(Ok(night.end()), |time| at("wishes.closed_sky.until", time, until_again))?;
    match Interval::new(start, end) {
        Some(interval) if !closed.is_backwards() => {
            Ok(ClosedPart { from, to, interval, opens_again: until.is_some() })
        }
        _ => Err(PrepareError::ClosedSky { since, until }),
    }
}

/// The stretches of an interval in which a target of that position in the catalogue stands in a closed part of the sky, minute by minute as the check counts
/// them.
pub fn closed_stretches(prepared: &Prepared, target: usize, within: Interval) -> Vec<Interval> {
    if prepared.closed_sky.is_empty() {
        return Vec::new();
    }
    let (first, last) = (prepared.moment_index(within.start()), prepared.moment_index(within.end()));
    let samples = prepared.samples(target, first..=last);
    let mut stretches: Vec<Interval> = Vec::new();
    for (moment, sample) in prepared.moments.iter().skip(first).zip(samples.iter()) {
        if !prepared.closed_sky.iter().any(|part| part.closes(sample.azimuth, moment.instant)) {
            continue;
        }
        // A minute stands for what is nearer to it than to another.
        let (from, to) = (moment.instant.plus_minutes(-0.5), moment.instant.plus_minutes(0.5));
        let begun = stretches
            .last()
            .copied()
            .filter(|last| from.minutes_since(last.end()) < 0.1)
            .map(Interval::start);
        if begun.is_some() {
            stretches.pop();
        }
        stretches.extend(Interval::new(begun.unwrap_or(from), to));
    }
    stretches.into_iter().filter_map(|stretch| stretch.intersection(within)).collect()
}

#[cfg(test)]
mod tests {
    use chrono::{NaiveDate, NaiveTime};
    use chrono_tz::Europe::London;

    use super::{ClosedSky, closed_parts, in_sector};
    use crate::plan::PrepareError;
    use crate::time::LocalNight;
    use crate::units::Angle;

    fn clock(hour: u32, minute: u32) -> Option<NaiveTime> {
        NaiveTime::from_hms_opt(hour, minute, 0)
    }

    #[test]
    fn a_sector_goes_clockwise_and_across_north() {
        let inside = |azimuth: f64, from: f64, to: f64| {
            let [azimuth, from, to] = [azimuth, from, to].map(Angle::from_degrees);
            in_sector(azimuth, from, to)
        };
        for (azimuth, expected) in [(90.0, true), (135.0, true), (180.0, true), (89.9, false), (180.1, false)]
        {
            assert_eq!(inside(azimuth, 90.0, 180.0), expected, "{azimuth}");
            assert_eq!(inside(azimuth, 180.0, 90.0), !(90.0 < azimuth && azimuth < 180.0), "{azimuth}");
        }
        for (azimuth, expected) in [(350.0, true), (0.0, true), (359.9, true), (10.0, true), (20.0, false)] {
            assert_eq!(inside(azimuth, 340.0, 15.0), expected, "{azimuth}");
        }
        assert!([0.0, 123.0, 359.0].iter().all(|azimuth| inside(*azimuth, 0.0, 360.0)));
    }

    #[test]
    fn the_ends_of_a_closure_are_open_and_none_is_the_whole_night() {
        let night = LocalNight::new(NaiveDate::from_ymd_opt(2027, 3, 13).unwrap(), London).unwrap();
        let (from, to) = (Angle::from_degrees(90.0), Angle::from_degrees(180.0));
        let south_east = Angle::from_degrees(135.0);
        let closed =
            [ClosedSky::new(from, to, clock(23, 30), clock(0, 30)), ClosedSky::new(from, to, None, None)];
        let parts = closed_parts(&closed, &night).unwrap();
        let at = |hour, minute| night.at(clock(hour, minute).unwrap()).unwrap();
        for (instant, expected) in
            [(at(23, 30), false), (at(23, 31), true), (at(0, 29), true), (at(0, 30), false)]
        {
            assert_eq!(parts[0].closes(south_east, instant), expected);
            assert!(parts[1].closes(south_east, instant));
            assert!(!parts[1].closes(Angle::from_degrees(200.0), instant));
        }
        assert_eq!([parts[0].opens_again, parts[1].opens_again], [true, false]);
    }

    #[test]
    fn a_time_that_the_clocks_jump_over_is_the_jump_and_backwards_is_an_error() {
        // In London the clocks go from 01:00 to 02:00 in the morning of 28 March 2027.
        let night = LocalNight::new(NaiveDate::from_ymd_opt(2027, 3, 27).unwrap(), London).unwrap();
        let closed = |since, until| ClosedSky::new(Angle::ZERO, Angle::from_degrees(90.0), since, until);
        let parts = closed_parts(&[closed(clock(1, 30), None)], &night).unwrap();
        assert_eq!(parts[0].interval.start(), night.clock_change().unwrap());
        for (since, until) in
            [(clock(22, 10), clock(21, 30)), (clock(0, 10), clock(23, 0)), (clock(22, 0), clock(22, 0))]
        {
            let error = closed_parts(&[closed(since, until)], &night);
            assert_eq!(error, Err(PrepareError::ClosedSky { since, until }));
        }
    }

    #[test]
    fn of_a_time_that_comes_twice_either_can_be_meant() {
        // In London the clocks go from 02:00 back to 01:00 in the morning of 31 October 2027 (IANA time zone database).
        let night = LocalNight::new(NaiveDate::from_ymd_opt(2027, 10, 30).unwrap(), London).unwrap();
        let closed = |since_again, until_again, since, until| ClosedSky {
            since_again,
            until_again,
            ..ClosedSky::new(Angle::ZERO, Angle::from_degrees(90.0), since, until)
        };
        let minutes = |closed: ClosedSky| {
            let parts = closed_parts(&[closed], &night).ok()?;
            Some(parts[0].interval.minutes())
        };
        let (half_past, ten_past) = (clock(1, 30), clock(1, 10));
        assert_eq!(minutes(closed(false, false, clock(0, 30), half_past)), Some(60.0));
        assert_eq!(minutes(closed(false, true, clock(0, 30), half_past)), Some(120.0));
        assert_eq!(minutes(closed(false, true, half_past, half_past)), Some(60.0));
        assert_eq!(minutes(closed(false, true, half_past, ten_past)), Some(40.0));
        assert_eq!(minutes(closed(true, true, ten_past, half_past)), Some(20.0));
        assert_eq!(minutes(closed(true, false, ten_past, half_past)), None, "it would open before it closes");
        assert!(!closed(true, false, ten_past, half_past).fits(&night));
        assert_eq!(minutes(closed(true, true, half_past, ten_past)), None);
        let plain = LocalNight::new(NaiveDate::from_ymd_opt(2027, 10, 29).unwrap(), London).unwrap();
        let both = closed(true, true, ten_past, clock(2, 0));
        assert_eq!(both.on(&night), ClosedSky { until_again: false, ..both });
        assert_eq!(both.on(&plain), closed(false, false, ten_past, clock(2, 0)));
    }
}
