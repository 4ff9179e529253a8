//! The numbers behind a view: each factor with the name of its formula and where that was published.

use super::wording::reason_sentence;
use super::{Names, numbers, optics_numbers};
use crate::assign::{AirAndSky, PortChoice, Reason};
use crate::plan::{ports_at, sky_behind};
use crate::rig::PortId;
use crate::sky::{extinction_mag, moonlight};
use crate::time::Instant;
use crate::units::{Angle, Fraction, SurfaceBrightness};

/// A formula by name, and its source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Formula {
    /// What it is called.
    pub name: &'static str,
    /// Where it stands.
    pub source: &'static str,
}

const fn formula(name: &'static str, source: &'static str) -> Formula {
    Formula { name, source }
}

const FRAMING: Formula =
    formula("angular size over true field", "arithmetic of the field; shares are common practice");
const SEEING: Formula = formula("seeing grows with airmass, X^0.6", "Fried 1966; Roddier 1981");
const EYE: Formula = formula(
    "faintest star and glow for an eye at the eyepiece",
    "Hecht 1947 as used by Schaefer 1990, PASP 102, 212",
);
const CAMERA: Formula =
    formula("signal to noise of a camera", "Merline & Howell 1995; Howell, Handbook of CCD Astronomy, 4.4");
const SURFACE: Formula =
    formula("surface brightness against the sky", "arithmetic of the definition; Rose 1948");
const MOON_FACE: Formula =
    formula("the Sun's altitude at a place on the Moon", "Meeus, Astronomical Algorithms, 2nd ed., p. 376");
const PRACTICE: Formula = formula("what public nights do", "common practice, no source");
const UNKNOWN: Formula = formula("a guess for want of numbers", "common practice, no source");

/// The formula behind a reason.
pub const fn formula_of(reason: &Reason) -> Formula {
    match reason {
        Reason::Fits { .. } | Reason::TooBig { .. } | Reason::TooSmall { .. } | Reason::CoreFits { .. } => {
            FRAMING
        }
        Reason::FieldTurns { .. } => formula(
            "field rotation, dq/dt and dh/dt",
            "derivatives of the parallactic angle; UCO/Lick note on DEIMOS",
        ),
        Reason::UnderSampled { .. } | Reason::OverSampled { .. } => {
            formula("pixels to the seeing, X^0.6", "Nyquist; Fried 1966; Roddier 1981")
        }
        Reason::TooFaintForEye { .. } | Reason::ForTrainedEyes { .. } | Reason::BrightForEye { .. } => EYE,
        Reason::OutshinesSky { .. } => SURFACE,
        Reason::ScreenShowsIt { .. } | Reason::TooFaintForScreen { .. } => CAMERA,
        Reason::Saturates { .. } => {
            formula("electrons of a V = 0 star against the full well", "Bessell 1979, PASP 91, 589")
        }
        Reason::FineDetailLost { .. } | Reason::TooMuchMagnification { .. } => SEEING,
        Reason::Glare { .. } => formula("wings of a blurred star", "Moffat 1969, A&A 3, 455"),
        Reason::SplitsPair { .. } | Reason::PairTooClose { .. } => formula(
            "116 mm over the aperture, and the seeing",
            "Dawes 1867; Lewis 1914, The Observatory 37, 378",
        ),
        Reason::NoShadows { .. } => {
            formula("shadows by the lit share, 2 sqrt(k (1 - k))", "geometry of the phase")
        }
        Reason::ShadowsAt { .. }
        | Reason::LunarNight { .. }
        | Reason::NearLimb { .. }
        | Reason::BeyondLimb { .. } => MOON_FACE,
        Reason::Dazzles { .. } => formula(
            "a surface through the exit pupil",
            "Schaefer 1990, PASP 102, 212; Krisciunas & Schaefer 1991, eq. 9",
        ),
        Reason::SpectrumShows { .. } | Reason::TooFaintForSpectrum { .. } => {
            formula("magnitudes above the spectrograph's limit", "the rig file; extinction as below")
        }
        Reason::ColourByEye | Reason::NoSpectrum | Reason::OutOfService => PRACTICE,
        Reason::SizeUnknown | Reason::BrightnessUnknown | Reason::SeeingUnknown | Reason::NumbersMissing => {
            UNKNOWN
        }
    }
}

/// A number behind a view.
#[derive(Clone, Debug, PartialEq)]
pub struct NumberBehind {
    /// What it says, or is.
    pub what: String,
    /// Its value with its unit; for a factor of the view its share.
    pub value: String,
    /// The formula.
    pub formula: Formula,
}

/// The factors of a view, the weakest first.
pub fn factors(choice: &PortChoice) -> Vec<NumberBehind> {
    let number = |(reason, factor): &(Reason, Fraction)| NumberBehind {
        what: reason_sentence(reason),
        value: format!("× {}", numbers::decimal(factor.value(), 2)),
        formula: formula_of(reason),
    };
    choice.chain.iter().map(number).collect()
}

/// All numbers behind a target's view through a port at an instant: the factors, what the optics allow, then the air,
/// then the sky's light term by term. Empty below the horizon, and for a port that the rig does not have.
pub fn numbers_behind(
    names: &Names<'_>,
    target_index: usize,
    port: &PortId,
    instant: Instant,
) -> Vec<NumberBehind> {
    let (prepared, materials) = (names.prepared, names.materials);
    let choices = ports_at(prepared, materials, target_index, instant);
    let Some(choice) = choices.iter().find(|choice| &choice.port == port) else { return Vec::new() };
    let mut all = factors(choice);
    all.extend(optics_numbers(names, target_index, port, instant));
    all.extend(air(names, target_index, instant));
    all.extend(light(names, target_index, instant));
    all
}

fn number(what: &str, value: String, formula: Formula) -> NumberBehind {
    NumberBehind { what: what.to_owned(), value, formula }
}

fn air(names: &Names<'_>, target_index: usize, instant: Instant) -> Vec<NumberBehind> {
    let (prepared, site) = (names.prepared, names.materials.site);
    let minute = prepared.moment_index(instant);
    let Some(showing) = prepared.showing(names.materials, target_index, minute) else {
        return Vec::new();
    };
    let air = AirAndSky::new(&showing);
    let lost = extinction_mag(site.extinction_mag, showing.airmass);
    let airmass = formula("airmass by altitude", "Kasten & Young 1989, Applied Optics 28, 4735");
    let fringes = formula("dispersion of dry air, 450 to 650 nm", "Edlén 1966, Metrologia 2, 71");
    vec![
        number("Airmass X", numbers::airmass(showing.airmass), airmass),
        number(
            "Light lost in the air, k X",
            format!("{} mag", numbers::decimal(lost, 2)),
            formula("extinction", "the definition; k from the site file"),
        ),
        number("Seeing, FWHM X^0.6", numbers::size(air.seeing()), SEEING),
        number("Colours drawn apart by the air", numbers::size(air.colour_fringes()), fringes),
    ]
}

/// Night sky, moonlight and twilight in linear light, with the terms of the moonlight.
fn light(names: &Names<'_>, target_index: usize, instant: Instant) -> Vec<NumberBehind> {
    let (prepared, materials) = (names.prepared, names.materials);
    let light = sky_behind(prepared, materials, target_index, instant);
    let sample = prepared.sample(target_index, instant);
    let moment = prepared.moments.get(prepared.moment_index(instant));
    let (Some(light), Some(sample), Some(moment)) = (light, sample, moment) else { return Vec::new() };
    let nanolamberts = |nl: f64| format!("{} nL", numbers::decimal(nl, 1));
    let ks = |name| formula(name, "Krisciunas & Schaefer 1991, PASP 103, 1033");
    let mut all = vec![
        number(
            "Sky behind",
            numbers::surface_brightness(light.total),
            ks("nanolamberts to magnitudes, eq. 1"),
        ),
        number(
            "Night sky and towns, B0",
            nanolamberts(light.dark_nl),
            ks("dark sky by zenith distance, eq. 2"),
        ),
        number(
            "Twilight",
            nanolamberts(light.twilight_nl),
            formula("zenith brightness by the Sun's depression", "Patat et al. 2006, A&A 455, 385, table 4"),
        ),
        number("Moonlight, B_moon", nanolamberts(light.moon_nl), ks("scattered moonlight, eq. 15")),
    ];
    let right_angle = Angle::from_degrees(90.0);
    let terms = moonlight(
        moment.moon_phase_angle,
        sample.moon_separation,
        right_angle - moment.moon.altitude,
        right_angle - sample.altitude.max(Angle::ZERO),
        materials.site.extinction_mag,
    );
    if let Some(terms) = terms {
        let decimal = numbers::decimal;
        all.extend([
            number("Moon's phase angle α", numbers::degrees(moment.moon_phase_angle), ks("0° at full Moon")),
            number("Angle to the Moon ρ", numbers::degrees(sample.moon_separation), ks("of eq. 21")),
            number("Moon's light I*", decimal(terms.moon, 4), ks("brightness by phase, eq. 20")),
            number("Scattering f(ρ)", decimal(terms.scattered, 0), ks("scattering by air and haze, eq. 21")),
            number(
                "Moonlight kept, 10^(−0.4 k X(Zm))",
                decimal(terms.kept, 3),
                ks("extinction of the Moon, eq. 15"),
            ),
            number(
                "Share scattered, 1 − 10^(−0.4 k X(Z))",
                decimal(terms.share_of_air, 3),
                ks("air in the line of sight, eq. 15"),
            ),
        ]);
        let without = SurfaceBrightness::from_nanolamberts(light.dark_nl + light.twilight_nl);
        let brighter = without.0 - light.total.0;
        all.push(number(
            "Brightened by the Moon, ΔV",
            format!("{} mag", decimal(brighter, 2)),
            ks("ratio of the two skies, eq. 22"),
        ));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::numbers_behind;
    use crate::sheet::demo::Demo;

    #[test]
    fn every_number_has_a_formula_and_a_source_and_the_moonlight_its_terms() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let mars =
            demo.materials().catalogue.targets.iter().position(|target| target.id.0 == "mars").unwrap();
        let at = prepared.doors.start().plus_minutes(120.0);
        demo.with_names(&prepared, |names| {
            for port in &names.materials.rig.ports {
                let all = numbers_behind(names, mars, &port.id, at);
                for term in ["Airmass X", "Moon's light I*", "Scattering f(ρ)", "Moonlight, B_moon"] {
                    assert!(all.iter().any(|number| number.what == term), "{term}: {all:?}");
                }
                for number in &all {
                    let told =
                        [number.what.as_str(), &number.value, number.formula.name, number.formula.source];
                    assert!(told.iter().all(|text| !text.is_empty()), "{number:?}");
                }
                // The terms multiply to the moonlight (Krisciunas & Schaefer 1991, eq. 15), within their rounding.
                let value = |what: &str| -> f64 {
                    let number = all.iter().find(|number| number.what.starts_with(what)).unwrap();
                    number.value.trim_end_matches(" nL").parse().unwrap()
                };
                let product = value("Moon's light")
                    * value("Scattering")
                    * value("Moonlight kept")
                    * value("Share scattered");
                let given = value("Moonlight, B_moon");
                assert!((product / given - 1.0).abs() < 0.05, "{product}, {given}");
            }
        });
    }
}
