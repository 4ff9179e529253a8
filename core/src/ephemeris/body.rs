//! The bodies of the Solar System that a visitor asks for.

use serde::Deserialize;

/// A body whose place is computed from the ephemeris.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum Body {
    /// The Sun; never a target.
    Sun,
    /// The Moon.
    Moon,
    /// Mercury.
    Mercury,
    /// Venus.
    Venus,
    /// Mars.
    Mars,
    /// Jupiter.
    Jupiter,
    /// Saturn.
    Saturn,
    /// Uranus.
    Uranus,
    /// Neptune.
    Neptune,
}

impl Body {
    /// All of them, Sun first, in the order of distance from it.
    pub const ALL: [Self; 9] = [
        Self::Sun,
        Self::Moon,
        Self::Mercury,
        Self::Venus,
        Self::Mars,
        Self::Jupiter,
        Self::Saturn,
        Self::Uranus,
        Self::Neptune,
    ];

    /// Its English name, with a capital.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sun => "Sun",
            Self::Moon => "Moon",
            Self::Mercury => "Mercury",
            Self::Venus => "Venus",
            Self::Mars => "Mars",
            Self::Jupiter => "Jupiter",
            Self::Saturn => "Saturn",
            Self::Uranus => "Uranus",
            Self::Neptune => "Neptune",
        }
    }

    /// Equatorial radius in kilometres (mean radius for the Moon).
    ///
    /// Source: IAU Working Group on Cartographic Coordinates and Rotational Elements 2015 (Archinal et al.
    /// 2018, Celest. Mech. Dyn. Astr. 130, 22); the Sun: IAU 2015 resolution B3.
    pub const fn radius_km(self) -> f64 {
        match self {
            Self::Sun => 695_700.0,
            Self::Moon => 1737.4,
            Self::Mercury => 2439.7,
            Self::Venus => 6051.8,
            Self::Mars => 3396.19,
            Self::Jupiter => 71_492.0,
            Self::Saturn => 60_268.0,
            Self::Uranus => 25_559.0,
            Self::Neptune => 24_764.0,
        }
    }
}
