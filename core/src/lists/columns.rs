//! What a column may hold, and in which unit.

use serde::Deserialize;

/// What a column of a list holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
pub enum Meaning {
    /// The name; of several columns the first is the name, the others other names.
    Name,
    /// Other names, parted by comma, semicolon or slash.
    OtherNames,
    Kind,
    RightAscension,
    Declination,
    /// Hours of the right ascension, minutes and seconds in columns of their own.
    RaHours,
    RaMinutes,
    RaSeconds,
    /// The sign of the declination alone: `-`, `+` or nothing.
    DecSign,
    /// Whole degrees of the declination, arcminutes and arcseconds in columns of their own.
    DecDegrees,
    DecMinutes,
    DecSeconds,
    /// Right ascension and declination in one.
    Coordinates,
    Equinox,
    /// The year of the positions.
    Epoch,
    /// Proper motion in right ascension, times the cosine of the declination.
    ProperMotionRa,
    ProperMotionDec,
    /// One number, or both axes with an x between.
    Size,
    ShortAxis,
    PositionAngle,
    /// Integrated visual magnitude; for a double star that of the brighter.
    Magnitude,
    /// Magnitude of a double star's fainter.
    SecondMagnitude,
    Separation,
    Colours,
    SurfaceBrightness,
    SpectralType,
    /// From 0 to 1.
    Appeal,
    Line,
    Comparison,
    LookFor,
    Cue,
    /// Not used.
    Ignored,
}

impl Meaning {
    /// All of them, in the order of their numbers.
    pub const ALL: [Self; 32] = [
        Self::Name,
        Self::OtherNames,
        Self::Kind,
        Self::RightAscension,
        Self::Declination,
        Self::RaHours,
        Self::RaMinutes,
        Self::RaSeconds,
        Self::DecSign,
        Self::DecDegrees,
        Self::DecMinutes,
        Self::DecSeconds,
        Self::Coordinates,
        Self::Equinox,
        Self::Epoch,
        Self::ProperMotionRa,
        Self::ProperMotionDec,
        Self::Size,
        Self::ShortAxis,
        Self::PositionAngle,
        Self::Magnitude,
        Self::SecondMagnitude,
        Self::Separation,
        Self::Colours,
        Self::SurfaceBrightness,
        Self::SpectralType,
        Self::Appeal,
        Self::Line,
        Self::Comparison,
        Self::LookFor,
        Self::Cue,
        Self::Ignored,
    ];

    /// What it is in plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Name => "the name",
            Self::OtherNames => "other names",
            Self::Kind => "the kind",
            Self::RightAscension => "the right ascension",
            Self::Declination => "the declination",
            Self::RaHours => "the right ascension: whole hours",
            Self::RaMinutes => "the right ascension: minutes",
            Self::RaSeconds => "the right ascension: seconds",
            Self::DecSign => "the declination: its sign",
            Self::DecDegrees => "the declination: whole degrees",
            Self::DecMinutes => "the declination: arcminutes",
            Self::DecSeconds => "the declination: arcseconds",
            Self::Coordinates => "the right ascension and declination together",
            Self::Equinox => "the equinox of the coordinates",
            Self::Epoch => "the year of the coordinates",
            Self::ProperMotionRa => "the proper motion in right ascension",
            Self::ProperMotionDec => "the proper motion in declination",
            Self::Size => "the size",
            Self::ShortAxis => "the short axis of the size",
            Self::PositionAngle => "the position angle",
            Self::Magnitude => "the magnitude",
            Self::SecondMagnitude => "the magnitude of the fainter of a pair",
            Self::Separation => "the separation of a pair",
            Self::Colours => "the colours of a pair",
            Self::SurfaceBrightness => "the surface brightness",
            Self::SpectralType => "the spectral type",
            Self::Appeal => "how much it pleases, from 0 to 1",
            Self::Line => "the sentence for the public",
            Self::Comparison => "the comparison for the public",
            Self::LookFor => "what to look for",
            Self::Cue => "the cue for the host",
            Self::Ignored => "not used",
        }
    }

    /// Whether a cell is a plain number.
    pub(super) const fn is_number(self) -> bool {
        matches!(
            self,
            Self::ProperMotionRa
                | Self::ProperMotionDec
                | Self::ShortAxis
                | Self::Size
                | Self::PositionAngle
                | Self::Magnitude
                | Self::SecondMagnitude
                | Self::Separation
                | Self::SurfaceBrightness
                | Self::Appeal
        )
    }
}

/// The unit of a column's values.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Unit {
    Degrees,
    Hours,
    Arcminutes,
    Arcseconds,
    MilliarcsecondsPerYear,
    ArcsecondsPerYear,
    MagnitudesPerSquareArcsecond,
    MagnitudesPerSquareArcminute,
}

impl Unit {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Degrees,
        Self::Hours,
        Self::Arcminutes,
        Self::Arcseconds,
        Self::MilliarcsecondsPerYear,
        Self::ArcsecondsPerYear,
        Self::MagnitudesPerSquareArcsecond,
        Self::MagnitudesPerSquareArcminute,
    ];

    /// Its name in plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Degrees => "degrees",
            Self::Hours => "hours",
            Self::Arcminutes => "arcminutes",
            Self::Arcseconds => "arcseconds",
            Self::MilliarcsecondsPerYear => "milliarcseconds a year",
            Self::ArcsecondsPerYear => "arcseconds a year",
            Self::MagnitudesPerSquareArcsecond => "magnitudes per square arcsecond",
            Self::MagnitudesPerSquareArcminute => "magnitudes per square arcminute",
        }
    }

    /// An angle in this unit, in arcminutes.
    pub(super) const fn arcminutes(self) -> f64 {
        match self {
            Self::Degrees => 60.0,
            Self::Hours => 900.0,
            Self::Arcseconds => 1.0 / 60.0,
            _ => 1.0,
        }
    }

    /// Whether values of a meaning can have it.
    pub const fn fits(self, meaning: Meaning) -> bool {
        match meaning {
            Meaning::RightAscension => matches!(self, Self::Degrees | Self::Hours),
            Meaning::Declination | Meaning::PositionAngle => matches!(self, Self::Degrees),
            Meaning::Size | Meaning::ShortAxis | Meaning::Separation => {
                matches!(self, Self::Degrees | Self::Arcminutes | Self::Arcseconds)
            }
            Meaning::ProperMotionRa | Meaning::ProperMotionDec => {
                matches!(self, Self::MilliarcsecondsPerYear | Self::ArcsecondsPerYear)
            }
            Meaning::SurfaceBrightness => {
                matches!(self, Self::MagnitudesPerSquareArcsecond | Self::MagnitudesPerSquareArcminute)
            }
            _ => false,
        }
    }
}
