//! What could be shown from when, on which port and for how long.

use super::Desk;
use super::frame::Frame;
use crate::plan::check::POOR_VIEW;
use crate::plan::stop_minutes;
use crate::plan::views::CELL_MINUTES;
use crate::time::Interval;

/// Shares of the time that serves everybody which an eyepiece stop may get. Below 40 % too many go without a look;
/// common practice, no source.
const SERVED_SHARES: [f64; 3] = [0.4, 0.7, 1.0];
/// No stop is drafted shorter than this, in minutes.
const SHORTEST_MINUTES: f64 = 4.0;
/// What a look with one's own eye counts against a look at a screen. Visitors remember what they saw themselves;
/// common practice, no source.
const OWN_EYE: f64 = 2.5;
/// How the worth of a stop grows with the share served: each further visitor counts a little less.
const SERVED_EXPONENT: f64 = 0.9;
/// Targets kept for each cell, for eyepieces and for screens.
const KEPT: usize = 14;

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

/// The lengths at which a target may be offered on a port; none if the port is out of service.
pub(super) fn offers(desk: Desk<'_>, target: usize, port: usize) -> Vec<Offer> {
    if !desk.in_service(port) {
        return Vec::new();
    }
    let instrument = &desk.materials.rig.ports[port];
    let eyepiece = instrument.is_eyepiece();
    let kind = desk.materials.catalogue.targets[target].kind;
    let needed = stop_minutes(&desk.evening.house, instrument, kind).max(SHORTEST_MINUTES);
    let shares: &[f64] = if eyepiece { &SERVED_SHARES } else { &[1.0] };
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

/// The offers worth looking at, by the cell in which they would start.
pub(super) struct Menu {
    first_cell: usize,
    cells: Vec<Vec<Offer>>,
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
        let all: Vec<Vec<Offer>> = targets
            .flat_map(|target| (0..ports).map(move |port| offers(desk, target, port)))
            .filter(|offers| !offers.is_empty())
            .collect();
        let cells = (first_cell..=last_cell).map(|cell| best_of_cell(desk, &all, cell)).collect();
        Self { first_cell, cells }
    }

    /// The offers for a start at a minute after doors open.
    pub(super) fn at(&self, desk: Desk<'_>, minute: f64) -> &[Offer] {
        let cell = desk.prepared.moment_index(desk.instant(minute)) / CELL_MINUTES;
        self.cells.get(cell.saturating_sub(self.first_cell)).map_or(&[], Vec::as_slice)
    }
}

/// The offers of the most rewarding targets of a cell, for eyepieces and for screens apart.
fn best_of_cell(desk: Desk<'_>, all: &[Vec<Offer>], cell: usize) -> Vec<Offer> {
    let views = &desk.prepared.views;
    let mut eyes: Vec<(f64, &[Offer])> = Vec::new();
    let mut screens: Vec<(f64, &[Offer])> = Vec::new();
    for offers in all {
        let Some(shortest) = offers.first() else { continue };
        // Judged from the next cell on as well: a start late in this cell ends later.
        let from = cell * CELL_MINUTES;
        let view = views.worst(shortest.target, shortest.port, from, from + shortest.minutes as usize);
        if view < POOR_VIEW {
            continue;
        }
        let worth = view * desk.materials.catalogue.targets[shortest.target].appeal.value();
        if shortest.eyepiece { eyes.push((worth, offers)) } else { screens.push((worth, offers)) }
    }
    let mut kept = Vec::new();
    for list in [&mut eyes, &mut screens] {
        // A stable sort: equal ones stay in the order of the catalogue.
        list.sort_by(|one, other| other.0.total_cmp(&one.0));
        kept.extend(list.iter().take(KEPT).flat_map(|(_, offers)| offers.iter().copied()));
    }
    kept
}
