//! The best way through the evening: for each minute the best few ways to be done by then, each carried on.

use std::iter::successors;
use std::mem::take;

use super::Desk;
use super::frame::Frame;
use super::menu::{Menu, Offer, remembered};
use crate::catalogue::Kind;
use crate::plan::beside::is_in_the_way;
use crate::plan::check::{POOR_VIEW, moon_troubles};
use crate::plan::timing::Stands;
use crate::time::Interval;
use crate::units::Angle;

/// Ways kept for each minute.
const WIDTH: usize = 8;
/// Minutes that a move usually takes; only a first guess.
const USUAL_MOVE_MINUTES: f64 = 1.2;
/// Minutes of one step of waiting.
const WAIT_MINUTES: f64 = 3.0;
/// The worth of the second, third... of a kind, each against the one before. Common practice, no source.
const SAME_KIND_AGAIN: f64 = 0.7;
/// The same for planets: each is a world of its own, and they are what first-time visitors remember.
const ANOTHER_PLANET: f64 = 0.95;
/// The worth of a screen after a screen: the same line waits, nobody looks through the telescope.
const SCREEN_AFTER_SCREEN: f64 = 0.5;
/// The worth of an eyepiece stop after an eyepiece stop: one line forms while the other group is served.
const EYEPIECE_AFTER_EYEPIECE: f64 = 0.8;
/// The worth of something faint after something faint: never two smudges in a row.
const FAINT_AFTER_FAINT: f64 = 0.7;
/// The worth of a port not shown yet tonight.
const NEW_PORT: f64 = 1.15;
/// The worth of Moon or planet as the first target: bright, easy, and it proves the pointing.
const BRIGHT_FIRST: f64 = 1.4;
/// The worth of what can't be shown an hour later: what sets first goes first.
const LAST_CHANCE: f64 = 1.05;
/// Altitude below which a stop counts less, in degrees: low means murk, unsteady air and a tiring pose.
/// Common practice, no source.
const COMFORTABLE_ALTITUDE_DEG: f64 = 30.0;
/// The worth of a stop at the horizon against one at a comfortable altitude; in between in proportion.
const AT_THE_HORIZON: f64 = 0.4;
/// What each degree of the Sun counts, by which it stands higher than a kind is waited for. Common practice, no source.
const A_DEGREE_TOO_BRIGHT: f64 = 0.12;
/// The least that what should wait for the dark is worth.
const TOO_EARLY: f64 = 0.2;
/// The worth of what moonlight spoils.
const MOON_NEAR: f64 = 0.4;
/// The worth of a stop far from the best altitude of the evening; in between in proportion to the sine.
const FAR_FROM_BEST: f64 = 0.75;
/// The worth of what starts in the last 20 minutes, when families have left.
const LAST_MINUTES: f64 = 0.9;

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
    /// How deep below the horizon the Sun comes within doors.
    darkest: Angle,
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
        let darkest = prepared.moments[within.clone()]
            .iter()
            .map(|moment| moment.sun.altitude)
            .fold(Angle::from_degrees(90.0), Angle::min);
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
        Self { desk, frame, menu, doors_minutes, budget, pad_share, darkest, highest }
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

    /// What a stop adds to the evening; `None` if its view is poor at some minute.
    fn gain(&self, offer: Offer, start: u32, interval: Interval, shown: &Shown) -> Option<f64> {
        let desk = self.desk;
        let (first, last) =
            (desk.prepared.moment_index(interval.start()), desk.prepared.moment_index(interval.end()));
        let view = desk.prepared.views.worst(offer.target, offer.port, first, last);
        if view < POOR_VIEW {
            return None;
        }
        let target = &desk.materials.catalogue.targets[offer.target];
        let mut gain = target.appeal.value() * view * offer.impression;
        let again = if target.kind == Kind::Planet { ANOTHER_PLANET } else { SAME_KIND_AGAIN };
        gain *= again.powi(i32::from(shown.kinds[target.kind as usize]));
        gain *= remembered(target.kind);
        if shown.last.is_none() && matches!(target.kind, Kind::Moon | Kind::Planet) {
            gain *= BRIGHT_FIRST;
        }
        if let Some((kind, eyepiece)) = shown.last {
            gain *= match (eyepiece, offer.eyepiece) {
                (true, true) => EYEPIECE_AFTER_EYEPIECE,
                (false, false) => SCREEN_AFTER_SCREEN,
                _ => 1.0,
            };
            if is_faint(kind) && is_faint(target.kind) {
                gain *= FAINT_AFTER_FAINT;
            }
        }
        if shown.ports & (1 << offer.port.min(31)) == 0 {
            gain *= NEW_PORT;
        }
        let showable = &desk.prepared.availability[offer.target].showable;
        let an_hour_later = interval.start().plus_minutes(60.0);
        if showable.as_slice().last().is_some_and(|last| last.end() < an_hour_later)
            && an_hour_later < desk.prepared.doors.end()
        {
            gain *= LAST_CHANCE;
        }
        gain *= self.height(offer.target, interval) * self.light(offer, first, last);
        if f64::from(start) + 20.0 > self.doors_minutes {
            gain *= LAST_MINUTES;
        }
        Some(gain)
    }

    /// What the altitude counts: a comfortable one, near the best of the evening.
    fn height(&self, target: usize, interval: Interval) -> f64 {
        let altitude_at =
            |instant| self.desk.prepared.sample(target, instant).map_or(Angle::ZERO, |s| s.altitude);
        let lowest = altitude_at(interval.start()).min(altitude_at(interval.end()));
        let comfort = (lowest.degrees() / COMFORTABLE_ALTITUDE_DEG).clamp(0.0, 1.0);
        let highest = self.highest[target].sin().max(0.01);
        let near_best = (lowest.sin() / highest).clamp(0.0, 1.0);
        (AT_THE_HORIZON + (1.0 - AT_THE_HORIZON) * comfort)
            * (FAR_FROM_BEST + (1.0 - FAR_FROM_BEST) * near_best)
    }

    /// What twilight and moonlight leave: what needs the dark waits for it.
    fn light(&self, offer: Offer, first: usize, last: usize) -> f64 {
        let prepared = self.desk.prepared;
        let kind = self.desk.materials.catalogue.targets[offer.target].kind;
        let waited_for = Angle::from_degrees(sun_altitude_deg(kind)).max(self.darkest);
        let too_bright = (prepared.moments[first].sun.altitude - waited_for).degrees().max(0.0);
        let twilight = (1.0 - A_DEGREE_TOO_BRIGHT * too_bright).max(TOO_EARLY);
        let spoilt = prepared.tracks.get(offer.target).is_some_and(|track| {
            [first, last].into_iter().any(|minute| {
                moon_troubles(kind, &prepared.moments[minute], track.samples[minute].moon_separation)
            })
        });
        if spoilt { twilight * MOON_NEAR } else { twilight }
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

/// Whether a kind is a smudge to an eye that is not used to it.
const fn is_faint(kind: Kind) -> bool {
    matches!(kind, Kind::Nebula | Kind::SupernovaRemnant | Kind::Galaxy | Kind::DarkNebula)
}

/// The altitude of the Sun, in degrees, from which on a kind is shown. Common practice, no source.
const fn sun_altitude_deg(kind: Kind) -> f64 {
    match kind {
        Kind::Moon => -1.0,
        Kind::Planet => -4.0,
        Kind::Star | Kind::DoubleStar => -8.0,
        Kind::OpenCluster => -10.0,
        Kind::GlobularCluster | Kind::PlanetaryNebula => -12.0,
        Kind::Nebula | Kind::SupernovaRemnant => -15.0,
        Kind::Galaxy | Kind::DarkNebula => -16.0,
    }
}
