//! How long a target may be offered on a port.

use super::desk::Desk;
use crate::plan::needed_minutes;
use crate::time::Interval;

/// Shares of the time that serves everybody which an eyepiece stop may get where all of it finds no room. Below 40 %
/// too many go without a look; common practice, no source.
const SERVED_SHARES: [f64; 3] = [0.4, 0.7, 1.0];
/// No stop is drafted shorter than this, in minutes.
const SHORTEST_MINUTES: f64 = 4.0;
/// What a look with one's own eye counts against a look at a screen. Visitors remember what they saw themselves;
/// common practice, no source.
const OWN_EYE: f64 = 2.5;
/// How the worth of a stop grows with the share served: each further visitor counts a little less.
const SERVED_EXPONENT: f64 = 0.9;

/// A target on a port for a length of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Offer {
    pub(super) target: usize,
    pub(super) port: usize,
    pub(super) minutes: u32,
    /// Weight of a stop of this length: the share of the house served, and by eye or screen.
    pub(super) impression: f64,
    pub(super) eyepiece: bool,
}

impl Offer {
    /// Its interval if it starts at a minute after doors open.
    pub(super) fn interval(&self, desk: Desk<'_>, start: u32) -> Interval {
        let from = desk.instant(f64::from(start));
        let to = from.plus_minutes(f64::from(self.minutes));
        Interval::new(from, to).expect("an offer lasts some minutes")
    }
}

/// The lengths at which a target may be offered on a port, the shortest first; none if the port is out of service.
///
/// * `room_minutes`: the longest time there is for a stop. Only an eyepiece stop for everybody that is longer may be
///   shorter than that.
pub(super) fn offers(desk: Desk<'_>, target: usize, port: usize, room_minutes: f64) -> Vec<Offer> {
    if !desk.in_service(port) {
        return Vec::new();
    }
    let needed = everybody_minutes(desk, target, port);
    let eyepiece = desk.materials.rig.ports[port].is_eyepiece();
    let fits = needed.ceil() <= room_minutes;
    let shares: &[f64] = if eyepiece && !fits { &SERVED_SHARES } else { &[1.0] };
    let mut offers: Vec<Offer> = Vec::new();
    for share in shares {
        let minutes = (needed * share).max(SHORTEST_MINUTES).ceil() as u32;
        if offers.last().is_none_or(|shorter| shorter.minutes != minutes) {
            offers.push(offer(desk, (target, port), minutes, needed));
        }
    }
    offers
}

/// A target on a port for so many minutes, as they are.
pub(super) fn offer_for(desk: Desk<'_>, (target, port): (usize, usize), minutes: f64) -> Offer {
    let needed = everybody_minutes(desk, target, port);
    offer(desk, (target, port), minutes.ceil().max(1.0) as u32, needed)
}

fn offer(desk: Desk<'_>, (target, port): (usize, usize), minutes: u32, needed: f64) -> Offer {
    let eyepiece = desk.materials.rig.ports[port].is_eyepiece();
    let served = (f64::from(minutes) / needed).min(1.0);
    let impression = if eyepiece { OWN_EYE * served.powf(SERVED_EXPONENT) } else { 1.0 };
    Offer { target, port, minutes, impression, eyepiece }
}

fn everybody_minutes(desk: Desk<'_>, target: usize, port: usize) -> f64 {
    let port = &desk.materials.rig.ports[port];
    needed_minutes(&desk.evening.house, desk.prepared, desk.materials, target, port).max(SHORTEST_MINUTES)
}
