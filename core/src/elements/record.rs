//! One record of a file: values by key, each with the place where it stands.

use std::cell::Cell;

use crate::reading::Fault;

/// A place in a text: line and column from 1, in characters.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Spot {
    pub line: usize,
    pub column: usize,
}

/// Where the lines of a text begin, to tell spots from offsets.
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
    /// The spot told last and its offset. The next is counted from there: a file may be one long line.
    last: Cell<(Spot, usize)>,
}

impl<'t> Lines<'t> {
    pub fn new(text: &'t str) -> Self {
        let starts = [0].into_iter().chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { text, starts, last: Cell::default() }
    }

    /// The spot of an offset; of one beyond the text, its end.
    pub fn spot(&self, offset: usize) -> Spot {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        let line = self.starts.partition_point(|start| *start <= offset);
        let (last, last_offset) = self.last.get();
        let letters = |from: usize, to: usize| self.text[from..to].chars().count();
        let column = if last.line != line {
            letters(self.starts[line - 1], offset) + 1
        } else if offset >= last_offset {
            last.column + letters(last_offset, offset)
        } else {
            last.column - letters(offset, last_offset)
        };
        let spot = Spot { line, column };
        self.last.set((spot, offset));
        spot
    }

    /// The spot of a piece of the text itself.
    pub fn spot_of(&self, piece: &str) -> Spot {
        self.spot((piece.as_ptr() as usize).saturating_sub(self.text.as_ptr() as usize))
    }
}

/// One value as it stands in the file.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Given {
    /// The key in capitals, as the standard writes it.
    pub key: String,
    pub text: String,
    /// The unit, where the file gives one.
    pub unit: Option<String>,
    pub spot: Spot,
}

/// The values of one set of elements.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Record {
    pub values: Vec<Given>,
    pub spot: Spot,
}

impl Record {
    /// A value that is not empty.
    pub fn get(&self, key: &str) -> Option<&Given> {
        self.values.iter().find(|given| given.key == key && !given.text.trim().is_empty())
    }
}

/// A file's name with what was found wrong in it.
pub(super) struct Found<'f> {
    pub file: &'f str,
    pub faults: Vec<Fault>,
}

impl Found<'_> {
    pub fn fault(&mut self, spot: Spot, key: &str, message: impl Into<String>, remedy: impl Into<String>) {
        self.faults.push(Fault {
            file: self.file.to_owned(),
            line: spot.line,
            column: spot.column,
            key: key.to_owned(),
            message: message.into(),
            remedy: remedy.into(),
        });
    }
}

/// A value as a message shows it: not longer than 40 characters.
pub(super) fn shown(text: &str) -> String {
    let line: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() > 40 {
        format!("`{} ...`", line.chars().take(36).collect::<String>())
    } else {
        format!("`{line}`")
    }
}

#[cfg(test)]
mod tests {
    use super::{Lines, Spot};

    #[test]
    fn spots_are_the_same_in_any_order() {
        let text = "aé\n\n星星 b\r\nlast";
        let want = |offset: usize| {
            let before = &text[..offset];
            let line = before.matches('\n').count() + 1;
            Spot { line, column: before.rsplit('\n').next().unwrap_or_default().chars().count() + 1 }
        };
        let offsets: Vec<usize> = (0..=text.len()).filter(|offset| text.is_char_boundary(*offset)).collect();
        let lines = Lines::new(text);
        for step in [1, 3, 7, 11] {
            for turn in 0..offsets.len() * 2 {
                let offset = offsets[turn * step % offsets.len()];
                assert_eq!(lines.spot(offset), want(offset), "{offset}");
            }
        }
        assert_eq!(lines.spot(10_000), want(text.len()));
    }
}
