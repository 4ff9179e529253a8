//! Nights of a season prepared at once against the same nights prepared alone.

use chrono::{Days, NaiveDate};
use chrono_tz::Tz;
use evenfall_core::earth::{EarthOrientation, SeasonFrame};
use evenfall_core::ephemeris::Body;
use evenfall_core::events::{Crossings, Night, almanac};
use evenfall_core::place::{EveningSky, OutsideSpan, Source};
use evenfall_core::time::{Interval, LocalNight};
use evenfall_tests::close::Comparison;
use evenfall_tests::table::{EPHEMERIS, place};

fn local(day: u64) -> LocalNight {
    let first = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a date of the calendar");
    LocalNight::new(first + Days::new(day), Tz::Europe__London).expect("a date of the calendar")
}

fn instants(crossings: &Crossings) -> Vec<f64> {
    match crossings {
        Crossings::At(all) => all.iter().map(|one| one.0.tt_seconds()).collect(),
        Crossings::AlwaysAbove | Crossings::AlwaysBelow => Vec::new(),
    }
}

/// Every fifth night of a year: events within 0.001 s, directions within 0.002 arcseconds.
#[test]
fn a_season_tells_what_its_nights_tell() {
    let span = Interval::new(local(0).window().start(), local(365).window().end()).expect("forwards");
    let season = SeasonFrame::new(span);
    let site = place(55.1, -2.5, 260.0);
    let orientation = EarthOrientation::default();
    let mut times = Comparison::new("time of an event, season against night", "s", 0.001);
    let mut directions = Comparison::new("direction, season against night", "arcsec", 0.002);
    for day in (0..365).step_by(5) {
        let night = local(day);
        let alone = EveningSky::new(&EPHEMERIS, site, orientation, night.window()).expect("inside");
        let shared =
            EveningSky::in_season(&EPHEMERIS, site, orientation, night.window(), &season).expect("inside");
        let [(night_alone, bodies_alone), (night_shared, bodies_shared)] =
            [&alone, &shared].map(|sky| almanac(sky, night.clone()));
        let twilights = |night: &Night| {
            [&night.sun, &night.civil, &night.nautical, &night.astronomical, &night.moon].map(instants)
        };
        let mut both: Vec<_> = twilights(&night_alone).into_iter().zip(twilights(&night_shared)).collect();
        for (one, other) in bodies_alone.iter().zip(&bodies_shared) {
            both.push((instants(&one.rise_set), instants(&other.rise_set)));
            let transits = [one, other].map(|body| body.transits.iter().map(|at| at.tt_seconds()).collect());
            let [one, other] = transits;
            both.push((one, other));
        }
        for (one, other) in both {
            assert_eq!(one.len(), other.len(), "night {day}: events");
            for (one, other) in one.iter().zip(other) {
                times.row(format!("night {day}"), *one, other);
            }
        }
        let middle = night.window().start().plus_minutes(700.0);
        for body in Body::ALL {
            let [one, other] = [&alone, &shared].map(|sky| sky.at(middle).direction(&Source::Body(body)));
            directions.row(format!("night {day} {}", body.name()), one.angle_to(other).arcseconds(), 0.0);
        }
    }
    times.assert_close();
    directions.assert_close();
    let later = local(366).window();
    let refused = EveningSky::in_season(&EPHEMERIS, site, orientation, later, &season);
    assert_eq!(refused.map(|_| ()), Err(OutsideSpan));
}
