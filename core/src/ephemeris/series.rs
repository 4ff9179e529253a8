//! What the pack holds: which body, seen from which.

/// What a spline of the pack gives: a body as seen from its centre, geometric, in the ICRF.
///
/// Planets are the barycentres of their systems, from the Sun.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Series {
    /// The Sun from the barycentre of the solar system.
    SunFromBarycentre,
    /// Mercury from the Sun.
    Mercury,
    /// Venus from the Sun.
    Venus,
    /// The barycentre of Earth and Moon from the Sun.
    EarthMoonBarycentre,
    /// Mars from the Sun.
    Mars,
    /// Jupiter from the Sun.
    Jupiter,
    /// Saturn from the Sun.
    Saturn,
    /// Uranus from the Sun.
    Uranus,
    /// Neptune from the Sun.
    Neptune,
    /// The Moon from the Earth's centre.
    MoonFromEarth,
}

impl Series {
    /// All series, in the order of the pack and of the variants.
    pub const ALL: [Self; 10] = [
        Self::SunFromBarycentre,
        Self::Mercury,
        Self::Venus,
        Self::EarthMoonBarycentre,
        Self::Mars,
        Self::Jupiter,
        Self::Saturn,
        Self::Uranus,
        Self::Neptune,
        Self::MoonFromEarth,
    ];

    /// NAIF codes of body and centre: 0 solar system barycentre, 10 Sun, 301 Moon, 399 Earth.
    pub(super) const fn naif_codes(self) -> (i32, i32) {
        match self {
            Self::SunFromBarycentre => (10, 0),
            Self::Mercury => (1, 10),
            Self::Venus => (2, 10),
            Self::EarthMoonBarycentre => (3, 10),
            Self::Mars => (4, 10),
            Self::Jupiter => (5, 10),
            Self::Saturn => (6, 10),
            Self::Uranus => (7, 10),
            Self::Neptune => (8, 10),
            Self::MoonFromEarth => (301, 399),
        }
    }
}
