//! Made-up targets and circumstances for the tests of ports.

use super::{Bearing, Showing};
use crate::catalogue::{Double, Feature, Kind, Target, TargetId, TargetNotes, Words};
use crate::ephemeris::{Appearance, Body, MoonFace};
use crate::place::{Source, StarPlace};
use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

pub fn arcmin(size: f64) -> Angle {
    Angle::from_arcminutes(size)
}

pub fn bare(kind: Kind) -> Target {
    Target {
        id: TargetId("sample".into()),
        name: "Sample".into(),
        other_names: Vec::new(),
        kind,
        source: Source::Star(StarPlace::fixed(Angle::ZERO, Angle::ZERO)),
        size: None,
        position_angle: None,
        magnitude: None,
        surface_brightness: None,
        core: None,
        double: None,
        feature: None,
        spectral_type: None,
        appeal: Fraction::ONE,
        given_public: None,
        words: Words::default(),
        notes: TargetNotes::default(),
    }
}

pub fn saturn() -> Target {
    Target { source: Source::Body(Body::Saturn), ..bare(Kind::Planet) }
}

pub fn deep_sky(kind: Kind, magnitude: f64, long_arcmin: f64, short_arcmin: f64) -> Target {
    Target {
        size: Some((arcmin(long_arcmin), arcmin(short_arcmin))),
        magnitude: Some(Magnitude(magnitude)),
        ..bare(kind)
    }
}

pub fn double(separation_arcsec: f64, bright: f64, faint: f64) -> Target {
    Target {
        double: Some(Double {
            separation: Angle::from_arcseconds(separation_arcsec),
            position_angle: Angle::ZERO,
            magnitudes: (Magnitude(bright), Magnitude(faint)),
            colours: "gold and blue".into(),
        }),
        ..bare(Kind::DoubleStar)
    }
}

pub fn star(magnitude: f64) -> Target {
    Target { magnitude: Some(Magnitude(magnitude)), spectral_type: Some("A0".into()), ..bare(Kind::Star) }
}

pub fn under(sky: f64) -> Showing {
    Showing {
        sky: SurfaceBrightness(sky),
        airmass: 1.2,
        extinction_mag: 0.25,
        seeing: Angle::from_arcseconds(2.0),
        pressure_hpa: 980.0,
        bearing: Bearing {
            latitude: Angle::from_degrees(38.0),
            azimuth: Angle::from_degrees(180.0),
            altitude: Angle::from_degrees(62.0),
        },
        appearance: None,
        moon_face: None,
    }
}

pub fn body(sky: f64, diameter_arcsec: f64, magnitude: f64, illuminated: f64) -> Showing {
    Showing {
        appearance: Some(Appearance {
            diameter: Angle::from_arcseconds(diameter_arcsec),
            phase_angle: Some(Angle::ZERO),
            illuminated: Some(Fraction::clamped(illuminated)),
            magnitude: Some(Magnitude(magnitude)),
        }),
        ..under(sky)
    }
}

pub fn place_on_the_moon() -> Feature {
    Feature { longitude: Angle::from_degrees(20.0), latitude: Angle::from_degrees(-10.0), size_km: 90.0 }
}

/// First quarter two days before.
pub fn face() -> MoonFace {
    MoonFace {
        libration_longitude: Angle::from_degrees(3.0),
        libration_latitude: Angle::from_degrees(-2.0),
        sub_solar_longitude: Angle::from_degrees(105.0),
        sub_solar_latitude: Angle::from_degrees(1.0),
    }
}
