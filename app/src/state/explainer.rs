//! The reasons for an order on the worker's thread, one comparison after the other; what is waited for is done in between.

use evenfall_core::plan::{Comparing, Explained, explain_order};

use super::desk::Desk;
use super::{Answer, Appraise, Job};

/// Says why an order is as it is. A new Board comes first; reasons asked for another order take the place of these.
pub(super) fn explain(desk: &mut Desk<'_>, asked: Appraise) {
    match reasons(desk, &asked) {
        Some(explained) => {
            let explained = Some(Box::new(explained));
            desk.send(Answer::Explained { ticket: asked.ticket, explained });
        }
        None if desk.look() && !desk.waits(|job| matches!(job, Job::Explain(_))) => {
            desk.put_off(Job::Explain(asked));
        }
        None => {}
    }
}

/// The reasons; `None` where something else comes first.
fn reasons(desk: &mut Desk<'_>, asked: &Appraise) -> Option<Explained> {
    let Appraise { evening, stock, prepared, picked_up, .. } = asked;
    let materials = stock.materials();
    let mut explained = explain_order(evening, prepared, &materials, picked_up.as_ref());
    if !goes_on(desk) {
        return None;
    }
    for compared in Comparing::new(evening, prepared, &materials, picked_up.as_ref()) {
        explained.take(compared);
        if !goes_on(desk) {
            return None;
        }
    }
    Some(explained)
}

/// Does what somebody waits for; whether nothing else comes first then.
fn goes_on(desk: &mut Desk<'_>) -> bool {
    let listened_to = desk.look();
    while let Some(job) = desk.next_waited_for() {
        desk.do_job(job);
    }
    listened_to && !desk.waits(|job| matches!(job, Job::Explain(_) | Job::LayOut { .. }))
}
