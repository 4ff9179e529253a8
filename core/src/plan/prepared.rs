//! The sky over time for one evening, sampled once, with every target's windows and ports.

use std::borrow::Cow;
use std::fmt;
use std::ops::RangeInclusive;

use chrono::{NaiveDate, NaiveTime};

use super::availability::{in_short, ranked_at, showing};
use super::merit::views;
use super::{ClosedPart, Materials, Sample, SatelliteEvent, Track, ViewGrid};
use crate::assign::{PortChoice, Showing};
use crate::ephemeris::MoonFace;
use crate::events::Night;
use crate::place::{Air, FixedSky, Observed, OutsideSpan};
use crate::rig::PortId;
use crate::site::Site;
use crate::sky::{SkyLight, background};
use crate::time::{Instant, Interval, IntervalSet, LocalTimeError};
use crate::units::{Angle, Fraction, SurfaceBrightness};

/// Sun and Moon at one sampled instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// The instant.
    pub instant: Instant,
    /// The Sun, airless.
    pub sun: Observed,
    /// The Moon, airless.
    pub moon: Observed,
    /// The Moon's phase angle, 0 at full.
    pub moon_phase_angle: Angle,
    /// What the Moon turns to us, and what the Sun lights of it.
    pub moon_face: MoonFace,
    /// Zenith sky brightness with everything in it.
    pub zenith: SurfaceBrightness,
    /// Where fixed places stand.
    pub(super) fixed: FixedSky,
}

impl Moment {
    /// The lit share of the Moon's disc.
    ///
    /// `k = (1 + cos i) / 2`; Meeus, Astronomical Algorithms, 2nd ed., eq. 48.1.
    pub fn moon_illuminated(&self) -> Fraction {
        Fraction::clamped(f64::midpoint(1.0, self.moon_phase_angle.cos()))
    }

    /// The light of the sky towards an apparent altitude and an azimuth; below the horizon, that at the horizon.
    pub(super) fn light_towards(&self, site: &Site, altitude: Angle, azimuth: Angle) -> SkyLight {
        background(site, altitude, azimuth, &self.sun, &self.moon, self.moon_phase_angle)
    }
}

/// What keeps a target from being shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    /// Below the horizon or behind the site's profile.
    Horizon,
    /// Below the mount's lowest altitude.
    MountLow,
    /// Above the mount's highest altitude, or in the zenith keyhole.
    Keyhole,
    /// Too near the Sun while the Sun is above -6 degrees, or the Sun itself.
    Sun,
    /// In a part of the sky that is closed tonight.
    ClosedSky,
    /// The sky is too bright for it.
    Light,
    /// No port shows it.
    NoPort,
}

/// When a target may be shown, and what limits it.
#[derive(Clone, Debug, PartialEq)]
pub struct Availability {
    /// Times within doors at which geometry and Sun allow it (hard limits only).
    pub allowed: IntervalSet,
    /// Times within `allowed` at which some port gives a view above 0.
    pub showable: IntervalSet,
    /// The time of the best view within `showable`, and that view times appeal.
    pub best: Option<(Instant, Fraction)>,
    /// What limits it within doors, the most limiting first; empty if nothing does.
    pub limits: Vec<Limit>,
}

/// A port in the ranking of a target at its best time: what is asked for again and again of its verdict there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RankedPort {
    /// Position of the port on the rig.
    pub port: usize,
    /// Whether it gives a view above 0.
    pub shows: bool,
    /// Seconds of exposure until a group sees that the target is there, where its picture comes on a screen.
    pub exposure_s: Option<f64>,
}

/// Why an evening can't be prepared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PrepareError {
    /// The date is outside the ephemeris.
    OutsideSpan(NaiveDate, OutsideSpan),
    /// A clock time of the evening does not exist that night.
    LocalTime {
        /// Its key in the evening's file.
        key: &'static str,
        /// The time.
        time: NaiveTime,
        /// Why it does not exist.
        error: LocalTimeError,
    },
    /// Doors close before they open, or stay open for less than 10 minutes.
    Doors,
    /// A closed part of the sky opens again before it closes.
    ClosedSky {
        /// Since when it is closed.
        since: Option<NaiveTime>,
        /// Until when.
        until: Option<NaiveTime>,
    },
}

impl fmt::Display for PrepareError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutsideSpan(date, error) => write!(f, "{date}: {error}"),
            Self::LocalTime { key, time, error } => write!(f, "{key}, {}: {error}", time.format("%H:%M")),
            Self::Doors => f.write_str("doors must close at least 10 minutes after they open"),
            Self::ClosedSky { since, until } => {
                let clock = |time: &Option<NaiveTime>| {
                    time.map_or_else(|| "noon".to_owned(), |time| time.format("%H:%M").to_string())
                };
                let (since, until) = (clock(since), clock(until));
                write!(
                    f,
                    "wishes.closed_sky: a part of the sky can't be closed since {since} and until {until}; \
                     give a later time until which"
                )
            }
        }
    }
}

impl std::error::Error for PrepareError {}

/// The evening's sky. All vectors by target are in the order of the catalogue.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    /// The night.
    pub night: Night,
    /// Doors open to doors closed.
    pub doors: Interval,
    /// What the samples span: from half an hour before the earlier of sunset and doors, to half an hour after doors.
    pub span: Interval,
    /// Samples, one a minute over `span`.
    pub moments: Vec<Moment>,
    /// The air that bends the light of all samples.
    pub air: Air,
    /// One track per target.
    pub tracks: Vec<Track>,
    /// One availability per target.
    pub availability: Vec<Availability>,
    /// Ports ranked per target at its best time, best first; none for a target that no port shows within doors. Their
    /// whole verdicts are worked out by [`Self::choices_of`].
    pub ranked: Vec<Box<[RankedPort]>>,
    /// Ports that were out of service when it was prepared.
    pub ports_out_of_service: Vec<PortId>,
    /// Parts of the sky that were closed when it was prepared.
    pub closed_sky: Vec<ClosedPart>,
    /// Views of every target through every port over `moments`.
    pub views: ViewGrid,
    /// Satellites of the catalogue that pass over in `span`, in order; behind them those whose elements are too old.
    pub satellites: Vec<SatelliteEvent>,
}

impl Prepared {
    /// Position of the sample nearest to an instant, clamped to the span.
    pub fn moment_index(&self, instant: Instant) -> usize {
        let minutes = instant.minutes_since(self.span.start()).round();
        (minutes.max(0.0) as usize).min(self.moments.len().saturating_sub(1))
    }

    /// The middle of doors, and the lit share of the Moon's disc then.
    pub fn moon_illuminated_at_mid(&self) -> (Instant, Fraction) {
        let middle = self.doors.start().plus_minutes((self.doors.minutes() / 2.0).round());
        let moment = self.moments.get(self.moment_index(middle));
        (middle, moment.map_or(self.night.moon_illuminated, Moment::moon_illuminated))
    }

    /// The verdicts of all ports on a target at its best time, best first. For one that no port shows within doors, in the
    /// middle of the evening. Worked out when they are asked for: of a large catalogue most never are. None for a target
    /// that there is not.
    pub fn choices_of(&self, materials: &Materials<'_>, target_index: usize) -> Vec<PortChoice> {
        let (target, track) = (materials.catalogue.targets.get(target_index), self.tracks.get(target_index));
        let Some(own) = target.zip(track) else { return Vec::new() };
        let best = self.availability.get(target_index).and_then(|availability| availability.best);
        let middle = || self.doors.start().plus_minutes(self.doors.minutes() / 2.0);
        let minute = self.moment_index(best.map_or_else(middle, |(at, _)| at));
        ranked_at(materials, &self.moments, own, minute, &self.ports_out_of_service)
    }

    /// Seconds of exposure on a port until a group sees that a target is there, when [`Self::choices_of`] judges it; `None`
    /// where no picture of it comes on a screen.
    pub(super) fn exposure_s(
        &self,
        materials: &Materials<'_>,
        target_index: usize,
        port: &PortId,
    ) -> Option<f64> {
        let position = materials.rig.ports.iter().position(|own| &own.id == port)?;
        let exposure_s = |ranked: &[RankedPort]| ranked.iter().find(|own| own.port == position)?.exposure_s;
        match self.ranked.get(target_index) {
            Some(ranked) if !ranked.is_empty() => exposure_s(ranked),
            _ => exposure_s(&in_short(materials, &self.choices_of(materials, target_index))),
        }
    }

    /// A target's sample nearest to an instant.
    pub fn sample(&self, target_index: usize, instant: Instant) -> Option<Sample> {
        self.sample_at(target_index, self.moment_index(instant))
    }

    /// A target's sample at a moment, by its position.
    pub fn sample_at(&self, target_index: usize, minute: usize) -> Option<Sample> {
        self.tracks.get(target_index)?.sample(&self.moments, self.air, minute)
    }

    /// A target's samples from a moment to another, both included, by their positions; none where the moments end before
    /// it, or without such a target.
    pub fn samples(&self, target_index: usize, minutes: RangeInclusive<usize>) -> Cow<'_, [Sample]> {
        let track = self.tracks.get(target_index);
        track.map_or(Cow::Borrowed(&[]), |track| track.samples(&self.moments, self.air, minutes))
    }

    /// As [`Self::samples`], at all moments.
    pub fn all_samples(&self, target_index: usize) -> Cow<'_, [Sample]> {
        self.samples(target_index, 0..=self.moments.len().saturating_sub(1))
    }

    /// The circumstances of a target at a sample; `None` below the horizon.
    pub fn showing(&self, materials: &Materials<'_>, target_index: usize, minute: usize) -> Option<Showing> {
        let track = self.tracks.get(target_index)?;
        let sample = self.sample_at(target_index, minute)?;
        showing(materials.site, track.appearance, self.moments.get(minute)?, &sample)
    }

    /// The view of a target through a port at one instant; 0 below the horizon.
    pub(crate) fn view_at(
        &self,
        materials: &Materials<'_>,
        target_index: usize,
        port: &PortId,
        instant: Instant,
    ) -> f64 {
        let port = materials.rig.port(port);
        port.map_or(0.0, |port| {
            views(self, materials, target_index, port)(self.moment_index(instant)).value()
        })
    }
}
