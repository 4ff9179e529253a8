//! How dear a view is: what a visitor would see of every target, through every port, at every minute.
//!
//! `cargo bench -p evenfall-core --bench views`, one thread. `one_by_one` is the baseline: every port ranked with its
//! reasons, target by target and minute by minute. The column of allocations gives the peak of memory (`max alloc`).

use std::sync::LazyLock;

use divan::counter::ItemsCount;
use divan::{AllocProfiler, Bencher, black_box};
use evenfall_core::assign::{AirAndSky, Bearing, Showing, TargetOnPort, rank_ports};
use evenfall_core::catalogue::{Catalogue, Target, read_catalogue};
use evenfall_core::rig::{Rig, read_rig};
use evenfall_core::units::{Angle, SurfaceBrightness};

#[global_allocator]
static ALLOCATIONS: AllocProfiler = AllocProfiler::system();

const MINUTES: usize = 300;

fn main() {
    divan::main();
}

macro_rules! demo {
    ($file:literal) => {
        include_str!(concat!("../../catalog-demo/heron-fell.", $file, ".ron"))
    };
}

static RIG: LazyLock<Rig> = LazyLock::new(|| read_rig("rig", demo!("rig")).expect("the demo is sound"));
static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| read_catalogue("catalogue", demo!("catalogue")).0);

/// The demo's fixed targets over and over.
fn targets(count: usize) -> impl Iterator<Item = &'static Target> {
    CATALOGUE.targets.iter().filter(|target| target.body().is_none()).cycle().take(count)
}

/// Made-up circumstances: climbing through a sky that darkens, as cheap as can be.
fn showing(target: usize, minute: usize) -> Showing {
    let run = minute as f64 / MINUTES as f64;
    let height = 0.3 + 0.6 * run + 0.0001 * (target % 1000) as f64;
    Showing {
        sky: SurfaceBrightness(17.0 + 4.0 * run),
        airmass: 1.0 / height,
        extinction_mag: 0.22,
        seeing: Angle::from_arcseconds(2.4),
        pressure_hpa: 982.0,
        bearing: Bearing {
            latitude: Angle::from_degrees(55.1),
            azimuth: Angle::from_radians(2.0 + run),
            altitude: Angle::from_radians(height),
        },
        appearance: None,
        moon_face: None,
    }
}

#[divan::bench(args = [120], sample_count = 10, sample_size = 1)]
fn one_by_one(bencher: Bencher<'_, '_>, count: usize) {
    bencher.counter(ItemsCount::new(count * RIG.ports.len() * MINUTES)).bench(|| {
        for (index, target) in targets(count).enumerate() {
            for minute in 0..MINUTES {
                black_box(rank_ports(target, &RIG, &showing(index, minute), &[]));
            }
        }
    });
}

#[divan::bench(args = [120, 14_000], sample_count = 5, sample_size = 1)]
fn prepared(bencher: Bencher<'_, '_>, count: usize) {
    let ports = &RIG.ports;
    bencher.counter(ItemsCount::new(count * ports.len() * MINUTES)).bench(|| {
        let mut views = Vec::with_capacity(count * MINUTES * ports.len());
        for (index, target) in targets(count).enumerate() {
            let on_ports: Vec<TargetOnPort> =
                ports.iter().map(|port| TargetOnPort::new(target, None, &RIG.telescope, port)).collect();
            for minute in 0..MINUTES {
                let air = AirAndSky::new(&showing(index, minute));
                views.extend(on_ports.iter().map(|on_port| on_port.view(&air).value() as f32));
            }
        }
        views
    });
}
