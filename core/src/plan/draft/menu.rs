//! What could be shown from when, on which port and for how long.

use super::Desk;
use super::frame::Frame;
use crate::catalogue::Kind;
use crate::plan::check::POOR_VIEW;
use crate::plan::needed_minutes;
use crate::plan::views::CELL_MINUTES;
use crate::time::{Interval, IntervalSet};

/// Shares of the time that serves everybody which an eyepiece stop may get where all of it finds no room. Below 40 %
/// too many go without a look; common practice, no source.
const SERVED_SHARES: [f64; 3] = [0.4, 0.7, 1.0];
/// Minutes to allow for the move before a stop when the room for it is reckoned.
const MOVE_MINUTES: f64 = 2.0;
/// No stop is drafted shorter than this, in minutes.
const SHORTEST_MINUTES: f64 = 4.0;
/// What a look with one's own eye counts against a look at a screen. Visitors remember what they saw themselves;
/// common practice, no source.
const OWN_EYE: f64 = 2.5;
/// How the worth of a stop grows with the share served: each further visitor counts a little less.
const SERVED_EXPONENT: f64 = 0.9;
/// How many of the most rewarding targets not shown yet are looked at for one start, for eyepieces and for screens.
const LOOKED_AT: usize = 12;

/// The worth of Moon and planets against other kinds of the same appeal: they are what first-time visitors remember.
/// Common practice, no source.
const REMEMBERED: f64 = 1.7;

/// What a kind counts for being remembered.
pub(super) const fn remembered(kind: Kind) -> f64 {
    match kind {
        Kind::Moon | Kind::Planet => REMEMBERED,
        _ => 1.0,
    }
}

/// A target on a port for a length of time.
#[derive(Clone, Copy, Debug)]
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
    let instrument = &desk.materials.rig.ports[port];
    let eyepiece = instrument.is_eyepiece();
    let needed = needed_minutes(&desk.evening.house, desk.prepared, desk.materials, target, instrument)
        .max(SHORTEST_MINUTES);
    let fits = needed.ceil() <= room_minutes;
    let shares: &[f64] = if eyepiece && !fits { &SERVED_SHARES } else { &[1.0] };
    let mut offers: Vec<Offer> = Vec::new();
    for share in shares {
        let minutes = (needed * share).max(SHORTEST_MINUTES).ceil() as u32;
        if offers.last().is_some_and(|shorter| shorter.minutes == minutes) {
            continue;
        }
        let served = (f64::from(minutes) / needed).min(1.0);
        let impression = if eyepiece { OWN_EYE * served.powf(SERVED_EXPONENT) } else { 1.0 };
        offers.push(Offer { target, port, minutes, impression, eyepiece });
    }
    offers
}

/// What could be shown from when.
pub(super) struct Menu {
    /// The offers of a target on a port, the shortest first.
    groups: Vec<Vec<Offer>>,
    first_cell: usize,
    cells: Vec<Cell>,
}

/// Positions of the groups that could start in one cell, the most rewarding first.
struct Cell {
    eyepieces: Vec<usize>,
    screens: Vec<usize>,
}

impl Menu {
    pub(super) fn new(desk: Desk<'_>, frame: &Frame) -> Self {
        let doors = desk.prepared.doors;
        let first_cell = desk.prepared.moment_index(doors.start()) / CELL_MINUTES;
        let last_cell = desk.prepared.moment_index(doors.end()) / CELL_MINUTES;
        let ports = desk.materials.rig.ports.len();
        let targets = (0..desk.materials.catalogue.targets.len())
            .filter(|target| !frame.excluded.contains(target))
            .filter(|target| {
                desk.prepared.availability.get(*target).is_some_and(|own| !own.showable.is_empty())
            });
        let room_minutes = room_minutes(desk, frame);
        let groups: Vec<Vec<Offer>> = targets
            .flat_map(|target| (0..ports).map(move |port| offers(desk, target, port, room_minutes)))
            .filter(|offers| !offers.is_empty())
            .collect();
        let cells = (first_cell..=last_cell).map(|cell| Cell::new(desk, &groups, cell)).collect();
        Self { groups, first_cell, cells }
    }

    /// The offers for a start at a minute after doors open, without the targets that were shown.
    pub(super) fn at<'m>(
        &'m self,
        desk: Desk<'_>,
        minute: f64,
        shown: &'m [usize],
    ) -> impl Iterator<Item = &'m Offer> {
        let cell = desk.prepared.moment_index(desk.instant(minute)) / CELL_MINUTES;
        let cell = self.cells.get(cell.saturating_sub(self.first_cell));
        let lists = cell.into_iter().flat_map(|cell| [&cell.eyepieces, &cell.screens]);
        lists.flat_map(move |list| {
            let groups = list.iter().map(|group| &self.groups[*group]);
            groups.filter(|offers| !shown.contains(&offers[0].target)).take(LOOKED_AT).flatten()
        })
    }
}

/// The longest time between fixed stops at which one target can be shown throughout, less a move.
fn room_minutes(desk: Desk<'_>, frame: &Frame) -> f64 {
    let fixed = IntervalSet::from_intervals(frame.fixed.iter().map(|fixed| fixed.stop.interval));
    let gaps = fixed.gaps_in(desk.prepared.doors);
    let rooms = desk.prepared.availability.iter().map(|own| own.showable.intersection(&gaps));
    let longest = |rooms: IntervalSet| rooms.as_slice().iter().map(|room| room.minutes()).fold(0.0, f64::max);
    rooms.map(longest).fold(0.0, f64::max) - MOVE_MINUTES
}

impl Cell {
    fn new(desk: Desk<'_>, groups: &[Vec<Offer>], cell: usize) -> Self {
        let views = &desk.prepared.views;
        let mut worths: Vec<(f64, usize)> = Vec::new();
        for (group, offers) in groups.iter().enumerate() {
            let shortest = offers[0];
            let from = cell * CELL_MINUTES;
            let view = views.worst(shortest.target, shortest.port, from, from + shortest.minutes as usize);
            if view >= POOR_VIEW {
                let target = &desk.materials.catalogue.targets[shortest.target];
                worths.push((view * target.appeal.value() * remembered(target.kind), group));
            }
        }
        // A stable sort: equal ones stay in the order of the catalogue.
        worths.sort_by(|one, other| other.0.total_cmp(&one.0));
        let (eyepieces, screens) =
            worths.into_iter().map(|(_, group)| group).partition(|group| groups[*group][0].eyepiece);
        Self { eyepieces, screens }
    }
}
