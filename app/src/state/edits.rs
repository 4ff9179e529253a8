//! Edits of the running order, each one named step: the core does the work, this notes it.

use chrono::{Duration, NaiveDate};
use chrono_tz::Tz;
use evenfall_core::plan::edit::{
    bring_on, change_port, hold, move_stop, remove, resize_stop, swap_understudy,
};
use evenfall_core::plan::{
    Evening, Finding, Held, Materials, Prepared, RunningOrder, Stop, StopId, Version as KeptOrder,
    against_ranking, check,
};
use evenfall_core::rig::PortId;
use evenfall_core::time::{Instant, Interval, LocalNight};

use super::apply::select_stop;
use super::{AppState, Command, Drag, Merge, Notice, OpenEvening, StepName};

/// Shortest stop that keys can make, in minutes.
const SHORTEST_MINUTES: f64 = 1.0;

/// Does an edit.
pub(super) fn edit(state: &mut AppState, command: Command) {
    let selected = state.selected_stop().cloned();
    match command {
        Command::Place { stop, start, port } => place(state, stop, start, port.as_ref()),
        Command::Nudge(minutes) => {
            if let Some(stop) = selected {
                nudge(state, &stop, minutes);
            }
        }
        Command::Lengthen(minutes) => {
            if let Some(stop) = selected {
                lengthen(state, &stop, minutes);
            }
        }
        Command::StepPort(lanes) => {
            if let Some(port) = selected.as_ref().and_then(|stop| neighbour_port(state, stop, lanes))
                && let Some(stop) = selected
            {
                set_port(state, stop.id, &port);
            }
        }
        Command::SetPort(stop, port) => set_port(state, stop, &port),
        Command::SetHeld(stop, held) => set_held(state, stop, held),
        Command::ToggleHold => {
            if let Some(stop) = selected {
                let held = !(stop.held.time || stop.held.port);
                let port = held && stop.show().is_some();
                set_held(state, stop.id, Held { time: held, port });
            }
        }
        Command::Remove => {
            if let Some(stop) = selected {
                take_off(state, &stop);
            }
        }
        Command::BringOn { target, start, port } => {
            let Some(open) = &state.open else { return };
            let title = open
                .document
                .stock
                .catalogue
                .get(&target)
                .map_or_else(|| target.to_string(), |target| target.name.clone());
            let mut brought = None;
            let name = StepName::BroughtOn { title: title.clone() };
            step(state, name, None, |evening, prepared, materials| {
                let (evening, id) = bring_on(evening, prepared, materials, &target, start);
                brought = id;
                match (id, &port) {
                    (Some(id), Some(port)) => chosen_by_hand(&evening, prepared, materials, id, port),
                    _ => evening,
                }
            });
            if brought.is_none() {
                state.view.notice = Some(Notice::NothingToShow(title));
            }
            select_stop(state, brought);
        }
        Command::SwapUnderstudy(stop) => {
            let title = title_of(state, stop);
            step(state, StepName::Swapped { title }, None, |evening, prepared, materials| {
                swap_understudy(evening, prepared, materials, stop)
            });
        }
        _ => {}
    }
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

fn title_of(state: &AppState, id: StopId) -> String {
    state
        .open()
        .and_then(|open| open.document.evening.order.get(id).map(|stop| open.title(stop)))
        .unwrap_or_default()
}

fn place(state: &mut AppState, id: StopId, start: Instant, port: Option<&PortId>) {
    let title = title_of(state, id);
    let Some(stop) = state.open().and_then(|open| open.document.evening.order.get(id)) else { return };
    let moved = stop.start() != start;
    let name = match port.filter(|port| changes_port(stop, port)) {
        Some(port) if !moved => StepName::OnPort { title, port: port.clone() },
        _ => StepName::Moved { title, to: start },
    };
    step(state, name, None, |evening, prepared, materials| {
        placed(evening, prepared, materials, (id, start, port))
    });
}

fn changes_port(stop: &Stop, port: &PortId) -> bool {
    stop.show().is_some_and(|show| show.port != *port)
}

/// The evening with a stop put down at a time and on a port.
fn placed(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    (id, start, port): (StopId, Instant, Option<&PortId>),
) -> Evening {
    let Some(stop) = evening.order.get(id) else { return evening.clone() };
    let moved = if stop.start() == start { evening.clone() } else { move_stop(evening, id, start) };
    match port.filter(|port| changes_port(stop, port)) {
        Some(port) => chosen_by_hand(&moved, prepared, materials, id, port),
        None => moved,
    }
}

/// What would be wrong if a dragged stop were put down here: the evening then, and its findings.
pub fn trial(open: &OpenEvening, drag: &Drag) -> (Evening, Vec<Finding>) {
    let prepared = &open.derived.prepared;
    let materials = open.document.stock.materials();
    let place = (drag.stop, drag.start, drag.port.as_ref());
    let evening = placed(&open.document.evening, prepared, &materials, place);
    let findings = check(&evening, prepared, &materials);
    (evening, findings)
}

fn nudge(state: &mut AppState, stop: &Stop, minutes: i32) {
    let to = stop.start().plus_minutes(f64::from(minutes));
    let name = StepName::Moved { title: title_of(state, stop.id), to };
    step(state, name, Some(Merge::Stop(stop.id)), |evening, _, _| move_stop(evening, stop.id, to));
}

fn lengthen(state: &mut AppState, stop: &Stop, minutes: i32) {
    let length = (stop.interval.minutes() + f64::from(minutes)).max(SHORTEST_MINUTES);
    let Some(interval) = Interval::new(stop.start(), stop.start().plus_minutes(length)) else { return };
    let name = StepName::Lengthened { title: title_of(state, stop.id), minutes: length };
    step(state, name, None, |evening, _, _| resize_stop(evening, stop.id, interval));
}

fn set_port(state: &mut AppState, id: StopId, port: &PortId) {
    let name = StepName::OnPort { title: title_of(state, id), port: port.clone() };
    step(state, name, None, |evening, prepared, materials| {
        chosen_by_hand(evening, prepared, materials, id, port)
    });
}

/// The evening with a stop on a port that was chosen by hand. Against the ranking it is held there, so that neither a
/// new draft nor the file forgets the choice; the port that ranks first needs no holding.
fn chosen_by_hand(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    id: StopId,
    port: &PortId,
) -> Evening {
    let changed = change_port(evening, prepared, materials, id, port);
    let Some(stop) = changed.order.get(id) else { return changed };
    let overrules = against_ranking(stop, prepared, materials).is_some();
    hold(&changed, id, Held { port: overrules, ..stop.held })
}

fn set_held(state: &mut AppState, id: StopId, held: Held) {
    let title = title_of(state, id);
    let name = if held.time || held.port { StepName::Held { title } } else { StepName::LetGo { title } };
    step(state, name, None, |evening, _, _| hold(evening, id, held));
}

fn take_off(state: &mut AppState, stop: &Stop) {
    let name = StepName::Removed { title: title_of(state, stop.id) };
    let neighbour = state.open().and_then(|open| {
        let stops = open.document.evening.order.stops();
        let position = stops.iter().position(|other| other.id == stop.id)?;
        stops.get(position + 1).or_else(|| stops.get(position.checked_sub(1)?)).map(|stop| stop.id)
    });
    step(state, name, None, |evening, _, _| remove(evening, stop.id));
    select_stop(state, neighbour);
}

fn neighbour_port(state: &AppState, stop: &Stop, lanes: i32) -> Option<PortId> {
    let ports = &state.open()?.document.stock.rig.ports;
    let port = &stop.show()?.port;
    let position = ports.iter().position(|other| other.id == *port)?;
    ports.get(position.checked_add_signed(lanes as isize)?).map(|port| port.id.clone())
}

/// The evening on another date, with the stops of all its running orders at the same local clock times; nothing has been
/// shown there. Where the clocks change in between, a stop is moved by the plain difference in days.
pub(super) fn on_date(evening: &Evening, date: NaiveDate, zone: Tz) -> Evening {
    let days = date.signed_duration_since(evening.date).num_days();
    let (Ok(from), Ok(to)) = (LocalNight::new(evening.date, zone), LocalNight::new(date, zone)) else {
        let (order, version) = (RunningOrder::default(), String::new());
        return Evening { date, order, version, versions: Vec::new(), shown: Vec::new(), ..evening.clone() };
    };
    let carry = |instant: Instant| {
        to.at(from.local(instant).time())
            .unwrap_or_else(|_| instant.plus_seconds(Duration::days(days).num_seconds() as f64))
    };
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
    Evening {
        date,
        order: carried(&evening.order),
        versions: versions.collect(),
        shown: Vec::new(),
        ..evening.clone()
    }
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
