//! What a list needs to make a target of a row, for one target that is typed: its place, its size, its identifier, its words.

use super::angle_text::{Marked, WrittenAngle, read_angle, split_pair};
use super::frame::Frame;
use super::ids::Ids;
use super::numbers::read_axes;
use super::row_place::PLACE_STEPS;
use super::rows::{SIZE_STEPS, rounded};
use crate::catalogue::{Catalogue, TargetId, folded_name};
use crate::place::StarPlace;
use crate::units::Angle;

/// A place in any form of coordinates, brought to ICRS at J2000.0: `08 34 31.9 +12 00 52`, `8h34m31.9s, +12°00′52″`,
/// `128.633 12.014`, `08 31.5 +12 10 B1950`. Sexagesimal right ascensions are in hours, decimal ones in degrees, unless marks say
/// otherwise; without a word for the equinox it is J2000.0.
///
/// # Errors
/// What is wrong, in words.
pub fn read_place(text: &str) -> Result<StarPlace, String> {
    let (text, frame) = without_equinox(text.trim());
    let (ra, dec) = split_pair(text).ok_or("write both, such as 19 12 31.9 -12 34 56")?;
    let right_ascension =
        read_angle(ra).map_err(|wrong| format!("the right ascension can't be read: {wrong}"))?;
    let declination = read_angle(dec).map_err(|wrong| format!("the declination can't be read: {wrong}"))?;
    let degrees = in_degrees(right_ascension);
    if !(0.0..=360.0).contains(&degrees) {
        return Err("the right ascension goes from 0 to 24 hours, or from 0 to 360 degrees".to_owned());
    }
    if declination.marked == Marked::Hours || declination.value.abs() > 90.0 {
        return Err(
            "the declination goes from -90 to +90 degrees; perhaps it stands before the right ascension, or is in hours".to_owned(),
        );
    }
    let place = StarPlace::fixed(Angle::from_degrees(degrees), Angle::from_degrees(declination.value));
    let icrs = frame.to_icrs(place).ok_or("it can't be brought to J2000.0")?;
    let kept = |angle: Angle| rounded(angle.degrees(), PLACE_STEPS);
    let turned = kept(icrs.right_ascension.wrapped());
    Ok(StarPlace::fixed(
        Angle::from_degrees(if turned >= 360.0 { 0.0 } else { turned }),
        Angle::from_degrees(kept(icrs.declination)),
    ))
}

fn in_degrees(written: WrittenAngle) -> f64 {
    let is_hours = match written.marked {
        Marked::Hours => true,
        Marked::Degrees => false,
        Marked::Not => written.sexagesimal,
    };
    if is_hours { written.value * 15.0 } else { written.value }
}

/// The text without a word for the equinox at its end, and what the word says.
fn without_equinox(text: &str) -> (&str, Frame) {
    let cut = text.rsplit_once([' ', ',', '(']);
    let named = cut.and_then(|(rest, word)| {
        let is_word = word.starts_with(|letter: char| letter.is_alphabetic());
        Some((rest.trim_end_matches([' ', ',', '(']), Frame::of_words(word, false).filter(|_| is_word)?))
    });
    named.unwrap_or((text, Frame::USUAL))
}

/// The full axes of a size, the long one first: `12`, `12 x 8`, `1.5°`, `40″`; a number without a mark is in arcminutes.
/// `None` where it can't be read, or is not above nothing.
pub fn read_size(text: &str) -> Option<(Angle, Angle)> {
    let axes = read_axes(text, 1.0, false)?;
    let long = axes.iter().copied().fold(f64::MIN, f64::max);
    let short = axes.iter().copied().fold(f64::MAX, f64::min);
    let kept = |arcminutes: f64| Angle::from_arcminutes(rounded(arcminutes, SIZE_STEPS));
    (short > 0.0).then(|| (kept(long), kept(short)))
}

/// An identifier for a name that no target of a catalogue has.
pub fn id_for(name: &str, catalogue: &Catalogue) -> TargetId {
    Ids::beside(catalogue).next(&folded_name(name))
}

#[cfg(test)]
mod tests {
    use super::{read_place, read_size};

    #[test]
    fn a_place_is_read_in_every_form() {
        for text in [
            "08 34 31.92 +12 00 52.2",
            "8h34m31.92s, +12°00′52.2″",
            "08:34:31.92 12:00:52.2",
            "128.633 12.0145",
            "128.633 12.0145 J2000",
            "128.633°, +12.0145°",
            "128.633 12.0145 (ICRS)",
        ] {
            let place = read_place(text).unwrap();
            let (ra, dec) = (place.right_ascension.degrees(), place.declination.degrees());
            assert!((ra - 128.633).abs() < 1e-6 && (dec - 12.0145).abs() < 1e-6, "{text}: {ra} {dec}");
        }
        let whole = read_place("0 0 0 -0 30 0").unwrap();
        assert!((whole.declination.degrees() + 0.5).abs() < 1e-9, "the sign of nothing counts");
    }

    /// The Explanatory Supplement's way from FK4 to FK5 moves a place at 08h 31.5m, +12° 10′ by about 50 years of precession:
    /// m = 46.1″ and n sin α tan δ of right ascension a year (from memory; the reference tests hold the digits).
    #[test]
    fn another_equinox_is_brought_to_j2000() {
        let place = read_place("08 31 30 +12 10 00 B1950").unwrap();
        assert!((place.right_ascension.degrees() - 128.563).abs() < 0.02, "{place:?}");
        assert!((place.declination.degrees() - 11.996).abs() < 0.02, "{place:?}");
    }

    #[test]
    fn what_is_no_place_says_why() {
        for (text, words) in [
            ("", "write both"),
            ("25 00 00 +10 00 00", "from 0 to 24 hours"),
            ("05 00 00 +95 00 00", "from -90 to +90"),
            ("05 61 00 +10 00 00", "0 to 60"),
            ("in the north", ""),
        ] {
            let wrong = read_place(text);
            assert!(wrong.as_ref().is_err_and(|wrong| wrong.contains(words)), "{text}: {wrong:?}");
        }
    }

    #[test]
    fn sizes_have_two_axes_and_units() {
        let arcminutes = |text| read_size(text).map(|(long, short)| (long.arcminutes(), short.arcminutes()));
        for (text, size) in
            [("12", (12.0, 12.0)), ("8x12", (12.0, 8.0)), ("1.5°", (90.0, 90.0)), ("30″ × 12″", (0.5, 0.2))]
        {
            let found = arcminutes(text).unwrap();
            assert!((found.0 - size.0).abs() < 1e-9 && (found.1 - size.1).abs() < 1e-9, "{text}: {found:?}");
        }
        assert_eq!([arcminutes("0"), arcminutes("wide"), arcminutes("")], [None; 3]);
    }
}
