//! Takes what a list gives, row by row: targets go into a nameless file or into a catalogue, remarks to standard error. Nothing of
//! a row is kept.

use std::collections::HashMap;
use std::fs::File;
use std::io::{self, BufWriter, Stderr, Write};
use std::ops::ControlFlow;

use evenfall_core::catalogue::{Target, write_target};
use evenfall_core::lists::{Effect, ListProgress, Merging, Remark, TakesList};

use super::brightest::Brightest;
use super::progress::ProgressLine;

/// So many reasons are counted apart; further ones together.
const MOST_REASONS: usize = 20;

/// Remarks, told and counted.
#[derive(Default)]
pub(super) struct Counted {
    pub(super) remarks: usize,
    pub(super) values_left_out: usize,
    /// By column and reason.
    reasons: HashMap<(String, String), usize>,
    other_reasons: usize,
}

impl Counted {
    fn count(&mut self, remark: &Remark) {
        self.remarks += 1;
        self.values_left_out += usize::from(remark.effect == Effect::ValueLeftOut);
        // Of rows that stand twice each has a reason of its own.
        let reason = if remark.effect == Effect::RowLeftOut && remark.column.is_empty() {
            "an earlier row is the same target"
        } else {
            &remark.reason
        };
        let key = (remark.column.clone(), reason.to_owned());
        if self.reasons.len() < MOST_REASONS || self.reasons.contains_key(&key) {
            *self.reasons.entry(key).or_default() += 1;
        } else {
            self.other_reasons += 1;
        }
    }

    /// The reasons with how often each was given, the most frequent first.
    pub(super) fn lines(&self) -> Vec<String> {
        let mut reasons: Vec<_> = self.reasons.iter().collect();
        reasons.sort_by(|one, other| other.1.cmp(one.1).then(one.0.cmp(other.0)));
        let line = |((column, reason), count): (&(String, String), &usize)| match column.as_str() {
            "" => format!("  {count} times: {reason}"),
            column => format!("  {count} times, in the column \"{column}\": {reason}"),
        };
        let mut lines: Vec<String> = reasons.into_iter().map(line).collect();
        if self.other_reasons > 0 {
            lines.push(format!("  {} times: another reason", self.other_reasons));
        }
        lines
    }
}

/// The one that takes a list.
pub(super) struct Taking<'a> {
    /// The list's name as it is told.
    file: &'a str,
    progress: ProgressLine,
    told: BufWriter<Stderr>,
    pub(super) counted: Counted,
    pub(super) merging: Option<Merging>,
    /// New targets as they stand in a catalogue, where one is to be written.
    new: Option<BufWriter<File>>,
    text: String,
    /// Where only the brightest are to be taken: they wait here for the end of the list.
    pub(super) brightest: Option<Brightest>,
    pub(super) new_count: usize,
    /// Why no more could be written.
    failed: Option<io::Error>,
}

impl<'a> Taking<'a> {
    pub(super) fn new(
        file: &'a str,
        merging: Option<Merging>,
        brightest: Option<Brightest>,
        new: Option<File>,
    ) -> Self {
        const AT_ONCE: usize = 1 << 20;
        Self {
            file,
            progress: ProgressLine::begin(),
            told: BufWriter::new(io::stderr()),
            counted: Counted::default(),
            merging,
            new: new.map(|new| BufWriter::with_capacity(AT_ONCE, new)),
            text: String::new(),
            brightest,
            new_count: 0,
            failed: None,
        }
    }

    /// Ends the taking: the file of the new targets, if there is one.
    ///
    /// # Errors
    /// When not all of them could be written.
    pub(super) fn end(&mut self) -> io::Result<Option<File>> {
        self.progress.clear();
        let _ = self.told.flush();
        if let Some(failed) = self.failed.take() {
            return Err(failed);
        }
        if let Some(brightest) = self.brightest.take() {
            self.new_count = brightest.count();
            if let Some(new) = &mut self.new {
                brightest.into_texts().try_for_each(|text| new.write_all(text.as_bytes()))?;
            }
        }
        self.new.take().map(|new| new.into_inner().map_err(io::IntoInnerError::into_error)).transpose()
    }
}

impl TakesList for Taking<'_> {
    fn target(&mut self, target: Target) {
        let target = match &mut self.merging {
            None => target,
            Some(merging) => match merging.take(target) {
                None => return,
                Some(target) => target,
            },
        };
        if let Some(brightest) = &mut self.brightest {
            brightest.take(&target);
            return;
        }
        self.new_count += 1;
        if let Some(new) = self.new.as_mut().filter(|_| self.failed.is_none()) {
            self.text.clear();
            write_target(&mut self.text, &target);
            self.failed = new.write_all(self.text.as_bytes()).err();
        }
    }

    fn remark(&mut self, remark: Remark) {
        self.progress.clear();
        self.counted.count(&remark);
        let gap = if remark.line > 0 { "" } else { " " };
        // As with every message: what can't be told can't be told.
        let _ = writeln!(self.told, "{}:{gap}{remark}", self.file);
    }

    fn goes_on(&mut self, progress: ListProgress) -> ControlFlow<()> {
        let _ = self.told.flush();
        let ListProgress { rows_done, row_count } = progress;
        self.progress.show(&format!("{}: {rows_done} of {row_count} rows", self.file));
        if self.failed.is_some() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }
}
