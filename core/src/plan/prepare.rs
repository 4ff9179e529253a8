//! The evening's sky computed: doors on the clock, Sun and Moon by the minute, every target's track.

use super::availability::{Within, rank_at_best};
use super::closed_sky::closed_parts;
use super::satellites::satellite_events;
use super::track::Way;
use super::{Availability, Evening, Materials, Moment, PrepareError, Prepared, Programme, Sample, Track};
use crate::catalogue::Target;
use crate::ephemeris::{Appearance, Body};
use crate::events::{Direction, Night, night, transits};
use crate::place::{Air, EveningSky, ObserverAt, OutsideSpan, Source, StarPlace};
use crate::sky::background;
use crate::time::{Instant, Interval, LocalNight};
use crate::units::{Angle, Fraction};

/// Minutes sampled before the earlier of sunset and doors, and after doors close.
pub(super) const MARGIN_MINUTES: f64 = 30.0;
/// The shortest evening that makes sense.
const SHORTEST_DOORS_MINUTES: f64 = 10.0;
/// A catalogue of up to so many targets has the samples of all kept, in some 10 MB.
const ALL_KEPT_UP_TO: usize = 400;
/// Of a larger one, those of so many fixed places that show best: about what evenings show. Others are worked out each
/// time they are asked for.
const MOST_KEPT: usize = 100;
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
    let few = materials.catalogue.targets.len() <= ALL_KEPT_UP_TO;
    let mut tracks: Vec<Track> = materials
        .catalogue
        .targets
        .iter()
        .map(|target| track(target, materials, &sky, &observers, &moments, doors, few))
        .collect();
    let out_of_service = &evening.wishes.ports_out_of_service;
    let within =
        Within { materials, moments: &moments, span, doors, out_of_service, closed_sky: &closed_sky };
    let (availability, views) = within.all(&tracks);
    let ranked = rank_at_best(materials, &moments, &tracks, &availability, span, out_of_service);
    if !few {
        keep_best(&mut tracks, &availability, &moments, materials.site.air);
    }
    Ok(Prepared {
        night,
        doors,
        span,
        moments,
        air: materials.site.air,
        tracks,
        availability,
        ranked,
        ports_out_of_service: out_of_service.clone(),
        closed_sky,
        views,
        satellites: satellite_events(materials, &sky, span),
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
        fixed: observer.fixed_sky(),
    }
}

fn track(
    target: &Target,
    materials: &Materials<'_>,
    sky: &EveningSky<'_>,
    observers: &[ObserverAt<'_>],
    moments: &[Moment],
    doors: Interval,
    keep: bool,
) -> Track {
    let air = materials.site.air;
    let window = sky.span();
    let (way, transit) = match &target.source {
        source @ (Source::Body(_) | Source::Comet(_)) => {
            let samples = observers.iter().zip(moments);
            let samples =
                samples.map(|(observer, moment)| Sample::new(&observer.observe(source), moment, air));
            (Way::Kept(samples.collect()), transits(sky, source, true, window).first().copied())
        }
        Source::Star(star) => {
            let way = if keep { kept(star, moments, air) } else { Way::Fixed(*star) };
            (way, star_transit(star, moments, window))
        }
    };
    let middle = doors.start().plus_minutes(doors.minutes() / 2.0);
    let appearance = match &target.source {
        Source::Body(body) => Some(sky.at(middle).appearance(*body)),
        Source::Comet(comet) => sky.at(middle).comet_magnitude(comet).map(Appearance::of_light),
        Source::Star(_) => None,
    };
    let rings = (target.body() == Some(Body::Saturn)).then(|| sky.at(middle).saturn_rings());
    Track { way, transit, appearance, rings }
}

fn kept(star: &StarPlace, moments: &[Moment], air: Air) -> Way {
    Way::Kept(moments.iter().map(|moment| Sample::of_star(star, moment, air)).collect())
}

/// Keeps the samples of those fixed places that show best: a draft and its reasons ask for them again and again.
fn keep_best(tracks: &mut [Track], availability: &[Availability], moments: &[Moment], air: Air) {
    let worth = |(target, own): (usize, &Availability)| Some((own.best?.1, target));
    let mut best: Vec<(Fraction, usize)> = availability.iter().enumerate().filter_map(worth).collect();
    best.sort_by(|one, other| other.0.value().total_cmp(&one.0.value()));
    for (_, target) in best.into_iter().take(MOST_KEPT) {
        let way = &mut tracks[target].way;
        if let Way::Fixed(star) = way {
            *way = kept(star, moments, air);
        }
    }
}

/// A star's upper transit in the night, carried from the moment nearest to it at the sidereal rate.
fn star_transit(star: &StarPlace, moments: &[Moment], window: Interval) -> Option<Instant> {
    let hour_angle = |moment: &Moment| moment.fixed.observe(star).hour_angle;
    let first = moments.first()?;
    let due_minutes = (-hour_angle(first)).wrapped().degrees() / HOUR_ANGLE_DEG_PER_S / 60.0;
    let near = moments.get(due_minutes.round() as usize).or(moments.last())?;
    let day_s = 360.0 / HOUR_ANGLE_DEG_PER_S;
    let nearest = near.instant.plus_seconds(-hour_angle(near).degrees() / HOUR_ANGLE_DEG_PER_S);
    [0.0, -day_s, day_s]
        .into_iter()
        .map(|turn_s| nearest.plus_seconds(turn_s))
        .find(|transit| window.contains(*transit))
}

#[cfg(test)]
mod tests;
