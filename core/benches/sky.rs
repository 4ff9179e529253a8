//! How dear the sky is: places, frames, a catalogue's night, almanacs, each beside the plain way of doing it.
//!
//! `cargo bench -p evenfall-core --bench sky`. Every group holds a baseline named `plain_...`; behind the samples
//! each group is run once more beside its baseline, turn by turn, and the ratio printed. Behind `--bench sky --` the
//! name of a group runs that alone.

use std::env;
use std::sync::LazyLock;
use std::time::Instant as Clock;

use chrono::{Days, NaiveDate};
use chrono_tz::Tz;
use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use evenfall_core::earth::{EarthOrientation, GeodeticPlace};
use evenfall_core::ephemeris::{Body, Ephemeris};
use evenfall_core::events::{BodyNight, Night, almanac};
use evenfall_core::maths::Vec3;
use evenfall_core::place::{
    Air, CatalogueView, EveningSky, FixedPlaces, Observed, ObserverAt, Source, StarPlace,
    airmass_kasten_young,
};
use evenfall_core::time::{Instant, LocalNight};
use evenfall_core::units::Angle;
use sofars::pnp::pnm06a;

#[allow(clippy::disallowed_methods, reason = "a bench is a program of its own")]
fn main() {
    divan::main();
    // Cargo gives `--bench` and no more to a run of everything.
    if env::args().skip(1).all(|argument| argument == "--bench") {
        print_ratios();
    }
}

static EPHEMERIS: LazyLock<Ephemeris> = LazyLock::new(|| {
    Ephemeris::from_bytes(include_bytes!("../../assets/ephemeris/planets.pack")).expect("the pack is sound")
});

const PLACE: GeodeticPlace = GeodeticPlace {
    latitude: Angle::from_degrees(55.1),
    longitude: Angle::from_degrees(-2.5),
    height_m: 260.0,
};
const TARGETS: usize = 14_000;
const INSTANTS: usize = 120;

fn local(day: u64) -> LocalNight {
    let first = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a date of the calendar");
    LocalNight::new(first + Days::new(day), Tz::Europe__London).expect("a date of the calendar")
}

static SKY: LazyLock<EveningSky<'static>> = LazyLock::new(|| sky_of(&local(71)));

fn sky_of(night: &LocalNight) -> EveningSky<'static> {
    EveningSky::new(&EPHEMERIS, PLACE, EarthOrientation::default(), night.window())
        .expect("inside the ephemeris")
}

/// Instants through a night, one after the other.
fn instants() -> impl Iterator<Item = Instant> {
    let window = SKY.span();
    (0..INSTANTS).cycle().map(move |index| window.start().plus_seconds(index as f64 * 600.0 + 7.0))
}

/// Places spread evenly over the whole sphere (a spiral by the golden angle).
fn spread() -> impl Iterator<Item = StarPlace> {
    let golden = Angle::from_degrees(137.507_764);
    (0..TARGETS).map(move |index| {
        let z = 1.0 - (2.0 * index as f64 + 1.0) / TARGETS as f64;
        StarPlace::fixed((golden * index as f64).wrapped(), Angle::from_radians(z.asin()))
    })
}

/// Everything from the instant on for a single body: what a caller pays who keeps nothing.
fn plain_place(instant: Instant, body: Body) -> Observed {
    SKY.at(instant).observe(&Source::Body(body))
}

fn plain_frame(instant: Instant) -> ([[f64; 3]; 3], ObserverAt<'static>) {
    let (day, part) = instant.julian_date_tt();
    (pnm06a(day, part), SKY.at(instant))
}

/// What a night of a catalogue is seen from, and which.
struct CatalogueNight {
    observers: Vec<ObserverAt<'static>>,
    directions: Vec<Vec3>,
    places: FixedPlaces,
    view: CatalogueView,
}

impl CatalogueNight {
    fn new() -> Self {
        let observers: Vec<_> = instants().take(INSTANTS).map(|instant| SKY.at(instant)).collect();
        let directions: Vec<Vec3> = spread().map(|star| star.direction(SKY.span().start())).collect();
        let places = FixedPlaces::near(&observers[INSTANTS / 2], directions.iter().copied());
        Self { observers, directions, places, view: CatalogueView::default() }
    }

    /// Place by place with angles: altitude, airmass, Moon separation.
    fn plain(&self) -> f64 {
        let mut sum = 0.0;
        for observer in &self.observers {
            let moon = observer.moon().east_north_up;
            for direction in &self.directions {
                let there = observer.fixed_direction(*direction);
                let altitude = Angle::from_radians(there.z.atan2(there.x.hypot(there.y)));
                let airmass = airmass_kasten_young(altitude).unwrap_or(0.0);
                sum += altitude.radians() + airmass + there.angle_to(moon).radians();
            }
        }
        sum
    }

    fn at_once(&mut self) {
        for observer in &self.observers {
            observer.view_catalogue(black_box(&self.places), &mut self.view);
            black_box(&self.view);
        }
    }
}

/// Every altitude at every minute, the crossing between two taken on the straight line.
fn plain_night(night: &LocalNight) -> usize {
    let sky = sky_of(night);
    let mut crossings = 0;
    let mut before = [f64::NAN; Body::ALL.len()];
    for minute in 0..=1440 {
        let observer = sky.at(sky.span().start().plus_minutes(f64::from(minute)));
        for (body, before) in Body::ALL.into_iter().zip(&mut before) {
            let altitude = observer.observe(&Source::Body(body)).apparent_altitude(Air::NONE).radians();
            crossings += usize::from((altitude > 0.0) != (*before > 0.0));
            *before = altitude;
        }
    }
    crossings
}

/// From a date to its events, nothing prepared: the sky of the night, Sun and three twilights, rise, set and
/// transit of nine bodies.
fn whole_night(night: &LocalNight) -> (Night, Vec<BodyNight>) {
    almanac(&sky_of(night), night.clone())
}

/// The same for a year, from its first date on.
fn whole_year() -> usize {
    (0..365).map(|day| whole_night(&local(day)).1.len()).sum()
}

/// What a start pays once: the pack parsed and its check sum made.
#[divan::bench]
fn ephemeris_pack_decoded(bencher: Bencher) {
    let bytes = include_bytes!("../../assets/ephemeris/planets.pack");
    bencher.bench_local(|| Ephemeris::from_bytes(black_box(bytes)));
}

mod place_of_one_body {
    use super::{Bencher, Body, SKY, Source, black_box, instants, plain_place};

    const BODIES: [Body; 3] = [Body::Venus, Body::Mars, Body::Jupiter];

    #[divan::bench(args = BODIES)]
    fn plain_with_its_own_observer(bencher: Bencher, body: Body) {
        let mut instants = instants();
        bencher
            .with_inputs(|| instants.next().expect("endless"))
            .bench_local_values(|instant| plain_place(instant, body));
    }

    #[divan::bench(args = BODIES)]
    fn from_a_prepared_observer(bencher: Bencher, body: Body) {
        let observer = SKY.at(SKY.span().start().plus_minutes(500.0));
        let source = Source::Body(body);
        bencher.bench_local(|| black_box(&observer).observe(black_box(&source)));
    }
}

mod sky_frame {
    use super::{Bencher, SKY, black_box, instants, local, plain_frame, sky_of};

    #[divan::bench]
    fn plain_pnm06a_at_each_instant(bencher: Bencher) {
        let mut instants = instants();
        bencher.with_inputs(|| instants.next().expect("endless")).bench_local_values(plain_frame);
    }

    #[divan::bench]
    fn interpolated_through_the_night(bencher: Bencher) {
        let mut instants = instants();
        bencher
            .with_inputs(|| instants.next().expect("endless"))
            .bench_local_values(|instant| SKY.at(instant));
    }

    #[divan::bench]
    fn an_evening_prepared(bencher: Bencher) {
        let night = local(71);
        bencher.bench_local(|| sky_of(black_box(&night)));
    }
}

mod catalogue_of_14000_at_120_instants {
    use super::{Bencher, CatalogueNight, INSTANTS, ItemsCount, TARGETS};

    #[divan::bench(sample_count = 5)]
    fn plain_place_by_place(bencher: Bencher) {
        let night = CatalogueNight::new();
        bencher.counter(ItemsCount::new(TARGETS * INSTANTS)).bench_local(|| night.plain());
    }

    #[divan::bench(sample_count = 40)]
    fn at_once(bencher: Bencher) {
        let mut night = CatalogueNight::new();
        bencher.counter(ItemsCount::new(TARGETS * INSTANTS)).bench_local(|| night.at_once());
    }
}

mod almanacs {
    use super::{Bencher, SKY, almanac, local, plain_night, whole_night, whole_year};

    #[divan::bench(sample_count = 10)]
    fn plain_night_minute_by_minute(bencher: Bencher) {
        let night = local(71);
        bencher.bench_local(|| plain_night(&night));
    }

    #[divan::bench]
    fn a_night(bencher: Bencher) {
        let night = local(71);
        bencher.bench_local(|| whole_night(&night));
    }

    /// The searches of that night alone.
    #[divan::bench]
    fn a_night_of_a_prepared_sky(bencher: Bencher) {
        let night = local(71);
        bencher.bench_local(|| almanac(&SKY, night.clone()));
    }

    #[divan::bench(sample_count = 50)]
    fn a_year(bencher: Bencher) {
        bencher.bench_local(whole_year);
    }
}

/// Each group beside its baseline: their samples take turns, so that both meet the same machine.
#[allow(clippy::disallowed_macros, reason = "a bench prints what it measured")]
fn print_ratios() {
    println!(
        "\n{:<32}{:>13}{:>13}{:>13}{:>13}{:>8}",
        "microseconds", "fastest", "median", "plain", "its median", "ratio"
    );
    let (mut times, mut plain_times) = (instants(), instants());
    let mut next = || times.next().expect("endless");
    let mut plain_next = || plain_times.next().expect("endless");
    let observer = SKY.at(next());
    compare(
        "place of one body",
        [200, 1000],
        || black_box(&observer).observe(black_box(&Source::Body(Body::Mars))),
        || plain_place(plain_next(), Body::Mars),
    );
    compare("sky frame of an instant", [200, 100], || SKY.at(next()), || plain_frame(plain_next()));
    let (mut catalogue, plain_catalogue) = (CatalogueNight::new(), CatalogueNight::new());
    compare("14 000 targets at 120 instants", [7, 1], || catalogue.at_once(), || plain_catalogue.plain());
    let night = local(71);
    compare("a night's almanac", [100, 1], || whole_night(&night), || plain_night(&night));
    compare("a year's almanac", [7, 1], whole_year, || {
        (0..365).map(|day| plain_night(&local(day))).sum::<usize>()
    });
}

/// Prints fastest and median of ours and of the baseline, in microseconds, and the ratio of the fastest: what
/// others do on the machine meanwhile lengthens the median first.
#[allow(clippy::disallowed_macros, reason = "a bench prints what it measured")]
fn compare<Ours, Plain>(
    name: &str,
    [samples, runs]: [usize; 2],
    mut ours: impl FnMut() -> Ours,
    mut plain: impl FnMut() -> Plain,
) {
    let (mut of_ours, mut of_plain) = (Vec::new(), Vec::new());
    for _ in 0..samples {
        of_plain.push(microseconds(runs, &mut plain));
        of_ours.push(microseconds(runs, &mut ours));
    }
    let [(fastest, median), (plain_fastest, plain_median)] = [of_ours, of_plain].map(|mut sampled| {
        sampled.sort_by(f64::total_cmp);
        (sampled[0], sampled[sampled.len() / 2])
    });
    let ratio = plain_fastest / fastest;
    println!("{name:<32}{fastest:>13.3}{median:>13.3}{plain_fastest:>13.3}{plain_median:>13.3}{ratio:>8.1}");
}

#[allow(clippy::disallowed_methods, reason = "a bench has a clock")]
fn microseconds<Result>(runs: usize, run: &mut impl FnMut() -> Result) -> f64 {
    let start = Clock::now();
    for _ in 0..runs {
        black_box(run());
    }
    start.elapsed().as_secs_f64() * 1e6 / runs as f64
}
