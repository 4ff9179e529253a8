//! The best hour of a target within doors, by its view through the port that shows it best.

use super::scene::Scene;
use crate::plan::views::CELL_MINUTES;
use crate::rig::PortId;
use crate::time::{Instant, Interval};
use crate::units::{Angle, Fraction};

/// Views closer than this to the best one are as good. Common practice, no source.
const AS_GOOD: f64 = 0.05;

/// When a target is at its best within doors, from where the evening is picked up, whatever else is shown then.
#[derive(Clone, Debug, PartialEq)]
pub struct BestHour {
    /// From when its view is as good as at its best, as far as it is without a break.
    pub from: Instant,
    /// To when.
    pub to: Instant,
    /// When its view is best, the first of equals.
    pub at: Instant,
    /// How high it stands then, refraction in.
    pub altitude: Angle,
    /// Where.
    pub azimuth: Angle,
    /// The port that shows it best then.
    pub port: PortId,
    /// The view through it.
    pub view: Fraction,
}

/// The moment of a target's best view from the earliest on, the first of equals; `None` where no port shows it then.
pub(super) fn best_moment(scene: &Scene<'_>, target: usize) -> Option<usize> {
    let (prepared, earliest) = (scene.prepared, scene.earliest());
    let own = prepared.availability.get(target)?;
    let (at, _) = own.best?;
    if at >= earliest {
        return Some(prepared.moment_index(at));
    }
    let left = own.showable.as_slice().iter().filter_map(|run| {
        let from = run.start().max(earliest);
        Interval::new(from, run.end())
    });
    let moments = left.flat_map(|run| prepared.moment_index(run.start())..=prepared.moment_index(run.end()));
    let views = moments.map(|moment| (moment, prepared.views.best(target, moment / CELL_MINUTES)));
    views.reduce(|one, other| if other.1 > one.1 { other } else { one }).map(|(moment, _)| moment)
}

/// The best hour of a target; `None` where no port shows it within doors.
pub(super) fn best_hour(scene: &Scene<'_>, target: usize) -> Option<BestHour> {
    let prepared = scene.prepared;
    let own = prepared.availability.get(target)?;
    let best = best_moment(scene, target)?;
    let at = prepared.moments[best].instant;
    let run = own.showable.as_slice().iter().find(|run| run.start() <= at && at <= run.end())?;
    let view_at = |moment: usize| prepared.views.best(target, moment / CELL_MINUTES);
    let view = view_at(best);
    let (first, last) =
        (prepared.moment_index(run.start().max(scene.earliest())), prepared.moment_index(run.end()));
    let as_good = |moment: &usize| view_at(*moment) >= view - AS_GOOD;
    let from = (first..=best).rev().take_while(as_good).last()?;
    let to = (best..=last).take_while(as_good).last()?;
    let on_port = |port: usize| prepared.views.get(target, best / CELL_MINUTES, port);
    let ports = 0..scene.materials.rig.ports.len();
    let port = ports.reduce(|one, other| if on_port(other) > on_port(one) { other } else { one })?;
    let sample = prepared.sample_at(target, best)?;
    Some(BestHour {
        from: prepared.moments[from].instant,
        to: prepared.moments[to].instant,
        at,
        altitude: sample.altitude,
        azimuth: sample.azimuth,
        port: scene.materials.rig.ports[port].id.clone(),
        view: Fraction::clamped(view),
    })
}
