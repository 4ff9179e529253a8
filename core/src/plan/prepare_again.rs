//! An evening's sky with a little changed, out of the sky that is there: other ports in service, or doors open longer.

use super::availability::{Within, rank_at_best};
use super::prepare::{MARGIN_MINUTES, doors, moment};
use super::satellites::satellite_events;
use super::track::Way;
use super::{Evening, Materials, Moment, Prepared, Sample, Track, ViewGrid};
use crate::place::{EveningSky, ObserverAt};
use crate::rig::PortId;
use crate::time::Interval;

/// The same sky with other ports out of service: what `prepare` gives for them.
pub(super) fn with_ports(
    prepared: &Prepared,
    materials: &Materials<'_>,
    out_of_service: Vec<PortId>,
) -> Prepared {
    // What `judged` makes anew is left out, not copied first.
    let again = Prepared {
        night: prepared.night.clone(),
        doors: prepared.doors,
        span: prepared.span,
        moments: prepared.moments.clone(),
        air: prepared.air,
        tracks: prepared.tracks.clone(),
        availability: Vec::new(),
        ranked: Vec::new(),
        ports_out_of_service: out_of_service,
        closed_sky: prepared.closed_sky.clone(),
        views: ViewGrid::new(0, 0, 0),
        satellites: prepared.satellites.clone(),
    };
    judged(again, materials)
}

/// The sky of an evening that is another one with doors open longer. Only the minutes that come new are computed; what
/// stands for the whole evening (transits, the bodies' appearance in its middle) stays. `None` where doors don't close
/// later, or outside the ephemeris.
pub(super) fn with_doors_longer(
    prepared: &Prepared,
    longer: &Evening,
    materials: &Materials<'_>,
) -> Option<Prepared> {
    let local = &prepared.night.local;
    let doors = doors(&longer.programme, local).ok()?;
    if doors.start() != prepared.doors.start() || doors.end() <= prepared.doors.end() {
        return None;
    }
    let window = local.window();
    let sky = EveningSky::new(materials.ephemeris, materials.site.place, longer.orientation, window).ok()?;
    let last = doors.end().plus_minutes(MARGIN_MINUTES).min(window.end());
    let after = last.minutes_since(doors.start()).floor();
    let start = prepared.span.start();
    let span = Interval::new(start, doors.start().plus_minutes(after))?;
    let minutes = prepared.moments.len()..=span.minutes().round() as usize;
    let observers: Vec<ObserverAt<'_>> =
        minutes.map(|minute| sky.at(start.plus_minutes(minute as f64))).collect();
    let mut moments = prepared.moments.clone();
    moments.extend(observers.iter().map(|observer| moment(materials, observer)));
    let new = &moments[prepared.moments.len()..];
    let targets = materials.catalogue.targets.iter().zip(&prepared.tracks);
    let tracks: Vec<Track> = targets
        .map(|(target, track)| {
            let mut track = track.clone();
            if let Way::Kept(samples) = &mut track.way {
                let more = observers.iter().zip(new);
                let sample = |(at, moment): (&ObserverAt<'_>, &Moment)| {
                    Sample::new(&at.observe(&target.source), moment, prepared.air)
                };
                samples.extend(more.map(sample));
            }
            track
        })
        .collect();
    let longer = Prepared {
        night: prepared.night.clone(),
        doors,
        span,
        moments,
        air: prepared.air,
        tracks,
        availability: Vec::new(),
        ranked: Vec::new(),
        ports_out_of_service: longer.wishes.ports_out_of_service.clone(),
        closed_sky: prepared.closed_sky.clone(),
        views: ViewGrid::new(0, 0, 0),
        satellites: satellite_events(materials, &sky, span),
    };
    Some(judged(longer, materials))
}

/// The same with what is judged from the samples judged anew.
fn judged(prepared: Prepared, materials: &Materials<'_>) -> Prepared {
    let Prepared { moments, tracks, span, doors, ports_out_of_service, closed_sky, .. } = &prepared;
    let (span, doors, out_of_service) = (*span, *doors, ports_out_of_service.as_slice());
    let (availability, views) =
        Within { materials, moments, span, doors, out_of_service, closed_sky }.all(tracks);
    let ranked = rank_at_best(materials, moments, tracks, &availability, span, out_of_service);
    Prepared { availability, ranked, views, ..prepared }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveTime;

    use super::{with_doors_longer, with_ports};
    use crate::plan::invented::{Invented, march_evening};
    use crate::rig::PortId;

    #[test]
    fn other_ports_give_what_is_prepared_for_them() {
        let invented = Invented::new(4);
        let mut evening = march_evening();
        let all = invented.prepare(&evening);
        evening.wishes.ports_out_of_service = vec![PortId("eyepiece".into())];
        let fewer = invented.prepare(&evening);
        let materials = invented.materials();
        assert_eq!(with_ports(&all, &materials, evening.wishes.ports_out_of_service.clone()), fewer);
        assert_eq!(with_ports(&fewer, &materials, Vec::new()), all);
    }

    #[test]
    fn longer_doors_give_what_is_prepared_for_them_but_for_the_bodies_of_its_middle() {
        let invented = Invented::new(4);
        let evening = march_evening();
        let mut longer = evening.clone();
        longer.programme.doors_close = NaiveTime::from_hms_opt(23, 30, 0).expect("a time");
        let materials = invented.materials();
        let again = with_doors_longer(&invented.prepare(&evening), &longer, &materials).expect("an evening");
        let whole = invented.prepare(&longer);
        assert_eq!((again.span, again.doors), (whole.span, whole.doors));
        assert_eq!(again.moments, whole.moments);
        for target in 0..whole.tracks.len() {
            assert_eq!(again.all_samples(target), whole.all_samples(target));
            let allowed = |of: &crate::plan::Prepared| of.availability[target].allowed.clone();
            assert_eq!(allowed(&again), allowed(&whole));
            for cell in 0..whole.views.cells() {
                for port in 0..4 {
                    let (own, other) =
                        (again.views.get(target, cell, port), whole.views.get(target, cell, port));
                    // Half an hour later a disc or a magnitude is another by less than a hundredth.
                    assert!((own - other).abs() < 0.01, "{target} {cell} {port}: {own} {other}");
                }
            }
        }
        assert_eq!(with_doors_longer(&whole, &evening, &materials), None, "no evening is cut short");
    }
}
