//! Drafts and their proof on the worker's thread, slice by slice; all that takes no long time is served between slices.

use std::sync::Arc;

use evenfall_core::plan::{Drafted, Drafting, Evening, Prepared, RunningOrder, prepare};

use super::appraisal::{DraftKey, can_stand};
use super::catalogue_change::changed_stock;
use super::desk::Desk;
use super::{Answer, Appraisal, Appraise, Doing, DraftWish, LaidOut, Stage, Stock};

/// Work done in one go, about 5 ms: so long at most does anything else wait.
const SLICE: u64 = 4_000;
/// Work between two better orders told, so that the Board does not flicker.
const BETWEEN_ORDERS: u64 = 24_000;
/// Work between two looks at how far the proof has come.
const BETWEEN_BOUNDS: u64 = 80_000;

/// Computes the sky where it is not known, does what else is asked, and answers; after a draft it looks for better ones.
pub(super) fn lay_out(
    desk: &mut Desk<'_>,
    ticket: u64,
    evening: Evening,
    stock: Arc<Stock>,
    known: Option<Arc<Prepared>>,
    doing: Doing,
) {
    let (made, draft) = match doing {
        Doing::Sky => (None, None),
        Doing::Draft(draft) => (None, Some(draft)),
        Doing::Change(change) => match changed_stock(&stock, &change) {
            Ok(made) => (Some(Arc::new(made)), None),
            Err(error) => return desk.send(Answer::LaidOut { ticket, result: Err(error) }),
        },
    };
    let stock = made.clone().unwrap_or(stock);
    let prepared = known.map_or_else(|| prepare(&evening, &stock.materials()).map(Arc::new), Ok);
    let prepared = match prepared {
        Ok(prepared) => prepared,
        Err(error) => return desk.send(Answer::LaidOut { ticket, result: Err(error.to_string()) }),
    };
    let Some(DraftWish { pick_up, only_better }) = draft else {
        let laid_out = LaidOut { evening, stock: made, prepared, appraisal: None };
        return desk.send(Answer::LaidOut { ticket, result: Ok(Box::new(laid_out)) });
    };
    let evening = Box::new(evening);
    let asked = Appraise { ticket, evening, stock, prepared, picked_up: pick_up, rest: false };
    work(desk, asked, Some(only_better));
}

/// Finds how good an order is.
pub(super) fn appraise(desk: &mut Desk<'_>, asked: Appraise) {
    work(desk, asked, None);
}

/// Works at a draft until something else is wanted. It stays at hand while nothing is, so that what is asked after an edit
/// of what the draft is free to change is answered at once.
///
/// * `draft`: whether the draft itself is wanted, and then whether only if it is better than the order that stands.
fn work(desk: &mut Desk<'_>, asked: Appraise, draft: Option<bool>) {
    let Appraise { ticket, evening, stock, prepared, picked_up, rest } = asked;
    desk.on_bench = Some(ticket);
    let materials = stock.materials();
    let mut drafting = Drafting::new(&evening, &prepared, &materials, picked_up.as_ref());
    drafting.advance(0);
    let mut bench = Bench {
        evening: &evening,
        drafting,
        ticket,
        on_board: evening.order.clone(),
        improving: draft.is_some(),
        search: draft.map_or(desk.effort.appraisal, |_| desk.effort.draft),
        bound: desk.effort.bound,
    };
    if let Some(only_better) = draft {
        let drafted = bench.drafting.drafted();
        let stands = only_better && can_stand(&evening, &prepared, &materials, &drafted.order);
        if !(stands && bench.appraisal_by(drafted.clone()).stands_up()) {
            bench.on_board = drafted.order.clone();
        }
        let appraisal = Some(bench.appraisal_by(drafted));
        let drafted = Evening { order: bench.on_board.clone(), ..Evening::clone(&evening) };
        let laid_out = LaidOut { evening: drafted, stock: None, prepared: Arc::clone(&prepared), appraisal };
        desk.send(Answer::LaidOut { ticket, result: Ok(Box::new(laid_out)) });
    } else if rest {
        bench.rest();
        desk.send(bench.answer(None));
    }
    let key = DraftKey::new(&evening, picked_up.as_ref(), prepared.doors);
    let is_same = |other: &Appraise| {
        Arc::ptr_eq(&other.prepared, &prepared)
            && Arc::ptr_eq(&other.stock, &stock)
            && DraftKey::new(&other.evening, other.picked_up.as_ref(), prepared.doors) == key
    };
    while desk.look() {
        if let Some(job) = desk.next_short() {
            desk.do_job(job);
        } else if let Some(asked) = desk.next_appraise(is_same) {
            let Appraise { ticket, evening, rest, .. } = asked;
            (bench.ticket, bench.on_board, bench.improving) = (ticket, evening.order, false);
            desk.on_bench = Some(ticket);
            if rest {
                bench.rest();
            }
            desk.send(bench.answer(None));
        } else if desk.has_more() {
            return;
        } else if bench.search > 0 {
            bench.look_for_better(desk);
        } else if bench.bound > 0 {
            bench.bring_bound_down(desk);
        } else {
            desk.wait();
        }
    }
}

/// A draft on the worker's bench.
struct Bench<'d> {
    evening: &'d Evening,
    drafting: Drafting<'d>,
    ticket: u64,
    on_board: RunningOrder,
    /// Whether better drafts are to come on the Board.
    improving: bool,
    /// Work left for the search.
    search: u64,
    /// Work left for the bound.
    bound: u64,
}

impl Bench<'_> {
    fn stage(&self) -> Stage {
        match (self.search, self.bound) {
            (0, 0) => Stage::Done,
            (0, _) => Stage::Counting,
            _ => Stage::Searching,
        }
    }

    fn appraisal(&self) -> Appraisal {
        self.appraisal_by(self.drafting.drafted())
    }

    fn appraisal_by(&self, drafted: Drafted) -> Appraisal {
        Appraisal::new(&self.drafting, drafted, self.evening, &self.on_board, self.stage())
    }

    fn answer(&self, order: Option<RunningOrder>) -> Answer {
        Answer::Drafted { ticket: self.ticket, order, appraisal: Some(self.appraisal()) }
    }

    fn rest(&mut self) {
        (self.search, self.bound) = (0, 0);
    }

    /// Searches until there is something to tell, or something else is wanted.
    fn look_for_better(&mut self, desk: &mut Desk<'_>) {
        let (mut done, mut better) = (0, false);
        while self.search > 0 && done < BETWEEN_ORDERS && desk.look() && !desk.has_more() {
            let part = SLICE.min(self.search);
            better |= self.drafting.advance(part);
            (self.search, done) = (self.search - part, done + part);
        }
        let mut order = None;
        if self.improving && better {
            let drafted = self.drafting.drafted();
            if !self.appraisal_by(drafted.clone()).stands_up() {
                self.on_board = drafted.order;
                order = Some(self.on_board.clone());
            }
        }
        if order.is_some() || self.search == 0 {
            desk.send(self.answer(order));
        }
    }

    /// Brings the bound down until there is something to tell, or something else is wanted.
    fn bring_bound_down(&mut self, desk: &mut Desk<'_>) {
        let seen = self.appraisal().seen();
        let mut done = 0;
        while self.bound > 0 && done < BETWEEN_BOUNDS && desk.look() && !desk.has_more() {
            let part = SLICE.min(self.bound);
            self.bound = if self.drafting.advance_bound(part) { self.bound - part } else { 0 };
            done += part;
        }
        if self.appraisal().seen() != seen {
            desk.send(self.answer(None));
        }
    }
}
