//! As many fixed stops as can be kept together, and what the others contradict.

use super::desk::Desk;
use super::given_up::{GivenUp, GivenUpWhy, Wish};
use crate::plan::check::check;
use crate::plan::timing::Stands;
use crate::plan::{Evening, Rule, RunningOrder, Severity, Stop};

/// Of what is fixed in time, the most that can be kept with what is done, the earlier where that is a choice.
///
/// Exact as far as pairs go: the longest way through stops that can follow each other, where each follows the last that
/// moved the telescope. What then still can't be made, because of how the cables were wound before, goes as well.
pub(super) fn kept_together(
    desk: Desk<'_>,
    done: &[Stop],
    mut stops: Vec<Stop>,
    given_up: &mut Vec<GivenUp>,
) -> Vec<Stop> {
    stops.sort_by_key(|stop| (stop.start(), stop.id));
    let chosen = longest_way(desk, &stops);
    let (mut kept, mut dropped) = (Vec::new(), Vec::new());
    for (position, stop) in stops.into_iter().enumerate() {
        if chosen.contains(&position) { kept.push(stop) } else { dropped.push(stop) }
    }
    while let Some((position, rule)) = stopped(desk, done, &kept) {
        let wish = Wish::Stop(kept.remove(position));
        given_up.push(GivenUp { wish, why: GivenUpWhy::Rule(rule) });
    }
    for stop in dropped {
        let against = kept.iter().filter(|other| !can_both_stand(desk, other, &stop));
        let against: Vec<Wish> = against.cloned().map(Wish::Stop).collect();
        let why = if against.is_empty() {
            // What it could not stand beside has gone as well.
            let mut again = kept.clone();
            again.push(stop.clone());
            again.sort_by_key(|stop| (stop.start(), stop.id));
            let Some((_, rule)) = stopped(desk, done, &again) else {
                kept = again;
                continue;
            };
            GivenUpWhy::Rule(rule)
        } else {
            GivenUpWhy::Against(against)
        };
        given_up.push(GivenUp { wish: Wish::Stop(stop), why });
    }
    kept
}

/// The first of what is kept that the check stops, by its position, and why.
fn stopped(desk: Desk<'_>, done: &[Stop], kept: &[Stop]) -> Option<(usize, Rule)> {
    if kept.iter().all(|stop| stop.show().is_none()) {
        return None;
    }
    let order = RunningOrder::new(done.iter().chain(kept).cloned().collect());
    let evening = Evening { order, ..desk.evening.clone() };
    check(&evening, desk.prepared, desk.materials).into_iter().find_map(|finding| {
        let position = kept.iter().position(|stop| Some(stop.id) == finding.stop)?;
        (finding.severity == Severity::Stopper).then_some((position, finding.rule))
    })
}

/// A way up to a stop: how many it holds and the way before.
#[derive(Clone, Copy)]
struct Way {
    kept: usize,
    before: Option<(usize, usize)>,
}

/// Positions of the stops on the longest way through them. A state is a stop and the last showing up to it, by its
/// position or, for none, the number of stops.
fn longest_way(desk: Desk<'_>, stops: &[Stop]) -> Vec<usize> {
    let none = stops.len();
    let mut ways: Vec<Vec<Option<Way>>> = vec![vec![None; none + 1]; none];
    let fits: Vec<Vec<bool>> = stops
        .iter()
        .map(|before| stops.iter().map(|after| can_both_stand(desk, before, after)).collect())
        .collect();
    for at in 0..none {
        let shows = stops[at].show().is_some();
        let own = |showing: usize| if shows { at } else { showing };
        ways[at][own(none)] = Some(Way { kept: 1, before: None });
        for before in 0..at {
            if stops[before].end() > stops[at].start() {
                continue;
            }
            for showing in 0..=none {
                let Some(way) = ways[before][showing] else { continue };
                if shows && showing < none && !fits[showing][at] {
                    continue;
                }
                let next = Way { kept: way.kept + 1, before: Some((before, showing)) };
                let slot = &mut ways[at][own(showing)];
                if slot.is_none_or(|way| next.kept > way.kept) {
                    *slot = Some(next);
                }
            }
        }
    }
    let states = (0..none).flat_map(|at| (0..=none).map(move |showing| (at, showing)));
    let mut best: Option<((usize, usize), usize)> = None;
    for (at, showing) in states {
        if let Some(way) = ways[at][showing].filter(|way| best.is_none_or(|(_, most)| way.kept > most)) {
            best = Some(((at, showing), way.kept));
        }
    }
    let mut chosen = Vec::new();
    let mut state = best.map(|best| best.0);
    while let Some((at, showing)) = state {
        chosen.push(at);
        state = ways[at][showing].and_then(|way| way.before);
    }
    chosen
}

/// Whether two stops can both stand: no time shared, and the move between them fits.
fn can_both_stand(desk: Desk<'_>, one: &Stop, other: &Stop) -> bool {
    let (before, after) = if one.start() <= other.start() { (one, other) } else { (other, one) };
    if before.end() > after.start() {
        return false;
    }
    let (Some((target, port)), Some(next)) = (desk.showing(before), desk.showing(after)) else { return true };
    let port = &desk.materials.rig.ports[port].id;
    let stands = Stands::default().go(desk.materials, desk.prepared, target, port, before.interval);
    stands.is_none_or(|(_, stands)| {
        let way = desk.way(stands, next, after.interval);
        way.is_some_and(|(minutes, ..)| before.end().plus_minutes(minutes) <= after.start())
    })
}
