//! Requests of visitors.

use super::case::Case;
use crate::plan::check::POOR_VIEW;
use crate::plan::explain::{RequestWhen, when_could_be_shown};
use crate::time::{Instant, Interval};

#[test]
fn a_request_is_answered_as_the_sky_has_it() {
    let mut found: Vec<&str> = Vec::new();
    for round in 0..8 {
        let case = Case::of(round);
        let now = case.prepared.doors.start().plus_minutes(case.prepared.doors.minutes() / 2.0);
        let at = Interval::new(now, now).expect("a moment");
        for (target, own) in case.materials().catalogue.targets.iter().enumerate().step_by(3) {
            let answer =
                when_could_be_shown(&case.evening, &case.prepared, &case.materials(), None, &own.id, now);
            let answer = answer.expect("it is in the catalogue");
            let allowed = &case.prepared.availability[target].allowed;
            if let Some(way) = &answer.way {
                assert!(way.interval.start() >= now && case.may_be_shown(target, &way.port, way.interval));
            }
            found.push(match answer.when {
                RequestWhen::InOrder { stop, .. } => {
                    assert!(case.stop(stop).end() > now && case.index(case.stop(stop)) == target);
                    "in order"
                }
                RequestWhen::Now { view, until, .. } => {
                    assert!(allowed.covers(Interval::new(now, until).expect("in order")));
                    assert!(view.value() >= POOR_VIEW && allowed.covers(at));
                    "now"
                }
                RequestWhen::From { better, within_doors, .. } => {
                    assert!(better.from > now && better.view.value() > 0.0);
                    assert_eq!(within_doors, better.from < case.prepared.doors.end());
                    "from"
                }
                RequestWhen::Gone { last, .. } => {
                    let later = own_later(&case, target, now);
                    assert!(last < now && !later, "{last:?}");
                    "gone"
                }
                RequestWhen::No(_) => "no",
            });
        }
    }
    for kind in ["in order", "now", "from", "gone", "no"] {
        assert!(found.contains(&kind), "{kind} among {} answers", found.len());
    }
}

/// Whether a port shows a target no worse than poorly at any minute from one on.
fn own_later(case: &Case, target: usize, now: Instant) -> bool {
    let minutes =
        (0..=case.prepared.doors.end().minutes_since(now) as u32).map(|m| now.plus_minutes(f64::from(m)));
    let mut moments = minutes.filter_map(|at| Interval::new(at, at));
    moments.any(|at| case.materials().rig.ports.iter().any(|port| case.may_be_shown(target, &port.id, at)))
}
