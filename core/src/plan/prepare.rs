//! The evening's sky computed: doors on the clock, Sun and Moon by the minute, every target's track.

use super::availability::{availability, rank_at_best};
use super::{Evening, Materials, Moment, PrepareError, Prepared, Sample, Track};
use crate::catalogue::Target;
use crate::ephemeris::{Appearance, Body, appearance};
use crate::events::{Direction, Night, night, transits};
use crate::maths::Vec3;
use crate::place::{EveningSky, Observed, ObserverAt, Source, airmass_kasten_young, refraction_saemundsson};
use crate::sky::background;
use crate::time::{Instant, Interval, LocalNight};
use crate::units::Angle;

/// Minutes sampled before the earlier of sunset and doors, and after doors close.
const MARGIN_MINUTES: f64 = 30.0;
/// The shortest evening that makes sense.
const SHORTEST_DOORS_MINUTES: f64 = 10.0;
/// Refraction is left off below this airless altitude, where its formula ends.
const REFRACTION_FROM: Angle = Angle::from_degrees(-1.0);
/// How fast an hour angle grows: a turn in a mean sidereal day of 86 164.0905 seconds (IAU 1982 relation).
const HOUR_ANGLE_DEG_PER_S: f64 = 360.0 / 86_164.090_5;

/// Computes the evening's sky for every target.
///
/// The result stands as long as date, Earth orientation, doors, ports out of service, site, rig and catalogue stay;
/// house, wishes for targets and running order may change under it.
///
/// # Errors
/// A date outside the ephemeris, or clock times that make no evening.
pub fn prepare(evening: &Evening, materials: &Materials<'_>) -> Result<Prepared, PrepareError> {
    let date = evening.date;
    let no_such_time = |error| PrepareError::LocalTime(date, error);
    let local = LocalNight::new(date, materials.site.zone).map_err(no_such_time)?;
    let open = local.at(evening.programme.doors_open).map_err(no_such_time)?;
    let close = local.at(evening.programme.doors_close).map_err(no_such_time)?;
    let doors = Interval::new(open, close)
        .filter(|doors| doors.minutes() >= SHORTEST_DOORS_MINUTES)
        .ok_or(PrepareError::Doors)?;
    let window = local.window();
    let sky = EveningSky::new(materials.ephemeris, materials.site.place, evening.orientation, window)
        .map_err(|error| PrepareError::OutsideSpan(date, error))?;
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
    let (availability, views) = availability(materials, &moments, &tracks, span, doors, out_of_service);
    let choices = rank_at_best(materials, &tracks, &availability, span, doors, out_of_service);
    Ok(Prepared {
        night,
        doors,
        span,
        moments,
        tracks,
        availability,
        choices,
        ports_out_of_service: out_of_service.clone(),
        views,
    })
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

fn moment(materials: &Materials<'_>, observer: &ObserverAt<'_>) -> Moment {
    let (sun, moon) = (observer.sun(), observer.moon());
    let moon_phase_angle = phase_angle(&sun, &moon);
    let zenith = Angle::from_degrees(90.0);
    let light = background(materials.site, zenith, Angle::ZERO, &sun, &moon, moon_phase_angle);
    Moment { instant: observer.instant(), sun, moon, moon_phase_angle, zenith: light.total }
}

/// From the observer to a body, in astronomical units on axes east, north, up.
fn vector_au(observed: &Observed) -> Vec3 {
    observed.east_north_up * observed.distance_au.unwrap_or(1.0)
}

/// The angle at a body between Sun and observer.
fn phase_angle(sun: &Observed, body: &Observed) -> Angle {
    let to_body = vector_au(body);
    (-to_body).angle_to(vector_au(sun) - to_body)
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
        .map(|(observer, moment)| sample(materials, moment, observer.direction(&target.source)))
        .collect();
    let window = sky.span();
    let transit = match target.source {
        Source::Body(_) => transits(sky, &target.source, true, window).first().copied(),
        Source::Star(_) => star_transit(&samples, moments, window),
    };
    let appearance = match target.source {
        Source::Body(body) => {
            let middle = doors.start().plus_minutes(doors.minutes() / 2.0);
            Some(body_appearance(body, &sky.at(middle), &target.source))
        }
        Source::Star(_) => None,
    };
    Track { samples, transit, appearance }
}

/// One sample from the direction on axes east, north, up.
fn sample(materials: &Materials<'_>, moment: &Moment, direction: Vec3) -> Sample {
    let site = materials.site;
    let (from_east, airless) = direction.spherical();
    let azimuth = (Angle::from_degrees(90.0) - from_east).wrapped();
    let altitude =
        if airless > REFRACTION_FROM { airless + refraction_saemundsson(airless, site.air) } else { airless };
    let (hour_angle, parallactic_angle) = hour_and_parallactic_angle(direction, site.place.latitude);
    let sky = background(
        site,
        altitude.max(Angle::ZERO),
        azimuth,
        &moment.sun,
        &moment.moon,
        moment.moon_phase_angle,
    );
    Sample {
        altitude,
        azimuth,
        airmass: airmass_kasten_young(altitude),
        moon_separation: direction.angle_to(moment.moon.east_north_up),
        sun_separation: direction.angle_to(moment.sun.east_north_up),
        hour_angle,
        parallactic_angle,
        sky: sky.total,
    }
}

/// Hour angle (west positive) and parallactic angle of a direction on axes east, north, up.
///
/// Source: Meeus, Astronomical Algorithms, 2nd ed., eq. 14.1, `tan q = sin H / (tan φ cos δ - sin δ cos H)`, written
/// with the parts of the vector.
fn hour_and_parallactic_angle(direction: Vec3, latitude: Angle) -> (Angle, Angle) {
    let (sin_latitude, cos_latitude) = latitude.sin_cos();
    let Vec3 { x: east, y: north, z: up } = direction;
    // cos δ sin H = -east; cos δ cos H = up cos φ - north sin φ; sin δ = north cos φ + up sin φ
    let towards_meridian = up * cos_latitude - north * sin_latitude;
    let sin_declination = north * cos_latitude + up * sin_latitude;
    let hour_angle = (-east).atan2(towards_meridian);
    let cos_declination_squared = 1.0 - sin_declination * sin_declination;
    let parallactic = (-east * cos_latitude)
        .atan2(sin_latitude * cos_declination_squared - cos_latitude * sin_declination * towards_meridian);
    (Angle::from_radians(hour_angle), Angle::from_radians(parallactic))
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

fn body_appearance(body: Body, observer: &ObserverAt<'_>, source: &Source) -> Appearance {
    /// Source: IAU 2012 resolution B2.
    const KM_PER_AU: f64 = 149_597_870.7;
    let from_observer_km = vector_au(&observer.observe(source)) * KM_PER_AU;
    let from_sun_km = match body {
        Body::Sun => Vec3::default(),
        _ => from_observer_km - vector_au(&observer.sun()) * KM_PER_AU,
    };
    appearance(body, observer.instant(), from_observer_km, from_sun_km)
}

#[cfg(test)]
mod tests;
