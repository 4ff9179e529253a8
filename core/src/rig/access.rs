//! Where people stand at an eyepiece: how high it is, who reaches it, on which side the line forms.

use super::Side;
use crate::units::Angle;

/// Lowest and highest eyepiece for somebody seated, such as in a wheelchair, in millimetres.
///
/// Source: viewing scopes, 43 to 51 inches above the ground: ABA Accessibility Standards (US), 1011.8, which fits who
/// must work to it; other countries have rules of their own.
pub const SEATED_EYE_MM: (f64, f64) = (1090.0, 1295.0);
/// The same for standing children of primary age, in millimetres. Common practice, no source.
pub const CHILD_EYE_MM: (f64, f64) = (950.0, 1300.0);
/// The same for standing adults, a stoop allowed, in millimetres. Common practice, no source.
pub const ADULT_EYE_MM: (f64, f64) = (1200.0, 1750.0);

/// How the eyepiece of a port is reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Access {
    /// How high the eyepiece stands.
    pub height: EyeHeight,
    /// Height of the step or ladder that visitors stand on, in millimetres; `None` without one.
    pub step_mm: Option<f64>,
}

/// How high an eyepiece stands above the floor where people stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EyeHeight {
    /// The same wherever the telescope points, such as at a Nasmyth port; in millimetres.
    Constant(f64),
    /// Behind the mirror, where it sinks as the telescope rises.
    BehindMirror {
        /// Height of the axis round which the altitude changes, in millimetres.
        axis_height_mm: f64,
        /// From that axis back along the tube to the eyepiece, in millimetres.
        axis_to_eyepiece_mm: f64,
    },
}

impl EyeHeight {
    /// Height of the eyepiece above the floor, in millimetres, while the telescope points to an altitude.
    pub fn at_mm(self, altitude: Angle) -> f64 {
        match self {
            Self::Constant(height_mm) => height_mm,
            // H - L sin h
            Self::BehindMirror { axis_height_mm, axis_to_eyepiece_mm } => {
                axis_height_mm - axis_to_eyepiece_mm * altitude.sin()
            }
        }
    }

    /// Lowest and highest eyepiece over the altitudes of a stop, in millimetres; `None` without any.
    pub fn over_mm(self, altitudes: impl IntoIterator<Item = Angle>) -> Option<(f64, f64)> {
        altitudes.into_iter().map(|altitude| self.at_mm(altitude)).fold(None, |range, height_mm| {
            let (low, high) = range.unwrap_or((height_mm, height_mm));
            Some((low.min(height_mm), high.max(height_mm)))
        })
    }
}

/// Who can look into an eyepiece from the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reach {
    /// Somebody seated: [`SEATED_EYE_MM`].
    pub seated: bool,
    /// Standing children: [`CHILD_EYE_MM`].
    pub children: bool,
    /// Standing adults: [`ADULT_EYE_MM`].
    pub adults: bool,
}

/// Who can look into an eyepiece whose height runs between two values in millimetres, without a step.
pub fn who_reaches((low_mm, high_mm): (f64, f64)) -> Reach {
    let within = |(lowest_mm, highest_mm): (f64, f64)| low_mm >= lowest_mm && high_mm <= highest_mm;
    Reach { seated: within(SEATED_EYE_MM), children: within(CHILD_EYE_MM), adults: within(ADULT_EYE_MM) }
}

/// Where the line at an eyepiece forms, and how it moves through a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Direction from the telescope to the eyepiece at the start, from north through east.
    pub start: Angle,
    /// The same at the end.
    pub end: Angle,
    /// How far it swings, positive from north through east: clockwise seen from above.
    pub swing: Angle,
}

/// The direction from the telescope to the eyepiece, from north through east, while the tube points to an azimuth.
///
/// Left and right are seen along the tube towards the sky, so the left platform of a telescope that points south is its
/// eastern one; behind the mirror is opposite to the sky.
pub fn eyepiece_azimuth(side: Side, azimuth: Angle) -> Angle {
    let turn = match side {
        Side::NasmythLeft => -90.0,
        Side::NasmythRight => 90.0,
        Side::Cassegrain => 180.0,
    };
    (azimuth + Angle::from_degrees(turn)).wrapped()
}

/// Where the line forms while the telescope follows a target through `azimuths`, the samples of a stop; `None`
/// without any.
pub fn line_through(side: Side, azimuths: impl IntoIterator<Item = Angle>) -> Option<Line> {
    let mut azimuths = azimuths.into_iter().map(|azimuth| eyepiece_azimuth(side, azimuth));
    let start = azimuths.next()?;
    let still = Line { start, end: start, swing: Angle::ZERO };
    Some(azimuths.fold(still, |line, end| Line {
        end,
        swing: line.swing + (end - line.end).wrapped_signed(),
        ..line
    }))
}

#[cfg(test)]
mod tests {
    use super::{EyeHeight, Reach, eyepiece_azimuth, line_through, who_reaches};
    use crate::rig::Side;
    use crate::units::Angle;

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    #[test]
    fn behind_the_mirror_the_eyepiece_sinks_as_the_tube_rises() {
        // 1500 - 800 sin h, by hand: 1500 at the horizon, 1100 at 30 degrees, 700 at the zenith.
        let height = EyeHeight::BehindMirror { axis_height_mm: 1500.0, axis_to_eyepiece_mm: 800.0 };
        for (altitude, want_mm) in [(0.0, 1500.0), (30.0, 1100.0), (90.0, 700.0)] {
            assert!((height.at_mm(degrees(altitude)) - want_mm).abs() < 1e-9);
        }
        let (low_mm, high_mm) = height.over_mm([degrees(30.0), degrees(0.0), degrees(10.0)]).unwrap();
        assert!((low_mm - 1100.0).abs() < 1e-9 && (high_mm - 1500.0).abs() < 1e-9);
        assert_eq!(height.over_mm([]), None);
        assert_eq!(EyeHeight::Constant(1200.0).over_mm([degrees(80.0)]), Some((1200.0, 1200.0)));
    }

    #[test]
    fn seated_looking_is_between_1090_and_1295_millimetres() {
        for (height_mm, seated) in [
            (1089.9, false),
            (1090.0, true),
            (1200.0, true),
            (1295.0, true),
            (1295.1, false),
            (1400.0, false),
        ] {
            assert_eq!(who_reaches((height_mm, height_mm)).seated, seated, "{height_mm}");
        }
        assert!(!who_reaches((1200.0, 1400.0)).seated);
        assert_eq!(who_reaches((1400.0, 1400.0)), Reach { seated: false, children: false, adults: true });
    }

    #[test]
    fn the_line_forms_at_the_platform_and_swings_with_it() {
        // Pointing south: the left platform is the eastern one.
        for (side, want) in [(Side::NasmythLeft, 90.0), (Side::NasmythRight, 270.0), (Side::Cassegrain, 0.0)]
        {
            let got = eyepiece_azimuth(side, degrees(180.0));
            assert!((got - degrees(want)).wrapped_signed().degrees().abs() < 1e-9, "{side:?}");
        }
        let azimuths = [80.0, 90.0, 100.0, 115.0].map(degrees);
        let line = line_through(Side::NasmythLeft, azimuths).unwrap();
        assert!((line.start - degrees(350.0)).wrapped_signed().degrees().abs() < 1e-9);
        assert!((line.end.degrees() - 25.0).abs() < 1e-9 && (line.swing.degrees() - 35.0).abs() < 1e-9);
        // By way of the zenith it may swing through more than half a turn.
        let azimuths = [90.0, 150.0, 210.0, 300.0].map(degrees);
        assert!((line_through(Side::Cassegrain, azimuths).unwrap().swing.degrees() - 210.0).abs() < 1e-9);
        assert_eq!(line_through(Side::Cassegrain, []), None);
    }
}
