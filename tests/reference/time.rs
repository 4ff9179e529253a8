//! Scales of time and local nights against published offsets and the table of nights.

use evenfall_core::time::Instant;
use evenfall_tests::table::rows;

use crate::events::NightRow;

/// TT - UTC on dates of every kind, from the conventions of `tests/data/README.md` (published TAI - UTC +
/// 32.184 s).
#[test]
fn terrestrial_time_is_ahead_as_published() {
    for (utc, tai_minus_utc_s) in [
        ("2000-01-01T12:00:00Z", 32.0),
        ("2006-01-01T00:00:00Z", 33.0),
        ("2008-12-31T23:59:59Z", 33.0),
        ("2009-01-01T00:00:00Z", 34.0),
        ("2012-07-01T00:00:00Z", 35.0),
        ("2015-07-01T00:00:00Z", 36.0),
        ("2017-01-01T00:00:00Z", 37.0),
        ("2049-06-01T00:00:00Z", 37.0),
    ] {
        let instant = Instant::from_utc(utc.parse().unwrap());
        let ((tt_day, tt_part), (utc_day, utc_part)) =
            (instant.julian_date_tt(), instant.julian_date_ut1(0.0));
        let ahead_s = (tt_day - utc_day + (tt_part - utc_part)) * 86_400.0;
        assert!((ahead_s - tai_minus_utc_s - 32.184).abs() < 1e-9, "{utc}: {ahead_s}");
    }
}

/// Every night of the table has its hours, in 20 zones, across changes of clocks and the date line.
#[test]
fn nights_run_from_local_noon_to_local_noon() {
    for row in rows::<NightRow>("nights.json") {
        let window = row.local().window();
        assert_eq!(window.start().to_utc(), row.window_start_utc, "night {}", row.night_id);
        assert_eq!(window.end().to_utc(), row.window_end_utc, "night {}", row.night_id);
        let clocks_change = window.minutes() != 1440.0;
        assert_eq!(row.local().clock_change().is_some(), clocks_change, "night {}", row.night_id);
    }
}
