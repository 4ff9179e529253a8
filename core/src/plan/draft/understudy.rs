//! For each stop a target that could replace it when its part of the sky closes.

use super::desk::Desk;
use crate::catalogue::TargetId;
use crate::plan::check::POOR_VIEW;
use crate::plan::{Stop, StopId, What};
use crate::units::Angle;

/// How far in azimuth an understudy should be from its stop, in degrees: another part of the sky.
const ELSEWHERE_DEG: f64 = 60.0;
/// What an understudy in the same part of the sky counts.
const SAME_PART: f64 = 0.3;

/// Gives every drafted stop an understudy, none twice where it can be helped, none that is shown or left out.
pub(super) fn assign(desk: Desk<'_>, stops: &mut [Stop], fixed: &[StopId]) {
    let mut used: Vec<TargetId> = stops.iter().filter_map(|stop| Some(stop.show()?.target.clone())).collect();
    used.extend(desk.evening.wishes.leave_out.iter().cloned());
    used.extend(stops.iter().filter_map(|stop| stop.show()?.understudy.clone()));
    for stop in stops {
        let keeps = fixed.contains(&stop.id) && stop.held.time;
        let Some(understudy) = (if keeps { None } else { best(desk, stop, &used) }) else { continue };
        match &mut stop.what {
            What::Show(show) if show.understudy.is_none() => {
                used.push(understudy.clone());
                show.understudy = Some(understudy);
            }
            _ => {}
        }
    }
}

/// The best replacement for a stop over its whole interval, through any port in service.
fn best(desk: Desk<'_>, stop: &Stop, used: &[TargetId]) -> Option<TargetId> {
    let show = stop.show()?;
    let own = desk.materials.target_index(&show.target)?;
    let azimuth = desk.prepared.sample(own, stop.start())?.azimuth;
    let (first, last) = (desk.prepared.moment_index(stop.start()), desk.prepared.moment_index(stop.end()));
    let ports: Vec<usize> =
        (0..desk.materials.rig.ports.len()).filter(|port| desk.in_service(*port)).collect();
    let mut best: Option<(f64, &TargetId)> = None;
    for (index, target) in desk.materials.catalogue.targets.iter().enumerate() {
        if used.contains(&target.id) || !desk.prepared.availability.get(index)?.allowed.covers(stop.interval)
        {
            continue;
        }
        let view =
            ports.iter().map(|port| desk.prepared.views.worst(index, *port, first, last)).fold(0.0, f64::max);
        if view < POOR_VIEW {
            continue;
        }
        let apart = (desk.prepared.sample(index, stop.start())?.azimuth - azimuth).wrapped_signed().abs();
        let elsewhere = apart >= Angle::from_degrees(ELSEWHERE_DEG);
        let worth = view * target.appeal.value() * if elsewhere { 1.0 } else { SAME_PART };
        if best.is_none_or(|(most, _)| worth > most) {
            best = Some((worth, &target.id));
        }
    }
    best.map(|(_, target)| target.clone())
}
