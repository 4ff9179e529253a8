//! When the port shows the target best, and what keeps it from that now.

use evenfall_core::plan::{Limit, Link, PortMinute};
use evenfall_core::sheet::numbers;
use evenfall_core::sheet::wording::limit_phrase;
use evenfall_core::time::Instant;

use super::Subject;
use super::words;

/// Views closer than this to the best one are as good. Common practice, no source.
const AS_GOOD: f64 = 0.05;

/// A stretch of minutes in which the port shows the target as well as it can tonight.
struct Best {
    from: Instant,
    to: Instant,
    at: Instant,
    view: f64,
}

/// What the port gives at a minute that may be shown.
fn minute<'a>(subject: &Subject<'a>, at: Instant) -> Option<&'a PortMinute> {
    let minute = subject.told?.minute(at)?;
    minute.ports.get(subject.port?)?.as_ref().filter(|_| minute.limit.is_none())
}

fn view(subject: &Subject<'_>, at: Instant) -> f64 {
    minute(subject, at).map_or(0.0, |minute| minute.choice.view.value())
}

/// The best stretch within doors; `None` if nothing shows.
fn best(subject: &Subject<'_>) -> Option<Best> {
    let doors = subject.prepared().doors;
    let moments = subject.prepared().moments.iter().map(|moment| moment.instant);
    let views: Vec<(Instant, f64)> =
        moments.filter(|at| doors.contains(*at)).map(|at| (at, view(subject, at))).collect();
    let most =
        (0..views.len()).reduce(|one, other| if views[other].1 > views[one].1 { other } else { one })?;
    let (at, view) = views[most];
    if view <= 0.0 {
        return None;
    }
    let as_good = |entry: &&(Instant, f64)| entry.1 >= view - AS_GOOD;
    let from = views[..=most].iter().rev().take_while(as_good).last().map_or(at, |entry| entry.0);
    let to = views[most..].iter().take_while(as_good).last().map_or(at, |entry| entry.0);
    Some(Best { from, to, at, view })
}

/// Why now and why not, in sentences.
pub(super) fn sentences(subject: &Subject<'_>) -> Vec<String> {
    if subject.told.is_none() {
        return vec![words::FOLLOWING.to_owned()];
    }
    let Some(best) = best(subject) else { return vec![never(subject)] };
    let span = words::from_to(&subject.clock(best.from), &subject.clock(best.to));
    let Some(stop) = subject.stop else {
        return vec![words::best_time(&span, best.view)];
    };
    let worst = subject.worst();
    let now = view(subject, worst);
    if now >= best.view - AS_GOOD {
        return vec![words::as_good(&span)];
    }
    let earlier = best.at < stop.start();
    let mut sentences = vec![words::better_time(earlier, &span, best.view, now)];
    sentences.extend(difference(subject, worst, best.at));
    sentences
}

/// What is better at another minute: the link that gains most.
fn difference(subject: &Subject<'_>, now: Instant, then: Instant) -> Option<String> {
    let (here, there) = (subject.sample(now)?, subject.sample(then)?);
    let Some(now_minute) = minute(subject, now) else {
        let limit = subject.told?.minute(now)?.limit?;
        return Some(words::now_limited(limit_phrase(limit)));
    };
    let then_minute = minute(subject, then)?;
    let gain = |link: Link| then_minute.leaves(link).value() / now_minute.leaves(link).value().max(0.01);
    let most = Link::ALL.into_iter().max_by(|one, other| gain(*one).total_cmp(&gain(*other)))?;
    Some(match most {
        Link::Height => words::higher(&numbers::degrees(there.altitude), &numbers::degrees(here.altitude)),
        Link::Twilight => words::DARKER.to_owned(),
        Link::Moonlight => words::LESS_MOON.to_owned(),
        other => words::link_gains(words::link(other)),
    })
    .filter(|_| gain(most) > 1.0)
}

/// Why it can't be shown through this port at all: the limits of the evening, and how high it gets.
pub(super) fn never(subject: &Subject<'_>) -> String {
    let Some((index, _)) = subject.target else { return String::new() };
    let limits = subject.prepared().availability.get(index).map_or(&[][..], |known| known.limits.as_slice());
    let limit = limits.first().copied().unwrap_or(Limit::NoPort);
    let doors = subject.prepared().doors;
    let within = subject.prepared().moments.iter().filter(|moment| doors.contains(moment.instant));
    let highest = within
        .filter_map(|moment| Some((moment.instant, subject.sample(moment.instant)?.altitude)))
        .max_by(|one, other| one.1.radians().total_cmp(&other.1.radians()));
    let highest = highest.map(|(at, altitude)| (subject.clock(at), numbers::degrees(altitude)));
    words::never(limit_phrase(limit), highest.as_ref())
}
