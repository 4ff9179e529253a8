//! Sides laid out and sets written on the worker's thread.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use evenfall_core::output::pdf::Paper;
use evenfall_core::output::{Output, OutputSet, SetWords};
use evenfall_core::plan::{Evening, Prepared};

use super::{PagesOutcome, SetOf, Sides};
use crate::state::desk::Desk;
use crate::state::{Answer, Outside, Stock};

/// The sides of a page that are asked for.
#[derive(Debug)]
pub struct AskedSides {
    /// Of which set.
    pub set: SetOf,
    /// Which page.
    pub output: Output,
    /// The evening.
    pub evening: Box<Evening>,
    /// What it stands on.
    pub stock: Arc<Stock>,
    /// Its sky.
    pub prepared: Arc<Prepared>,
    /// What was found of the same evening for a page before.
    pub told: Option<Arc<SetTold>>,
}

/// What is found once for all pages of an evening.
#[derive(Debug)]
pub struct SetTold {
    words: Arc<SetWords>,
    /// What whoever writes the set should know, in sentences.
    pub notes: Vec<String>,
}

/// A set that is to be written.
#[derive(Debug)]
pub struct PagesOrder {
    /// Which question this is.
    pub ticket: u64,
    /// The evening.
    pub evening: Box<Evening>,
    /// What it stands on.
    pub stock: Arc<Stock>,
    /// Its sky.
    pub prepared: Arc<Prepared>,
    /// What is written, in this order.
    pub outputs: Vec<Output>,
    /// The paper.
    pub paper: Paper,
    /// Into which folder; made if it is not there.
    pub folder: PathBuf,
    /// Whether files that are there already may be replaced.
    pub replace: bool,
    /// Set to end it after the file under way.
    pub stop: Arc<AtomicBool>,
}

/// What is told while a set is being written.
#[derive(Debug)]
pub enum PagesNews {
    /// Nothing was written: files of these names are there.
    InTheWay(Vec<String>),
    /// So many are done.
    Done(usize),
    /// It has ended.
    Ended(PagesOutcome),
}

impl PagesOrder {
    /// Nothing was written, for this reason.
    pub(in crate::state) fn failed(&self, why: &str) -> PagesOutcome {
        let failed = self.outputs.iter().map(|output| (*output, why.to_owned())).collect();
        PagesOutcome { folder: self.folder.clone(), failed, ..PagesOutcome::default() }
    }
}

/// Lays the sides of a page out; with what serves the next page of the same evening.
pub(in crate::state) fn laid_out(outside: &dyn Outside, asked: &AskedSides) -> (Sides, Arc<SetTold>) {
    let (materials, font) = (asked.stock.materials(), outside.font());
    let (evening, prepared) = (&*asked.evening, &*asked.prepared);
    let (set, told) = if let Some(told) = &asked.told {
        let set = OutputSet::with_words(evening, prepared, &materials, font, Arc::clone(&told.words));
        (set, Arc::clone(told))
    } else {
        let set = OutputSet::new(evening, prepared, &materials, font);
        let told = SetTold { words: set.words(), notes: set.notes() };
        (set, Arc::new(told))
    };
    let sides = set.sides(asked.output, asked.set.paper);
    (sides.map(Arc::new).map_err(|error| error.to_string()), told)
}

/// Writes a set, file by file, with what somebody waits for in between. A file that can't be written keeps no other back.
pub(in crate::state) fn write(desk: &mut Desk<'_>, order: &PagesOrder) {
    let PagesOrder { ticket, outputs, paper, folder, .. } = order;
    let tell = |desk: &mut Desk<'_>, news| desk.send(Answer::Pages { ticket: *ticket, news });
    let outside = desk.outside;
    let names = outputs.iter().map(|output| output.file_name(*paper));
    let there: Vec<String> = names.filter(|name| outside.is_there(&folder.join(name))).collect();
    if !order.replace && !there.is_empty() {
        return tell(desk, PagesNews::InTheWay(there));
    }
    if let Err(why) = outside.make_folder(folder) {
        return tell(desk, PagesNews::Ended(order.failed(&why)));
    }
    let materials = order.stock.materials();
    let set = OutputSet::new(&order.evening, &order.prepared, &materials, outside.font());
    let mut outcome = PagesOutcome { folder: folder.clone(), ..PagesOutcome::default() };
    for (done, output) in outputs.iter().enumerate() {
        if order.stop.load(Ordering::Relaxed) {
            outcome.not_tried = outputs[done..].to_vec();
            break;
        }
        tell(desk, PagesNews::Done(done));
        match write_one(outside, &set, order, *output) {
            Ok(begins_anew) => {
                outcome.written.push(*output);
                outcome.begun_anew.extend(begins_anew.then_some(*output));
            }
            Err(why) => outcome.failed.push((*output, why)),
        }
        desk.look();
        while let Some(job) = desk.next_waited_for() {
            desk.do_job(job);
        }
    }
    tell(desk, PagesNews::Ended(outcome));
}

/// Writes one file whole or not at all; whether it is a calendar that begins anew, as the old one could not be read.
fn write_one(
    outside: &dyn Outside,
    set: &OutputSet<'_>,
    order: &PagesOrder,
    output: Output,
) -> Result<bool, String> {
    let path = order.folder.join(output.file_name(order.paper));
    // A calendar goes on counting the versions of its events from the one that it replaces.
    let previous = matches!(output, Output::Calendar(_)).then(|| outside.old_text(&path)).flatten();
    let made = set.make(output, order.paper, previous.as_deref()).map_err(|error| error.to_string())?;
    outside.write(&path, &made.bytes)?;
    Ok(made.previous_unreadable)
}
