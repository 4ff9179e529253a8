//! Altitude over time: paths of targets on a scale from 0 to 90 degrees.

use super::{Point, TimeAxis};
use crate::plan::Prepared;
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// A vertical scale of altitude.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AltitudeScale {
    /// y of the zenith.
    pub zenith: f32,
    /// y of the horizon.
    pub horizon: f32,
}

impl AltitudeScale {
    /// y of an altitude.
    pub fn y(&self, altitude: Angle) -> f32 {
        self.horizon + (self.zenith - self.horizon) * (altitude.degrees() / 90.0) as f32
    }
}

/// A target's altitude at an instant, between samples in proportion; `None` without samples.
fn altitude_at(prepared: &Prepared, target_index: usize, instant: Instant) -> Option<Angle> {
    let minutes = instant.minutes_since(prepared.span.start()).max(0.0);
    let last = prepared.moments.len().checked_sub(1)?;
    let index = (minutes.floor() as usize).min(last);
    let altitude = |minute: usize| Some(prepared.sample_at(target_index, minute)?.altitude);
    let (before, after) = (altitude(index)?, altitude((index + 1).min(last))?);
    let share = (minutes - index as f64).clamp(0.0, 1.0);
    Some(before + (after - before) * share)
}

/// A target's path above the horizon during an interval, as open lines: more than one where it sets and rises.
pub fn altitude_path(
    prepared: &Prepared,
    target_index: usize,
    within: Interval,
    axis: &TimeAxis,
    scale: &AltitudeScale,
) -> Vec<Vec<Point>> {
    const STEP_MINUTES: f64 = 4.0;
    let Some(within) = within.intersection(prepared.span) else {
        return Vec::new();
    };
    let steps = (within.minutes() / STEP_MINUTES).ceil().max(1.0) as usize;
    let mut lines: Vec<Vec<Point>> = vec![Vec::new()];
    let mut previous: Option<(f32, Angle)> = None;
    for step in 0..=steps {
        let instant = within.start().plus_minutes(within.minutes() * step as f64 / steps as f64);
        let Some(altitude) = altitude_at(prepared, target_index, instant) else {
            continue;
        };
        let x = axis.x(instant);
        if let Some((x_before, before)) = previous
            && (before < Angle::ZERO) != (altitude < Angle::ZERO)
        {
            let share = (before / (before - altitude)) as f32;
            let crossing = Point { x: x_before + (x - x_before) * share, y: scale.horizon };
            if altitude < Angle::ZERO {
                if let Some(line) = lines.last_mut() {
                    line.push(crossing);
                }
                lines.push(Vec::new());
            } else {
                lines.push(vec![crossing]);
            }
        }
        if altitude >= Angle::ZERO
            && let Some(line) = lines.last_mut()
        {
            line.push(Point { x, y: scale.y(altitude) });
        }
        previous = Some((x, altitude));
    }
    lines.retain(|line| line.len() > 1);
    lines
}

#[cfg(test)]
mod tests {
    use super::AltitudeScale;
    use crate::units::Angle;

    #[test]
    fn the_scale_runs_up() {
        let scale = AltitudeScale { zenith: 10.0, horizon: 100.0 };
        assert_eq!(scale.y(Angle::ZERO), 100.0);
        assert!((scale.y(Angle::from_degrees(30.0)) - 70.0).abs() < 1e-4);
        assert!((scale.y(Angle::from_degrees(90.0)) - 10.0).abs() < 1e-4);
    }
}
