//! Why not now, when better, and what the ports give instead: the questions a user asks of any target.

use super::availability::showing;
use super::limits::{hard_limit, lowest_altitude};
use super::{
    Limit, Materials, Moment, OrderDifference, POOR_VIEW, Prepared, RunningOrder, Sample, WeakestLink,
    weakest_link,
};
use crate::assign::{AirAndSky, PortChoice, TargetOnPort, feature_worth, rank_ports};
use crate::catalogue::TargetId;
use crate::rig::PortId;
use crate::sky::SkyLight;
use crate::time::Instant;
use crate::units::{Angle, Fraction};

/// Altitude from which nearly everything shows well. Common practice, no source: two airmasses.
const WELL_UP: Angle = Angle::from_degrees(30.0);
/// A view this much better than now is worth waiting for. Common practice, no source.
const WORTH_WAITING: f64 = 0.1;
/// Share of the best later view from which it counts as that. Common practice, no source.
const NEARLY_BEST: f64 = 0.9;
/// The least view that leaves nothing to ask. Common practice, no source.
const GOOD_VIEW: f64 = 0.75;

/// Why a target is not for an instant, with the numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyNot {
    /// It may not be shown.
    Limit {
        /// What forbids it.
        limit: Limit,
        /// Its apparent altitude.
        altitude: Angle,
        /// The lowest altitude that may be pointed to in its direction.
        lowest: Angle,
        /// Angle to the Sun.
        sun_separation: Angle,
        /// The Sun's altitude, airless.
        sun_altitude: Angle,
        /// When that part of the sky opens again, if it is closed and does that night.
        opens: Option<Instant>,
    },
    /// It may be shown, but the moment keeps the best port from showing it well, or no port shows more than a hint.
    View {
        /// What the best port gives.
        view: Fraction,
        /// Its apparent altitude.
        altitude: Angle,
        /// What holds it back.
        link: WeakestLink,
    },
}

/// When a target is better than at an instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Better {
    /// From when.
    pub from: Instant,
    /// How high it stands then, refraction in.
    pub altitude: Angle,
    /// The best port then.
    pub port: PortId,
    /// What it gives.
    pub view: Fraction,
    /// Whether it is height that makes the difference: it then has climbed to 30 degrees.
    pub well_up: bool,
}

/// The ports for a target at an instant, best first, each with its reasons; the first reason of any but the first port
/// says why not that one. Empty below the horizon.
pub fn ports_at(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    instant: Instant,
) -> Vec<PortChoice> {
    let minute = prepared.moment_index(instant);
    let target = materials.catalogue.targets.get(target_index);
    let showing = prepared.showing(materials, target_index, minute);
    let (Some(target), Some(showing)) = (target, showing) else { return Vec::new() };
    rank_ports(target, materials.rig, &showing, &prepared.ports_out_of_service)
}

/// The light of the sky behind a target at an instant, part by part.
pub fn sky_behind(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    instant: Instant,
) -> Option<SkyLight> {
    let minute = prepared.moment_index(instant);
    let sample = prepared.sample_at(target_index, minute)?;
    let moment = prepared.moments.get(minute)?;
    Some(moment.light_towards(materials.site, sample.altitude, sample.azimuth))
}

/// What forbids a target at a sample, if anything does.
fn forbidden(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    minute: usize,
) -> Option<WhyNot> {
    let target = materials.catalogue.targets.get(target_index)?;
    let sample = prepared.sample_at(target_index, minute)?;
    let moment = prepared.moments.get(minute)?;
    let limit = hard_limit(materials, &target.source, moment, &sample, &prepared.closed_sky)?;
    Some(WhyNot::Limit {
        limit,
        altitude: sample.altitude,
        lowest: lowest_altitude(materials, sample.azimuth),
        sun_separation: sample.sun_separation,
        sun_altitude: moment.sun.altitude,
        opens: opens_again(prepared, moment, &sample),
    })
}

/// When the closed part of the sky that a sample lies in opens again: the last of those that close it.
fn opens_again(prepared: &Prepared, moment: &Moment, sample: &Sample) -> Option<Instant> {
    let parts = prepared.closed_sky.iter().filter(|part| part.closes(sample.azimuth, moment.instant));
    let last = parts.max_by_key(|part| (!part.opens_again, part.interval.end()))?;
    last.opens_again.then(|| last.interval.end())
}

/// Why a target is not for an instant; `None` where nothing speaks against it, and for a target that there is not.
pub fn why_not_now(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    instant: Instant,
) -> Option<WhyNot> {
    let minute = prepared.moment_index(instant);
    if let Some(limit) = forbidden(prepared, materials, target_index, minute) {
        return Some(limit);
    }
    let choices = ports_at(prepared, materials, target_index, instant);
    let best = choices.first()?;
    if best.view.value() >= GOOD_VIEW {
        return None;
    }
    let altitude = prepared.sample(target_index, instant)?.altitude;
    let link = weakest_link(prepared, materials, target_index, &best.port, instant)?;
    // What a port makes of a target is no fault of the moment.
    if matches!(link, WeakestLink::Port(_)) && best.view.value() >= POOR_VIEW {
        return None;
    }
    Some(WhyNot::View { view: best.view, altitude, link })
}

/// From when a target is better than at an instant, within the evening as it was prepared.
///
/// A target below 30 degrees that climbs there, and shows there no worse than now, is better from then on. Any other is
/// better from when its view comes within a tenth of the best still to come, if that beats the view now by 0.1. `None`
/// where nothing better comes.
pub fn when_better(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    instant: Instant,
) -> Option<Better> {
    let now = prepared.moment_index(instant);
    let (target, track) =
        (materials.catalogue.targets.get(target_index)?, prepared.tracks.get(target_index)?);
    let in_service =
        materials.rig.ports.iter().filter(|port| !prepared.ports_out_of_service.contains(&port.id));
    let on_ports: Vec<(&PortId, TargetOnPort)> = in_service
        .map(|port| (&port.id, TargetOnPort::new(target, track.appearance, &materials.rig.telescope, port)))
        .collect();
    let samples = prepared.all_samples(target_index);
    let best_at = |minute: usize| -> Option<(&PortId, f64)> {
        let (sample, moment) = (samples.get(minute)?, prepared.moments.get(minute)?);
        if hard_limit(materials, &target.source, moment, sample, &prepared.closed_sky).is_some() {
            return None;
        }
        let air = AirAndSky::new(&showing(materials.site, track.appearance, moment, sample)?);
        let views = on_ports.iter().map(|(port, on_port)| (*port, on_port.view(&air).value()));
        // Ties go to the order of the rig.
        views.filter(|(_, view)| *view > 0.0).reduce(|one, other| if other.1 > one.1 { other } else { one })
    };
    let view_now = best_at(now).map_or(0.0, |(_, view)| view);
    let answer = |minute: usize, (port, view): (&PortId, f64), well_up: bool| Better {
        from: prepared.moments[minute].instant,
        altitude: samples[minute].altitude,
        port: port.clone(),
        view: Fraction::clamped(view),
        well_up,
    };
    if samples.get(now)?.altitude < WELL_UP {
        let climbed = (now + 1..samples.len()).find(|minute| samples[*minute].altitude >= WELL_UP);
        let there = climbed.and_then(|minute| Some((minute, best_at(minute)?)));
        if let Some((minute, best)) = there.filter(|(_, (_, view))| *view > view_now) {
            return Some(answer(minute, best, true));
        }
    }
    let later: Vec<(usize, (&PortId, f64))> =
        (now + 1..samples.len()).filter_map(|minute| Some((minute, best_at(minute)?))).collect();
    let most = later.iter().map(|(_, (_, view))| *view).fold(0.0, f64::max);
    if most < view_now + WORTH_WAITING {
        return None;
    }
    let enough = (NEARLY_BEST * most).max(view_now);
    let (minute, best) = later.into_iter().find(|(_, (_, view))| *view >= enough)?;
    Some(answer(minute, best, false))
}

/// The place on the Moon to frame at an instant where the whole Moon is too big for a field: the one in the best light,
/// by its position in the catalogue, and what that light is worth from 0 to 1. `None` where none is lit well enough.
pub fn moon_feature_to_frame(
    prepared: &Prepared,
    materials: &Materials<'_>,
    instant: Instant,
) -> Option<(usize, Fraction)> {
    let face = &prepared.moments.get(prepared.moment_index(instant))?.moon_face;
    let targets = materials.catalogue.targets.iter().enumerate();
    targets
        .filter_map(|(index, target)| Some((index, feature_worth(target.feature?, face))))
        .filter(|(_, worth)| *worth >= GOOD_VIEW)
        .reduce(|one, other| if other.1 > one.1 { other } else { one })
        .map(|(index, worth)| (index, Fraction::clamped(worth)))
}

/// What another appeal of one target does to the running order.
#[derive(Clone, Debug, PartialEq)]
pub struct AppealChange {
    /// Whose appeal.
    pub target: TargetId,
    /// What it was.
    pub from: Fraction,
    /// What it is now.
    pub to: Fraction,
    /// What it did.
    pub difference: OrderDifference,
}

impl AppealChange {
    /// From the orders drafted with the one and with the other appeal.
    pub fn between(
        target: TargetId,
        (from, to): (Fraction, Fraction),
        before: &RunningOrder,
        after: &RunningOrder,
    ) -> Self {
        Self { target, from, to, difference: OrderDifference::between(before, after) }
    }
}
