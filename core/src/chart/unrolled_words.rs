//! The unrolled sky in words: all of it, one stop, one direction.

use super::UnrolledMap;
use super::directions::towards;
use super::unrolled_light::{Light, light};
use super::unrolled_telescope::Telescope;
use crate::plan::{Materials, Prepared, near_sun};
use crate::sheet::{Names, numbers};
use crate::time::Instant;
use crate::units::Angle;

/// A direction as people say it: `47° up in the south-east`.
pub(super) fn up_in_the(azimuth: Angle, altitude: Angle) -> String {
    if altitude.degrees() >= 85.0 {
        return format!("{} up, near the zenith", numbers::degrees(altitude));
    }
    format!("{} up in the {}", numbers::degrees(altitude), numbers::compass_word(azimuth))
}

/// A turn as somebody sees it who stands at the telescope: `84° right`.
pub(super) fn turn_words(turn: Angle) -> String {
    match turn.degrees().round() {
        0.0 => "no turn".to_owned(),
        degrees if degrees > 0.0 => format!("{} right", numbers::degrees(turn)),
        _ => format!("{} left", numbers::degrees(turn.abs())),
    }
}

/// What is found in a direction at an instant: how high and where, how bright the sky is, and what forbids it.
pub fn direction_words(
    prepared: &Prepared,
    materials: &Materials<'_>,
    at: Instant,
    (azimuth, altitude): (Angle, Angle),
) -> String {
    let azimuth_words = numbers::azimuth_degrees(azimuth);
    let mut words = format!("{} (azimuth {azimuth_words})", up_in_the(azimuth, altitude));
    let Some(moment) = prepared.moments.get(prepared.moment_index(at)) else { return words };
    let brightness = light(materials.site, moment, azimuth, altitude);
    words.push_str(": sky ");
    words.push_str(&numbers::surface_brightness(brightness));
    let mount = &materials.rig.mount;
    let from_sun = towards(azimuth, altitude).angle_to(moment.sun.east_north_up);
    let limits = [
        (near_sun(materials.site, moment.sun.altitude, from_sun), "too near the Sun"),
        (altitude < materials.site.horizon.altitude(azimuth), "behind the horizon profile"),
        (altitude < mount.lowest_altitude, "below what the mount reaches"),
        (
            altitude > mount.highest_altitude
                || mount.in_keyhole(materials.site.place.latitude, azimuth, altitude),
            "in the keyhole",
        ),
        (
            prepared.closed_sky.iter().any(|part| part.closes(azimuth, moment.instant)),
            "in a part of the sky that is closed",
        ),
    ];
    match limits.into_iter().find(|(holds, _)| *holds) {
        Some((_, limit)) => format!("{words}; {limit}"),
        None => format!("{words}; open"),
    }
}

/// All of it, for those who can't see it.
pub(super) fn alt(
    names: &Names<'_>,
    at: Instant,
    map: &UnrolledMap,
    light: Option<&Light>,
    telescope: Option<&Telescope<'_>>,
    stops: &[String],
) -> String {
    let (prepared, materials) = (names.prepared, names.materials);
    let mut sentences = vec![format!(
        "The sky over {} at {}, unrolled as the telescope turns: from the {} on the left through the {} to the {} on \
         the right, the ground below, the zenith all along the top",
        materials.site.name,
        numbers::clock_with_zone(&prepared.night.local, at),
        numbers::compass_word(map.first),
        numbers::compass_word((map.first + map.last) / 2.0),
        numbers::compass_word(map.last)
    )];
    if let Some(moment) = prepared.moments.get(prepared.moment_index(at)) {
        sentences.push(format!("Sun {}", body_words(moment.sun.azimuth, moment.sun.altitude)));
        let lit = numbers::percent(moment.moon_illuminated());
        sentences.push(format!("Moon {}, {lit} lit", body_words(moment.moon.azimuth, moment.moon.altitude)));
        if let Some((azimuth, altitude, most)) = light.map(Light::brightest) {
            sentences.push(format!(
                "Sky light {} at the zenith, brightest {}, {}",
                numbers::surface_brightness(moment.zenith),
                up_in_the(azimuth, altitude),
                numbers::surface_brightness(most)
            ));
        }
    }
    sentences.extend(telescope.map(|telescope| telescope_words(telescope, names)));
    match stops {
        [] => sentences.push("No stop shows a target".to_owned()),
        _ => sentences.push(format!("Stops: {}", stops.join("; "))),
    }
    sentences.join(". ") + "."
}

/// Where a body stands, above or below the horizon.
pub(super) fn body_words(azimuth: Angle, altitude: Angle) -> String {
    if altitude >= Angle::ZERO {
        return up_in_the(azimuth, altitude);
    }
    let down = numbers::degrees(altitude.abs());
    format!("{down} below the horizon in the {}", numbers::compass_word(azimuth))
}

fn telescope_words(telescope: &Telescope<'_>, names: &Names<'_>) -> String {
    let stop = names.stop_phrase(telescope.stop.id);
    let at = up_in_the(telescope.turned, telescope.altitude);
    let mut words = if telescope.moves {
        format!("The telescope is on its way to {stop}, now {at}")
    } else {
        format!("The telescope is on {stop}, {at}")
    };
    if let Some((slit, _)) = telescope.slit(names.materials) {
        words.push_str(", the dome's slit to the ");
        words.push_str(numbers::compass_word(slit));
    }
    if let Some(line) = telescope.line(names.materials) {
        words.push_str(", the line of visitors to the ");
        words.push_str(numbers::compass_word(line));
    }
    if let Some(cable) = telescope.cable(names.materials) {
        words.push_str(". ");
        words.push_str(&cable_words(cable));
    }
    words
}

/// How far the cables still let it turn.
pub(super) fn cable_words((left, right): (Angle, Angle)) -> String {
    format!(
        "From here the cables let it turn {} left, {} right",
        numbers::degrees(left),
        numbers::degrees(right)
    )
}

#[cfg(test)]
mod tests {
    use super::{turn_words, up_in_the};
    use crate::units::Angle;

    #[test]
    fn directions_and_turns_are_said_as_people_say_them() {
        let degrees = Angle::from_degrees;
        assert_eq!(up_in_the(degrees(132.0), degrees(46.8)), "47° up in the south-east");
        assert_eq!(up_in_the(degrees(10.0), degrees(86.0)), "86° up, near the zenith");
        // Azimuth grows from north through east: to the right of somebody who faces it.
        assert_eq!(turn_words(degrees(84.2)), "84° right");
        assert_eq!(turn_words(degrees(-12.0)), "12° left");
        assert_eq!(turn_words(degrees(0.3)), "no turn");
    }
}
