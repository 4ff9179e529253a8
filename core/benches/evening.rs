//! How dear an evening is: the wait a user feels when the date changes, a stop is moved or the run sheet is printed.
//!
//! `cargo bench -p evenfall-core --bench evening`. Ratios are against `plain_places`: every target of the demo placed
//! once a minute, one by one, without light, ports or order.

use std::sync::LazyLock;

use divan::{Bencher, black_box};
use evenfall_core::catalogue::{Catalogue, read_catalogue};
use evenfall_core::chart::timeline;
use evenfall_core::document::read_evening;
use evenfall_core::earth::EarthOrientation;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::output::pdf::{Paper, PdfOptions, run_sheet_pdf};
use evenfall_core::place::EveningSky;
use evenfall_core::plan::edit::move_stop;
use evenfall_core::plan::{
    Drafting, Evening, Materials, Prepared, check, draft, explain, explain_order, prepare, queue,
    through_night, timings,
};
use evenfall_core::rig::{Rig, read_rig};
use evenfall_core::sheet::run_sheet;
use evenfall_core::site::{Site, read_site};

fn main() {
    divan::main();
}

struct Demo {
    site: Site,
    rig: Rig,
    catalogue: Catalogue,
    ephemeris: Ephemeris,
    evening: Evening,
}

macro_rules! demo {
    ($file:literal) => {
        include_str!(concat!("../../catalog-demo/heron-fell.", $file, ".ron"))
    };
}

static DEMO: LazyLock<Demo> = LazyLock::new(|| Demo {
    site: read_site("site", demo!("site")).expect("the demo is sound"),
    rig: read_rig("rig", demo!("rig")).expect("the demo is sound"),
    catalogue: read_catalogue("catalogue", demo!("catalogue")).0,
    ephemeris: Ephemeris::from_bytes(include_bytes!("../../assets/ephemeris/planets.pack"))
        .expect("the pack is sound"),
    evening: read_evening("evening", demo!("evening")).expect("the demo is sound"),
});

static PREPARED: LazyLock<Prepared> =
    LazyLock::new(|| prepare(&DEMO.evening, &materials()).expect("the demo is sound"));

static DRAFTED: LazyLock<Evening> = LazyLock::new(|| {
    let order = draft(&DEMO.evening, &PREPARED, &materials());
    Evening { order, ..DEMO.evening.clone() }
});

fn materials() -> Materials<'static> {
    let Demo { site, rig, catalogue, ephemeris, .. } = &*DEMO;
    Materials { site, rig, catalogue, ephemeris }
}

#[divan::bench]
fn plain_places(bencher: Bencher<'_, '_>) {
    let (site, span) = (&DEMO.site, PREPARED.span);
    bencher.bench(|| {
        let sky = EveningSky::new(&DEMO.ephemeris, site.place, EarthOrientation::default(), span)
            .expect("inside the ephemeris");
        for minute in 0..=span.minutes() as u32 {
            let observer = sky.at(span.start().plus_minutes(f64::from(minute)));
            for target in &DEMO.catalogue.targets {
                black_box(observer.observe(&target.source));
            }
        }
    });
}

/// The chain of one target on every port, for the Card.
#[divan::bench]
fn follow_one_target(bencher: Bencher<'_, '_>) {
    let jupiter = DEMO.catalogue.targets.iter().position(|target| target.id.0 == "jupiter");
    let jupiter = jupiter.expect("the demo has it");
    bencher.bench(|| through_night(&PREPARED, &materials(), black_box(jupiter)));
}

#[divan::bench]
fn prepare_the_sky(bencher: Bencher<'_, '_>) {
    bencher.bench(|| prepare(black_box(&DEMO.evening), &materials()));
}

/// The evening as a problem, and the first order that never breaks a rule.
#[divan::bench]
fn first_order(bencher: Bencher<'_, '_>) {
    bencher.bench(|| {
        let materials = materials();
        let mut drafting = Drafting::new(black_box(&DEMO.evening), &PREPARED, &materials, None);
        drafting.advance(0);
        drafting.drafted()
    });
}

/// A stop moved by hand, and everything judged again.
#[divan::bench]
fn a_stop_moved_and_judged(bencher: Bencher<'_, '_>) {
    let stop = DRAFTED.order.stops().iter().find(|stop| stop.show().is_some()).expect("something is shown");
    let later = stop.start().plus_minutes(3.0);
    bencher.bench(|| {
        let moved = move_stop(black_box(&DRAFTED), stop.id, later);
        let timings = timings(&moved.order, &PREPARED, &materials());
        (timings, check(&moved, &PREPARED, &materials()), queue(&moved, &PREPARED, &materials()))
    });
}

#[divan::bench]
fn draft_the_order(bencher: Bencher<'_, '_>) {
    bencher.bench(|| draft(black_box(&DEMO.evening), &PREPARED, &materials()));
}

#[divan::bench]
fn check_the_order(bencher: Bencher<'_, '_>) {
    bencher.bench(|| check(black_box(&DRAFTED), &PREPARED, &materials()));
}

/// Every stop, every target that is not shown, understudies, and what else would change the order.
#[divan::bench]
fn explain_all(bencher: Bencher<'_, '_>) {
    bencher.bench(|| explain(black_box(&DRAFTED), &PREPARED, &materials(), None));
}

/// The same without the orders drafted anew.
#[divan::bench]
fn explain_stops_and_targets(bencher: Bencher<'_, '_>) {
    bencher.bench(|| explain_order(black_box(&DRAFTED), &PREPARED, &materials(), None));
}

#[divan::bench]
fn print_the_run_sheet(bencher: Bencher<'_, '_>) {
    let font = include_bytes!("../../assets/fonts/SourceSans3VF-Upright.ttf");
    let options = PdfOptions { paper: Paper::A4, font, created: PREPARED.doors.start().to_utc() };
    bencher.bench(|| {
        let sheet = run_sheet(&DRAFTED, &PREPARED, &materials());
        let scene = timeline(&DRAFTED, &PREPARED, &materials(), Paper::A4.timeline());
        run_sheet_pdf(&sheet, &scene, &options)
    });
}
