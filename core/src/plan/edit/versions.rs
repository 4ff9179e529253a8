//! Several running orders for one evening, and what has been shown whichever of them stands.

use super::with_order;
use crate::catalogue::TargetId;
use crate::plan::{Evening, LONGEST_VERSION_NAME, PickUp, RunningOrder, Stop, StopId, Version, What};
use crate::time::Instant;

/// What a running order without a name is called when another one comes beside it.
const FIRST: &str = "First";

/// Keeps the running order as it stands under a name, beside what stands, which goes by its own name. Another order of
/// that name is replaced. No name, one of more than [`LONGEST_VERSION_NAME`] characters and that of the order that
/// stands change nothing.
#[must_use]
pub fn keep_version(evening: &Evening, name: &str) -> Evening {
    if name.trim().is_empty() || name.chars().count() > LONGEST_VERSION_NAME {
        return evening.clone();
    }
    let mut changed = named(evening, Some(name));
    if changed.version != name {
        put(&mut changed.versions, name, changed.order.clone());
    }
    changed
}

/// Lets another running order stand; the one that stood is kept as it is under its name. Before the evening has begun
/// (`now` is none) it stands as it was kept. Later what has been shown stays, ticked or begun, and of the other order
/// follows what is still to come and has not been shown. A name that there is not changes nothing.
#[must_use]
pub fn switch_version(evening: &Evening, name: &str, now: Option<Instant>) -> Evening {
    let Some(position) = evening.versions.iter().position(|version| version.name == name) else {
        return evening.clone();
    };
    let mut changed = named(evening, None);
    let other = changed.versions.remove(position);
    let order = match now {
        None => other.order,
        Some(now) => followed_by(&changed, &other.order, now),
    };
    let stood = changed.order.clone();
    let own = changed.version.clone();
    put(&mut changed.versions, &own, stood);
    changed.version = other.name;
    Evening { order, ..changed }
}

/// Forgets a running order that is kept.
#[must_use]
pub fn drop_version(evening: &Evening, name: &str) -> Evening {
    let mut changed = evening.clone();
    changed.versions.retain(|version| version.name != name);
    if changed.versions.is_empty() {
        changed.version.clear();
    }
    changed
}

/// Ticks a target off as shown, or takes the tick back.
#[must_use]
pub fn tick(evening: &Evening, target: &TargetId, shown: bool) -> Evening {
    let mut changed = evening.clone();
    changed.shown.retain(|own| own != target);
    changed.shown.extend(shown.then(|| target.clone()));
    changed
}

/// The evening with a name for the order that stands, which no other one has or is to get.
fn named(evening: &Evening, taken: Option<&str>) -> Evening {
    let mut changed = evening.clone();
    if changed.version.is_empty() {
        let is_free = |name: &String| {
            Some(name.as_str()) != taken && evening.versions.iter().all(|version| version.name != *name)
        };
        let numbered = (2_u32..).map(|number| format!("{FIRST} {number}"));
        let mut names = [FIRST.to_owned()].into_iter().chain(numbered);
        changed.version = names.find(is_free).unwrap_or_default();
    }
    changed
}

fn put(versions: &mut Vec<Version>, name: &str, order: RunningOrder) {
    versions.retain(|version| version.name != name);
    versions.push(Version { name: name.to_owned(), order });
}

/// What was done of the order that stands, then what is to come of another.
fn followed_by(evening: &Evening, other: &RunningOrder, now: Instant) -> RunningOrder {
    let begun = PickUp::on_time(evening, now).done;
    let ticked = |stop: &Stop| stop.show().is_some_and(|show| evening.shown.contains(&show.target));
    let done = evening.order.stops().iter();
    let mut stops: Vec<Stop> =
        done.filter(|stop| begun.contains(&stop.id) || ticked(stop)).cloned().collect();
    let until = stops.iter().filter(|stop| stop.show().is_some()).map(Stop::end).max();
    let mut next = evening.order.next_id().0.max(other.next_id().0);
    for stop in other.stops().iter().filter(|stop| stop.start() >= now) {
        let known = stops.iter().any(|own| match (&own.what, &stop.what) {
            (What::Show(own), What::Show(show)) => own.target == show.target,
            (What::Entry { kind, title, .. }, What::Entry { kind: other, title: name, .. }) => {
                kind == other && title == name && own.start() == stop.start()
            }
            _ => false,
        });
        let shown = stop.show().is_some_and(|show| evening.shown.contains(&show.target));
        let too_soon = stop.show().is_some() && until.is_some_and(|until| stop.start() < until);
        if known || shown || too_soon {
            continue;
        }
        let mut stop = stop.clone();
        if stops.iter().any(|own| own.id == stop.id) {
            stop.id = StopId(next);
            next += 1;
        }
        stops.push(stop);
    }
    with_order(evening, stops).order
}

#[cfg(test)]
mod tests {
    use super::{drop_version, keep_version, switch_version, tick};
    use crate::plan::invented::{Invented, march_evening};
    use crate::plan::{Evening, Stop, draft, edit};

    fn drafted(invented: &Invented) -> Evening {
        let evening = march_evening();
        let prepared = invented.prepare(&evening);
        Evening { order: draft(&evening, &prepared, &invented.materials()), ..evening }
    }

    #[test]
    fn a_version_kept_and_switched_to_and_back_is_the_same() {
        let clear = drafted(&Invented::new(7));
        let both = keep_version(&clear, "Cloud");
        assert_eq!((both.version.as_str(), both.versions.len()), ("First", 1));
        let last = both.order.stops().last().expect("there are stops").id;
        let cloud = edit::remove(&switch_version(&both, "Cloud", None), last);
        assert_eq!(
            (cloud.version.as_str(), cloud.order.stops().len()),
            ("Cloud", clear.order.stops().len() - 1)
        );
        let back = switch_version(&cloud, "First", None);
        assert_eq!(back.order, clear.order);
        assert_eq!(switch_version(&back, "Cloud", None).order, cloud.order);
        assert_eq!(switch_version(&back, "nowhere", None), back);
        let alone = drop_version(&back, "Cloud");
        assert!(alone.versions.is_empty() && alone.version.is_empty());
        for name in ["", "  ", "a name of more than twenty-four"] {
            assert_eq!(keep_version(&clear, name), clear);
        }
        let first = keep_version(&clear, "First");
        assert_eq!((first.version.as_str(), first.versions[0].name.as_str()), ("First 2", "First"));
    }

    #[test]
    fn what_has_been_shown_stays_when_another_version_stands() {
        let clear = drafted(&Invented::new(7));
        let shows: Vec<&Stop> = clear.order.stops().iter().filter(|stop| stop.show().is_some()).collect();
        let now = shows[2].start();
        let first = shows[0].show().expect("it shows").target.clone();
        let both = tick(&keep_version(&clear, "Cloud"), &first, true);
        let switched = switch_version(&both, "Cloud", Some(now));
        assert_eq!(switched.shown, [first]);
        for stop in clear.order.stops().iter().filter(|stop| stop.start() < now) {
            assert_eq!(switched.order.get(stop.id), Some(stop));
        }
        let targets = switched.order.stops().iter().filter_map(|stop| Some(&stop.show()?.target));
        let mut targets: Vec<_> = targets.collect();
        let count = targets.len();
        targets.sort();
        targets.dedup();
        assert_eq!(targets.len(), count, "nothing is shown twice");
    }
}
