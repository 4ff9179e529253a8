//! The best way through the evening: for each minute the best few ways to be done by then, each carried on.

mod gain;

use std::iter::successors;
use std::mem::take;

use super::Desk;
use super::frame::Frame;
use super::menu::{Menu, Offer};
use crate::catalogue::Kind;
use crate::plan::beside::is_in_the_way;
use crate::plan::timing::Stands;
use crate::units::Angle;

/// Ways kept for each minute.
const WIDTH: usize = 8;
/// Minutes that a move usually takes; only a first guess.
const USUAL_MOVE_MINUTES: f64 = 1.2;
/// Minutes of one step of waiting.
const WAIT_MINUTES: f64 = 3.0;

/// Something laid out: an offer and its start in minutes after doors open.
#[derive(Clone, Copy, Debug)]
pub(super) struct Laid {
    pub(super) offer: Offer,
    pub(super) start: u32,
}

/// One way to stand at a minute of the evening.
#[derive(Clone, Copy)]
struct Way<'d> {
    before: Option<usize>,
    laid: Option<Laid>,
    /// Position among the fixed stops of the one that comes next.
    next_fixed: usize,
    /// When the last stop is over for people, in minutes after doors open.
    done: f64,
    /// When the last target is over, from when on the telescope may move: also during an entry.
    telescope_done: f64,
    /// Minutes to leave free after the last stop.
    pad: f64,
    stands: Stands<'d>,
    value: f64,
    busy: f64,
    /// The target shown last, fixed ones included.
    last: Option<usize>,
}

/// What has been shown on a way.
struct Shown {
    targets: Vec<usize>,
    kinds: [u8; KINDS],
    ports: u32,
    /// Kind and whether by eyepiece, of the last showing.
    last: Option<(Kind, bool)>,
}

/// Number of kinds.
const KINDS: usize = Kind::DarkNebula as usize + 1;

/// The stops to lay out between the fixed ones, in order.
pub(super) fn search<'d>(desk: Desk<'d>, frame: &Frame, menu: &Menu) -> Vec<Laid> {
    let search = Search::new(desk, frame, menu);
    let mut ways: Vec<Way<'d>> = vec![Way {
        before: None,
        laid: None,
        next_fixed: 0,
        done: 0.0,
        telescope_done: 0.0,
        pad: 0.0,
        stands: Stands::default(),
        value: 0.0,
        busy: 0.0,
        last: None,
    }];
    let mut by_minute: Vec<Vec<usize>> = vec![Vec::new(); search.doors_minutes as usize + 1];
    by_minute[0].push(0);
    for minute in 0..by_minute.len() {
        let mut here = take(&mut by_minute[minute]);
        // Best first; equal ones in the order in which they were found.
        here.sort_by(|one, other| ways[*other].value.total_cmp(&ways[*one].value).then(one.cmp(other)));
        let mut lasts: Vec<(Option<usize>, usize)> = Vec::with_capacity(WIDTH);
        for way in here {
            let key = (ways[way].last, ways[way].next_fixed);
            if lasts.len() == WIDTH || lasts.contains(&key) {
                continue;
            }
            lasts.push(key);
            for next in search.onward(&ways, way) {
                let at = (next.done.ceil() as usize).max(minute + 1);
                if let Some(list) = by_minute.get_mut(at) {
                    list.push(ways.len());
                    ways.push(next);
                }
            }
        }
    }
    let best =
        (0..ways.len()).fold(0, |best, way| if ways[way].value > ways[best].value { way } else { best });
    let mut laid: Vec<Laid> = chain(&ways, best).filter_map(|way| way.laid).collect();
    laid.reverse();
    laid
}

/// A way and all before it, the last first.
fn chain<'w, 'd>(ways: &'w [Way<'d>], way: usize) -> impl Iterator<Item = &'w Way<'d>> {
    successors(Some(&ways[way]), |way| way.before.map(|before| &ways[before]))
}

struct Search<'s, 'd> {
    desk: Desk<'d>,
    frame: &'s Frame,
    menu: &'s Menu,
    doors_minutes: f64,
    /// Minutes that drafted stops and their moves may take.
    budget: f64,
    /// Minutes to leave free for each minute of a stop.
    pad_share: f64,
    /// The greatest altitude of each target while it may be shown.
    highest: Vec<Angle>,
}

impl<'s, 'd> Search<'s, 'd> {
    fn new(desk: Desk<'d>, frame: &'s Frame, menu: &'s Menu) -> Self {
        let doors_minutes = desk.prepared.doors.minutes().floor();
        let slack = (desk.evening.programme.slack_percent / 100.0).clamp(0.0, 0.9);
        // A fixed stop takes a move of about two minutes more than its own time.
        let fixed: f64 = frame
            .fixed
            .iter()
            .map(|fixed| fixed.stop.interval.minutes() + if fixed.showing.is_some() { 2.0 } else { 0.0 })
            .sum();
        let budget = doors_minutes * (1.0 - slack) - fixed;
        let prepared = desk.prepared;
        let within =
            prepared.moment_index(prepared.doors.start())..=prepared.moment_index(prepared.doors.end());
        let highest = prepared
            .tracks
            .iter()
            .zip(&prepared.availability)
            .map(|(track, own)| {
                let minutes = prepared.moments[within.clone()].iter().zip(&track.samples[within.clone()]);
                minutes
                    .filter(|(moment, _)| {
                        own.allowed.as_slice().iter().any(|run| run.contains(moment.instant))
                    })
                    .map(|(_, sample)| sample.altitude)
                    .fold(Angle::ZERO, Angle::max)
            })
            .collect();
        let pad_share = slack / (1.0 - slack);
        Self { desk, frame, menu, doors_minutes, budget, pad_share, highest }
    }

    /// Every way to go on: past the next fixed stop, waiting, or with an offer.
    fn onward(&self, ways: &[Way<'d>], from: usize) -> Vec<Way<'d>> {
        let way = ways[from];
        let mut onward = Vec::new();
        onward.extend(self.past_fixed(&way, from));
        onward.push(Way {
            before: Some(from),
            laid: None,
            done: way.done + WAIT_MINUTES,
            pad: (way.pad - WAIT_MINUTES).max(0.0),
            ..way
        });
        if way.busy < self.budget {
            let shown = self.shown(ways, from);
            for offer in self.menu.at(self.desk, way.done + way.pad, &shown.targets) {
                onward.extend(self.with(&way, from, *offer, &shown));
            }
        }
        onward
    }

    fn past_fixed(&self, way: &Way<'d>, from: usize) -> Option<Way<'d>> {
        let fixed = self.frame.fixed.get(way.next_fixed)?;
        let interval = fixed.stop.interval;
        let mut next =
            Way { before: Some(from), laid: None, next_fixed: way.next_fixed + 1, pad: 0.0, ..*way };
        next.done = way.done.max(self.desk.minute(interval.end()));
        if let Some((target, port)) = fixed.showing {
            let rig = self.desk.materials.rig;
            let arrival =
                way.stands.go(self.desk.materials, self.desk.prepared, target, &rig.ports[port].id, interval);
            next.stands = arrival.map_or(way.stands, |(_, after)| after);
            next.telescope_done = next.done;
            next.last = Some(target);
            next.pad = (interval.minutes() * self.pad_share).ceil();
        }
        Some(next)
    }

    /// The way on with an offer at its earliest start, if it may be shown then and what is fixed stays within reach.
    fn with(&self, way: &Way<'d>, from: usize, offer: Offer, shown: &Shown) -> Option<Way<'d>> {
        let desk = self.desk;
        // Before the first target of all the telescope is made ready while doors are closed.
        let first = way.stands.pointing.is_none();
        let ready = |start: u32| -> Option<(f64, Stands<'d>)> {
            let interval = offer.interval(desk, start);
            let (minutes, after) = desk.approach(way.stands, offer.target, offer.port, interval)?;
            Some((if first { 0.0 } else { minutes }, after))
        };
        let earliest = way.done + way.pad;
        let next_fixed = self.frame.fixed.get(way.next_fixed);
        let room_ends = next_fixed.map_or(self.doors_minutes, |fixed| desk.minute(fixed.stop.start()));
        if earliest.ceil() + f64::from(offer.minutes) > room_ends {
            return None;
        }
        // The move depends on when it is made, a little: tried for the usual start, again if it comes out otherwise.
        let usual = (earliest + USUAL_MOVE_MINUTES).ceil() as u32;
        let (mut move_minutes, mut stands) = ready(usual)?;
        let start = earliest.max(way.telescope_done + way.pad + move_minutes).ceil() as u32;
        if start != usual {
            (move_minutes, stands) = ready(start)?;
        }
        let interval = offer.interval(desk, start);
        let end = start + offer.minutes;
        let port = &desk.materials.rig.ports[offer.port];
        if f64::from(end) > self.doors_minutes
            || way.telescope_done + move_minutes > f64::from(start)
            || !desk.prepared.availability[offer.target].allowed.covers(interval)
            || self.frame.screen_talks.iter().any(|talk| is_in_the_way(talk, interval, port))
            || !self.fixed_in_reach(way, f64::from(end), stands)
        {
            return None;
        }
        let busy = way.busy + move_minutes + f64::from(offer.minutes);
        let gain = self.gain(offer, start, interval, shown)?;
        (busy <= self.budget).then_some(Way {
            before: Some(from),
            laid: Some(Laid { offer, start }),
            next_fixed: way.next_fixed,
            done: f64::from(end),
            telescope_done: f64::from(end),
            pad: (f64::from(offer.minutes) * self.pad_share).ceil(),
            stands,
            value: way.value + gain,
            busy,
            last: Some(offer.target),
        })
    }

    /// Whether everything fixed can still start on time after a stop that ends at `end`, even if nothing more is
    /// drafted: no time shared, and every move to a fixed showing fits that fits without the draft. All of them count:
    /// which way the cables are wound may matter only later.
    fn fixed_in_reach(&self, way: &Way<'d>, end: f64, stands: Stands<'d>) -> bool {
        let (mut done, mut stands) = (end, stands);
        for fixed in &self.frame.fixed[way.next_fixed..] {
            let start = self.desk.minute(fixed.stop.start());
            if end > start {
                return false;
            }
            let Some((target, port)) = fixed.showing else { continue };
            let approach = self.desk.approach(stands, target, port, fixed.stop.interval);
            match approach {
                Some((minutes, after)) if done + minutes <= start || !fixed.reachable => stands = after,
                _ if fixed.reachable => return false,
                _ => {}
            }
            done = self.desk.minute(fixed.stop.end());
        }
        true
    }

    /// What a way has shown, and what is fixed for later.
    fn shown(&self, ways: &[Way<'d>], from: usize) -> Shown {
        let mut shown = Shown { targets: Vec::new(), kinds: [0; KINDS], ports: 0, last: None };
        let mut add = |target: usize, port: usize| {
            let kind = self.desk.materials.catalogue.targets[target].kind;
            shown.targets.push(target);
            shown.kinds[kind as usize] = shown.kinds[kind as usize].saturating_add(1);
            shown.ports |= 1 << port.min(31);
            (kind, self.desk.materials.rig.ports[port].is_eyepiece())
        };
        for (target, port) in self.frame.fixed.iter().filter_map(|fixed| fixed.showing) {
            add(target, port);
        }
        let mut last = None;
        for laid in chain(ways, from).filter_map(|way| way.laid) {
            let (kind, eyepiece) = add(laid.offer.target, laid.offer.port);
            last.get_or_insert((f64::from(laid.start), kind, eyepiece));
        }
        let fixed_last = self.frame.fixed[..ways[from].next_fixed].iter().rev().find_map(|fixed| {
            let (target, port) = fixed.showing?;
            let kind = self.desk.materials.catalogue.targets[target].kind;
            let eyepiece = self.desk.materials.rig.ports[port].is_eyepiece();
            Some((self.desk.minute(fixed.stop.start()), kind, eyepiece))
        });
        let later = match (last, fixed_last) {
            (Some(drafted), Some(fixed)) => Some(if fixed.0 > drafted.0 { fixed } else { drafted }),
            (one, other) => one.or(other),
        };
        shown.last = later.map(|(_, kind, eyepiece)| (kind, eyepiece));
        shown
    }
}
