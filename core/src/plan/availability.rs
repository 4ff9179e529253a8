//! When each target may and can be shown, what limits it, and what its ports give at its best.

use super::limits::hard_limit;
use super::views::CELL_MINUTES;
use super::{Availability, ClosedPart, Limit, Materials, Moment, RankedPort, Sample, Track, ViewGrid};
use crate::assign::{AirAndSky, Bearing, PortChoice, Reason, Showing, TargetOnPort, rank_ports};
use crate::catalogue::Target;
use crate::ephemeris::Appearance;
use crate::rig::{Port, PortId};
use crate::site::Site;
use crate::time::{Instant, Interval, IntervalSet};
use crate::units::Fraction;

/// The circumstances of a target at a sample; `None` below the horizon.
pub(super) fn showing(
    site: &Site,
    appearance: Option<Appearance>,
    moment: &Moment,
    sample: &Sample,
) -> Option<Showing> {
    Some(Showing {
        sky: moment.light_towards(site, sample.altitude, sample.azimuth).total,
        airmass: sample.airmass?,
        extinction_mag: site.extinction_mag,
        seeing: site.seeing,
        pressure_hpa: site.air.pressure_hpa,
        bearing: Bearing {
            latitude: site.place.latitude,
            azimuth: sample.azimuth,
            altitude: sample.altitude,
        },
        appearance,
        moon_face: Some(moment.moon_face),
    })
}

/// What the availability of all targets is found from.
pub(super) struct Within<'w, 'm> {
    /// What the evening stands on.
    pub materials: &'w Materials<'m>,
    /// Samples of the sky, one a minute over `span`.
    pub moments: &'w [Moment],
    /// What the samples span.
    pub span: Interval,
    /// Doors open to doors closed.
    pub doors: Interval,
    /// Ports out of service.
    pub out_of_service: &'w [PortId],
    /// Closed parts of the sky.
    pub closed_sky: &'w [ClosedPart],
}

impl Within<'_, '_> {
    /// Every target's availability within doors, and the grid of views behind it.
    pub(super) fn all(&self, tracks: &[Track]) -> (Vec<Availability>, ViewGrid) {
        let targets = &self.materials.catalogue.targets;
        let mut views = ViewGrid::new(targets.len(), self.moments.len(), self.materials.rig.ports.len());
        let all = targets
            .iter()
            .zip(tracks)
            .enumerate()
            .map(|(index, (target, track))| self.target(index, target, track, &mut views))
            .collect();
        (all, views)
    }

    fn target(&self, index: usize, target: &Target, track: &Track, views: &mut ViewGrid) -> Availability {
        let mut count = LimitCount::default();
        let mut allowed = vec![false; self.moments.len()];
        let sampled = |minute: usize| track.sample(self.moments, self.materials.site.air, minute);
        for (minute, moment) in self.moments.iter().enumerate() {
            if moment.instant < self.doors.start() || moment.instant > self.doors.end() {
                continue;
            }
            let Some(sample) = sampled(minute) else { continue };
            match hard_limit(self.materials, &target.source, moment, &sample, self.closed_sky) {
                None => allowed[minute] = true,
                Some(limit) => count.add(limit, 1),
            }
        }
        let rig = self.materials.rig;
        let in_service = |port: &Port| !self.out_of_service.contains(&port.id);
        let on_ports: Vec<Option<TargetOnPort>> = rig
            .ports
            .iter()
            .map(|port| {
                in_service(port).then(|| TargetOnPort::new(target, track.appearance, &rig.telescope, port))
            })
            .collect();
        let mut showable = vec![false; self.moments.len()];
        let mut best: Option<(Instant, f64)> = None;
        for cell in 0..views.cells() {
            let minutes = cell * CELL_MINUTES..((cell + 1) * CELL_MINUTES).min(allowed.len());
            let middle = cell * CELL_MINUTES + CELL_MINUTES / 2;
            let Some(minute) = minutes
                .clone()
                .filter(|minute| allowed[*minute])
                .min_by_key(|minute| minute.abs_diff(middle))
            else {
                continue;
            };
            let circumstances = |sample: Sample| {
                showing(self.materials.site, track.appearance, &self.moments[minute], &sample)
            };
            let Some(showing) = sampled(minute).and_then(circumstances) else { continue };
            let air = AirAndSky::new(&showing);
            for (port, target) in on_ports.iter().enumerate() {
                if let Some(target) = target {
                    views.set(index, cell, port, target.view(&air));
                }
            }
            let allowed_minutes = minutes.clone().filter(|minute| allowed[*minute]);
            let view = views.best(index, cell);
            if view > 0.0 {
                allowed_minutes.for_each(|minute| showable[minute] = true);
                if best.is_none_or(|(_, most)| view > most) {
                    best = Some((self.moments[minute].instant, view));
                }
            } else {
                let choices = rank_ports(target, self.materials.rig, &showing, self.out_of_service);
                count.add(why_no_view(&choices), allowed_minutes.count());
            }
        }
        Availability {
            allowed: self.runs(&allowed),
            showable: self.runs(&showable),
            best: best.map(|(at, view)| (at, Fraction::clamped(view * target.appeal.value()))),
            limits: count.most_limiting_first(),
        }
    }

    /// Runs of samples as intervals from first to last sample, so that both ends of what lies in one were sampled.
    fn runs(&self, samples: &[bool]) -> IntervalSet {
        let mut intervals = Vec::new();
        let mut first = None;
        for minute in 0..=samples.len() {
            match (samples.get(minute).copied().unwrap_or(false), first) {
                (true, None) => first = Some(minute),
                (false, Some(from)) => {
                    let at = |minute: usize| self.span.start().plus_minutes(minute as f64);
                    intervals.extend(Interval::new(at(from), at(minute - 1)));
                    first = None;
                }
                _ => {}
            }
        }
        IntervalSet::from_intervals(intervals)
    }
}

/// Too bright a sky if that is the first reason of any port; else there is no port for it.
fn why_no_view(choices: &[PortChoice]) -> Limit {
    let light = choices.iter().filter_map(|choice| choice.reasons().next()).any(is_about_light);
    if light { Limit::Light } else { Limit::NoPort }
}

const fn is_about_light(reason: &Reason) -> bool {
    matches!(
        reason,
        Reason::TooFaintForEye { .. } | Reason::ForTrainedEyes { .. } | Reason::TooFaintForScreen { .. }
    )
}

/// Minutes lost to each limit.
#[derive(Default)]
struct LimitCount(Vec<(Limit, usize)>);

impl LimitCount {
    fn add(&mut self, limit: Limit, minutes: usize) {
        match self.0.iter_mut().find(|entry| entry.0 == limit) {
            Some(entry) => entry.1 += minutes,
            None => self.0.push((limit, minutes)),
        }
    }

    fn most_limiting_first(mut self) -> Vec<Limit> {
        self.0.sort_by(|one, other| other.1.cmp(&one.1).then(one.0.cmp(&other.0)));
        self.0.into_iter().filter(|entry| entry.1 > 0).map(|entry| entry.0).collect()
    }
}

/// Ports ranked per target at its best time; none for a target that has none.
pub(super) fn rank_at_best(
    materials: &Materials<'_>,
    moments: &[Moment],
    tracks: &[Track],
    availability: &[Availability],
    span: Interval,
    out_of_service: &[PortId],
) -> Vec<Box<[RankedPort]>> {
    let targets = materials.catalogue.targets.iter();
    targets
        .zip(tracks.iter().zip(availability))
        .map(|(target, (track, availability))| {
            let Some((at, _)) = availability.best else { return Box::default() };
            let minute = at.minutes_since(span.start()).round().max(0.0) as usize;
            in_short(materials, &ranked_at(materials, moments, (target, track), minute, out_of_service))
        })
        .collect()
}

/// What is kept of the verdicts of ports.
pub(super) fn in_short(materials: &Materials<'_>, choices: &[PortChoice]) -> Box<[RankedPort]> {
    let ranked = choices.iter().filter_map(|choice| {
        let exposure_s = choice.reasons().find_map(|reason| match reason {
            Reason::ScreenShowsIt { seconds, .. } => Some(*seconds),
            _ => None,
        });
        let port = materials.rig.ports.iter().position(|port| port.id == choice.port)?;
        Some(RankedPort { port, shows: choice.view > Fraction::ZERO, exposure_s })
    });
    ranked.collect()
}

/// Ports ranked for a target at a moment. Below the horizon then, they are ranked as at the horizon.
pub(super) fn ranked_at(
    materials: &Materials<'_>,
    moments: &[Moment],
    (target, track): (&Target, &Track),
    minute: usize,
    out_of_service: &[PortId],
) -> Vec<PortChoice> {
    let sample = track.sample(moments, materials.site.air, minute);
    let (Some(sample), Some(moment)) = (sample, moments.get(minute)) else { return Vec::new() };
    let sample = Sample { airmass: Some(sample.airmass.unwrap_or(HORIZON_AIRMASS)), ..sample };
    showing(materials.site, track.appearance, moment, &sample)
        .map(|showing| rank_ports(target, materials.rig, &showing, out_of_service))
        .unwrap_or_default()
}

/// Airmass at the horizon; Kasten & Young 1989, Applied Optics 28, 4735.
const HORIZON_AIRMASS: f64 = 37.92;
