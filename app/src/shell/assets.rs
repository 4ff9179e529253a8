//! What the binary carries within itself: ephemeris, typeface, the demo.

use evenfall_core::ephemeris::{Ephemeris, PackError};

/// The typeface of window and paper: a variable TrueType font with a weight axis.
pub static FONT: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3VF-Upright.ttf");

/// An embedded file with the name it bears on disk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DemoFile {
    /// Its name.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
}

/// The demo evening.
pub const DEMO_EVENING: DemoFile = DemoFile {
    name: "heron-fell.evening.ron",
    text: include_str!("../../../catalog-demo/heron-fell.evening.ron"),
};

/// What the demo evening names: site, rig and catalogue.
pub const DEMO_PARTS: [DemoFile; 3] = [
    DemoFile { name: "heron-fell.site.ron", text: include_str!("../../../catalog-demo/heron-fell.site.ron") },
    DemoFile { name: "heron-fell.rig.ron", text: include_str!("../../../catalog-demo/heron-fell.rig.ron") },
    DemoFile {
        name: "heron-fell.catalogue.ron",
        text: include_str!("../../../catalog-demo/heron-fell.catalogue.ron"),
    },
];

/// The embedded ephemeris.
///
/// # Errors
/// When the embedded bytes are damaged: a fault in the build.
pub fn ephemeris() -> Result<Ephemeris, PackError> {
    Ephemeris::from_bytes(include_bytes!("../../../assets/ephemeris/planets.pack"))
}
