//! From an answer of the solver to stops, with the moves as the mount really makes them.

use super::desk::Desk;
use super::frame::{Frame, Identities};
use super::layout::{Choice, Layout};
use super::length::Offer;
use crate::arrange::AnswerStop;
use crate::plan::beside::is_in_the_way;
use crate::plan::check::POOR_VIEW;
use crate::plan::timing::Stands;
use crate::plan::{Held, Show, Stop, What, merit};
use crate::time::Interval;

/// An answer laid out.
pub(super) struct Laid {
    /// What stands and what was laid, in no order.
    pub(super) stops: Vec<Stop>,
    /// What could not be laid.
    pub(super) refused: Vec<AnswerStop>,
}

/// Something to lay: an offer at a minute after doors open, for a stop of the answer.
struct Item {
    answer: AnswerStop,
    offer: Offer,
    minute: f64,
}

impl<'d> Desk<'d> {
    /// Lays an answer out: each stop at its minute, or as much later as the move to it really takes. What then would be
    /// in the way of something fixed, or may not be shown any more, is refused.
    pub(super) fn lay(
        self,
        frame: &Frame,
        layout: &Layout,
        answer: &[AnswerStop],
        stands: Stands<'d>,
    ) -> Laid {
        let mut ids = Identities::new(self, frame);
        let mut stops: Vec<Stop> = frame.done.iter().chain(&frame.screen_talks).cloned().collect();
        stops.extend(frame.fixed.iter().map(|fixed| fixed.stop.clone()));
        let items = answer.iter().filter_map(|answer| match layout.chosen(*answer) {
            (Choice::Offer(offer), minute) => Some(Item { answer: *answer, offer, minute: minute as f64 }),
            (Choice::Fixed(_), _) => None,
        });
        let mut refused = Vec::new();
        let shown_before = frame.done.iter().filter(|stop| stop.show().is_some());
        let free_from = if frame.picked_up { f64::from(frame.from_minute) } else { f64::NEG_INFINITY };
        let done = shown_before.map(|stop| self.minute(stop.end())).fold(free_from, f64::max);
        let mut at = At { next_fixed: 0, people_done: 0.0_f64.max(done), telescope_done: done, stands };
        for item in items {
            at = at.past_fixed(self, frame, item.minute);
            let laid = at.with(self, frame, &item);
            let wish = frame.wanted.iter().find(|wanted| wanted.target == item.offer.target);
            match laid.and_then(|(interval, after)| {
                let held = wish.and_then(|wanted| wanted.wish.stop());
                Some((self.stop(&item.offer, interval, held, &mut ids)?, after))
            }) {
                Some((stop, after)) => {
                    stops.push(stop);
                    at = after;
                }
                None => refused.push(item.answer),
            }
        }
        Laid { stops, refused }
    }

    /// The stop of an offer, with the field that suits the target at the worst minute; with the marks of a held one.
    fn stop(
        self,
        offer: &Offer,
        interval: Interval,
        held: Option<&Stop>,
        ids: &mut Identities,
    ) -> Option<Stop> {
        let target = &self.materials.catalogue.targets[offer.target];
        let port = &self.materials.rig.ports[offer.port].id;
        let choice = merit(self.prepared, self.materials, offer.target, interval)
            .into_iter()
            .map(|merit| merit.choice)
            .find(|choice| &choice.port == port)?;
        let eyepiece = choice.field.eyepiece.map(|view| view.index);
        let understudy = held.and_then(|stop| stop.show()?.understudy.clone());
        let show = Show { target: target.id.clone(), port: port.clone(), eyepiece, understudy };
        let (id, marks) = held.map_or((None, Held::default()), |stop| (Some(stop.id), stop.held));
        let id = id.unwrap_or_else(|| ids.for_target(&target.id));
        Some(Stop { id, what: What::Show(show), interval, held: marks })
    }
}

/// Where the laying is, in minutes after doors open.
#[derive(Clone, Copy)]
struct At<'d> {
    next_fixed: usize,
    people_done: f64,
    telescope_done: f64,
    stands: Stands<'d>,
}

impl<'d> At<'d> {
    /// Past everything fixed that starts up to a minute.
    fn past_fixed(mut self, desk: Desk<'d>, frame: &Frame, minute: f64) -> Self {
        while let Some(fixed) = frame.fixed.get(self.next_fixed) {
            let interval = fixed.stop.interval;
            if desk.minute(interval.start()) > minute {
                break;
            }
            self.next_fixed += 1;
            self.people_done = self.people_done.max(desk.minute(interval.end()));
            if let Some((target, port)) = fixed.showing {
                let port = &desk.materials.rig.ports[port].id;
                let arrival = self.stands.go(desk.materials, desk.prepared, target, port, interval);
                self.stands = arrival.map_or(self.stands, |(_, after)| after);
                self.telescope_done = self.people_done;
            }
        }
        self
    }

    /// An item at its minute or as soon after as it can be, if it may be shown then and what is fixed stays in reach.
    fn with(self, desk: Desk<'d>, frame: &Frame, item: &Item) -> Option<(Interval, Self)> {
        let offer = &item.offer;
        let showing = (offer.target, offer.port);
        let ready = |start: f64| -> Option<(f64, Stands<'d>)> {
            let (minutes, after) = desk.approach(self.stands, showing, offer.interval(desk, start as u32))?;
            // Before the first target of all the telescope is made ready in good time.
            Some((self.telescope_done + minutes, after))
        };
        let mut start = item.minute.max(self.people_done.ceil());
        let (mut earliest, mut stands) = ready(start)?;
        if earliest > start {
            // The move depends on when it is made, a little.
            start = earliest.ceil();
            (earliest, stands) = ready(start)?;
        }
        let (interval, end) = (offer.interval(desk, start as u32), start + f64::from(offer.minutes));
        let wanted = frame.wanted.iter().any(|wanted| wanted.target == offer.target);
        let prepared = desk.prepared;
        let (first, last) = (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
        let view = prepared.views.worst(offer.target, offer.port, first, last);
        let port = &desk.materials.rig.ports[offer.port];
        let clear = earliest <= start
            && end <= f64::from(desk.doors_minutes())
            && prepared.availability[offer.target].allowed.covers(interval)
            && (view >= POOR_VIEW || (wanted && view > 0.0))
            && !frame.screen_talks.iter().any(|talk| is_in_the_way(talk, interval, port))
            && self.fixed_in_reach(desk, frame, end, stands);
        let after = Self { people_done: end, telescope_done: end, stands, ..self };
        clear.then_some((interval, after))
    }

    /// Whether everything fixed can still start on time after a stop that ends at `end`, if nothing more is laid: no
    /// time shared, and every move fits. All of them count: which way the cables are wound may matter only later.
    fn fixed_in_reach(self, desk: Desk<'d>, frame: &Frame, end: f64, stands: Stands<'d>) -> bool {
        let (mut done, mut stands) = (end, stands);
        for fixed in &frame.fixed[self.next_fixed..] {
            let start = desk.minute(fixed.stop.start());
            if end > start {
                return false;
            }
            let Some(showing) = fixed.showing else { continue };
            match desk.approach(stands, showing, fixed.stop.interval) {
                Some((minutes, after)) if done + minutes <= start => stands = after,
                _ => return false,
            }
            done = desk.minute(fixed.stop.end());
        }
        true
    }
}
