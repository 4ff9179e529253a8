//! A target's way over the evening's sky, minute by minute.

use std::borrow::Cow;
use std::ops::RangeInclusive;

use super::Moment;
use crate::ephemeris::{Appearance, Rings};
use crate::place::{Air, Observed, StarPlace};
use crate::time::Instant;
use crate::units::Angle;

/// One target at one sampled instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Apparent altitude, refraction in.
    pub altitude: Angle,
    /// Azimuth.
    pub azimuth: Angle,
    /// Airmass; `None` below the horizon.
    pub airmass: Option<f64>,
    /// Angle to the Moon.
    pub moon_separation: Angle,
    /// Angle to the Sun.
    pub sun_separation: Angle,
    /// Hour angle.
    pub hour_angle: Angle,
    /// Parallactic angle.
    pub parallactic_angle: Angle,
}

impl Sample {
    /// What is seen at a moment.
    pub(super) fn new(observed: &Observed, moment: &Moment, air: Air) -> Self {
        Self {
            altitude: observed.apparent_altitude(air),
            azimuth: observed.azimuth,
            airmass: observed.airmass(air),
            moon_separation: observed.separation(&moment.moon),
            sun_separation: observed.separation(&moment.sun),
            hour_angle: observed.hour_angle,
            parallactic_angle: observed.parallactic_angle,
        }
    }

    /// A fixed place at a moment.
    pub(super) fn of_star(star: &StarPlace, moment: &Moment, air: Air) -> Self {
        Self::new(&moment.fixed.observe(star), moment, air)
    }
}

/// A target's samples, one per moment, with what stands for the whole evening.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    pub(super) way: Way,
    /// Its upper transit in the night, if any.
    pub transit: Option<Instant>,
    /// Diameter, phase and magnitude in the middle of the evening, for a body.
    pub appearance: Option<Appearance>,
    /// Saturn's rings then.
    pub rings: Option<Rings>,
}

/// Where a target's samples come from.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Way {
    /// They are kept, in the order of the moments: bodies, and the fixed places that are asked for most.
    Kept(Vec<Sample>),
    /// They are worked out when they are asked for: kept, those of a large catalogue would fill the memory.
    Fixed(StarPlace),
}

impl Track {
    pub(super) fn sample(&self, moments: &[Moment], air: Air, minute: usize) -> Option<Sample> {
        match &self.way {
            Way::Kept(samples) => samples.get(minute).copied(),
            Way::Fixed(star) => moments.get(minute).map(|moment| Sample::of_star(star, moment, air)),
        }
    }

    pub(super) fn samples(
        &self,
        moments: &[Moment],
        air: Air,
        minutes: RangeInclusive<usize>,
    ) -> Cow<'_, [Sample]> {
        match &self.way {
            Way::Kept(samples) => Cow::Borrowed(samples.get(minutes).unwrap_or_default()),
            Way::Fixed(star) => {
                let moments = moments.get(minutes).unwrap_or_default().iter();
                Cow::Owned(moments.map(|moment| Sample::of_star(star, moment, air)).collect())
            }
        }
    }
}
