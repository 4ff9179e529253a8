//! A target: where it is, how large, how bright, and what to say about it.

use std::fmt;

use serde::Deserialize;

use crate::elements::{CometElements, SatelliteElements};
use crate::ephemeris::{Body, MoonFace};
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
    /// A comet, placed by its elements.
    Comet,
}

impl Kind {
    /// Whom a target of this kind pleases most, as far as the catalogue does not say. Common practice, no source: children
    /// like what is bright and tells its shape at once; a smudge takes patience and an adapted eye.
    pub const fn usual_public(self) -> Public {
        match self {
            Self::Moon | Self::Planet | Self::DoubleStar => Public::Children,
            Self::Star | Self::OpenCluster | Self::GlobularCluster | Self::PlanetaryNebula | Self::Comet => {
                Public::All
            }
            Self::Nebula | Self::SupernovaRemnant | Self::Galaxy | Self::DarkNebula => Public::Adults,
        }
    }

    /// All kinds, in their order.
    pub const ALL: [Self; 12] = [
        Self::Moon,
        Self::Planet,
        Self::Star,
        Self::DoubleStar,
        Self::OpenCluster,
        Self::GlobularCluster,
        Self::PlanetaryNebula,
        Self::Nebula,
        Self::SupernovaRemnant,
        Self::Galaxy,
        Self::DarkNebula,
        Self::Comet,
    ];
}

/// Whom a target pleases most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum Public {
    /// Children of primary age, and everybody with them.
    Children,
    /// Everybody.
    All,
    /// Those with patience.
    Adults,
}

impl Public {
    /// All of them, the youngest first.
    pub const ALL: [Self; 3] = [Self::Children, Self::All, Self::Adults];
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

/// A place on the Moon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feature {
    /// Selenographic longitude, east positive: towards the limb that is first lit after new Moon.
    pub longitude: Angle,
    /// Selenographic latitude.
    pub latitude: Angle,
    /// Diameter or length, in kilometres.
    pub size_km: f64,
}

impl Feature {
    /// How large it is in the middle of a disc of a diameter; towards the limb it is foreshortened one way.
    pub fn apparent_size(&self, moon_diameter: Angle) -> Angle {
        moon_diameter * (self.size_km / (2.0 * Body::Moon.radius_km()))
    }

    /// The Sun's altitude there.
    pub fn sun_altitude(&self, face: &MoonFace) -> Angle {
        face.sun_altitude(self.longitude, self.latitude)
    }

    /// How far inside the limb it is, along the Moon's ground; below 0 beyond it.
    ///
    /// The altitude of the observer there, by the same formula as the Sun's: Meeus, Astronomical Algorithms, 2nd ed.,
    /// p. 376, with the libration for the place below the Sun.
    pub fn from_limb(&self, face: &MoonFace) -> Angle {
        let (sin_b, cos_b) = face.libration_latitude.sin_cos();
        let (sin_theta, cos_theta) = self.latitude.sin_cos();
        // sin h = sin b sin theta + cos b cos theta cos(l - eta)
        let sine = sin_b * sin_theta + cos_b * cos_theta * (face.libration_longitude - self.longitude).cos();
        Angle::from_radians(sine.clamp(-1.0, 1.0).asin())
    }
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

/// What its people keep about a target, for those who come and for themselves.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TargetNotes {
    /// How to find it from home; may be empty.
    pub at_home: String,
    /// For the crew; may be empty.
    pub crew: String,
    /// Files of photos, as seen from the folder of the catalogue.
    pub photos: Vec<String>,
}

/// Something that may be shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// Its name in files.
    pub id: TargetId,
    /// Its name for people.
    pub name: String,
    /// Other names it goes by, designations among them.
    pub other_names: Vec<String>,
    /// What sort of thing it is.
    pub kind: Kind,
    /// Where it is.
    pub source: Source,
    /// Full long and short axis; `None` when unknown (unknown is not zero), or for a body and a star.
    pub size: Option<(Angle, Angle)>,
    /// Direction of the long axis, north through east.
    pub position_angle: Option<Angle>,
    /// Integrated visual magnitude; `None` when unknown, or for a body and a comet, whose light changes.
    pub magnitude: Option<Magnitude>,
    /// Mean surface brightness: as given, else from magnitude and size; `None` when unknown.
    pub surface_brightness: Option<SurfaceBrightness>,
    /// A bright core, where the mean misleads.
    pub core: Option<Core>,
    /// The pair, for a double star.
    pub double: Option<Double>,
    /// The place on the Moon, where it is one.
    pub feature: Option<Feature>,
    /// Spectral type, for a star.
    pub spectral_type: Option<String>,
    /// Pleasure for a mixed public at its best.
    pub appeal: Fraction,
    /// Whom it pleases most, where the catalogue says so.
    pub given_public: Option<Public>,
    /// Words for the public.
    pub words: Words,
    /// What its people keep about it.
    pub notes: TargetNotes,
}

impl Target {
    /// Whom it pleases most: as given, else as usual for its kind.
    pub fn public(&self) -> Public {
        self.given_public.unwrap_or(self.kind.usual_public())
    }

    /// The body of the solar system that it is, or lies on; `None` beyond.
    pub const fn body(&self) -> Option<Body> {
        match self.source {
            Source::Body(body) => Some(body),
            Source::Star(_) | Source::Comet(_) => None,
        }
    }

    /// The elements by which it is placed, for a comet.
    pub const fn comet(&self) -> Option<&CometElements> {
        match &self.source {
            Source::Comet(elements) => Some(elements),
            Source::Body(_) | Source::Star(_) => None,
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
    /// Satellites whose passes are told as events of a night; never targets.
    pub satellites: Vec<SatelliteElements>,
    /// Identifiers of entries that can't be read. They stand in the file, so nothing else may have them.
    pub unread_ids: Vec<TargetId>,
}

impl Catalogue {
    /// The target of an identifier.
    pub fn get(&self, id: &TargetId) -> Option<&Target> {
        self.targets.iter().find(|target| &target.id == id)
    }
}
