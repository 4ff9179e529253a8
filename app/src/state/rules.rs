//! Edits of the order rules and of what is closed of the sky, and the minute at which the Shelf keeps to a part of it.

use std::sync::Arc;

use evenfall_core::plan::Evening;
use evenfall_core::plan::edit::{close_sky, open_sky, set_bedtime, set_rule, set_slack};
use evenfall_core::time::Instant;

use super::app_state::AfterLayOut;
use super::edits::step;
use super::{AppState, Command, Merge, StepName};

/// Does an edit.
pub(super) fn edit(state: &mut AppState, command: &Command) {
    match *command {
        Command::Weigh(rule, percent) => {
            if percent == 0
                && let Some(open) = &state.open
            {
                state.view.rules.former.set(rule, open.document.evening.rules.get(rule));
            }
            let name = StepName::Weighed { rule, percent };
            step(state, name, Some(Merge::Rule(rule)), |evening, _, _| set_rule(evening, rule, percent));
        }
        Command::SetSlack(percent) => {
            let name = StepName::SlackSet(percent);
            step(state, name, Some(Merge::Slack), |evening, _, _| set_slack(evening, percent));
        }
        Command::SetBedtime(bedtime) => {
            let name = StepName::BedtimeSet(bedtime);
            step(state, name, Some(Merge::Bedtime), |evening, _, _| set_bedtime(evening, bedtime));
        }
        Command::CloseSky(closed) => {
            under_another_sky(state, StepName::SkyClosed(closed), |evening| close_sky(evening, closed));
        }
        Command::OpenSky(position) => {
            let known = state
                .open
                .as_ref()
                .and_then(|open| open.document.evening.wishes.closed_sky.get(position).copied());
            if let Some(closed) = known {
                under_another_sky(state, StepName::SkyOpened(closed), |evening| open_sky(evening, position));
            }
        }
        _ => {}
    }
}

/// An edit that changes what the sky allows: a step once that is computed. The running order stays as it is.
fn under_another_sky(state: &mut AppState, name: StepName, change: impl FnOnce(&Evening) -> Evening) {
    let Some(open) = &state.open else { return };
    let stock = Arc::clone(&open.document.stock);
    let evening = change(&open.document.evening);
    let step = AfterLayOut::Step(name, open.picked_up.clone());
    state.lay_out(evening, stock, None, step);
}

impl AppState {
    /// The minute at which the Shelf keeps to a part of the sky: the one that the Card reads, else now while doors are
    /// open, else the middle of the selected stop, else the one before something on the Shelf was selected, else the
    /// middle of the evening.
    pub fn clear_minute(&self) -> Option<Instant> {
        let prepared = &self.open()?.derived.prepared;
        let middle = |start: Instant, minutes: f64| start.plus_minutes((minutes / 2.0).floor());
        let of_stop = || self.selected_stop().map(|stop| middle(stop.start(), stop.interval.minutes()));
        let read =
            self.view.card.minute.or_else(|| self.now_in_doors()).or_else(of_stop).or(self.view.kept_minute);
        let within = read.filter(|at| prepared.span.contains(*at));
        Some(within.unwrap_or_else(|| middle(prepared.doors.start(), prepared.doors.minutes())))
    }
}
