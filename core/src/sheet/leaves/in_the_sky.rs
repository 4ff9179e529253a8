//! Where things stand for the naked eye: a direction in words and a height in fists.

use crate::ephemeris::Body;
use crate::place::{EveningSky, Source};
use crate::sheet::{Names, numbers};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// From here on a direction says nothing: it is almost overhead.
const OVERHEAD: Angle = Angle::from_degrees(80.0);
/// Below this it is just above the horizon: half a fist.
const VERY_LOW: Angle = Angle::from_degrees(5.0);
/// The lowest altitude at which somebody finds a planet beyond trees and houses. Common practice, no source.
const EASY_TO_FIND: Angle = Angle::from_degrees(10.0);
/// The Sun's altitude below which bright planets are seen with the naked eye. Common practice, no source: 4 to 6 degrees.
const DARK_ENOUGH: Angle = Angle::from_degrees(-5.0);
/// The Sun's altitude below which clusters and faint stars are found: the end of nautical twilight.
pub(crate) const DARK_FOR_STARS: Angle = Angle::from_degrees(-12.0);
/// Minutes between looks.
pub(super) const STEP_MINUTES: f64 = 10.0;

/// What the naked eye knows of the Solar System.
pub(crate) const NAKED_EYE: [Body; 6] =
    [Body::Moon, Body::Mercury, Body::Venus, Body::Mars, Body::Jupiter, Body::Saturn];

const COUNTS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];

/// A place in a sentence: `in the south-west, three fists high`.
pub(crate) fn place_words(azimuth: Angle, altitude: Angle) -> String {
    match place(azimuth, altitude) {
        Place::Elsewhere(words) => words.to_owned(),
        Place::Low(wind) => format!("in the {wind}, just above the horizon"),
        Place::At(wind, fists) => format!("in the {wind}, {fists} high"),
    }
}

/// A place below a heading that says that it is one: `south-west, three fists`.
pub(super) fn brief_place(azimuth: Angle, altitude: Angle) -> String {
    match place(azimuth, altitude) {
        Place::Elsewhere(words) => words.to_owned(),
        Place::Low(wind) => format!("{wind}, just above the horizon"),
        Place::At(wind, fists) => format!("{wind}, {fists}"),
    }
}

enum Place {
    /// Where a direction says nothing.
    Elsewhere(&'static str),
    /// A direction, close to the horizon.
    Low(&'static str),
    /// A direction, and how high in fists.
    At(&'static str, String),
}

fn place(azimuth: Angle, altitude: Angle) -> Place {
    if altitude < Angle::ZERO {
        return Place::Elsewhere("below the horizon");
    }
    if altitude >= OVERHEAD {
        return Place::Elsewhere("almost overhead");
    }
    let wind = numbers::compass_word(azimuth);
    if altitude < VERY_LOW {
        return Place::Low(wind);
    }
    let fists = numbers::fists(altitude).max(1) as usize;
    let noun = if fists == 1 { "fist" } else { "fists" };
    Place::At(wind, format!("{} {noun}", COUNTS[fists.min(COUNTS.len() - 1)]))
}

/// A body's name in a sentence: `the Moon`, `Jupiter`.
pub(super) fn body_phrase(body: Body) -> String {
    match body {
        Body::Moon => "the Moon".to_owned(),
        _ => body.name().to_owned(),
    }
}

/// The sky of the evening's night; `None` outside the years of the ephemeris.
pub(crate) fn sky_of<'n>(names: &Names<'n>) -> Option<EveningSky<'n>> {
    let (site, evening) = (names.materials.site, names.evening);
    let window = names.prepared.night.local.window();
    EveningSky::new(names.materials.ephemeris, site.place, evening.orientation, window).ok()
}

/// One look at a body: when, where, how high.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Look {
    pub(crate) at: Instant,
    pub(crate) azimuth: Angle,
    pub(crate) altitude: Angle,
}

/// The looks at a body through an interval at which the naked eye finds it: high enough, and for a planet dark enough.
pub(super) fn looks(names: &Names<'_>, sky: &EveningSky<'_>, body: Body, interval: Interval) -> Vec<Look> {
    let steps = (interval.minutes() / STEP_MINUTES).floor() as usize;
    let at = |step: usize| interval.start().plus_minutes(step as f64 * STEP_MINUTES);
    (0..=steps).filter_map(|step| look(names, sky, body, at(step))).collect()
}

/// A look at a body at an instant, if the naked eye finds it then.
pub(crate) fn look(names: &Names<'_>, sky: &EveningSky<'_>, body: Body, at: Instant) -> Option<Look> {
    let observer = sky.at(at);
    let seen = observer.observe(&Source::Body(body));
    let altitude = seen.apparent_altitude(names.materials.site.air);
    let lowest = EASY_TO_FIND.max(names.materials.site.horizon.altitude(seen.azimuth));
    let lit = body == Body::Moon || observer.sun().altitude < DARK_ENOUGH;
    (altitude >= lowest && lit).then_some(Look { at, azimuth: seen.azimuth, altitude })
}

#[cfg(test)]
mod tests {
    use super::{brief_place, place_words};
    use crate::units::Angle;

    #[test]
    fn a_place_is_a_direction_and_fists() {
        let words =
            |azimuth, altitude| place_words(Angle::from_degrees(azimuth), Angle::from_degrees(altitude));
        assert_eq!(words(225.0, 31.0), "in the south-west, three fists high");
        assert_eq!(words(180.0, 6.0), "in the south, one fist high");
        assert_eq!(words(90.0, 3.0), "in the east, just above the horizon");
        assert_eq!(words(10.0, 84.0), "almost overhead");
        assert_eq!(words(10.0, 79.0), "in the north, eight fists high");
        assert_eq!(words(10.0, -1.0), "below the horizon");
        let brief =
            |azimuth, altitude| brief_place(Angle::from_degrees(azimuth), Angle::from_degrees(altitude));
        assert_eq!(brief(225.0, 31.0), "south-west, three fists");
        assert_eq!(brief(90.0, 3.0), "east, just above the horizon");
        assert_eq!(brief(10.0, 84.0), "almost overhead");
    }
}
