//! What thin cloud leaves of a showing: the same view with more light lost on the way.

use crate::assign::{Showing, view_on_port};
use crate::plan::POOR_VIEW;
use crate::rig::Port;
use crate::sheet::Names;
use crate::time::Instant;

/// Light lost in thin cloud, in magnitudes: one to three, the middle of which is taken. Common practice, no source.
const THIN_CLOUD_MAG: f64 = 2.0;

/// The share of its view that a target must keep to be worth a place in line under thin cloud. Common practice, no source: Moon,
/// planets and bright doubles stay, what lives of faint light goes.
const KEPT: f64 = 0.5;

/// Whether a target still shows through a port under thin cloud: its view, worked out with two magnitudes more of light
/// lost, is not poor, and at least half of what it is under a clear sky. That the cloud itself shines in moonlight and twilight, and blurs, is left out.
pub(super) fn survives(names: &Names<'_>, target_index: usize, port: &Port, at: Instant) -> bool {
    let minute = names.prepared.moment_index(at);
    let target = names.materials.catalogue.targets.get(target_index);
    let showing = names.prepared.showing(names.materials, target_index, minute);
    let Some((target, showing)) = target.zip(showing) else { return false };
    // k X + 2 = (k + 2 / X) X
    let extinction_mag = showing.extinction_mag + THIN_CLOUD_MAG / showing.airmass.max(1.0);
    let clouded = Showing { extinction_mag, ..showing };
    let view =
        |showing: &Showing| view_on_port(target, &names.materials.rig.telescope, port, showing).value();
    let left = view(&clouded);
    left >= POOR_VIEW && left >= KEPT * view(&showing)
}
