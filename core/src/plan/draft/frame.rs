//! What stands before anything is drafted: what is done, fixed entries, held stops; and which targets must come in.

use super::desk::Desk;
use super::given_up::{GivenUp, GivenUpWhy, Wish};
use super::kept_together::kept_together;
use super::pick_up::PickUp;
use crate::catalogue::TargetId;
use crate::plan::check::check;
use crate::plan::{
    Evening, FixedEntry, Held, Rule, RunningOrder, Severity, Stop, StopId, What, in_each_others_way, merit,
};
use crate::time::{Instant, Interval};

/// A stop that the draft leaves alone.
#[derive(Clone)]
pub(super) struct Fixed {
    pub(super) stop: Stop,
    /// Target and port by position, where it shows a target.
    pub(super) showing: Option<(usize, usize)>,
}

/// A target that must come in.
#[derive(Clone)]
pub(super) struct Wanted {
    pub(super) target: usize,
    /// On this port only.
    pub(super) port: Option<usize>,
    pub(super) wish: Wish,
}

/// Everything that stands.
pub(super) struct Frame {
    /// The first minute after doors open from which anything may be laid; 0 for a whole evening.
    pub(super) from_minute: u32,
    /// Whether an evening that has begun is picked up again: nothing moves before that minute.
    pub(super) picked_up: bool,
    /// What has been shown, in order.
    pub(super) done: Vec<Stop>,
    /// What stands later, in order of its start.
    pub(super) fixed: Vec<Fixed>,
    /// Talks at the screen: in the way of what else is shown on a screen, not of what is shown at an eyepiece.
    pub(super) screen_talks: Vec<Stop>,
    /// What must come in somewhere.
    pub(super) wanted: Vec<Wanted>,
    /// Targets that are not to be drafted: shown already, or to be left out.
    pub(super) excluded: Vec<usize>,
    /// What could not be kept.
    pub(super) given_up: Vec<GivenUp>,
}

impl Frame {
    pub(super) fn new(desk: Desk<'_>, pick_up: Option<&PickUp>) -> Self {
        let evening = desk.evening;
        let is_done = |stop: &Stop| {
            let ticked = stop.show().is_some_and(|show| evening.shown.contains(&show.target));
            ticked || pick_up.is_some_and(|pick_up| pick_up.done.contains(&stop.id))
        };
        let (done, open): (Vec<Stop>, Vec<Stop>) = evening.order.stops().iter().cloned().partition(is_done);
        let from = pick_up.map_or(desk.prepared.doors.start(), |pick_up| pick_up.at);
        let held = open.iter().filter(|stop| stop.held.time);
        let (past, held): (Vec<&Stop>, Vec<&Stop>) =
            held.partition(|stop| pick_up.is_some() && stop.start() < from);
        let mut stops: Vec<Stop> = held.into_iter().map(|stop| served(desk, stop)).collect();
        let mut late_from = from;
        let mut given_up = Vec::new();
        for stop in &past {
            // What should have begun: an entry begins now, a target comes later if it can.
            if stop.show().is_some() {
                given_up.push(GivenUp { wish: Wish::Stop((*stop).clone()), why: GivenUpWhy::Past });
            } else {
                let interval = Interval::new(late_from, late_from.plus_seconds(stop.interval.seconds()));
                let interval = interval.unwrap_or(stop.interval);
                late_from = interval.end();
                stops.push(Stop { interval, ..(*stop).clone() });
            }
        }
        let mut next = evening.order.next_id().0;
        let known: Vec<Stop> = done.iter().chain(&stops).cloned().collect();
        for entry in unheld_entries(evening, &known, desk) {
            let late = pick_up.map(|_| &mut late_from);
            stops.extend(entry_stop(desk, entry, &stops, (&mut next, late)));
        }
        take_impossible(desk, &mut stops, &mut given_up);
        let (talks, stops) = stops.into_iter().partition(Stop::is_screen_talk);
        let stops = kept_together(desk, &done, stops, &mut given_up);
        let screen_talks = beside(desk, talks, &stops, &mut given_up);
        let fixed: Vec<Fixed> =
            stops.into_iter().map(|stop| Fixed { showing: desk.showing(&stop), stop }).collect();
        let shown = done.iter().filter_map(|stop| Some(desk.showing(stop)?.0));
        let shown = shown.chain(fixed.iter().filter_map(|fixed| Some(fixed.showing?.0)));
        let left_out = evening.wishes.leave_out.iter().filter_map(|id| desk.materials.target_index(id));
        let ticked = evening.shown.iter().filter_map(|id| desk.materials.target_index(id));
        let excluded: Vec<usize> = shown.chain(left_out).chain(ticked).collect();
        let mut frame = Self {
            picked_up: pick_up.is_some(),
            from_minute: desk.minute(from).ceil().max(0.0) as u32,
            done,
            fixed,
            screen_talks,
            wanted: Vec::new(),
            excluded,
            given_up,
        };
        let past: Vec<Stop> = past.into_iter().filter(|stop| stop.show().is_some()).cloned().collect();
        frame.wanted = frame.wanted(desk, &open, &past);
        frame
    }

    /// Targets that stops held in their port and wishes ask for, and that nothing shows yet.
    fn wanted(&mut self, desk: Desk<'_>, open: &[Stop], past: &[Stop]) -> Vec<Wanted> {
        let mut wanted: Vec<Wanted> = Vec::new();
        for stop in past.iter().filter(|stop| !stop.held.port) {
            let target = desk.showing(stop).map(|own| own.0).filter(|own| !self.excluded.contains(own));
            if let Some(target) = target.filter(|own| wanted.iter().all(|other| other.target != *own)) {
                let show = stop.show().map(|show| show.target.clone());
                wanted.extend(show.map(|id| Wanted { target, port: None, wish: Wish::Show(id) }));
            }
        }
        let on_ports = open.iter().filter(|stop| stop.held.port && !stop.held.time);
        for stop in on_ports.chain(past.iter().filter(|stop| stop.held.port)) {
            match desk.showing(stop) {
                Some((target, port)) if !self.excluded.contains(&target) => {
                    if wanted.iter().all(|other| other.target != target) {
                        wanted.push(Wanted { target, port: Some(port), wish: Wish::Port(stop.clone()) });
                    }
                }
                Some(_) => {}
                None => {
                    self.given_up.push(GivenUp { wish: Wish::Port(stop.clone()), why: GivenUpWhy::Never });
                }
            }
        }
        for id in &desk.evening.wishes.must_show {
            let Some(target) = desk.materials.target_index(id) else { continue };
            if !self.excluded.contains(&target) && wanted.iter().all(|other| other.target != target) {
                wanted.push(Wanted { target, port: None, wish: Wish::Show(id.clone()) });
            }
        }
        wanted
    }
}

/// A stop held in time; on its best port if its own is out of service and not held.
fn served(desk: Desk<'_>, stop: &Stop) -> Stop {
    let mut stop = stop.clone();
    if let (What::Show(show), false) = (&mut stop.what, stop.held.port) {
        let usable = desk.port_index(&show.port).is_some_and(|port| desk.in_service(port));
        let target = desk.materials.target_index(&show.target);
        if let (false, Some(target)) = (usable, target) {
            let best = merit(desk.prepared, desk.materials, target, stop.interval).into_iter().next();
            if let Some(best) = best {
                show.eyepiece = best.choice.field.eyepiece.map(|view| view.index);
                show.port = best.choice.port;
            }
        }
    }
    stop
}

fn is_same(stop: &Stop, entry: &FixedEntry) -> bool {
    match &stop.what {
        What::Entry { kind, title, .. } => *kind == entry.kind && *title == entry.title,
        What::Show(_) => false,
    }
}

/// The programme's entries for which no stop stands. One that does stands for the nearest of its kind and title.
fn unheld_entries<'e>(evening: &'e Evening, standing: &[Stop], desk: Desk<'_>) -> Vec<&'e FixedEntry> {
    let mut entries: Vec<&FixedEntry> = evening.programme.fixed.iter().collect();
    for stop in standing {
        let away_s = |entry: &FixedEntry| {
            let start = desk.prepared.night.local.at(entry.start).ok();
            start.map_or(f64::INFINITY, |start| stop.start().seconds_since(start).abs())
        };
        let same = entries.iter().enumerate().filter(|(_, entry)| is_same(stop, entry));
        let nearest = same.min_by(|one, other| away_s(one.1).total_cmp(&away_s(other.1)));
        if let Some(position) = nearest.map(|(position, _)| position) {
            entries.remove(position);
        }
    }
    entries
}

/// The stop of a fixed entry, unless its clock time does not exist. One that should have begun before an evening is
/// picked up begins then, one after the other.
fn entry_stop(
    desk: Desk<'_>,
    entry: &FixedEntry,
    stops: &[Stop],
    (next, late_from): (&mut u32, Option<&mut Instant>),
) -> Option<Stop> {
    let clock = desk.prepared.night.local.at(entry.start).ok()?;
    let late = late_from.filter(|from| clock < **from);
    let start = late.as_ref().map_or(clock, |from| **from);
    let interval = Interval::new(start, start.plus_minutes(entry.minutes))?;
    if let Some(from) = late {
        *from = interval.end();
    }
    let mut known = desk.evening.order.stops().iter();
    let known = known.find(|known| is_same(known, entry) && stops.iter().all(|stop| stop.id != known.id));
    let id = known.map_or_else(
        || {
            *next += 1;
            StopId(*next - 1)
        },
        |known| known.id,
    );
    let what = What::Entry { kind: entry.kind, title: entry.title.clone(), cue: entry.cue.clone() };
    Some(Stop { id, what, interval, held: Held::default() })
}

/// Takes out what breaks a rule whatever stands beside it.
fn take_impossible(desk: Desk<'_>, stops: &mut Vec<Stop>, given_up: &mut Vec<GivenUp>) {
    if stops.iter().all(|stop| stop.show().is_none()) {
        return;
    }
    let alone = Evening { order: RunningOrder::new(stops.clone()), ..desk.evening.clone() };
    for finding in check(&alone, desk.prepared, desk.materials) {
        let together = matches!(
            finding.rule,
            Rule::Overlap { .. }
                | Rule::MoveDoesNotFit { .. }
                | Rule::SlewNearSun { .. }
                | Rule::CablesEnd { .. }
        );
        if finding.severity != Severity::Stopper || together {
            continue;
        }
        let position = stops.iter().position(|stop| Some(stop.id) == finding.stop);
        if let Some(position) = position {
            let wish = Wish::Stop(stops.remove(position));
            given_up.push(GivenUp { wish, why: GivenUpWhy::Rule(finding.rule) });
        }
    }
}

/// The talks at a screen that nothing is in the way of.
fn beside(desk: Desk<'_>, talks: Vec<Stop>, stops: &[Stop], given_up: &mut Vec<GivenUp>) -> Vec<Stop> {
    let rig = desk.materials.rig;
    let mut kept: Vec<Stop> = Vec::new();
    for talk in talks {
        let others = stops.iter().chain(&kept);
        let against: Vec<Wish> =
            others.filter(|other| in_each_others_way(other, &talk, rig)).cloned().map(Wish::Stop).collect();
        if against.is_empty() {
            kept.push(talk);
        } else {
            given_up.push(GivenUp { wish: Wish::Stop(talk), why: GivenUpWhy::Against(against) });
        }
    }
    kept
}

/// Identities for drafted stops: a target that had a stop keeps its identity, others get new ones.
pub(super) struct Identities {
    known: Vec<(TargetId, StopId)>,
    next: u32,
}

impl Identities {
    pub(super) fn new(desk: Desk<'_>, frame: &Frame) -> Self {
        let order = &desk.evening.order;
        let fixed = frame.fixed.iter().map(|fixed| &fixed.stop);
        let standing = fixed.chain(&frame.screen_talks).chain(&frame.done);
        let taken: Vec<StopId> = standing.map(|stop| stop.id).collect();
        let open = order.stops().iter().filter(|stop| !taken.contains(&stop.id));
        let known = open.filter_map(|stop| Some((stop.show()?.target.clone(), stop.id))).collect();
        let highest = taken.iter().map(|id| id.0 + 1).max().unwrap_or(1);
        Self { known, next: order.next_id().0.max(highest) }
    }

    pub(super) fn for_target(&mut self, target: &TargetId) -> StopId {
        if let Some(position) = self.known.iter().position(|known| &known.0 == target) {
            return self.known.swap_remove(position).1;
        }
        self.next += 1;
        StopId(self.next - 1)
    }
}
