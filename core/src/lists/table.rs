//! Text to rows of cells: the delimiter found, quotation marks as in RFC 4180, every row with its line.

use csv::{ReaderBuilder, StringRecord};

use super::cells::{Limits, Rows};
use super::mapping::Delimiter;

/// How many lines are looked at to find the delimiter.
const LINES_LOOKED_AT: usize = 30;
/// Parts the cells of a list that has one column: text holds no such character.
const NO_DELIMITER: u8 = 0x1f;
/// Begins a line that is a remark of the list itself.
const COMMENT: char = '#';

/// The rows of a list.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub(super) rows: Rows,
    /// The line of a quotation mark that is never closed; the list is then cut without regard to quotation marks.
    pub(super) unclosed: Option<usize>,
}

/// On one line, with single spaces.
pub(super) fn plain_text(text: &str) -> String {
    let text: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The delimiter that cuts most of the first lines into the same number of cells; `None` for a single column.
pub(super) fn delimiter_of(text: &str) -> Option<Delimiter> {
    let lines: Vec<&str> = text
        .split(['\n', '\r'])
        .filter(|line| !line.trim().is_empty() && !line.starts_with(COMMENT))
        .take(LINES_LOOKED_AT)
        .collect();
    let alike = |delimiter: &Delimiter| {
        let counts: Vec<usize> = lines.iter().map(|line| occurrences(line, *delimiter)).collect();
        let same = |count: usize| counts.iter().filter(|other| **other == count).count();
        counts.iter().filter(|count| **count > 0).map(|count| same(*count)).max().unwrap_or(0)
    };
    let found = Delimiter::ALL.into_iter().map(|delimiter| (alike(&delimiter), delimiter));
    // Of equals the first, so it is looked for from behind.
    let found = found.rev().max_by_key(|(alike, _)| *alike).filter(|(alike, _)| 2 * alike >= lines.len());
    found.filter(|(alike, _)| *alike > 0).map(|(_, delimiter)| delimiter)
}

/// How often a delimiter stands outside quotation marks.
fn occurrences(line: &str, delimiter: Delimiter) -> usize {
    let bytes = line.as_bytes();
    let mut quoted = false;
    let mut count = 0;
    for (at, byte) in bytes.iter().enumerate() {
        let opens = at == 0 || bytes[at - 1] == delimiter.byte();
        if *byte == b'"' && (quoted || opens) {
            quoted = !quoted;
        } else if !quoted && *byte == delimiter.byte() && !is_decimal_comma(bytes, at) {
            count += 1;
        }
    }
    count
}

/// Whether a comma stands in a number before a signed one, as in `08 34 31,9 +12 00 52`.
fn is_decimal_comma(bytes: &[u8], at: usize) -> bool {
    let after = bytes.get(at + 1..).unwrap_or_default();
    let digits = after.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let spaces = after[digits..].iter().take_while(|byte| **byte == b' ').count();
    let signed = after.get(digits + spaces).is_some_and(|byte| matches!(byte, b'+' | b'-'));
    // A second one, of the declination, ends the line.
    let ends = digits + spaces == after.len() && bytes[..at].contains(&b' ') && bytes[..at].contains(&b',');
    bytes[at] == b',' && digits > 0 && ((spaces > 0 && signed) || ends)
}

/// Cuts a text into rows. Empty lines, drawn lines and those that begin with `#` are no rows.
/// No more are cut than the limits let in.
pub(super) fn cut(text: &str, delimiter: Option<Delimiter>, limits: Limits) -> Table {
    let byte = delimiter.map_or(NO_DELIMITER, Delimiter::byte);
    let unclosed = unclosed_quote(text, byte);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(byte)
        .comment(Some(COMMENT as u8))
        .quoting(unclosed.is_none())
        .from_reader(text.as_bytes());
    let mut lines = Lines::of_text(text);
    let mut rows = Rows::with_room(limits, text.len());
    let mut cells = StringRecord::new();
    // Text in memory is UTF-8 and rows may have any length, so nothing can fail.
    while reader.read_record(&mut cells).unwrap_or(false) {
        let start = cells.position().map_or(0, |position| position.byte() as usize);
        if is_rule(&cells) {
            continue;
        }
        if !rows.begin(lines.of(start)) {
            break;
        }
        cells.iter().for_each(|cell| rows.push(cell));
    }
    Table { rows, unclosed }
}

/// Whether a row has nothing to say: it is empty, or a line drawn with dashes.
fn is_rule(cells: &StringRecord) -> bool {
    const DASHES: usize = 3;
    let is_line = |cell: &str| cell.len() >= DASHES && cell.bytes().all(|byte| byte == b'-');
    cells.iter().all(|cell| cell.trim().is_empty() || is_line(cell.trim()))
}

/// Counts lines forward.
#[derive(Debug)]
pub(super) struct Lines<'t> {
    text: &'t [u8],
    at: usize,
    line: usize,
}

impl<'t> Lines<'t> {
    /// From the beginning of a text.
    pub(super) const fn of_text(text: &'t str) -> Self {
        Self { text: text.as_bytes(), at: 0, line: 1 }
    }

    /// The line of a byte, which does not lie before the one asked for last.
    pub(super) fn at(&mut self, byte: usize) -> usize {
        self.go_to(byte);
        self.line
    }

    /// The line of the first row from a byte on: empty lines and remarks before it are passed over.
    fn of(&mut self, start: usize) -> usize {
        self.go_to(start);
        loop {
            let rest = self.text.get(self.at..).unwrap_or_default();
            match rest.first() {
                Some(b'\n' | b'\r') => self.go_to(self.at + 1),
                Some(byte) if *byte == COMMENT as u8 => {
                    let length =
                        rest.iter().position(|byte| matches!(byte, b'\n' | b'\r')).unwrap_or(rest.len());
                    self.go_to(self.at + length);
                }
                _ => return self.line,
            }
        }
    }

    fn go_to(&mut self, byte: usize) {
        let end = byte.clamp(self.at, self.text.len());
        let ended = (self.at..end).filter(|at| ends_line(self.text, *at));
        self.line += ended.count();
        self.at = end;
    }
}

/// Whether a line ends with a byte: a line feed, or a carriage return without one behind it.
fn ends_line(text: &[u8], at: usize) -> bool {
    text[at] == b'\n' || (text[at] == b'\r' && text.get(at + 1) != Some(&b'\n'))
}

/// The line of a quotation mark that opens a cell and is not closed before the text ends.
fn unclosed_quote(text: &str, delimiter: u8) -> Option<usize> {
    let bytes = text.as_bytes();
    let (mut line, mut opened, mut starts) = (1, None, true);
    let mut at = 0;
    while let Some(byte) = bytes.get(at) {
        match (byte, opened) {
            // Two of them within a cell are one that is meant.
            (b'"', Some(_)) if bytes.get(at + 1) == Some(&b'"') => at += 1,
            (b'"', Some(_)) => opened = None,
            (b'"', None) if starts => opened = Some(line),
            _ => {}
        }
        line += usize::from(ends_line(bytes, at));
        starts = opened.is_none() && (*byte == delimiter || matches!(byte, b'\n' | b'\r'));
        at += 1;
    }
    opened
}

#[cfg(test)]
mod tests {
    use super::{Table, delimiter_of};
    use crate::lists::Delimiter;
    use crate::lists::cells::{Limits, TooMany};

    fn cut(text: &str, delimiter: Option<Delimiter>) -> Table {
        super::cut(text, delimiter, Limits::USUAL)
    }

    fn cells(table: &Table) -> Vec<(usize, Vec<&str>)> {
        table.rows.from(0).iter().map(|row| (row.line, row.cells().collect())).collect()
    }

    #[test]
    fn the_examples_of_rfc_4180() {
        // RFC 4180, section 2, rules 1, 2 and 5 to 7.
        for text in [
            "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
            "aaa,bbb,ccc\r\nzzz,yyy,xxx",
            "\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx",
        ] {
            let table = cut(text, Some(Delimiter::Comma));
            assert_eq!(
                cells(&table),
                [(1, vec!["aaa", "bbb", "ccc"]), (2, vec!["zzz", "yyy", "xxx"])],
                "{text}"
            );
        }
        let table = cut("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", Some(Delimiter::Comma));
        assert_eq!(cells(&table), [(1, vec!["aaa", "b\r\nbb", "ccc"]), (3, vec!["zzz", "yyy", "xxx"])]);
        let table = cut("\"aaa\",\"b\"\"bb\",\"ccc\"", Some(Delimiter::Comma));
        assert_eq!(cells(&table), [(1, vec!["aaa", "b\"bb", "ccc"])]);
    }

    #[test]
    fn lines_are_counted_through_empty_ones_and_remarks() {
        let old = cut("a,b\rc,d\r", Some(Delimiter::Comma));
        assert_eq!(cells(&old), [(1, vec!["a", "b"]), (2, vec!["c", "d"])]);
        let table = cut("# a remark\n\na,b\n\n\n# another\nc,d\n---,-----\ne,f\n", Some(Delimiter::Comma));
        assert_eq!(cells(&table), [(3, vec!["a", "b"]), (7, vec!["c", "d"]), (9, vec!["e", "f"])]);
    }

    #[test]
    fn a_quotation_mark_that_is_never_closed_does_not_swallow_the_rest() {
        let table = cut("a,b\nc,\"d\ne,f\n", Some(Delimiter::Comma));
        assert_eq!(table.unclosed, Some(2));
        assert_eq!(table.rows.count(), 3);
        assert_eq!(
            cut("a,5\" wide\n", Some(Delimiter::Comma)).unclosed,
            None,
            "a mark within a cell opens nothing"
        );
    }

    #[test]
    fn no_more_is_kept_than_the_limits_let_in() {
        let usual = Limits::USUAL;
        for (limits, kept, too_many) in [
            (usual, 3, None),
            (Limits { rows: 3, ..usual }, 3, None),
            (Limits { rows: 2, ..usual }, 2, Some(TooMany::Rows(2))),
            (Limits { columns: 2, ..usual }, 2, Some(TooMany::Columns(2, 2))),
            (Limits { bytes: 4, ..usual }, 2, Some(TooMany::Bytes)),
        ] {
            let table = super::cut("a,b\nc,d,e\nf,g\n", Some(Delimiter::Comma), limits);
            assert_eq!((table.rows.count(), table.rows.too_many()), (kept, too_many), "{limits:?}");
        }
    }

    #[test]
    fn the_delimiter_is_found() {
        for (text, delimiter) in [
            ("name,ra,dec\na,1,2\n", Some(Delimiter::Comma)),
            ("name;ra;dec\na;1,5;2,5\nb;1,6;2,6\n", Some(Delimiter::Semicolon)),
            ("name\tra\tdec\na, the first\t1\t2\n", Some(Delimiter::Tab)),
            ("name|ra|dec\na|1|2\n", Some(Delimiter::Pipe)),
            ("name,ra,dec\n\"a; b\",1,2\n\"c; d\",1,2\n", Some(Delimiter::Comma)),
            ("08 34 31.9 +12 00 52\n08 34 31.9 +12 00 52\n", None),
            ("08 34 31,9 +12 00 52,1\n", None),
            ("", None),
        ] {
            assert_eq!(delimiter_of(text), delimiter, "{text}");
        }
    }
}
