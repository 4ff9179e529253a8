//! Worth of showing a target on a port at an instant, in named parts, and its view through one port alone.

use super::{Materials, Prepared};
use crate::assign::{AirAndSky, PortChoice, TargetOnPort, rank_ports};
use crate::rig::Port;
use crate::time::Interval;
use crate::units::Fraction;

/// The worth of a showing and its parts, each from 0 to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Merit {
    /// The target's appeal.
    pub appeal: Fraction,
    /// The view at the worst minute of the showing.
    pub view: Fraction,
    /// The port and field that give it.
    pub choice: PortChoice,
}

impl Merit {
    /// Appeal times view.
    pub fn worth(&self) -> Fraction {
        Fraction::clamped(self.appeal.value() * self.view.value())
    }
}

/// The merit of a target on each port over an interval, best first; ports without a view are left out.
///
/// Each port counts by the worst minute of the interval, both ends included; one minute without a view, or below the
/// horizon, leaves it out. Ties go to the order of the rig file. Hard limits (horizon profile, mount, Sun) are not
/// judged here: [`super::Availability`] has them.
pub fn merit(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    interval: Interval,
) -> Vec<Merit> {
    let Some(target) = materials.catalogue.targets.get(target_index) else { return Vec::new() };
    let (first, last) = (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
    let mut worst: Vec<PortChoice> = Vec::new();
    for (position, minute) in (first..=last).enumerate() {
        let Some(showing) = prepared.showing(materials, target_index, minute) else { return Vec::new() };
        let now = rank_ports(target, materials.rig, &showing, &prepared.ports_out_of_service);
        if position == 0 {
            worst = now;
            continue;
        }
        for choice in now {
            let kept = worst.iter_mut().find(|kept| kept.port == choice.port);
            if let Some(kept) = kept.filter(|kept| choice.view < kept.view) {
                *kept = choice;
            }
        }
    }
    let place = |choice: &PortChoice| materials.rig.ports.iter().position(|port| port.id == choice.port);
    worst.retain(|choice| choice.view > Fraction::ZERO);
    worst.sort_by(|one, other| {
        other.view.value().total_cmp(&one.view.value()).then(place(one).cmp(&place(other)))
    });
    worst.into_iter().map(|choice| Merit { appeal: target.appeal, view: choice.view, choice }).collect()
}

/// The view of a target through one port at the worst minute of an interval, both ends included: the one that [`merit`]
/// gives, without the reasons and the other ports; 0 where that leaves the port out.
pub fn worst_view(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    port: &Port,
    interval: Interval,
) -> Fraction {
    let view = views(prepared, materials, target_index, port);
    let (first, last) = (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
    let mut worst = Fraction::ONE;
    for minute in first..=last {
        let now = view(minute);
        if now == Fraction::ZERO {
            return now;
        }
        worst = if now < worst { now } else { worst };
    }
    worst
}

/// The view of a target through a port at each moment, by its position: 0 below the horizon, on a port that was out of
/// service when the evening was prepared, and for a target that there is not.
pub(super) fn views<'v>(
    prepared: &'v Prepared,
    materials: &'v Materials<'_>,
    target_index: usize,
    port: &Port,
) -> impl Fn(usize) -> Fraction + use<'v> {
    let in_service = !prepared.ports_out_of_service.contains(&port.id);
    let own = materials.catalogue.targets.get(target_index).zip(prepared.tracks.get(target_index));
    let on_port = own
        .filter(|_| in_service)
        .map(|(target, track)| TargetOnPort::new(target, track.appearance, &materials.rig.telescope, port));
    move |minute| {
        let view = on_port.as_ref().and_then(|on_port| {
            let showing = prepared.showing(materials, target_index, minute)?;
            Some(on_port.view(&AirAndSky::new(&showing)))
        });
        view.unwrap_or(Fraction::ZERO)
    }
}
