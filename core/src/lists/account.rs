//! What came of reading a list: its account, what could not be used, and who takes it row by row.

use std::fmt;
use std::ops::ControlFlow;

use super::columns::{Meaning, Unit};
use super::mapping::Mapping;
use crate::catalogue::Target;

/// What a remark means for its row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// The list is not read at all, or not as it stands.
    List,
    /// The row is not used.
    RowLeftOut,
    /// The row is used without this value.
    ValueLeftOut,
}

/// Something in a list that could not be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// Line from 1; 0 for the whole list.
    pub line: usize,
    /// The column's name in the header; empty for the whole row.
    pub column: String,
    /// The value as it stands there.
    pub value: String,
    /// What is wrong.
    pub reason: String,
    /// What to do about it.
    pub remedy: String,
    /// What became of the row.
    pub effect: Effect,
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line > 0 {
            write!(f, "{}: ", self.line)?;
        }
        if !self.column.is_empty() {
            write!(f, "{}: ", self.column)?;
        }
        if !self.value.is_empty() {
            write!(f, "\"{}\": ", self.value.escape_debug())?;
        }
        let became = match self.effect {
            Effect::List => "",
            Effect::RowLeftOut => "row not used: ",
            Effect::ValueLeftOut => "value not used: ",
        };
        write!(f, "{became}{}. {}", self.reason, self.remedy)
    }
}

/// What a column was used as.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnUse {
    /// Its name in the header, or its number.
    pub column: String,
    /// What it was taken for.
    pub is: Meaning,
    /// The unit of values that don't say theirs.
    pub unit: Option<Unit>,
    /// Whether that is a guess.
    pub guessed: bool,
    /// Why, in words.
    pub why: String,
}

/// What a list gave.
#[derive(Clone, Debug, Default)]
pub struct ListRead {
    /// The targets, in the order of the list, with identifiers of their own.
    pub targets: Vec<Target>,
    /// How it was read: given again with the list, it gives the same.
    pub mapping: Mapping,
    /// What each column was used as.
    pub columns: Vec<ColumnUse>,
    /// What was taken for granted or counted, in words.
    pub notes: Vec<String>,
    /// What could not be used: the first 100,000.
    pub remarks: Vec<Remark>,
    /// How many more could not be used.
    pub remarks_beyond: usize,
    /// How many rows there are below the header.
    pub row_count: usize,
}

impl ListRead {
    /// How many rows were not used.
    pub fn rows_left_out(&self) -> usize {
        self.row_count - self.targets.len()
    }
}

/// What is told of a list as a whole, once its targets and remarks have been handed on.
#[derive(Clone, Debug, Default)]
pub struct ListAccount {
    /// How it was read: given again with the list, it gives the same.
    pub mapping: Mapping,
    /// What each column was used as.
    pub columns: Vec<ColumnUse>,
    /// What was taken for granted or counted, in words.
    pub notes: Vec<String>,
    /// How many rows there are below the header.
    pub row_count: usize,
    /// How many of them became targets.
    pub used_count: usize,
    /// Whether the reading was called off before the end.
    pub called_off: bool,
}

/// How far the reading of a list is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ListProgress {
    /// Rows that have been gone through.
    pub rows_done: usize,
    /// All of them.
    pub row_count: usize,
}

/// Takes what a list gives, row by row, so that none of it need be kept.
pub trait TakesList {
    /// A target, with an identifier that no other one of the list has.
    fn target(&mut self, target: Target);

    /// Something that can't be used; those of a row stand together and in the order of the list.
    fn remark(&mut self, remark: Remark);

    /// Told now and then how far it is; [`ControlFlow::Break`] calls the reading off.
    fn goes_on(&mut self, _progress: ListProgress) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }
}

/// The most remarks that are kept; those beyond are counted.
const MOST_KEPT: usize = 100_000;

/// Keeps all targets, and as many remarks as anybody reads.
#[derive(Debug, Default)]
pub(super) struct Keeping {
    pub(super) targets: Vec<Target>,
    pub(super) remarks: Vec<Remark>,
    pub(super) beyond: usize,
}

impl TakesList for Keeping {
    fn target(&mut self, target: Target) {
        self.targets.push(target);
    }

    fn remark(&mut self, remark: Remark) {
        if self.remarks.len() < MOST_KEPT {
            self.remarks.push(remark);
        } else {
            self.beyond += 1;
        }
    }
}
