//! A stretch of time, and a set of stretches that do not touch: joined, cut and searched.

use super::Instant;

/// From `start` (included) to `end` (excluded); `start <= end` always.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interval {
    start: Instant,
    end: Instant,
}

impl Interval {
    /// The interval, or `None` if `end` comes before `start`.
    pub fn new(start: Instant, end: Instant) -> Option<Self> {
        (start <= end).then_some(Self { start, end })
    }

    /// Its first instant.
    pub const fn start(self) -> Instant {
        self.start
    }

    /// The first instant after it.
    pub const fn end(self) -> Instant {
        self.end
    }

    /// Its length in seconds.
    pub fn seconds(self) -> f64 {
        self.end.seconds_since(self.start)
    }

    /// Its length in minutes.
    pub fn minutes(self) -> f64 {
        self.seconds() / 60.0
    }

    /// Whether the instant lies in it (the end does not).
    pub fn contains(self, instant: Instant) -> bool {
        self.start <= instant && instant < self.end
    }

    /// Whether the whole of `other` lies in it.
    pub fn covers(self, other: Self) -> bool {
        self.start <= other.start && other.end <= self.end
    }

    /// Whether the two share more than an end.
    pub fn overlaps(self, other: Self) -> bool {
        self.start < other.end && other.start < self.end
    }

    /// What the two share, if more than nothing.
    pub fn intersection(self, other: Self) -> Option<Self> {
        let (start, end) = (self.start.max(other.start), self.end.min(other.end));
        (start < end).then_some(Self { start, end })
    }
}

/// Intervals in order, none touching the next.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct IntervalSet(Vec<Interval>);

impl IntervalSet {
    /// The union of any intervals; empty ones vanish.
    pub fn from_intervals(intervals: impl IntoIterator<Item = Interval>) -> Self {
        let mut all: Vec<Interval> = intervals.into_iter().filter(|i| i.start < i.end).collect();
        all.sort_by_key(|interval| (interval.start, interval.end));
        let mut joined: Vec<Interval> = Vec::with_capacity(all.len());
        for next in all {
            match joined.last_mut() {
                Some(last) if next.start <= last.end => last.end = last.end.max(next.end),
                _ => joined.push(next),
            }
        }
        Self(joined)
    }

    /// The intervals, in order.
    pub fn as_slice(&self) -> &[Interval] {
        &self.0
    }

    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Total length in minutes.
    pub fn minutes(&self) -> f64 {
        self.0.iter().map(|interval| interval.minutes()).sum()
    }

    /// Whether the whole of `interval` lies in one of them.
    pub fn covers(&self, interval: Interval) -> bool {
        self.0.iter().any(|own| own.covers(interval))
    }

    /// What both share.
    #[must_use]
    pub fn intersection(&self, other: &Self) -> Self {
        Self::from_intervals(
            self.0.iter().flat_map(|own| other.0.iter().filter_map(|its| own.intersection(*its))),
        )
    }

    /// What is left of `whole` outside the set.
    #[must_use]
    pub fn gaps_in(&self, whole: Interval) -> Self {
        let mut gaps = Vec::new();
        let mut from = whole.start;
        for interval in &self.0 {
            gaps.extend(Interval::new(from, interval.start.min(whole.end)));
            from = from.max(interval.end);
        }
        gaps.extend(Interval::new(from, whole.end));
        Self::from_intervals(gaps)
    }
}

#[cfg(test)]
mod tests {
    use super::{Interval, IntervalSet};
    use crate::time::Instant;

    fn minutes(from: f64, to: f64) -> Interval {
        Interval::new(Instant::J2000.plus_minutes(from), Instant::J2000.plus_minutes(to)).unwrap()
    }

    #[test]
    fn joins_what_touches_and_finds_the_gaps() {
        let set = IntervalSet::from_intervals([minutes(30.0, 40.0), minutes(0.0, 10.0), minutes(10.0, 20.0)]);
        assert_eq!(set.as_slice(), [minutes(0.0, 20.0), minutes(30.0, 40.0)]);
        assert_eq!(set.gaps_in(minutes(-5.0, 35.0)).as_slice(), [minutes(-5.0, 0.0), minutes(20.0, 30.0)]);
        assert!(set.covers(minutes(5.0, 15.0)) && !set.covers(minutes(15.0, 31.0)));
        let other = IntervalSet::from_intervals([minutes(15.0, 33.0)]);
        assert_eq!(set.intersection(&other).as_slice(), [minutes(15.0, 20.0), minutes(30.0, 33.0)]);
    }
}
