//! The evening's sky computed: doors on the clock, Sun and Moon by the minute, every target's track.

use super::availability::{Within, rank_at_best};
use super::closed_sky::closed_parts;
use super::{Evening, Materials, Moment, PrepareError, Prepared, Programme, Sample, Track};
use crate::catalogue::Target;
use crate::ephemeris::Body;
use crate::events::{Direction, Night, night, transits};
use crate::place::{EveningSky, Observed, ObserverAt, OutsideSpan, Source};
use crate::sky::background;
use crate::time::{Instant, Interval, LocalNight};
use crate::units::Angle;

/// Minutes sampled before the earlier of sunset and doors, and after doors close.
pub(super) const MARGIN_MINUTES: f64 = 30.0;
/// The shortest evening that makes sense.
const SHORTEST_DOORS_MINUTES: f64 = 10.0;
/// How fast an hour angle grows: a turn in a mean sidereal day of 86 164.0905 seconds (IAU 1982 relation).
const HOUR_ANGLE_DEG_PER_S: f64 = 360.0 / 86_164.090_5;

/// Computes the evening's sky for every target.
///
/// The result stands as long as date, Earth orientation, doors, ports out of service, closed parts of the sky, site, rig and catalogue stay;
/// house, wishes for targets and running order may change under it.
///
/// # Errors
/// A date outside the ephemeris, or clock times that make no evening.
pub fn prepare(evening: &Evening, materials: &Materials<'_>) -> Result<Prepared, PrepareError> {
    let local = LocalNight::new(evening.date, materials.site.zone)
        .map_err(|_| PrepareError::OutsideSpan(evening.date, OutsideSpan))?;
    let doors = doors(&evening.programme, &local)?;
    let closed_sky = closed_parts(&evening.wishes.closed_sky, &local)?;
    let window = local.window();
    let sky = EveningSky::new(materials.ephemeris, materials.site.place, evening.orientation, window)
        .map_err(|error| PrepareError::OutsideSpan(evening.date, error))?;
    let night = night(&sky, local);
    let span = sampled_span(&night, doors, window);
    let minutes = span.minutes().round() as usize;
    let observers: Vec<ObserverAt<'_>> =
        (0..=minutes).map(|minute| sky.at(span.start().plus_minutes(minute as f64))).collect();
    let moments: Vec<Moment> = observers.iter().map(|observer| moment(materials, observer)).collect();
    let tracks: Vec<Track> = materials
        .catalogue
        .targets
        .iter()
        .map(|target| track(target, materials, &sky, &observers, &moments, doors))
        .collect();
    let out_of_service = &evening.wishes.ports_out_of_service;
    let within =
        Within { materials, moments: &moments, span, doors, out_of_service, closed_sky: &closed_sky };
    let (availability, views) = within.all(&tracks);
    let choices = rank_at_best(materials, &moments, &tracks, &availability, span, doors, out_of_service);
    Ok(Prepared {
        night,
        doors,
        span,
        moments,
        tracks,
        availability,
        choices,
        ports_out_of_service: out_of_service.clone(),
        closed_sky,
        views,
    })
}

/// Doors open to doors closed, as instants.
pub(super) fn doors(programme: &Programme, local: &LocalNight) -> Result<Interval, PrepareError> {
    let at = |key, time| local.at(time).map_err(|error| PrepareError::LocalTime { key, time, error });
    let open = at("programme.doors_open", programme.doors_open)?;
    let close = at("programme.doors_close", programme.doors_close)?;
    Interval::new(open, close)
        .filter(|doors| doors.minutes() >= SHORTEST_DOORS_MINUTES)
        .ok_or(PrepareError::Doors)
}

/// What is sampled, a whole number of minutes before and after doors open, so that stops that start on a minute start
/// on a sample. Never beyond the night.
fn sampled_span(night: &Night, doors: Interval, window: Interval) -> Interval {
    let sunset = night.sun.going(Direction::Down).first().copied().unwrap_or(doors.start());
    let wished = sunset.min(doors.start()).plus_minutes(-MARGIN_MINUTES).max(window.start());
    let before = doors.start().minutes_since(wished).floor();
    let last = doors.end().plus_minutes(MARGIN_MINUTES).min(window.end());
    let after = last.minutes_since(doors.start()).floor();
    let start = doors.start().plus_minutes(-before);
    Interval::new(start, doors.start().plus_minutes(after)).unwrap_or(doors)
}

pub(super) fn moment(materials: &Materials<'_>, observer: &ObserverAt<'_>) -> Moment {
    let (sun, moon) = (observer.sun(), observer.moon());
    let moon_phase_angle =
        observer.appearance(Body::Moon).phase_angle.expect("of all bodies only the Sun has no phase");
    let zenith = Angle::from_degrees(90.0);
    let light = background(materials.site, zenith, Angle::ZERO, &sun, &moon, moon_phase_angle);
    Moment {
        instant: observer.instant(),
        sun,
        moon,
        moon_phase_angle,
        moon_face: observer.moon_face(),
        zenith: light.total,
    }
}

fn track(
    target: &Target,
    materials: &Materials<'_>,
    sky: &EveningSky<'_>,
    observers: &[ObserverAt<'_>],
    moments: &[Moment],
    doors: Interval,
) -> Track {
    let samples: Vec<Sample> = observers
        .iter()
        .zip(moments)
        .map(|(observer, moment)| sample(materials, moment, &observer.observe(&target.source)))
        .collect();
    let window = sky.span();
    let transit = match target.source {
        Source::Body(_) => transits(sky, &target.source, true, window).first().copied(),
        Source::Star(_) => star_transit(&samples, moments, window),
    };
    let middle = doors.start().plus_minutes(doors.minutes() / 2.0);
    let appearance = target.body().map(|body| sky.at(middle).appearance(body));
    let rings = (target.body() == Some(Body::Saturn)).then(|| sky.at(middle).saturn_rings());
    Track { samples, transit, appearance, rings }
}

pub(super) fn sample(materials: &Materials<'_>, moment: &Moment, observed: &Observed) -> Sample {
    let site = materials.site;
    let (altitude, azimuth) = (observed.apparent_altitude(site.air), observed.azimuth);
    Sample {
        altitude,
        azimuth,
        airmass: observed.airmass(site.air),
        moon_separation: observed.separation(&moment.moon),
        sun_separation: observed.separation(&moment.sun),
        hour_angle: observed.hour_angle,
        parallactic_angle: observed.parallactic_angle,
        sky: moment.light_towards(site, altitude, azimuth).total,
    }
}

/// A star's upper transit in the night, carried from the sample nearest to the meridian at the sidereal rate.
fn star_transit(samples: &[Sample], moments: &[Moment], window: Interval) -> Option<Instant> {
    let (sample, moment) = samples.iter().zip(moments).min_by(|(one, _), (other, _)| {
        one.hour_angle.abs().radians().total_cmp(&other.hour_angle.abs().radians())
    })?;
    let day_s = 360.0 / HOUR_ANGLE_DEG_PER_S;
    let nearest = moment.instant.plus_seconds(-sample.hour_angle.degrees() / HOUR_ANGLE_DEG_PER_S);
    [0.0, -day_s, day_s]
        .into_iter()
        .map(|turn_s| nearest.plus_seconds(turn_s))
        .find(|transit| window.contains(*transit))
}

#[cfg(test)]
mod tests;
