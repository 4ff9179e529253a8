//! Every target as it stands on the Shelf: when and on which port it shows best, its view through the evening, or the one
//! reason why it can't be shown.

use super::views::CELL_MINUTES;
use super::{House, Limit, Materials, Prepared, needed_minutes};
use crate::time::{Instant, Interval};
use crate::units::Fraction;

/// Shares of the time that everybody needs which the best start leaves, the first for which there is room. Below 40 % too
/// many go without a look; common practice, no source.
const SHARES: [f64; 2] = [1.0, 0.4];
/// What it leaves where there is no room for that: the least that a stop can take.
const SHORTEST_MINUTES: f64 = 1.0;

/// A target on the Shelf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShelfEntry {
    /// Its position in the catalogue.
    pub target_index: usize,
    /// When a stop for it best starts; `None` when it can't be shown.
    pub best_start: Option<Instant>,
    /// What such a stop is worth: its view times the appeal.
    pub worth: Fraction,
    /// The port for it, by its position on the rig.
    pub port: Option<usize>,
    /// The view on that port in the worst minutes of the stop.
    pub view: Fraction,
    /// The one reason why it can't be shown.
    pub limit: Option<Limit>,
}

/// Every target in the order of the catalogue: on the port that ranks first tonight, or on one port alone.
///
/// The best start leaves the time that everybody needs for a look ([`needed_minutes`]) before doors close or the target
/// goes; of equally good ones it is the earliest. Where there is not so much time, it leaves two fifths of it, else a minute.
/// Starts are looked for every five minutes.
pub fn shelf(
    house: &House,
    prepared: &Prepared,
    materials: &Materials<'_>,
    port: Option<usize>,
) -> Vec<ShelfEntry> {
    (0..materials.catalogue.targets.len())
        .map(|target| entry(house, prepared, materials, target, port))
        .collect()
}

fn entry(
    house: &House,
    prepared: &Prepared,
    materials: &Materials<'_>,
    target: usize,
    only: Option<usize>,
) -> ShelfEntry {
    let ranked = prepared.ranked.get(target).map_or(&[][..], |ranked| ranked);
    let ports = ranked.iter().filter(|ranked| ranked.shows).map(|ranked| ranked.port);
    let mut ports = ports.filter(|port| only.is_none_or(|only| only == *port));
    let best = ports.find_map(|port| Some((port, best_start(house, prepared, materials, (target, port))?)));
    let availability = prepared.availability.get(target);
    let limit = availability.and_then(|availability| availability.limits.first().copied());
    let appeal = materials.catalogue.targets[target].appeal.value();
    let view = best.map_or(0.0, |(_, (_, view))| view);
    ShelfEntry {
        target_index: target,
        best_start: best.map(|(_, (start, _))| start),
        worth: Fraction::clamped(view * appeal),
        port: best.map(|(port, _)| port),
        view: Fraction::clamped(view),
        limit: if best.is_some() { None } else { Some(limit.unwrap_or(Limit::NoPort)) },
    }
}

/// The best start on a port, and the view in the worst minutes from it on.
fn best_start(
    house: &House,
    prepared: &Prepared,
    materials: &Materials<'_>,
    (target, port): (usize, usize),
) -> Option<(Instant, f64)> {
    let runs = prepared.availability.get(target)?.showable.as_slice();
    let needed = needed_minutes(house, prepared, materials, target, &materials.rig.ports[port]).ceil();
    let starts = |run: Interval, minutes: f64| {
        let room = run.minutes() - minutes;
        let count = if room < 0.0 { 0 } else { (room / CELL_MINUTES as f64).floor() as usize + 1 };
        let every = (0..count).map(move |step| run.start().plus_minutes((step * CELL_MINUTES) as f64));
        every.map(move |start| {
            let last = prepared.moment_index(start.plus_minutes(minutes));
            (start, prepared.views.worst(target, port, prepared.moment_index(start), last))
        })
    };
    let lengths = SHARES.into_iter().map(|share| needed * share).chain([SHORTEST_MINUTES]);
    lengths.into_iter().find_map(|minutes| first_best(runs.iter().flat_map(|run| starts(*run, minutes))))
}

/// The best of them, the first of equal ones; none where all are nothing.
fn first_best(starts: impl Iterator<Item = (Instant, f64)>) -> Option<(Instant, f64)> {
    let better = |best: (Instant, f64), own: (Instant, f64)| if own.1 > best.1 { own } else { best };
    starts.reduce(better).filter(|(_, view)| *view > 0.0)
}

/// The port that shows a target best at an instant, or one port alone, by its position on the rig, with its view then;
/// `None` where the target may not or can't be shown. Views are those of the five minutes around the instant.
pub fn view_then(
    prepared: &Prepared,
    target_index: usize,
    instant: Instant,
    port: Option<usize>,
) -> Option<(usize, Fraction)> {
    let showable = &prepared.availability.get(target_index)?.showable;
    if !showable.as_slice().iter().any(|run| run.contains(instant)) {
        return None;
    }
    let cell = prepared.moment_index(instant) / CELL_MINUTES;
    let (port, view) = match port {
        Some(port) => (port, prepared.views.get(target_index, cell, port)),
        None => prepared.views.best_port(target_index, cell)?,
    };
    (view > 0.0).then(|| (port, Fraction::clamped(view)))
}

/// A target's view through the evening on its best port at each time, or on one port alone: every five minutes from doors
/// open to doors closed, 0 where it may not or can't be shown.
pub fn view_curve(
    prepared: &Prepared,
    target_index: usize,
    port: Option<usize>,
) -> impl Iterator<Item = (Instant, Fraction)> + '_ {
    let doors = prepared.doors;
    let first = prepared.moment_index(doors.start()) / CELL_MINUTES;
    let last = prepared.moment_index(doors.end()) / CELL_MINUTES;
    (first..=last).map(move |cell| {
        let view = match port {
            Some(port) => prepared.views.get(target_index, cell, port),
            None => prepared.views.best(target_index, cell),
        };
        let middle = (cell * CELL_MINUTES + CELL_MINUTES / 2) as f64;
        let at = prepared.span.start().plus_minutes(middle);
        (at.max(doors.start()).min(doors.end()), Fraction::clamped(view))
    })
}

#[cfg(test)]
mod tests {
    use super::{shelf, view_curve, view_then};
    use crate::plan::invented::{Invented, march_evening};
    use crate::plan::{Limit, needed_minutes};
    use crate::units::Fraction;

    #[test]
    fn the_best_start_leaves_room_for_everybody() {
        let invented = Invented::new(5);
        let evening = march_evening();
        let prepared = invented.prepare(&evening);
        let materials = invented.materials();
        let entries = shelf(&evening.house, &prepared, &materials, None);
        assert_eq!(entries.len(), materials.catalogue.targets.len());
        let (mut shown, mut roomy) = (0, 0);
        for (position, entry) in entries.iter().enumerate() {
            assert_eq!(entry.target_index, position);
            let own = &prepared.availability[position];
            let Some(start) = entry.best_start else {
                assert!(entry.limit.is_some() && entry.port.is_none() && entry.view == Fraction::ZERO);
                continue;
            };
            shown += 1;
            let port = entry.port.expect("what can be shown has a port");
            let needed =
                needed_minutes(&evening.house, &prepared, &materials, position, &materials.rig.ports[port])
                    .ceil();
            let run = own
                .showable
                .as_slice()
                .iter()
                .find(|run| run.contains(start))
                .expect("it starts while it shows");
            let longest = own.showable.as_slice().iter().map(|run| run.minutes()).fold(0.0, f64::max);
            if longest >= needed {
                roomy += 1;
                assert!(start.plus_minutes(needed) <= run.end(), "{position} has no room");
            }
            // No later start with as much room shows it better.
            let (_, then) = view_then(&prepared, position, start, Some(port)).expect("it shows at its start");
            assert!(then >= entry.view);
        }
        assert!(shown > 20 && roomy > 20, "{shown} shown, {roomy} with room");
    }

    #[test]
    fn the_curve_spans_the_doors_and_holds_the_best_view() {
        let invented = Invented::new(5);
        let evening = march_evening();
        let prepared = invented.prepare(&evening);
        let materials = invented.materials();
        for entry in shelf(&evening.house, &prepared, &materials, None) {
            let curve: Vec<_> = view_curve(&prepared, entry.target_index, None).collect();
            assert!(curve.first().is_some_and(|(at, _)| at.minutes_since(prepared.doors.start()) < 5.0));
            assert!(curve.last().is_some_and(|(at, _)| prepared.doors.end().minutes_since(*at) < 5.0));
            assert!(curve.is_sorted_by(|one, other| one.0 <= other.0));
            let most = curve.iter().map(|(_, view)| view.value()).fold(0.0, f64::max);
            assert!(most >= entry.view.value());
            assert_eq!(most > 0.0, entry.limit.is_none(), "{entry:?}");
            for (at, view) in curve.into_iter().filter(|(at, _)| prepared.doors.contains(*at)) {
                // At a rim of its time a target may not be shown for some minutes of the five.
                if let Some((_, then)) = view_then(&prepared, entry.target_index, at, None) {
                    assert_eq!(then, view);
                }
            }
        }
    }

    #[test]
    fn one_port_alone_shows_no_more_than_all() {
        let invented = Invented::new(5);
        let evening = march_evening();
        let prepared = invented.prepare(&evening);
        let materials = invented.materials();
        let all = shelf(&evening.house, &prepared, &materials, None);
        for port in 0..materials.rig.ports.len() {
            for (own, of_all) in shelf(&evening.house, &prepared, &materials, Some(port)).iter().zip(&all) {
                assert!(own.best_start.is_none() || of_all.best_start.is_some());
                assert!(own.port.is_none_or(|own| own == port));
                assert_eq!(own.limit.is_none(), own.best_start.is_some());
            }
        }
        assert!(all.iter().any(|entry| entry.limit == Some(Limit::Horizon)));
    }
}
