//! What stands before anything is drafted: fixed entries, held stops, and must-show targets at their best time.

use super::Desk;
use super::menu::{Offer, offers};
use crate::catalogue::TargetId;
use crate::plan::beside::is_in_the_way;
use crate::plan::timing::{Stands, legs, moves_still_fit};
use crate::plan::{Evening, FixedEntry, Held, RunningOrder, Show, Stop, StopId, What, merit};
use crate::rig::PortId;
use crate::time::Interval;

/// A stop that the search leaves alone.
pub(super) struct Fixed {
    /// The stop.
    pub(super) stop: Stop,
    /// Target and port by position, where it is a known target on a known port.
    pub(super) showing: Option<(usize, usize)>,
    /// Whether its move can be made when nothing is drafted before it; else the draft does not care for it.
    pub(super) reachable: bool,
}

/// Everything fixed, in order of its start.
pub(super) struct Frame {
    pub(super) fixed: Vec<Fixed>,
    /// Talks at the screen: in the way of what else is shown on a screen, not of what is shown at an eyepiece.
    pub(super) screen_talks: Vec<Stop>,
    /// Targets that are not to be drafted: shown already, or to be left out.
    pub(super) excluded: Vec<usize>,
}

impl Frame {
    pub(super) fn new(desk: Desk<'_>) -> Self {
        let evening = desk.evening;
        let mut next = evening.order.next_id().0;
        let mut stops: Vec<Stop> = evening
            .order
            .stops()
            .iter()
            .filter(|stop| stop.held.time)
            .map(|stop| served(desk, stop))
            .collect();
        for entry in unheld_entries(evening, &stops, desk) {
            stops.extend(entry_stop(desk, entry, &stops, &mut next));
        }
        let mut wanted = wanted(desk, &stops);
        wanted.sort_by_key(|wish| (wish.allowed_minutes, wish.target));
        for wish in wanted {
            let mut placed = wish.place(desk, &stops);
            if let (Some(stop), None) = (&mut placed, &wish.held) {
                stop.id = known_or_next(desk, &stops, &mut next, |known| {
                    known.show().is_some_and(|show| Some(&show.target) == stop.show().map(|own| &own.target))
                });
            }
            stops.extend(placed.or(wish.held));
        }
        let (screen_talks, stops) = stops.into_iter().partition(Stop::is_screen_talk);
        let order = RunningOrder::new(stops);
        let legs = legs(&order, desk.prepared, desk.materials);
        let fixed: Vec<Fixed> = order
            .stops()
            .iter()
            .zip(legs)
            .map(|(stop, leg)| Fixed {
                stop: stop.clone(),
                showing: showing(desk, stop),
                reachable: leg.can_be_made(desk.prepared, desk.materials),
            })
            .collect();
        let left_out = evening.wishes.leave_out.iter().filter_map(|id| desk.materials.target_index(id));
        let shown = fixed.iter().filter_map(|fixed| fixed.showing.map(|showing| showing.0));
        let excluded = shown.chain(left_out).collect();
        Self { fixed, screen_talks, excluded }
    }
}

fn showing(desk: Desk<'_>, stop: &Stop) -> Option<(usize, usize)> {
    let show = stop.show()?;
    Some((desk.materials.target_index(&show.target)?, port_index(desk, &show.port)?))
}

fn port_index(desk: Desk<'_>, port: &PortId) -> Option<usize> {
    desk.materials.rig.ports.iter().position(|own| &own.id == port)
}

/// A stop held in time; on its best port if its own is out of service and not held.
fn served(desk: Desk<'_>, stop: &Stop) -> Stop {
    let mut stop = stop.clone();
    if let (What::Show(show), false) = (&mut stop.what, stop.held.port) {
        let usable = port_index(desk, &show.port).is_some_and(|port| desk.in_service(port));
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

/// The programme's entries for which the user holds no stop. A held one stands for the nearest of its kind and title.
fn unheld_entries<'e>(evening: &'e Evening, held: &[Stop], desk: Desk<'_>) -> Vec<&'e FixedEntry> {
    let mut entries: Vec<&FixedEntry> = evening.programme.fixed.iter().collect();
    for stop in held {
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

/// The stop of a fixed entry, unless its clock time does not exist.
fn entry_stop(desk: Desk<'_>, entry: &FixedEntry, stops: &[Stop], next: &mut u32) -> Option<Stop> {
    let start = desk.prepared.night.local.at(entry.start).ok()?;
    let interval = Interval::new(start, start.plus_minutes(entry.minutes))?;
    let id = known_or_next(desk, stops, next, |known| is_same(known, entry));
    let what = What::Entry { kind: entry.kind, title: entry.title.clone(), cue: entry.cue.clone() };
    Some(Stop { id, what, interval, held: Held::default() })
}

/// The identity of the first matching stop of the evening that is not among `stops` yet, else a new one.
fn known_or_next(desk: Desk<'_>, stops: &[Stop], next: &mut u32, matches: impl Fn(&Stop) -> bool) -> StopId {
    let mut known = desk.evening.order.stops().iter();
    let known = known.find(|known| matches(known) && stops.iter().all(|stop| stop.id != known.id));
    known.map_or_else(
        || {
            *next += 1;
            StopId(*next - 1)
        },
        |known| known.id,
    )
}

/// A target that must come in, perhaps on a held port.
struct Wish {
    target: usize,
    port: Option<usize>,
    allowed_minutes: u64,
    /// The stop as it stood, if a stop held in its port asks for it.
    held: Option<Stop>,
}

fn wanted(desk: Desk<'_>, stops: &[Stop]) -> Vec<Wish> {
    let is_fixed =
        |id: &TargetId| stops.iter().any(|stop| stop.show().is_some_and(|show| &show.target == id));
    let allowed_minutes =
        |target: usize| desk.prepared.availability.get(target).map_or(0, |own| own.showable.minutes() as u64);
    let mut wishes: Vec<Wish> = Vec::new();
    for stop in desk.evening.order.stops().iter().filter(|stop| stop.held.port && !stop.held.time) {
        if let Some((target, port)) = showing(desk, stop) {
            let allowed_minutes = allowed_minutes(target);
            wishes.push(Wish { target, port: Some(port), allowed_minutes, held: Some(stop.clone()) });
        }
    }
    for id in desk.evening.wishes.must_show.iter().filter(|id| !is_fixed(id)) {
        let Some(target) = desk.materials.target_index(id) else { continue };
        if wishes.iter().all(|wish| wish.target != target) {
            let allowed_minutes = allowed_minutes(target);
            wishes.push(Wish { target, port: None, allowed_minutes, held: None });
        }
    }
    wishes
}

impl Wish {
    /// The best place for it among the stops that stand: the best view times the share of the house served, then the
    /// earliest.
    fn place(&self, desk: Desk<'_>, stops: &[Stop]) -> Option<Stop> {
        let views = &desk.prepared.views;
        let allowed = &desk.prepared.availability.get(self.target)?.allowed;
        let doors_minutes = desk.prepared.doors.minutes() as u32;
        let mut places: Vec<(f64, u32, Offer)> = Vec::new();
        let ports = 0..desk.materials.rig.ports.len();
        for port in ports.filter(|port| self.port.is_none_or(|held| held == *port)) {
            for offer in offers(desk, self.target, port, 0.0) {
                for start in 0..doors_minutes.saturating_sub(offer.minutes) {
                    let interval = offer.interval(desk, start);
                    if !allowed.covers(interval) {
                        continue;
                    }
                    let view = views.worst(
                        self.target,
                        port,
                        desk.prepared.moment_index(interval.start()),
                        desk.prepared.moment_index(interval.end()),
                    );
                    if view > 0.0 {
                        places.push((view * offer.impression, start, offer));
                    }
                }
            }
        }
        places.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(&other.1)));
        places.into_iter().find_map(|(_, start, offer)| self.stop(desk, start, offer, stops))
    }

    /// The stop there, if nothing shares its time and the moves to it and from it fit.
    fn stop(&self, desk: Desk<'_>, start: u32, offer: Offer, stops: &[Stop]) -> Option<Stop> {
        let interval = offer.interval(desk, start);
        let instrument = &desk.materials.rig.ports[offer.port];
        if stops.iter().any(|stop| is_in_the_way(stop, interval, instrument)) {
            return None;
        }
        let port = desk.materials.rig.ports[offer.port].id.clone();
        let show = Show {
            target: desk.materials.catalogue.targets[self.target].id.clone(),
            port: port.clone(),
            eyepiece: None,
            understudy: self.held.as_ref().and_then(|stop| stop.show()?.understudy.clone()),
        };
        let id = self.held.as_ref().map_or(StopId(u32::MAX), |stop| stop.id);
        let held = self.held.as_ref().map(|stop| stop.held).unwrap_or_default();
        let mut stop = Stop { id, what: What::Show(show), interval, held };
        let before = RunningOrder::new(stops.to_vec());
        let after = RunningOrder::new(stops.iter().cloned().chain([stop.clone()]).collect());
        let fits = moves_still_fit(&before, &after, desk.prepared, desk.materials);
        let clear = desk.approach(Stands::default(), self.target, offer.port, interval).is_some();
        if !fits || !clear {
            return None;
        }
        let merits = merit(desk.prepared, desk.materials, self.target, interval);
        let choice = merits.into_iter().map(|merit| merit.choice).find(|choice| choice.port == port)?;
        if let What::Show(show) = &mut stop.what {
            show.eyepiece = choice.field.eyepiece.map(|view| view.index);
        }
        Some(stop)
    }
}
