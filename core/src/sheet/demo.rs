//! The demo's evening for the tests of pages and drawings.

use chrono::NaiveDate;

use super::{Names, RunSheet, run_sheet};
use crate::catalogue::{Catalogue, read_catalogue};
use crate::chart::{Scene, TimelineOptions, timeline};
use crate::document::read_evening;
use crate::ephemeris::Ephemeris;
use crate::plan::{Evening, Materials, Prepared, RunningOrder, draft, prepare};
use crate::rig::{Rig, read_rig};
use crate::site::{Site, read_site};

/// An evening with what it stands on, owned.
pub(crate) struct Demo {
    site: Site,
    rig: Rig,
    catalogue: Catalogue,
    ephemeris: Ephemeris,
    pub evening: Evening,
}

impl Demo {
    /// The demo's files, on another date, without a running order.
    pub(crate) fn on(date: &str) -> Self {
        let site = read_site("site", include_str!("../../../catalog-demo/heron-fell.site.ron"));
        let rig = read_rig("rig", include_str!("../../../catalog-demo/heron-fell.rig.ron"));
        let catalogue =
            read_catalogue("catalogue", include_str!("../../../catalog-demo/heron-fell.catalogue.ron"));
        let evening = read_evening("evening", include_str!("../../../catalog-demo/heron-fell.evening.ron"));
        let pack = include_bytes!("../../../assets/ephemeris/planets.pack");
        let mut evening = evening.expect("the demo's evening is sound");
        evening.date = date.parse::<NaiveDate>().expect("a date");
        evening.order = RunningOrder::default();
        Self {
            site: site.expect("the demo's site is sound"),
            rig: rig.expect("the demo's rig is sound"),
            catalogue: catalogue.0,
            ephemeris: Ephemeris::from_bytes(pack).expect("the embedded pack is whole"),
            evening,
        }
    }

    /// The same with its order drafted.
    pub(crate) fn drafted(mut self) -> (Self, Prepared) {
        let prepared = self.prepared();
        self.evening.order = draft(&self.evening, &prepared, &self.materials());
        (self, prepared)
    }

    pub(crate) fn materials(&self) -> Materials<'_> {
        Materials { site: &self.site, rig: &self.rig, catalogue: &self.catalogue, ephemeris: &self.ephemeris }
    }

    pub(crate) fn prepared(&self) -> Prepared {
        prepare(&self.evening, &self.materials()).expect("the demo can be prepared")
    }

    pub(crate) fn sheet(&self, prepared: &Prepared) -> RunSheet {
        run_sheet(&self.evening, prepared, &self.materials())
    }

    pub(crate) fn scene(&self, prepared: &Prepared, options: TimelineOptions) -> Scene {
        timeline(&self.evening, prepared, &self.materials(), options)
    }

    /// Runs `check` with the names of the evening.
    pub(crate) fn with_names(&self, prepared: &Prepared, check: impl FnOnce(&Names<'_>)) {
        let materials = self.materials();
        check(&Names::new(&self.evening, prepared, &materials));
    }
}
