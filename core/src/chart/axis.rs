//! Time to x and back, with round ticks on the local clock.

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
        todo!()
    }
}

#[cfg(test)]
mod tests {
    use super::TimeAxis;
    use crate::time::{Instant, Interval};

    #[test]
    fn there_and_back() {
        let span = Interval::new(Instant::J2000, Instant::J2000.plus_minutes(240.0)).unwrap();
        let axis = TimeAxis { span, left: 40.0, right: 840.0 };
        let at = Instant::J2000.plus_minutes(75.0);
        assert!((axis.x(at) - 290.0).abs() < 1e-3);
        assert!(axis.instant(axis.x(at)).seconds_since(at).abs() < 0.01);
    }
}
