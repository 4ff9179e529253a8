//! What thin cloud leaves of a showing: the same view with more light lost on the way.

use crate::assign::{Showing, view_on_port};
use crate::catalogue::Kind;
use crate::plan::POOR_VIEW;
use crate::rig::Port;
use crate::sheet::Names;
use crate::time::Instant;

/// Light lost in thin cloud, in magnitudes: one to three, the middle of which is taken. Common practice, no source.
const THIN_CLOUD_MAG: f64 = 2.0;

/// The share of its view that a target must keep to be worth a place in line under thin cloud. Common practice, no source.
const KEPT: f64 = 0.5;

/// Whether a target is worth showing through a port under thin cloud. Its light is in points or in a bright disc: cloud shines
/// itself in the light of Moon and towns, in patches that drift, and hides a glow before the light lost on the way does
/// (common practice, no source: Moon, planets, bright stars and doubles stay). And its view, worked out with two magnitudes
/// more of light lost, is not poor and at least half of that under a clear sky.
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
    !is_glow(target.kind) && left >= POOR_VIEW && left >= KEPT * view(&showing)
}

/// Kinds whose light is spread out.
const fn is_glow(kind: Kind) -> bool {
    match kind {
        Kind::Moon | Kind::Planet | Kind::Star | Kind::DoubleStar | Kind::OpenCluster => false,
        Kind::GlobularCluster
        | Kind::PlanetaryNebula
        | Kind::Nebula
        | Kind::SupernovaRemnant
        | Kind::Galaxy
        | Kind::DarkNebula
        | Kind::Comet => true,
    }
}
