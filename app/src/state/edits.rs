//! Edits of the running order, each one named step: `shaping` does the work, this notes it.

use chrono::{Duration, NaiveDate};
use chrono_tz::Tz;
use evenfall_core::plan::{
    Evening, Held, Materials, Prepared, RunningOrder, Stop, StopId, Version as KeptOrder,
};
use evenfall_core::rig::PortId;
use evenfall_core::time::{Instant, Interval, LocalNight};

use super::apply::select_stop;
use super::shaping::{Ground, SHORTEST_MINUTES, changes_port, moved_stops};
use super::{AppState, Command, Edge, Merge, Notice, StepName};

/// Does an edit.
pub(super) fn edit(state: &mut AppState, command: Command) {
    let selected = state.selected_stop().cloned();
    match (command, selected) {
        (Command::Nudge(minutes), Some(stop)) => {
            let start = stop.start().plus_minutes(f64::from(minutes));
            let place = Command::Place { stop: stop.id, start, port: None };
            shape(state, &place, Some(Merge::Stop(stop.id)));
        }
        (Command::Lengthen(minutes), Some(stop)) => {
            let length = (stop.interval.minutes() + f64::from(minutes)).max(SHORTEST_MINUTES);
            let end = stop.start().plus_minutes(length);
            shape(state, &Command::SetEdge(stop.id, Edge::End, end), Some(Merge::End(stop.id)));
        }
        (Command::MoveStart(minutes), Some(stop)) => {
            let start = stop.start().plus_minutes(f64::from(minutes));
            shape(state, &Command::SetEdge(stop.id, Edge::Start, start), Some(Merge::Start(stop.id)));
        }
        (Command::StepPort(lanes), Some(stop)) => {
            if let Some(port) = neighbour_port(state, &stop, lanes) {
                shape(state, &Command::SetPort(stop.id, port), None);
            }
        }
        (Command::ToggleHold, Some(stop)) => {
            let held = !(stop.held.time || stop.held.port);
            let port = held && stop.show().is_some();
            shape(state, &Command::SetHeld(stop.id, Held { time: held, port }), None);
        }
        (Command::Remove, Some(stop)) => take_off(state, &stop),
        (Command::SplitSelected, Some(stop)) => {
            if let Some(at) = state.where_to_split() {
                shape(state, &Command::Split(stop.id, at), None);
            }
        }
        (Command::Insert(form), _) => {
            state.view.dialog = None;
            let inserted = shape(state, &Command::Insert(form), None);
            select_stop(state, inserted);
        }
        (command @ Command::BringOn { .. }, _) => {
            let brought = shape(state, &command, None);
            if let (None, Command::BringOn { target, .. }) = (brought, &command) {
                let title = state.open().map_or_else(String::new, |open| open.target_name(target));
                state.view.notice = Some(Notice::NothingToShow(title));
            }
            select_stop(state, brought);
        }
        (command, _) => {
            shape(state, &command, None);
        }
    }
}

/// Does an edit that names its stop, as one step; gives the stop that it was about.
fn shape(state: &mut AppState, command: &Command, merges: Option<Merge>) -> Option<StopId> {
    let open = state.open.as_ref()?;
    let ground = Ground::of(open, state.view.ripple);
    let (after, stop) = ground.shaped(command);
    let own = step_name(state, command)?;
    // Pushes that are one step are counted from before the first of them.
    let before = open.history.merged_from(merges).map_or(ground.evening, |first| &first.evening);
    let name = with_others(own, before, &after, stop);
    step(state, name, merges, |_, _, _| after);
    stop
}

/// What an edit is called, before it is done.
fn step_name(state: &AppState, command: &Command) -> Option<StepName> {
    let open = state.open()?;
    let order = &open.document.evening.order;
    let title = |id: &StopId| order.get(*id).map(|stop| open.title(stop)).unwrap_or_default();
    Some(match command {
        Command::Place { stop, start, port } => {
            let own = order.get(*stop)?;
            match port.as_ref().filter(|port| changes_port(own, port)) {
                Some(port) if own.start() == *start => {
                    StepName::OnPort { title: title(stop), port: port.clone() }
                }
                Some(port) => StepName::MovedToPort { title: title(stop), to: *start, port: port.clone() },
                None => StepName::Moved { title: title(stop), to: *start },
            }
        }
        Command::SetEdge(stop, Edge::Start, at) => StepName::StartSet { title: title(stop), at: *at },
        Command::SetEdge(stop, Edge::End, at) => {
            let minutes = at.minutes_since(order.get(*stop)?.start()).max(SHORTEST_MINUTES);
            StepName::Lengthened { title: title(stop), minutes }
        }
        Command::SetPort(stop, port) => StepName::OnPort { title: title(stop), port: port.clone() },
        Command::SetHeld(stop, held) if held.time || held.port => {
            StepName::Held { title: title(stop), held: *held }
        }
        Command::SetHeld(stop, _) => StepName::LetGo { title: title(stop) },
        Command::BringOn { target, start, .. } => {
            StepName::BroughtOn { title: open.target_name(target), at: *start }
        }
        Command::SwapUnderstudy(stop) => {
            let understudy = order.get(*stop)?.show()?.understudy.as_ref()?;
            StepName::Swapped { title: title(stop), with: open.target_name(understudy) }
        }
        Command::Insert(form) => {
            StepName::Inserted { title: form.title(), at: form.instant(&open.derived.prepared)? }
        }
        Command::Split(stop, at) => StepName::Split { title: title(stop), at: *at },
        _ => return None,
    })
}

/// The name of a step with how many other stops it moves.
fn with_others(name: StepName, before: &Evening, after: &Evening, stop: Option<StopId>) -> StepName {
    let moved = moved_stops(before, after).into_iter().filter(|other| Some(*other) != stop).count();
    if moved == 0 { name } else { StepName::WithOthers(Box::new(name), moved) }
}

/// Notes the evening before, puts the new one in place, and follows it. Nothing happens if nothing changed.
pub(super) fn step(
    state: &mut AppState,
    name: StepName,
    merges: Option<Merge>,
    change: impl FnOnce(&Evening, &Prepared, &Materials<'_>) -> Evening,
) {
    let Some(open) = &mut state.open else { return };
    let materials = open.document.stock.materials();
    let evening = change(&open.document.evening, &open.derived.prepared, &materials);
    if evening == open.document.evening {
        return;
    }
    open.derived.follow(&evening, &materials);
    open.history.record(name, open.version(), merges);
    open.document.replace(evening);
    state.drop_lost_stops();
}

fn take_off(state: &mut AppState, stop: &Stop) {
    let Some(open) = state.open() else { return };
    let stops = open.document.evening.order.stops();
    let position = stops.iter().position(|other| other.id == stop.id);
    let neighbour = position.and_then(|position| {
        stops.get(position + 1).or_else(|| stops.get(position.checked_sub(1)?)).map(|stop| stop.id)
    });
    let ground = Ground::of(open, state.view.ripple);
    let after = ground.without(stop);
    let name = StepName::Removed { title: open.title(stop), from: stop.start() };
    let name = with_others(name, ground.evening, &after, None);
    step(state, name, None, |_, _, _| after);
    select_stop(state, neighbour);
}

fn neighbour_port(state: &AppState, stop: &Stop, lanes: i32) -> Option<PortId> {
    let ports = &state.open()?.document.stock.rig.ports;
    let port = &stop.show()?.port;
    let position = ports.iter().position(|other| other.id == *port)?;
    ports.get(position.checked_add_signed(lanes as isize)?).map(|port| port.id.clone())
}

impl AppState {
    /// Where the selected stop would be split: at the minute that the Card reads if that is within it, else in its middle;
    /// `None` where it is too short.
    pub fn where_to_split(&self) -> Option<Instant> {
        let stop = self.selected_stop()?;
        let (start, minutes) = (stop.start(), stop.interval.minutes());
        let within = |at: &Instant| {
            let past = at.minutes_since(start).round();
            past >= SHORTEST_MINUTES && past <= minutes - SHORTEST_MINUTES
        };
        let middle = start.plus_minutes((minutes / 2.0).floor());
        self.view.card.minute.filter(within).or(Some(middle).filter(within))
    }
}

/// The evening on another date, with the stops of all its running orders at the same local clock times; nothing has been
/// shown there. Where the clocks change in between, a stop is moved by the plain difference in days.
pub(super) fn on_date(evening: &Evening, date: NaiveDate, zone: Tz) -> Evening {
    let days = date.signed_duration_since(evening.date).num_days();
    let (Ok(from), Ok(to)) = (LocalNight::new(evening.date, zone), LocalNight::new(date, zone)) else {
        let (order, version) = (RunningOrder::default(), String::new());
        return Evening { date, order, version, versions: Vec::new(), shown: Vec::new(), ..evening.clone() };
    };
    let aside = Duration::days(days).num_seconds() as f64;
    let carry =
        |instant: Instant| to.at(from.local(instant).time()).unwrap_or_else(|_| instant.plus_seconds(aside));
    let (order, versions) = carried(evening, carry);
    let mut wishes = evening.wishes.clone();
    for closed in &mut wishes.closed_sky {
        *closed = closed.on(&to);
    }
    let call = evening.call.undecided();
    Evening { date, wishes, order, versions, shown: Vec::new(), call, ..evening.clone() }
}

/// The evening in another zone, with the stops of all its running orders at the same local clock times.
pub(super) fn in_zone(evening: &Evening, before: Tz, zone: Tz) -> Evening {
    let (Ok(from), Ok(to)) = (LocalNight::new(evening.date, before), LocalNight::new(evening.date, zone))
    else {
        return evening.clone();
    };
    if before == zone {
        return evening.clone();
    }
    let (order, versions) = carried(evening, |instant| to.at(from.local(instant).time()).unwrap_or(instant));
    Evening { order, versions, ..evening.clone() }
}

/// All running orders of an evening with every stop begun at another instant.
fn carried(evening: &Evening, carry: impl Fn(Instant) -> Instant) -> (RunningOrder, Vec<KeptOrder>) {
    let carried = |order: &RunningOrder| {
        let stops = order.stops().iter().filter_map(|stop| {
            let start = carry(stop.start());
            let interval = Interval::new(start, start.plus_seconds(stop.interval.seconds()))?;
            Some(Stop { interval, ..stop.clone() })
        });
        RunningOrder::new(stops.collect())
    };
    let versions =
        evening.versions.iter().map(|kept| KeptOrder { order: carried(&kept.order), ..kept.clone() });
    (carried(&evening.order), versions.collect())
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;
    use evenfall_core::plan::edit::{keep_version, tick};
    use evenfall_core::plan::{Evening, Stop, draft, prepare};

    use super::on_date;
    use crate::shell::Machine;
    use crate::state::Outside;

    #[test]
    fn another_date_carries_every_order_over_and_nothing_has_been_shown_there() {
        let opened = Machine.demo().unwrap();
        let zone = opened.stock.site.zone;
        let materials = opened.stock.materials();
        let prepared = prepare(&opened.evening, &materials).unwrap();
        let order = draft(&opened.evening, &prepared, &materials);
        let drafted = Evening { order, ..opened.evening };
        let target = drafted.order.stops().iter().find_map(|stop| stop.show()).unwrap().target.clone();
        let before = tick(&keep_version(&drafted, "Clear"), &target, true);
        // The clocks go forward in between, on 28 March 2027.
        let date = NaiveDate::from_ymd_opt(2027, 4, 2).unwrap();
        let after = on_date(&before, date, zone);
        assert_eq!((after.date, after.shown.len()), (date, 0));
        assert_eq!(after.versions.len(), 1);
        assert_eq!(after.versions[0].order, after.order);
        for (there, here) in after.versions[0].order.stops().iter().zip(drafted.order.stops()) {
            let clock = |stop: &Stop| stop.start().to_utc().with_timezone(&zone).time();
            assert_eq!(clock(there), clock(here));
            assert_eq!(there.start().to_utc().with_timezone(&zone).date_naive(), date);
        }
    }
}
