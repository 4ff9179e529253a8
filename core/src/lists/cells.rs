//! Rows of cells, kept in one piece: a million rows cost little more memory than their letters.

/// The most rows of a list that are read.
pub const MOST_ROWS: usize = 2_000_000;
/// The most columns of a list that are read.
pub const MOST_COLUMNS: usize = 1000;

/// How much is read of a list.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    pub(super) rows: usize,
    pub(super) columns: usize,
    /// Letters of all cells together, in bytes.
    pub(super) bytes: usize,
}

impl Limits {
    /// Those that hold for everybody.
    pub(super) const USUAL: Self = Self { rows: MOST_ROWS, columns: MOST_COLUMNS, bytes: 1 << 30 };
}

/// What a list has too much of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TooMany {
    Rows(usize),
    /// Of the row that begins in a line.
    Columns(usize, usize),
    Bytes,
}

impl TooMany {
    /// The line it is told at, and in words.
    pub(super) fn words(self) -> (usize, String) {
        match self {
            Self::Rows(most) => (0, format!("it has more than {most} rows")),
            Self::Columns(most, line) => (line, format!("it has more than {most} columns")),
            Self::Bytes => (0, "its values are longer than 1 GB".to_owned()),
        }
    }
}

/// A row and the line it begins in, from 1.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row<'r> {
    pub(super) line: usize,
    text: &'r str,
    /// Where its first cell begins and each ends.
    start: u32,
    ends: &'r [u32],
}

impl<'r> Row<'r> {
    /// A cell without space round it; empty where the row is too short.
    pub(super) fn cell(&self, column: usize) -> &'r str {
        let Some(end) = self.ends.get(column) else { return "" };
        let start = column.checked_sub(1).map_or(self.start, |before| self.ends[before]);
        self.text[start as usize..*end as usize].trim()
    }

    /// How many cells it has.
    pub(super) const fn width(&self) -> usize {
        self.ends.len()
    }

    /// Its cells.
    pub(super) fn cells(self) -> impl Iterator<Item = &'r str> + Clone {
        (0..self.width()).map(move |column| self.cell(column))
    }
}

/// The line of a row, and the first of its cells.
#[derive(Clone, Copy, Debug)]
struct Start {
    line: u32,
    cell: u32,
}

/// The rows of a list.
#[derive(Clone, Debug)]
pub(super) struct Rows {
    text: String,
    /// Where each cell of all rows ends.
    ends: Vec<u32>,
    starts: Vec<Start>,
    limits: Limits,
    too_many: Option<TooMany>,
}

impl Rows {
    /// No rows yet, and no more to come than the limits let in.
    pub(super) const fn within(limits: Limits) -> Self {
        Self { text: String::new(), ends: Vec::new(), starts: Vec::new(), limits, too_many: None }
    }

    /// As [`Self::within`], with room for so many bytes of text, so that it need not grow by doubling.
    pub(super) fn with_room(limits: Limits, bytes: usize) -> Self {
        Self { text: String::with_capacity(bytes.min(limits.bytes)), ..Self::within(limits) }
    }

    /// How many there are.
    pub(super) const fn count(&self) -> usize {
        self.starts.len()
    }

    /// What there was too much of; rows behind it were not taken.
    pub(super) const fn too_many(&self) -> Option<TooMany> {
        self.too_many
    }

    /// Begins a row in a line; cells pushed from now on are its own. Gives back whether there is room for it.
    pub(super) fn begin(&mut self, line: usize) -> bool {
        if self.too_many.is_none() && self.count() >= self.limits.rows {
            self.too_many = Some(TooMany::Rows(self.limits.rows));
        }
        if self.too_many.is_none() {
            let narrow = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
            self.starts.push(Start { line: narrow(line), cell: narrow(self.ends.len()) });
        }
        self.too_many.is_none()
    }

    /// Adds a cell to the row that was begun last, if there is room for it.
    pub(super) fn push(&mut self, cell: &str) {
        let Some(start) = self.starts.last().filter(|_| self.too_many.is_none()) else { return };
        let end = self.text.len() + cell.len();
        if self.ends.len() - start.cell as usize >= self.limits.columns {
            self.too_many = Some(TooMany::Columns(self.limits.columns, start.line as usize));
        } else if let Some(end) = u32::try_from(end).ok().filter(|_| end <= self.limits.bytes) {
            self.text.push_str(cell);
            self.ends.push(end);
        } else {
            self.too_many = Some(TooMany::Bytes);
        }
    }

    /// How many cells the row that was begun last has so far.
    pub(super) fn width_of_last(&self) -> usize {
        self.starts.last().map_or(0, |start| self.ends.len() - start.cell as usize)
    }

    /// A row by its position.
    pub(super) fn get(&self, position: usize) -> Option<Row<'_>> {
        let start = self.starts.get(position)?;
        let cells = start.cell as usize;
        let end = self.starts.get(position + 1).map_or(self.ends.len(), |next| next.cell as usize);
        let before = cells.checked_sub(1).map_or(0, |before| self.ends[before]);
        Some(Row { line: start.line as usize, text: &self.text, start: before, ends: &self.ends[cells..end] })
    }

    /// The rows from a position on.
    pub(super) const fn from(&self, first: usize) -> Span<'_> {
        Span { rows: self, first, until: self.count() }
    }
}

/// Rows in their order, from one of them on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span<'r> {
    rows: &'r Rows,
    first: usize,
    until: usize,
}

impl<'r> Span<'r> {
    /// How many there are.
    pub(super) const fn count(&self) -> usize {
        self.until.saturating_sub(self.first)
    }

    /// The first so many.
    pub(super) fn first(self, most: usize) -> Self {
        Self { until: self.until.min(self.first + most), ..self }
    }

    /// One after the other.
    pub(super) fn iter(self) -> impl Iterator<Item = Row<'r>> + Clone {
        (self.first..self.until).filter_map(move |position| self.rows.get(position))
    }
}
