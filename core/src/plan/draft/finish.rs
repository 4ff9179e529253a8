//! The last touches to what was laid: whatever the check stops is taken out, short stops get the minutes left over.

use super::desk::Desk;
use crate::plan::check::{POOR_VIEW, check};
use crate::plan::timing::moves_still_fit;
use crate::plan::{
    Evening, Rule, RunningOrder, Severity, Stop, StopId, free_minutes, in_each_others_way, needed_minutes,
    timings,
};
use crate::time::Interval;

impl Desk<'_> {
    /// The stops, with those too short for everybody lengthened as far as the slack that is wished, the sky and the
    /// moves after them allow.
    pub(super) fn lengthened(self, mut stops: Vec<Stop>, fixed: &[StopId]) -> Vec<Stop> {
        for index in 0..stops.len() {
            if fixed.contains(&stops[index].id) {
                continue;
            }
            while let Some(longer) = self.a_minute_longer(&stops, index) {
                stops[index].interval = longer;
            }
        }
        stops
    }

    /// The interval of a stop with one minute more, if it is too short and nothing forbids it.
    fn a_minute_longer(self, stops: &[Stop], index: usize) -> Option<Interval> {
        let (prepared, materials) = (self.prepared, self.materials);
        let stop = &stops[index];
        let (target, port) = self.showing(stop)?;
        let instrument = &materials.rig.ports[port];
        let needed_minutes = needed_minutes(&self.evening.house, prepared, materials, target, instrument);
        if stop.interval.minutes() >= needed_minutes {
            return None;
        }
        let longer = Interval::new(stop.start(), stop.end().plus_minutes(1.0))?;
        let (first, last) = (prepared.moment_index(longer.start()), prepared.moment_index(longer.end()));
        let own = Stop { interval: longer, ..stop.clone() };
        let in_the_way = |other: &Stop| in_each_others_way(other, &own, materials.rig);
        if stops.iter().any(|other| other.id != stop.id && in_the_way(other))
            || !prepared.doors.covers(longer)
            || !prepared.availability.get(target)?.allowed.covers(longer)
            || prepared.views.worst(target, port, first, last) < POOR_VIEW
        {
            return None;
        }
        let before = RunningOrder::new(stops.to_vec());
        let mut changed = stops.to_vec();
        changed[index].interval = longer;
        let after = RunningOrder::new(changed);
        let free = free_minutes(&after, &timings(&after, prepared, materials), prepared.doors);
        let wished = prepared.doors.minutes() * self.evening.programme.slack_percent / 100.0;
        (free >= wished && moves_still_fit(&before, &after, prepared, materials)).then_some(longer)
    }

    /// The stops that the check lets stand, and what went with the rule that it broke: whatever is stopped, or makes a
    /// fixed stop impossible. What is done stays, whatever the check says of it.
    pub(super) fn without_stoppers(
        self,
        mut stops: Vec<Stop>,
        fixed: &[StopId],
        done: &[StopId],
    ) -> (Vec<Stop>, Vec<(StopId, Rule)>) {
        let mut gone = Vec::new();
        loop {
            let trial = Evening { order: RunningOrder::new(stops.clone()), ..self.evening.clone() };
            let ordered = trial.order.stops();
            let culprit = check(&trial, self.prepared, self.materials)
                .into_iter()
                .filter(|finding| finding.severity == Severity::Stopper)
                .filter_map(|finding| Some((finding.stop?, finding.rule)))
                .filter(|(id, _)| !done.contains(id))
                .map(|(id, rule)| {
                    if !fixed.contains(&id) {
                        return (id, rule);
                    }
                    let before = match &rule {
                        Rule::Overlap { with } => Some(*with),
                        Rule::MoveDoesNotFit { .. } | Rule::SlewNearSun { .. } | Rule::CablesEnd { .. } => {
                            let at = ordered.iter().position(|stop| stop.id == id);
                            let before = at.map_or(&[][..], |at| &ordered[..at]);
                            before.iter().rev().find(|stop| stop.show().is_some()).map(|stop| stop.id)
                        }
                        _ => None,
                    };
                    let before = before.filter(|id| !fixed.contains(id) && !done.contains(id));
                    (before.unwrap_or(id), rule)
                })
                .next();
            let Some((id, rule)) = culprit else { return (stops, gone) };
            stops.retain(|stop| stop.id != id);
            gone.push((id, rule));
        }
    }
}
