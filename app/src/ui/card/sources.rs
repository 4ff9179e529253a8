//! Where the numbers come from: each value of the minute that is read, with its formula and the formula's source.

use egui::{Label, Ui};
use evenfall_core::plan::{Link, Moment};
use evenfall_core::rig::Instrument;
use evenfall_core::sheet::numbers;
use evenfall_core::sheet::wording::reason_sentence;
use evenfall_core::units::SurfaceBrightness;

use super::Subject;
use super::words;
use crate::ui::parts::quiet;
use crate::ui::theme::Tokens;

/// A number, and where it comes from.
struct Provenance {
    value: String,
    source: &'static str,
}

/// Draws them.
pub(super) fn show(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    ui.spacing_mut().item_spacing.y = 2.0;
    ui.label(quiet(tokens, words::sources_at(&subject.clock(subject.at))));
    for Provenance { value, source } in sky(subject).into_iter().chain(port(subject)) {
        ui.add(Label::new(value).wrap());
        ui.add(Label::new(quiet(tokens, source)).wrap());
        ui.add_space(3.0);
    }
}

/// What holds for every port: place, air, light.
fn sky(subject: &Subject<'_>) -> Vec<Provenance> {
    let mut rows = Vec::new();
    let mut row = |value: String, source| rows.push(Provenance { value, source });
    let (Some(sample), Some(minute)) =
        (subject.sample(subject.at), subject.told.and_then(|told| told.minute(subject.at)))
    else {
        return rows;
    };
    let prepared = subject.prepared();
    let Some(moment) = prepared.moments.get(prepared.moment_index(subject.at)) else { return rows };
    let site = &subject.open.document.stock.site;
    row(words::altitude(sample), ALTITUDE);
    if let Some(airmass) = sample.airmass {
        row(words::airmass(airmass), AIRMASS);
        row(words::extinction(site.extinction_mag, airmass), EXTINCTION);
        row(words::seeing(site.seeing, site.seeing * airmass.max(1.0).powf(0.6)), SEEING);
    }
    let light = &minute.light;
    let magnitude = |luminance_nl| SurfaceBrightness::from_nanolamberts(luminance_nl).0;
    row(words::dark_sky(light.dark_nl, magnitude(light.dark_nl)), DARK_SKY);
    row(words::twilight(light.twilight_nl, moment.sun.altitude), TWILIGHT);
    row(moonlight(moment, subject, light.moon_nl, site.extinction_mag), MOONLIGHT);
    row(words::whole_sky(light.total.0), WHOLE_SKY);
    if let Some(appearance) = subject
        .target
        .and_then(|(index, _)| prepared.tracks.get(index))
        .and_then(|track| track.appearance.as_ref())
    {
        row(words::disc(appearance), DISC);
    }
    rows
}

/// The terms of the moonlight formula in its own symbols.
fn moonlight(moment: &Moment, subject: &Subject<'_>, moon_nl: f64, k: f64) -> String {
    let up = numbers::degrees(moment.moon.altitude);
    let Some(sample) = subject.sample(subject.at).filter(|_| moon_nl > 0.0) else {
        return words::no_moonlight(&up);
    };
    words::moonlight(
        moon_nl,
        moment.moon_phase_angle,
        sample.moon_separation,
        (moment.moon.altitude, sample.altitude),
        k,
    )
}

/// The chain of the port in use.
fn port(subject: &Subject<'_>) -> Vec<Provenance> {
    let Some((position, port)) = subject.shown_port() else { return Vec::new() };
    let Some(choice) = subject.choice(subject.at, position) else { return Vec::new() };
    let row = |(reason, factor): &(_, _)| Provenance {
        value: format!(
            "{}: {} left. {}.",
            words::link(Link::of(reason)),
            numbers::percent(*factor),
            reason_sentence(reason)
        ),
        source: source_of(Link::of(reason), &port.instrument),
    };
    choice.chain.iter().map(row).collect()
}

const ALTITUDE: &str = "Apparent place with light time, aberration, precession-nutation IAU 2006/2000A (IERS Conventions \
                        2010); refraction: Saemundsson 1986, Sky & Telescope 72, 70";
const AIRMASS: &str = "Kasten & Young 1989, Applied Optics 28, 4735";
const EXTINCTION: &str = "m = m₀ + k X, k as the site file gives it";
const SEEING: &str =
    "FWHM = FWHM₁ X^0.6: Fried 1966, J. Opt. Soc. Am. 56, 1372; Roddier 1981, Progress in Optics 19, 281";
const DARK_SKY: &str = "Zenith as the site file gives it, with airglow towards the horizon: Krisciunas & Schaefer 1991, PASP \
                        103, 1033, eq. 2 and 3; light domes of the site file";
const TWILIGHT: &str =
    "Patat, Ugolnikov & Postylyakov 2006, A&A 455, 385, table 4, V; tails beyond 5° to 15° are our own";
const MOONLIGHT: &str =
    "Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 3, 15, 19 to 21; holds within 8 to 23%";
const WHOLE_SKY: &str =
    "The three added as light; B = 34.08 exp(20.7233 - 0.92104 V) nL: Krisciunas & Schaefer 1991, eq. 1";
const DISC: &str = "Diameter and phase from the JPL ephemeris DE440: Park et al. 2021, AJ 161, 105; magnitude: Mallama & \
                    Hilton 2018, Astronomy and Computing 25, 10";

/// Formula and source of a link of a port's chain.
const fn source_of(link: Link, instrument: &Instrument) -> &'static str {
    match (link, instrument) {
        (Link::Framing, _) => "2 atan(s / 2F), the tangent plane; worths by size: common practice",
        (Link::Light, Instrument::Eyepieces(_)) => {
            "Faintest star: Hecht 1947 as used by Schaefer 1990, PASP 102, 212; glow: Ricco's law and Blackwell 1946, J. \
             Opt. Soc. Am. 36, 624; 1.5 mag less for a visitor: common practice"
        }
        (Link::Light, Instrument::Camera(_)) => {
            "The CCD equation S/N = N / √(N + n (N_S + N_R²)): Merline & Howell 1995; photons: Bessell 1979, PASP 91, 589; \
             sure from 5: Rose 1948, J. Opt. Soc. Am. 38, 196"
        }
        (Link::Light, Instrument::Spectrograph(_)) => "The limiting magnitude of the rig file",
        (Link::Sharpness, _) => {
            "Seeing X^0.6 and dispersion by Edlén 1966, Metrologia 2, 71; two pixels to the seeing: the sampling theorem"
        }
        (Link::Gap, _) => "116 mm / D: Dawes 1867, with the seeing; worths: common practice",
        (Link::Glare, _) => "The wings of a blurred star: Moffat 1969, A&A 3, 455",
        (Link::Shadows, _) => {
            "k = (1 + cos i) / 2: Meeus, Astronomical Algorithms, 2nd ed., eq. 48.1; worths: common practice"
        }
        (Link::Turning, _) => {
            "The derivatives of parallactic angle and altitude; UCO/Lick, position angle note"
        }
        (Link::Height | Link::Twilight | Link::Moonlight | Link::Colour | Link::Instrument, _) => {
            "Common practice, no source"
        }
    }
}
