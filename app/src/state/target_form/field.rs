//! Every question about a target: its name, its unit and range, and for which kinds it is asked.

use evenfall_core::catalogue::Kind;

/// One question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TargetField {
    Name,
    OtherNames,
    Place,
    Size,
    PositionAngle,
    Magnitude,
    SurfaceBrightness,
    SpectralType,
    Separation,
    PairAngle,
    PairMagnitudes,
    Colours,
    Story,
    Comparison,
    LookFor,
    Cue,
    AtHome,
    Notes,
    Photos,
}

impl TargetField {
    /// All of them, in the order of the page.
    pub const ALL: [Self; 19] = [
        Self::Name,
        Self::OtherNames,
        Self::Place,
        Self::Size,
        Self::PositionAngle,
        Self::Magnitude,
        Self::SurfaceBrightness,
        Self::SpectralType,
        Self::Separation,
        Self::PairAngle,
        Self::PairMagnitudes,
        Self::Colours,
        Self::Story,
        Self::Comparison,
        Self::LookFor,
        Self::Cue,
        Self::AtHome,
        Self::Notes,
        Self::Photos,
    ];

    /// Its name, with the unit.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Name => "Name",
            Self::OtherNames => "Other names",
            Self::Place => "Place",
            Self::Size => "Size, arcminutes",
            Self::PositionAngle => "Direction of the long axis, degrees",
            Self::Magnitude => "Magnitude",
            Self::SurfaceBrightness => "Surface brightness, mag/arcsec²",
            Self::SpectralType => "Spectral type",
            Self::Separation => "Separation, arcseconds",
            Self::PairAngle => "Position angle of the pair, degrees",
            Self::PairMagnitudes => "Magnitudes of the two",
            Self::Colours => "Colours",
            Self::Story => "Story",
            Self::Comparison => "Comparison",
            Self::LookFor => "Look for",
            Self::Cue => "Cue for the host",
            Self::AtHome => "At home",
            Self::Notes => "Notes for the crew",
            Self::Photos => "Photos",
        }
    }

    /// What it means, with its range.
    pub const fn help(self) -> &'static str {
        match self {
            Self::Name => "As it is printed and searched for. Up to 60 characters.",
            Self::OtherNames => "Designations among them, with commas between. Up to 60 characters each.",
            Self::Place => {
                "In any form: 19 12 31.9 -12 34 56, 19h12m31.9s -12°34′56″ or 288.133 -12.582. J2000 unless B1950 or a year \
                 stands behind."
            }
            Self::Size => {
                "Full size, or both axes: 12 or 12 x 8; 1.5° and 40″ are read too. From 0.001 to 3600. Empty: not known."
            }
            Self::PositionAngle => "From north through east, from 0 to 360. Empty: not known.",
            Self::Magnitude => {
                "Of the whole, visual, from -10 to 25. Empty: not known; a double star's follows from the two."
            }
            Self::SurfaceBrightness => {
                "From 5 to 30. Empty: it follows from magnitude and size where both are known."
            }
            Self::SpectralType => "Such as K2 III. Up to 20 characters. Empty: not known.",
            Self::Separation => "Between the two, from 0.05 to 3600.",
            Self::PairAngle => "From the brighter to the fainter, north through east, from 0 to 360.",
            Self::PairMagnitudes => "The brighter first: 3.2 and 5.1. From -10 to 25.",
            Self::Colours => "In words, such as gold and blue. Up to 60 characters.",
            Self::Story => "One plain sentence for the public. Up to 90 characters.",
            Self::Comparison => "How far, how big or how old, by something they know. Up to 90 characters.",
            Self::LookFor => "One thing to look for. Up to 80 characters.",
            Self::Cue => "At most seven words, read in the dark.",
            Self::AtHome => "How to find it from home. Up to 120 characters.",
            Self::Notes => "Not for visitors. Up to 400 characters.",
            Self::Photos => {
                "Files, with semicolons between; those beside the catalogue are kept as seen from there. At most 12."
            }
        }
    }

    /// Whether it is asked for a target of a kind; `is_body` for the Moon, its places, planets and comets.
    pub fn is_asked(self, kind: Kind, is_body: bool) -> bool {
        match self {
            Self::Place | Self::Magnitude | Self::SpectralType => !is_body,
            Self::Size | Self::PositionAngle | Self::SurfaceBrightness => {
                !is_body && !matches!(kind, Kind::Star | Kind::DoubleStar)
            }
            Self::Separation | Self::PairAngle | Self::PairMagnitudes | Self::Colours => {
                kind == Kind::DoubleStar
            }
            _ => true,
        }
    }

    /// Whether the sky does not depend on it.
    pub const fn is_words(self) -> bool {
        !matches!(
            self,
            Self::Place
                | Self::Size
                | Self::PositionAngle
                | Self::Magnitude
                | Self::SurfaceBrightness
                | Self::SpectralType
                | Self::Separation
                | Self::PairAngle
                | Self::PairMagnitudes
        )
    }
}
