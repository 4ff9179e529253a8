//! A target: where it is, how large, how bright, and what to say about it.

use std::fmt;

use serde::Deserialize;

use crate::ephemeris::Body;
use crate::place::Source;
use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

/// The short unchanging name of a target in files, such as `lantern-drift`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TargetId(pub String);

impl fmt::Display for TargetId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What sort of thing a target is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum Kind {
    /// The Moon, or a feature on it.
    Moon,
    /// A planet.
    Planet,
    /// A single star, shown for its colour or spectrum.
    Star,
    /// Two or more stars close together.
    DoubleStar,
    /// An open cluster.
    OpenCluster,
    /// A globular cluster.
    GlobularCluster,
    /// A planetary nebula.
    PlanetaryNebula,
    /// A bright nebula, shining or lit.
    Nebula,
    /// What a supernova left.
    SupernovaRemnant,
    /// A galaxy.
    Galaxy,
    /// A dark nebula.
    DarkNebula,
}

/// A bright core that the mean surface brightness hides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Core {
    /// Its diameter.
    pub size: Angle,
    /// Its surface brightness.
    pub surface_brightness: SurfaceBrightness,
}

/// The pair of a double star.
#[derive(Clone, Debug, PartialEq)]
pub struct Double {
    /// Angle between the two.
    pub separation: Angle,
    /// Direction from the brighter to the fainter, north through east.
    pub position_angle: Angle,
    /// The two magnitudes, brighter first.
    pub magnitudes: (Magnitude, Magnitude),
    /// Colours in words, such as `gold and blue`.
    pub colours: String,
}

/// Words for the public.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words {
    /// One plain sentence.
    pub line: String,
    /// One comparison: how far, how big, how old.
    pub comparison: String,
    /// One thing to look for.
    pub look_for: String,
    /// At most seven words for the host.
    pub cue: String,
}

/// Something that may be shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// Its name in files.
    pub id: TargetId,
    /// Its name for people.
    pub name: String,
    /// What sort of thing it is.
    pub kind: Kind,
    /// Where it is.
    pub source: Source,
    /// Full long and short axis; `None` when unknown (unknown is not zero), or for a body and a star.
    pub size: Option<(Angle, Angle)>,
    /// Direction of the long axis, north through east.
    pub position_angle: Option<Angle>,
    /// Integrated visual magnitude; `None` when unknown, or for a body.
    pub magnitude: Option<Magnitude>,
    /// Mean surface brightness: as given, else from magnitude and size; `None` when unknown.
    pub surface_brightness: Option<SurfaceBrightness>,
    /// A bright core, where the mean misleads.
    pub core: Option<Core>,
    /// The pair, for a double star.
    pub double: Option<Double>,
    /// Spectral type, for a star.
    pub spectral_type: Option<String>,
    /// Pleasure for a mixed public at its best.
    pub appeal: Fraction,
    /// Words for the public.
    pub words: Words,
}

impl Target {
    /// The body of the solar system that it is, or lies on; `None` beyond.
    pub const fn body(&self) -> Option<Body> {
        match self.source {
            Source::Body(body) => Some(body),
            Source::Star(_) => None,
        }
    }
}

/// A catalogue: its name and its targets, identifiers distinct.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Catalogue {
    /// Its name for people.
    pub name: String,
    /// Its targets, in the order of the file.
    pub targets: Vec<Target>,
}

impl Catalogue {
    /// The target of an identifier.
    pub fn get(&self, id: &TargetId) -> Option<&Target> {
        self.targets.iter().find(|target| &target.id == id)
    }
}
