//! A list read on the worker's thread: its targets held against the catalogue one by one, told how far it is, with what somebody
//! waits for in between.

use std::ops::ControlFlow;
use std::sync::Arc;

use evenfall_core::catalogue::Target;
use evenfall_core::elements::looks_like_elements;
use evenfall_core::lists::{
    ListProgress, Mapping, Merging, Remark, TakesList, read_list_into, read_mapping, write_mapping,
};

use super::{KeptMapping, ListAsked, ListSeen, MOST_SHOWN, MOST_TARGETS, mapping_path};
use crate::state::Answer;
use crate::state::desk::Desk;

/// Of a file that is no list.
const ELEMENTS: &str = "This file holds elements of satellites or comets. Bring them in with evenfall convert FILE --into CATALOGUE \
                        --replace, then open the evening again.";
/// So many rows are shown as they are read.
const FIRST_ROWS: usize = 6;

/// Reads a list and answers.
pub(in crate::state) fn read(desk: &mut Desk<'_>, asked: &ListAsked) {
    let ticket = asked.ticket;
    let bytes = match desk.outside.list_bytes(&asked.path) {
        Ok(bytes) => bytes,
        Err(error) => return desk.send(Answer::ListRead { ticket, result: Err(error) }),
    };
    if looks_like_elements(&bytes) {
        return desk.send(Answer::ListRead { ticket, result: Err(ELEMENTS.to_owned()) });
    }
    let beside = mapping_path(&asked.path);
    let there = if desk.outside.is_there(&beside) { Some(desk.outside.read_text(&beside)) } else { None };
    let (kept, mapping) = match &there {
        None => (KeptMapping::None, Mapping::default()),
        Some(Err(error)) => (KeptMapping::Unreadable(error.clone()), Mapping::default()),
        Some(Ok(text)) => match read_mapping(&beside.display().to_string(), text) {
            Ok(mapping) => (KeptMapping::Used, mapping),
            Err(faults) => {
                let told = faults.first().map(ToString::to_string).unwrap_or_default();
                (KeptMapping::Unreadable(told), Mapping::default())
            }
        },
    };
    let mapping = corrected(mapping, asked);
    let entries = asked.stock.catalogue.targets.clone();
    let mut taking = Taking {
        asked,
        merging: Merging::into(entries, &asked.stock.catalogue.unread_ids),
        first: Vec::new(),
        new: Vec::new(),
        too_many: false,
        remarks: Vec::new(),
        remark_count: 0,
        told: None,
        desk,
    };
    let account = read_list_into(&bytes, Some(&mapping), &mut taking);
    drop(bytes);
    let Taking { merging, first, new, too_many, remarks, remark_count, desk, .. } = taking;
    if account.called_off {
        return;
    }
    let old = &asked.stock.catalogue.targets;
    let filled = merging.entries().iter().zip(old).filter(|(entry, old)| entry != old);
    let text = write_mapping(&account.mapping);
    let stands = there.as_ref().and_then(|there| there.as_ref().ok());
    let stands =
        stands.and_then(|text| read_mapping("", text).ok()).is_some_and(|own| own == account.mapping);
    // One that stands is written anew only for what was corrected here: its comments, and what it leaves open, stay.
    let is_corrected = asked.list_says || asked.mapping != Mapping::default();
    let is_due = match kept {
        KeptMapping::None => true,
        KeptMapping::Used => is_corrected && !stands,
        KeptMapping::Unreadable(_) => false,
    };
    let seen = ListSeen {
        to_keep: is_due.then_some(text),
        kept,
        first,
        new,
        filled: filled.map(|(entry, _)| entry.clone()).collect(),
        met: merging.met().iter().take(MOST_SHOWN).map(ToString::to_string).collect(),
        met_count: merging.met().len(),
        remarks,
        remark_count,
        too_many,
        account,
    };
    desk.send(Answer::ListRead { ticket, result: Ok(Arc::new(seen)) });
}

/// A mapping with what was corrected.
fn corrected(mut mapping: Mapping, asked: &ListAsked) -> Mapping {
    let by = &asked.mapping;
    for column in &by.columns {
        match mapping.columns.iter_mut().find(|own| own.column == column.column) {
            Some(own) => *own = column.clone(),
            None => mapping.columns.push(column.clone()),
        }
    }
    let kept = mapping.equinox.filter(|_| !asked.list_says);
    mapping.equinox = by.equinox.clone().or(kept);
    mapping.usual_kind = by.usual_kind.or(mapping.usual_kind);
    mapping
}

/// Takes what the list gives.
struct Taking<'a, 'd, 'o> {
    asked: &'a ListAsked,
    merging: Merging,
    first: Vec<Target>,
    new: Vec<Target>,
    too_many: bool,
    remarks: Vec<Remark>,
    remark_count: usize,
    /// The share of the rows last told, in percent.
    told: Option<usize>,
    desk: &'d mut Desk<'o>,
}

impl TakesList for Taking<'_, '_, '_> {
    fn target(&mut self, target: Target) {
        if self.first.len() < FIRST_ROWS {
            self.first.push(target.clone());
        }
        let Some(new) = self.merging.take(target) else { return };
        if self.new.len() + self.merging.entries().len() < MOST_TARGETS {
            self.new.push(new);
        } else {
            self.too_many = true;
        }
    }

    fn remark(&mut self, remark: Remark) {
        self.remark_count += 1;
        if self.remarks.len() < MOST_SHOWN {
            self.remarks.push(remark);
        }
    }

    fn goes_on(&mut self, progress: ListProgress) -> ControlFlow<()> {
        let percent = 100 * progress.rows_done / progress.row_count.max(1);
        if self.told != Some(percent) {
            self.told = Some(percent);
            self.desk.send(Answer::ListGoesOn { ticket: self.asked.ticket, progress });
        }
        let listened_to = self.desk.look();
        while let Some(job) = self.desk.next_waited_for() {
            self.desk.do_job(job);
        }
        if self.asked.stop.is_set() || !listened_to {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}
