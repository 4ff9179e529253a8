//! The only phrases: kinds, ports, reasons and findings in words for people.

use crate::catalogue::Kind;

/// The word for a kind, such as `Open cluster`.
pub const fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Moon => "Moon",
        Kind::Planet => "Planet",
        Kind::Star => "Star",
        Kind::DoubleStar => "Double star",
        Kind::OpenCluster => "Open cluster",
        Kind::GlobularCluster => "Globular cluster",
        Kind::PlanetaryNebula => "Planetary nebula",
        Kind::Nebula => "Nebula",
        Kind::SupernovaRemnant => "Supernova remnant",
        Kind::Galaxy => "Galaxy",
        Kind::DarkNebula => "Dark nebula",
    }
}
