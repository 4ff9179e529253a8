//! For each stop a target that could replace it when its part of the sky closes.

use super::desk::Desk;
use super::scales::Scales;
use crate::catalogue::TargetId;
use crate::plan::explain::Scene;
use crate::plan::{RunningOrder, StopId, What};

/// Gives every stop that has none an understudy, none twice, none that is shown or to be left out. What is held in time
/// stays as it is, and so does what is `done`.
pub(super) fn assign(
    desk: Desk<'_>,
    scales: &Scales<'_>,
    order: &RunningOrder,
    done: &[StopId],
) -> RunningOrder {
    let scene = Scene::of(desk.evening, order, desk.prepared, desk.materials, scales);
    let mut stops = order.stops().to_vec();
    let mut used: Vec<TargetId> = stops.iter().filter_map(|stop| stop.show()?.understudy.clone()).collect();
    for stop in &mut stops {
        let keeps = stop.held.time || done.contains(&stop.id);
        if keeps || stop.show().is_none_or(|show| show.understudy.is_some()) {
            continue;
        }
        let Some(understudy) = scene.understudy(stop, &used) else { continue };
        if let What::Show(show) = &mut stop.what {
            used.push(understudy.target.clone());
            show.understudy = Some(understudy.target);
        }
    }
    RunningOrder::new(stops)
}
