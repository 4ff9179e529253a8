//! The draft under way behind the Board: its better orders taken in, the order on the Board appraised after every edit.

use std::sync::Arc;

use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{Evening, Explained, GivenUp, PickUp, RunningOrder, Severity, Stop};

use super::appraisal::breaks_port_wish;
use super::{
    Account, AppState, Appraisal, Appraise, Derived, Document, History, Job, Notice, OpenEvening, Quality,
    Selected, Side, Stage, StepName, Version,
};

const NOT_APPRAISED: &str = "How good this order is could not be found out: a fault in Evenfall. The evening is as it \
                             was; the next edit tries again.";
const NOT_EXPLAINED: &str = "Why the order is as it is could not be found out: a fault in Evenfall. The evening is as \
                             it was; the next edit tries again.";

/// What the worker was asked about the order on the Board.
#[derive(Clone, Debug)]
pub(super) struct UnderWay {
    pub(super) ticket: u64,
    /// Of which evening, by its number among those opened, and of which revision of it.
    about: (u64, u64),
    improving: Option<Improving>,
}

/// A draft that gets better.
#[derive(Clone, Debug)]
pub(super) struct Improving {
    /// What it began from.
    pub(super) before: Version,
    /// The step to be noted once there is a better order; `None` when it was noted, or none is.
    pub(super) not_noted: Option<(StepName, Option<PickUp>)>,
    /// Whether nobody asked for the draft: it was made for an evening without a running order.
    pub(super) unasked: bool,
}

impl AppState {
    /// Whether better drafts are looked for, to be put on the Board.
    pub fn is_improving(&self) -> bool {
        self.under_way.as_ref().is_some_and(|under_way| under_way.improving.is_some())
    }

    /// Whether the order on the Board is being appraised, or its proof goes on.
    pub fn is_appraising(&self) -> bool {
        self.open.as_ref().is_some_and(OpenEvening::awaits_appraisal)
    }

    /// Notes that the worker goes on with the draft that has just been put on the Board.
    pub(super) fn follow_draft(&mut self, ticket: u64, improving: Improving) {
        let Some(open) = &self.open else { return };
        let about = (open.number, open.derived.revision);
        self.under_way = Some(UnderWay { ticket, about, improving: Some(improving) });
    }

    /// Asks how good the order on the Board is, unless that is asked already.
    pub(super) fn ask_to_appraise(&mut self) {
        let Some(open) = &self.open else { return };
        let about = (open.number, open.derived.revision);
        if self.is_computing() || self.under_way.as_ref().is_some_and(|under_way| under_way.about == about) {
            return;
        }
        self.ask_appraisal(false);
    }

    /// Stops looking for better drafts; with `rest`, the proof as well.
    pub(super) fn stop_drafting(&mut self, rest: bool) {
        if self.is_improving() || (rest && self.is_appraising()) {
            self.ask_appraisal(rest);
        }
    }

    /// Whether the reasons for the order on the Board are still being found.
    pub fn is_explaining(&self) -> bool {
        self.open.as_ref().is_some_and(OpenEvening::awaits_reasons)
    }

    /// Asks why the order on the Board is as it is, once it has come to rest.
    pub(super) fn ask_to_explain(&mut self) {
        let Some(open) = &self.open else { return };
        let about = (open.number, open.derived.revision);
        if self.is_computing() || self.is_improving() || self.explaining.is_some_and(|asked| asked.1 == about)
        {
            return;
        }
        let ticket = self.new_ticket();
        let Some(open) = &self.open else { return };
        let asked = open.to_appraise(ticket, false);
        self.explaining = Some((ticket, about));
        self.ask(Job::Explain(asked));
    }

    /// Takes in the reasons; what came too late is dropped.
    pub(super) fn take_explained(&mut self, ticket: u64, explained: Option<Box<Explained>>) {
        let Some(open) = &mut self.open else { return };
        if self.explaining == Some((ticket, (open.number, open.derived.revision))) {
            if explained.is_none() {
                self.view.notice = Some(Notice::Trouble(NOT_EXPLAINED.to_owned()));
            }
            open.explained = Some((open.derived.revision, explained));
        }
    }

    fn ask_appraisal(&mut self, rest: bool) {
        let ticket = self.new_ticket();
        let Some(open) = &self.open else { return };
        let about = (open.number, open.derived.revision);
        let asked = open.to_appraise(ticket, rest);
        self.under_way = Some(UnderWay { ticket, about, improving: None });
        self.ask(Job::Appraise(asked));
    }

    /// Takes in how far a draft has come; what came too late is dropped.
    pub(super) fn take_drafted(
        &mut self,
        ticket: u64,
        order: Option<RunningOrder>,
        appraisal: Option<Appraisal>,
    ) {
        let Some(open) = &self.open else { return };
        let now = (open.number, open.derived.revision);
        let Some(under_way) = &mut self.under_way else { return };
        if under_way.ticket != ticket || under_way.about != now {
            return;
        }
        if let Some(order) = order
            && let Some(improving) = under_way.improving.take()
        {
            let given_up = appraisal.as_ref().map_or(Vec::new(), |found| found.given_up.clone());
            let improving = self.put_better(order, improving, &given_up);
            if let (Some(under_way), Some(open)) = (&mut self.under_way, &self.open) {
                under_way.about = (open.number, open.derived.revision);
                under_way.improving = Some(improving);
            }
        }
        let broken_down = appraisal.is_none();
        let searched = appraisal.as_ref().is_none_or(|found| found.stage != Stage::Searching);
        if let Some(open) = &mut self.open {
            open.set_appraisal(appraisal);
        }
        if searched
            && let Some(improving) = self.under_way.as_mut().and_then(|under_way| under_way.improving.take())
            && improving.not_noted.is_some()
        {
            self.view.notice = Some(Notice::NothingBetter);
        }
        if broken_down {
            self.view.notice = Some(Notice::Trouble(NOT_APPRAISED.to_owned()));
        }
    }

    /// Puts a better order on the Board; it belongs to the same step.
    fn put_better(
        &mut self,
        order: RunningOrder,
        mut improving: Improving,
        given_up: &[GivenUp],
    ) -> Improving {
        let Some(open) = &mut self.open else { return improving };
        let shown = self.view.selected.as_ref().and_then(|selected| open.selected_target(selected));
        let is_first = improving.not_noted.is_some();
        if let Some((name, picked_up)) = improving.not_noted.take() {
            open.history.record(name, improving.before.clone(), None);
            open.picked_up = picked_up;
        }
        let at_first = improving.unasked && self.view.selected == open.first_show();
        let evening = Evening { order, ..open.document.evening.clone() };
        open.account =
            Account::new(&improving.before.evening.order, &evening, open.picked_up.as_ref(), given_up);
        let stock = Arc::clone(&open.document.stock);
        open.derived.follow(&evening, &stock.materials());
        if improving.unasked {
            open.document.lay(evening);
        } else {
            open.document.replace(evening);
        }
        if at_first {
            self.view.selected = open.first_show();
        } else if let Some(target) = shown {
            let stops = open.document.evening.order.stops();
            let stop = stops.iter().find(|stop| stop.show().is_some_and(|show| show.target == target));
            self.view.selected =
                Some(stop.map_or(Selected::Target(target), |stop: &Stop| Selected::Stop(stop.id)));
        }
        self.drop_lost_stops();
        if is_first {
            self.tell_account();
        }
        improving
    }

    /// Shows what a draft could not keep, where there is something.
    pub(super) fn tell_account(&mut self) {
        let Some(open) = &self.open else { return };
        if open.account.is_some() {
            self.view.selected = None;
            self.view.side = Side::Card;
        }
    }
}

impl OpenEvening {
    pub(super) fn new(number: u64, document: Document, derived: Derived) -> Self {
        Self {
            number,
            document,
            derived,
            history: History::default(),
            picked_up: None,
            account: None,
            appraised: None,
            explained: None,
        }
    }

    /// How good the order on the Board is; `None` while that is not known.
    pub fn appraisal(&self) -> Option<&Appraisal> {
        let (revision, appraisal) = self.appraised.as_ref()?;
        appraisal.as_ref().filter(|_| *revision == self.derived.revision)
    }

    /// Why the order on the Board is as it is; `None` while that is not known.
    pub fn explained(&self) -> Option<&Explained> {
        let (revision, explained) = self.explained.as_ref()?;
        explained.as_deref().filter(|_| *revision == self.derived.revision)
    }

    /// Whether the reasons for the order on the Board are still being found.
    pub fn awaits_reasons(&self) -> bool {
        self.explained.as_ref().is_none_or(|(revision, _)| *revision != self.derived.revision)
    }

    /// Whether the order on the Board is still being appraised, or its proof goes on.
    fn awaits_appraisal(&self) -> bool {
        let answered = self.appraised.as_ref().filter(|(revision, _)| *revision == self.derived.revision);
        answered.is_none_or(|(_, found)| found.as_ref().is_some_and(|found| found.stage != Stage::Done))
    }

    /// How good the order on the Board is. Nothing is said of one with a Stopper, and of one that breaks a wish for ports
    /// only that a draft is better: what it is worth beyond that, the wish may be the price of.
    pub fn quality(&self) -> Option<Quality> {
        let quality = self.appraisal()?.quality()?;
        let findings = &self.derived.findings;
        let stopped = findings.iter().any(|finding| finding.severity == Severity::Stopper);
        let breaks_wish = findings.iter().any(breaks_port_wish);
        let draft_wins = matches!(quality, Quality::DraftBetter(_) | Quality::DraftShows(_));
        (!stopped && (draft_wins || !breaks_wish)).then_some(quality)
    }

    /// Notes how good the order on the Board is; `None` where a fault in Evenfall kept it from being found.
    pub(super) fn set_appraisal(&mut self, appraisal: Option<Appraisal>) {
        self.appraised = Some((self.derived.revision, appraisal));
    }

    /// The evening as it stands, with what goes back and forth with it.
    pub(super) fn version(&self) -> Version {
        Version {
            evening: self.document.evening.clone(),
            stock: Arc::clone(&self.document.stock),
            picked_up: self.picked_up.clone(),
            account: self.account.clone(),
        }
    }

    /// What the worker has to know to judge the order, or to write it as numbers.
    pub(super) fn to_appraise(&self, ticket: u64, rest: bool) -> Appraise {
        Appraise {
            ticket,
            evening: Box::new(self.document.evening.clone()),
            stock: Arc::clone(&self.document.stock),
            prepared: Arc::clone(&self.derived.prepared),
            picked_up: self.picked_up.clone(),
            rest,
        }
    }

    /// The first stop that shows a target.
    pub(super) fn first_show(&self) -> Option<Selected> {
        let first = self.document.evening.order.stops().iter().find(|stop| stop.show().is_some());
        first.map(|stop| Selected::Stop(stop.id))
    }

    fn selected_target(&self, selected: &Selected) -> Option<TargetId> {
        match selected {
            Selected::Stop(id) => Some(self.document.evening.order.get(*id)?.show()?.target.clone()),
            Selected::Target(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::thread;
    use std::time::Duration;

    use crate::shell::Machine;
    use crate::state::{AppState, Effort, Notice};

    /// The demonstration, with a search that would never end.
    fn under_way() -> AppState {
        let endless = Effort { draft: u64::MAX, appraisal: u64::MAX, bound: u64::MAX };
        let mut state = AppState::with_effort(Arc::new(Machine), None, endless);
        while state.open().is_none() {
            state.take_answers();
            thread::sleep(Duration::from_millis(1));
        }
        state
    }

    fn is_told(state: &AppState) -> bool {
        matches!(&state.view.notice, Some(Notice::Trouble(message)) if message.contains("a fault in Evenfall"))
    }

    #[test]
    fn a_fault_ends_the_wait_for_better_orders_and_is_told() {
        let mut state = under_way();
        assert!(state.is_improving() && state.is_appraising());
        let ticket = state.under_way.as_ref().unwrap().ticket;
        state.take_drafted(ticket, None, None);
        assert!(!state.is_improving() && !state.is_appraising());
        assert!(is_told(&state), "{:?}", state.view.notice);
        state.ask_to_appraise();
        assert_eq!(state.under_way.as_ref().unwrap().ticket, ticket, "it is not asked again until an edit");
    }

    #[test]
    fn a_fault_ends_the_wait_for_reasons_and_is_told() {
        let mut state = under_way();
        state.stop_drafting(true);
        state.ask_to_explain();
        assert!(state.is_explaining());
        let ticket = state.explaining.unwrap().0;
        state.take_explained(ticket, None);
        assert!(!state.is_explaining() && state.open().unwrap().explained().is_none());
        assert!(is_told(&state), "{:?}", state.view.notice);
    }
}
