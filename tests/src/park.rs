//! A park to plan for: the demo's from its files, or the same with another site and catalogue.

use chrono::NaiveTime;
use evenfall_core::catalogue::{Catalogue, TargetId, read_catalogue};
use evenfall_core::document::read_evening;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::plan::{Evening, Materials, Prepared, draft, prepare};
use evenfall_core::rig::{Rig, read_rig};
use evenfall_core::site::{Site, read_site};
use evenfall_core::time::Instant;

/// The demo's evening as its file has it.
pub const EVENING: &str = include_str!("../../catalog-demo/heron-fell.evening.ron");
const SITE: &str = include_str!("../../catalog-demo/heron-fell.site.ron");
const RIG: &str = include_str!("../../catalog-demo/heron-fell.rig.ron");
const CATALOGUE: &str = include_str!("../../catalog-demo/heron-fell.catalogue.ron");
const PACK: &[u8] = include_bytes!("../../assets/ephemeris/planets.pack");

/// What an evening stands on, and the evening.
#[expect(missing_docs, reason = "the core documents them")]
pub struct Park {
    pub site: Site,
    pub rig: Rig,
    pub catalogue: Catalogue,
    pub ephemeris: Ephemeris,
    pub evening: Evening,
}

impl Park {
    /// The demo's.
    pub fn demo() -> Self {
        Self::with(SITE, CATALOGUE)
    }

    /// The demo's, its evening on another date.
    pub fn demo_on(date: &str) -> Self {
        let mut park = Self::demo();
        park.evening.date = date.parse().expect("a date");
        park
    }

    /// The demo's rig at latitude 38 north, longitude 109 west, 1800 m, with a catalogue of its own.
    pub fn moved(catalogue: &str) -> Self {
        let site = SITE
            .replace("latitude_deg: 55.1", "latitude_deg: 38.0")
            .replace("longitude_deg: -2.5", "longitude_deg: -109.0")
            .replace("elevation_m: 260.0", "elevation_m: 1800.0")
            .replace("Europe/London", "America/Denver");
        Self::with(&site, catalogue)
    }

    /// The demo's rig and catalogue at latitude 38 north, longitude 109 west, 1800 m, with a skyline given as the site's file has
    /// it; the evening on a date, its doors open between two times, nothing else in its programme. The rig's optics are
    /// 0.6 m at f/7.
    pub fn at_reference_site(skyline: &str, date: &str, (open, close): (&str, &str)) -> Self {
        let mut park = Self::moved(CATALOGUE);
        park.site.horizon = with_skyline(skyline).horizon;
        park.evening.date = date.parse().expect("a date");
        let programme = &mut park.evening.programme;
        programme.fixed.clear();
        (programme.doors_open, programme.doors_close) = (clock(open), clock(close));
        park
    }

    fn with(site: &str, catalogue: &str) -> Self {
        Self {
            site: read_site("site", site).expect("the site reads"),
            rig: read_rig("rig", RIG).expect("the demo's rig reads"),
            catalogue: read_catalogue("catalogue", catalogue).0,
            ephemeris: Ephemeris::from_bytes(PACK).expect("the embedded pack is whole"),
            evening: read_evening("evening", EVENING).expect("the demo's evening reads"),
        }
    }

    /// All but the evening.
    pub const fn materials(&self) -> Materials<'_> {
        Materials { site: &self.site, rig: &self.rig, catalogue: &self.catalogue, ephemeris: &self.ephemeris }
    }

    /// The evening's sky.
    pub fn prepared(&self) -> Prepared {
        prepare(&self.evening, &self.materials()).expect("the evening can be prepared")
    }

    /// With the evening laid out, and its sky.
    pub fn drafted(mut self) -> (Self, Prepared) {
        let prepared = self.prepared();
        self.evening.order = draft(&self.evening, &prepared, &self.materials());
        (self, prepared)
    }

    /// Where a target stands in the catalogue.
    pub fn target(&self, id: &str) -> usize {
        self.materials().target_index(&TargetId(id.into())).expect("the catalogue has it")
    }
}

/// The demo's site with another horizon.
fn with_skyline(skyline: &str) -> Site {
    let from = SITE.find("  horizon: [").expect("the demo has a horizon");
    let to = from + SITE[from..].find("\n  ],").expect("it ends");
    let text = format!("{}  horizon: [{skyline}{}", &SITE[..from], &SITE[to..]);
    read_site("site", &text).expect("the site reads")
}

/// A time such as `19:30`.
fn clock(text: &str) -> NaiveTime {
    NaiveTime::parse_from_str(text, "%H:%M").expect("a time")
}

/// The instant of a time on the clock of a prepared evening.
pub fn at(prepared: &Prepared, text: &str) -> Instant {
    prepared.night.local.at(clock(text)).expect("the clocks show it once")
}
