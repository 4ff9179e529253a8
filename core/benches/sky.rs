//! How dear the sky is: places, frames, a catalogue's night, almanacs, each beside the plain way of doing it.
//!
//! `cargo bench -p evenfall-core --bench sky`. The groups hold a baseline named `plain_...`; ratios are
//! against it.

use std::sync::LazyLock;

use chrono::{Days, NaiveDate};
use chrono_tz::Tz;
use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use evenfall_core::earth::{EarthOrientation, GeodeticPlace};
use evenfall_core::ephemeris::{Body, Ephemeris};
use evenfall_core::events::{Direction, almanac};
use evenfall_core::maths::Vec3;
use evenfall_core::place::{
    Air, CatalogueView, EveningSky, FixedPlaces, ObserverAt, Source, StarPlace, airmass_kasten_young,
};
use evenfall_core::time::{Instant, LocalNight};
use evenfall_core::units::Angle;
use sofars::pnp::pnm06a;

fn main() {
    divan::main();
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

/// What a start pays once: the pack parsed and its check sum made.
#[divan::bench]
fn ephemeris_pack_decoded(bencher: Bencher) {
    let bytes = include_bytes!("../../assets/ephemeris/planets.pack");
    bencher.bench_local(|| Ephemeris::from_bytes(black_box(bytes)));
}

mod place_of_one_body {
    use super::{Bencher, Body, SKY, Source, black_box, instants};

    const BODIES: [Body; 3] = [Body::Venus, Body::Mars, Body::Jupiter];

    /// Everything from the instant on for a single body: what a caller pays who keeps nothing.
    #[divan::bench(args = BODIES)]
    fn plain_with_its_own_observer(bencher: Bencher, body: Body) {
        let mut instants = instants();
        bencher
            .with_inputs(|| instants.next().expect("endless"))
            .bench_local_values(|instant| SKY.at(instant).observe(&Source::Body(body)));
    }

    #[divan::bench(args = BODIES)]
    fn from_a_prepared_observer(bencher: Bencher, body: Body) {
        let observer = SKY.at(SKY.span().start().plus_minutes(500.0));
        let source = Source::Body(body);
        bencher.bench_local(|| black_box(&observer).observe(black_box(&source)));
    }
}

mod sky_frame {
    use super::{Bencher, SKY, black_box, instants, local, pnm06a, sky_of};

    #[divan::bench]
    fn plain_pnm06a_at_each_instant(bencher: Bencher) {
        let mut instants = instants();
        bencher.with_inputs(|| instants.next().expect("endless")).bench_local_values(|instant| {
            let (day, part) = instant.julian_date_tt();
            (pnm06a(day, part), SKY.at(instant))
        });
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
    use super::{
        Angle, Bencher, CatalogueView, FixedPlaces, INSTANTS, ItemsCount, ObserverAt, SKY, TARGETS, Vec3,
        airmass_kasten_young, black_box, instants, spread,
    };

    fn observers() -> Vec<ObserverAt<'static>> {
        instants().take(INSTANTS).map(|instant| SKY.at(instant)).collect()
    }

    /// Place by place with angles: altitude, airmass, Moon separation.
    #[divan::bench(sample_count = 5)]
    fn plain_place_by_place(bencher: Bencher) {
        let observers = observers();
        let directions: Vec<Vec3> = spread().map(|star| star.direction(SKY.span().start())).collect();
        bencher.counter(ItemsCount::new(TARGETS * INSTANTS)).bench_local(|| {
            let mut sum = 0.0;
            for observer in &observers {
                let moon = observer.moon().east_north_up;
                for direction in &directions {
                    let there = observer.fixed_direction(*direction);
                    let altitude = Angle::from_radians(there.z.atan2(there.x.hypot(there.y)));
                    let airmass = airmass_kasten_young(altitude).unwrap_or(0.0);
                    sum += altitude.radians() + airmass + there.angle_to(moon).radians();
                }
            }
            sum
        });
    }

    #[divan::bench(sample_count = 40)]
    fn at_once(bencher: Bencher) {
        let observers = observers();
        let directions = spread().map(|star| star.direction(SKY.span().start()));
        let places = FixedPlaces::near(&observers[INSTANTS / 2], directions);
        let mut view = CatalogueView::default();
        bencher.counter(ItemsCount::new(TARGETS * INSTANTS)).bench_local(|| {
            for observer in &observers {
                observer.view_catalogue(black_box(&places), &mut view);
                black_box(&view);
            }
        });
    }
}

mod almanacs {
    use super::{Air, Bencher, Body, Direction, SKY, Source, almanac, local, sky_of};

    /// Every altitude at every minute, the crossing between two taken on the straight line.
    #[divan::bench(sample_count = 10)]
    fn plain_night_minute_by_minute(bencher: Bencher) {
        bencher.bench_local(|| {
            let mut crossings = 0;
            let mut before = [f64::NAN; 9];
            for minute in 0..=1440 {
                let observer = SKY.at(SKY.span().start().plus_minutes(f64::from(minute)));
                for (body, before) in Body::ALL.into_iter().zip(&mut before) {
                    let altitude =
                        observer.observe(&Source::Body(body)).apparent_altitude(Air::NONE).radians();
                    crossings += usize::from((altitude > 0.0) != (*before > 0.0));
                    *before = altitude;
                }
            }
            crossings
        });
    }

    /// From a date to its events, nothing prepared: the sky of the night, Sun and three twilights, rise, set and
    /// transit of nine bodies.
    #[divan::bench]
    fn a_night(bencher: Bencher) {
        let night = local(71);
        bencher.bench_local(|| almanac(&sky_of(&night), night.clone()));
    }

    /// The searches of that night alone.
    #[divan::bench]
    fn a_night_of_a_prepared_sky(bencher: Bencher) {
        let night = local(71);
        bencher.bench_local(|| almanac(&SKY, night.clone()));
    }

    #[divan::bench(sample_count = 50)]
    fn a_year(bencher: Bencher) {
        bencher.bench_local(|| {
            (0..365)
                .map(|day| {
                    let night = local(day);
                    let (summary, bodies) = almanac(&sky_of(&night), night.clone());
                    summary.sun.going(Direction::Up).len() + bodies.len()
                })
                .sum::<usize>()
        });
    }
}
