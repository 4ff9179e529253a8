//! A visitor asks for a target: yes, from when, or no and why.

use super::not_shown::NotShownWhy;
use super::scene::Scene;
use super::way_in::WayIn;
use crate::catalogue::TargetId;
use crate::plan::check::POOR_VIEW;
use crate::plan::draft::Drafting;
use crate::plan::{
    Better, Evening, Materials, PickUp, Prepared, StopId, WhyNot, ports_at, when_better, why_not_now,
};
use crate::rig::PortId;
use crate::time::Instant;
use crate::units::{Angle, Fraction};

/// The answer to a request.
#[derive(Clone, Debug, PartialEq)]
pub struct RequestAnswer {
    /// Yes, when, or no.
    pub when: RequestWhen,
    /// The cheapest place in the order from now on; `None` where it is in the order already, or nothing makes room.
    pub way: Option<WayIn>,
}

/// When a target that was asked for can be seen.
#[derive(Clone, Debug, PartialEq)]
pub enum RequestWhen {
    /// It is in the order.
    InOrder {
        /// The stop that shows it, now or later.
        stop: StopId,
        /// When it starts.
        at: Instant,
    },
    /// Yes, now.
    Now {
        /// Through which port best.
        port: PortId,
        /// What it shows.
        view: Fraction,
        /// How high it stands, refraction in.
        altitude: Angle,
        /// Where.
        azimuth: Angle,
        /// The last minute of this time at which it may be shown.
        until: Instant,
    },
    /// Not well now, but later.
    From {
        /// What speaks against now.
        now: Option<WhyNot>,
        /// From when it is better.
        better: Better,
        /// Where it stands then.
        azimuth: Angle,
        /// Whether doors are open then.
        within_doors: bool,
    },
    /// Not any more.
    Gone {
        /// The last minute at which it could be shown.
        last: Instant,
        /// What speaks against now.
        now: Option<WhyNot>,
    },
    /// Not tonight.
    No(NotShownWhy),
}

/// Answers a request for a target at an instant of an evening; `None` for a target that the catalogue does not have.
///
/// * `pick_up`: where an evening that has begun is picked up again; nothing is offered before.
pub fn when_could_be_shown(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    pick_up: Option<&PickUp>,
    target: &TargetId,
    now: Instant,
) -> Option<RequestAnswer> {
    let index = materials.target_index(target)?;
    let stop = evening
        .order
        .stops()
        .iter()
        .find(|stop| stop.end() > now && stop.show().is_some_and(|show| &show.target == target));
    if let Some(stop) = stop {
        let when = RequestWhen::InOrder { stop: stop.id, at: stop.start() };
        return Some(RequestAnswer { when, way: None });
    }
    let drafting = Drafting::new(evening, prepared, materials, pick_up);
    let scales = drafting.scales();
    let scene = Scene::new(evening, prepared, materials, &scales).picked_up(pick_up);
    let way = scene.way_in(&scene.rooms(), index, Some(now));
    Some(RequestAnswer { when: scene.when(index, now), way })
}

impl Scene<'_> {
    fn when(&self, target: usize, now: Instant) -> RequestWhen {
        let (prepared, materials) = (self.prepared, self.materials);
        let why = why_not_now(prepared, materials, target, now);
        let own = &prepared.availability[target];
        let run = own.allowed.as_slice().iter().find(|run| run.contains(now));
        let best = ports_at(prepared, materials, target, now).into_iter().next();
        let sample = prepared.sample(target, now);
        let better = when_better(prepared, materials, target, now).and_then(|better| {
            let azimuth = prepared.sample(target, better.from)?.azimuth;
            let within_doors = better.from < prepared.doors.end();
            Some((better, azimuth, within_doors))
        });
        let shows = run.zip(best).zip(sample).filter(|((_, best), _)| best.view.value() >= POOR_VIEW);
        match (better, shows) {
            (Some((better, azimuth, within_doors)), shows)
                if shows.is_none() || (why.is_some() && within_doors) =>
            {
                RequestWhen::From { now: why, better, azimuth, within_doors }
            }
            (_, Some(((run, best), sample))) => RequestWhen::Now {
                port: best.port,
                view: best.view,
                altitude: sample.altitude,
                azimuth: sample.azimuth,
                until: run.end(),
            },
            _ => match own.showable.as_slice().iter().rfind(|run| run.end() < now) {
                Some(run) => RequestWhen::Gone { last: run.end(), now: why },
                None => RequestWhen::No(self.not_shown(target, &self.rooms()).why),
            },
        }
    }
}
