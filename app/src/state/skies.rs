//! The skies that were computed lately, so that going back to one is at once.

use std::sync::Arc;

use evenfall_core::plan::{Call, Evening, OrderRules, Prepared, Programme, RunningOrder};

use super::{AppState, Stock};

/// Skies kept, so that undoing a change of date is at once.
const SKIES_KEPT: usize = 4;
/// The most targets in all skies that are kept, beside the sky that is shown: each takes up to about 25 kB a night.
const TARGETS_KEPT: usize = 4_000;

/// All that a sky depends on within one stock: the evening without title, file names, order rules, slack, call, next dates,
/// running orders and what was shown.
#[derive(Clone, Debug)]
pub(super) struct SkyKey {
    stock: Arc<Stock>,
    evening: Evening,
}

impl PartialEq for SkyKey {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.stock, &other.stock) && self.evening == other.evening
    }
}

impl SkyKey {
    fn of(evening: &Evening, stock: &Arc<Stock>) -> Self {
        let programme = Programme { slack_percent: 0.0, ..evening.programme.clone() };
        let bare = Evening {
            title: String::new(),
            site_file: String::new(),
            rig_file: String::new(),
            catalogue_file: String::new(),
            programme,
            rules: OrderRules::default(),
            call: Call::default(),
            next_dates: Vec::new(),
            order: RunningOrder::default(),
            version: String::new(),
            versions: Vec::new(),
            shown: Vec::new(),
            ..evening.clone()
        };
        Self { stock: Arc::clone(stock), evening: bare }
    }
}

impl AppState {
    /// Forgets the skies of the evening before.
    pub(super) fn forget_skies(&mut self) {
        self.skies.clear();
    }

    pub(super) fn keep_sky(&mut self, evening: &Evening, stock: &Arc<Stock>, prepared: &Arc<Prepared>) {
        let key = SkyKey::of(evening, stock);
        self.skies.retain(|(known, _)| *known != key);
        self.skies.insert(0, (key, Arc::clone(prepared)));
        let targets = stock.catalogue.targets.len().max(1);
        self.skies.truncate((TARGETS_KEPT / targets).clamp(1, SKIES_KEPT));
    }

    /// The sky of an evening, if it was computed lately.
    pub(super) fn known_sky(&self, evening: &Evening, stock: &Arc<Stock>) -> Option<Arc<Prepared>> {
        let key = SkyKey::of(evening, stock);
        self.skies.iter().find(|(known, _)| *known == key).map(|(_, prepared)| Arc::clone(prepared))
    }
}
