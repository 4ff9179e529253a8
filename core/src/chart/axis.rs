//! Time to x and back, with round ticks on the local clock.

use chrono::Timelike;

use crate::time::{Instant, Interval, LocalNight};

/// A horizontal time axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeAxis {
    /// The time it spans.
    pub span: Interval,
    /// x of the span's start, in points.
    pub left: f32,
    /// x of the span's end, in points.
    pub right: f32,
}

impl TimeAxis {
    /// x of an instant; outside the span it goes on in proportion.
    pub fn x(&self, instant: Instant) -> f32 {
        let share = instant.seconds_since(self.span.start()) / self.span.seconds().max(1.0);
        self.left + share as f32 * (self.right - self.left)
    }

    /// The instant at an x.
    pub fn instant(&self, x: f32) -> Instant {
        let share = f64::from((x - self.left) / (self.right - self.left).max(1.0));
        self.span.start().plus_seconds(share * self.span.seconds())
    }

    /// Ticks at round times of the local clock every `step_minutes` (a divisor of 60 or a multiple), right across a
    /// change of clocks: each with its instant.
    pub fn ticks(&self, night: &LocalNight, step_minutes: u32) -> Vec<Instant> {
        let step = step_minutes.max(1);
        let first = night.local(self.span.start());
        let past_minute = f64::from(first.second()) + f64::from(first.nanosecond()) / 1e9;
        let to_minute = if past_minute > 0.0 { 60.0 - past_minute } else { 0.0 };
        let mut at = self.span.start().plus_seconds(to_minute);
        let mut ticks = Vec::new();
        while at < self.span.end() {
            let local = night.local(at);
            let past_tick = (local.hour() * 60 + local.minute()) % step;
            if past_tick == 0 {
                ticks.push(at);
            }
            // Clocks change by whole quarters of an hour: steps no longer than that miss no tick.
            at = at.plus_minutes(f64::from((step - past_tick).min(15)));
        }
        ticks
    }

    /// The finest step, from a quarter of an hour to two hours, that leaves each label `room` points.
    pub fn label_step_minutes(&self, room: f32) -> u32 {
        let points_a_minute = (self.right - self.left) / (self.span.minutes().max(1.0) as f32);
        [15, 30, 60].into_iter().find(|step| *step as f32 * points_a_minute >= room).unwrap_or(120)
    }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;
    use chrono_tz::Europe::London;

    use super::TimeAxis;
    use crate::time::{Instant, Interval, LocalNight};

    #[test]
    fn there_and_back() {
        let span = Interval::new(Instant::J2000, Instant::J2000.plus_minutes(240.0)).unwrap();
        let axis = TimeAxis { span, left: 40.0, right: 840.0 };
        let at = Instant::J2000.plus_minutes(75.0);
        assert!((axis.x(at) - 290.0).abs() < 1e-3);
        assert!(axis.instant(axis.x(at)).seconds_since(at).abs() < 0.01);
    }

    fn hours(date: NaiveDate, from_utc: (u32, u32), minutes: f64) -> Vec<String> {
        let night = LocalNight::new(date, London).unwrap();
        let next = date.succ_opt().unwrap();
        let start = Instant::from_utc(next.and_hms_opt(from_utc.0, from_utc.1, 0).unwrap().and_utc());
        let span = Interval::new(start, start.plus_minutes(minutes)).unwrap();
        let axis = TimeAxis { span, left: 0.0, right: 100.0 };
        axis.ticks(&night, 60).iter().map(|tick| night.local(*tick).format("%H:%M").to_string()).collect()
    }

    #[test]
    fn ticks_follow_the_clock_across_its_changes() {
        // Europe/London, IANA time-zone database: forward on 2027-03-28 and back on 2027-10-31, at 01:00 UTC.
        let forward = hours(NaiveDate::from_ymd_opt(2027, 3, 27).unwrap(), (0, 10), 140.0);
        assert_eq!(forward, ["02:00", "03:00"]);
        let back = hours(NaiveDate::from_ymd_opt(2027, 10, 30).unwrap(), (0, 0), 150.0);
        assert_eq!(back, ["01:00", "01:00", "02:00"]);
    }
}
