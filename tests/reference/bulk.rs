//! A whole catalogue at once against the same places one by one.

use evenfall_core::earth::EarthOrientation;
use evenfall_core::place::{CatalogueDirections, CatalogueView, EveningSky, FixedPlaces, Source, StarPlace};
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;
use evenfall_tests::close::Comparison;
use evenfall_tests::table::{EPHEMERIS, place};

/// Over 16 h around the instant it was prepared for, beyond 20 degrees from the Sun.
#[test]
fn a_catalogue_stands_where_its_places_do() {
    let golden = Angle::from_degrees(137.507_764);
    let stars: Vec<StarPlace> = (0..2000)
        .map(|index| {
            let z = 1.0 - (2.0 * f64::from(index) + 1.0) / 2000.0;
            StarPlace::fixed((golden * f64::from(index)).wrapped(), Angle::from_radians(z.asin()))
        })
        .collect();
    let mut directions_off = Comparison::new("direction, bulk against single", "arcsec", 0.001);
    let mut altitudes_off = Comparison::new("sine of altitude, bulk against single", "arcsec", 0.001);
    let mut moon_off = Comparison::new("Moon separation x its sine, bulk against single", "arcsec", 0.001);
    for (start, latitude_deg) in
        [("2003-01-04T16:00:00Z", 55.1), ("2027-06-20T20:00:00Z", -31.3), ("2049-10-01T03:00:00Z", 71.0)]
    {
        let start = Instant::from_utc(start.parse().expect("an instant"));
        let span = Interval::new(start, start.plus_minutes(960.0)).expect("forwards");
        let site = place(latitude_deg, 140.0, 3000.0);
        let sky = EveningSky::new(&EPHEMERIS, site, EarthOrientation::default(), span).expect("inside");
        let middle = sky.at(start.plus_minutes(480.0));
        let places = FixedPlaces::near(&middle, stars.iter().map(|star| star.direction(start)));
        let (mut view, mut directions) = (CatalogueView::default(), CatalogueDirections::default());
        for minutes in [0.0, 137.0, 480.0, 777.0, 960.0] {
            let observer = sky.at(start.plus_minutes(minutes));
            observer.view_catalogue(&places, &mut view);
            observer.directions_of_catalogue(&places, &mut directions);
            let (sun, moon) = (observer.sun().east_north_up, observer.moon().east_north_up);
            for (index, star) in stars.iter().enumerate() {
                let single = observer.direction(&Source::Star(*star));
                if single.angle_to(sun).degrees() < 20.0 {
                    continue;
                }
                let name = format!("place {index} after {minutes} min");
                let parts = [directions.east[index], directions.north[index], directions.up[index]];
                let arcsec = |difference: f64| Angle::from_radians(difference).arcseconds();
                for (got, want) in parts.into_iter().zip([single.x, single.y, single.z]) {
                    directions_off.row(&name, arcsec(got - want), 0.0);
                }
                altitudes_off.row(&name, arcsec(view.sin_altitude[index] - single.z), 0.0);
                moon_off.row(&name, arcsec(view.cos_moon_separation[index] - single.dot(moon)), 0.0);
            }
        }
    }
    directions_off.assert_close();
    altitudes_off.assert_close();
    moon_off.assert_close();
}
