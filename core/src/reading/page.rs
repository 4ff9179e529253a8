//! One file being read: its text, the faults found so far, and where in it a value stands.

use std::cell::{OnceCell, RefCell};

use ron::error::{Error, Position};

use super::cuts::{group_values, value_start};
use super::fields::Fields;
use super::ron_values::{judge, syntax_words};
use super::{Fault, Faults};

/// The key that every file begins with.
const FORMAT_KEY: &str = "format";
const FORMAT_WORDS: &str = "the format and its version in quotation marks";

/// A file being read.
pub(super) struct Page<'t> {
    file: &'t str,
    text: &'t str,
    faults: RefCell<Faults>,
    /// Where each line begins, once a fault is placed: there may be as many faults as lines.
    lines: OnceCell<Vec<usize>>,
}

impl<'t> Page<'t> {
    fn new(file: &'t str, text: &'t str) -> Self {
        Self {
            file,
            text: text.strip_prefix('\u{feff}').unwrap_or(text),
            faults: RefCell::default(),
            lines: OnceCell::new(),
        }
    }

    /// The faults, in the order of the file.
    fn into_faults(self) -> Faults {
        let mut faults = self.faults.into_inner();
        faults.sort_by_key(|fault| (fault.line, fault.column));
        faults
    }

    /// Notes a fault of `key` at a byte of the text.
    pub(super) fn fault(&self, offset: usize, key: &str, message: String, remedy: String) {
        let (line, column) = self.line_and_column(offset);
        let (file, key) = (self.file.to_owned(), key.to_owned());
        self.faults.borrow_mut().push(Fault { file, line, column, key, message, remedy });
    }

    /// Line and column from 1, the column in characters.
    fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let after = |(at, _): (usize, &str)| at + 1;
        let lines = self
            .lines
            .get_or_init(|| std::iter::once(0).chain(self.text.match_indices('\n').map(after)).collect());
        let line = lines.partition_point(|start| *start <= offset);
        let start = line.checked_sub(1).map_or(0, |line| lines[line]);
        let before = self.text.get(start..offset).unwrap_or_default();
        (line.max(1), before.chars().count() + 1)
    }

    /// How many faults there are so far.
    pub(super) fn fault_count(&self) -> usize {
        self.faults.borrow().len()
    }

    /// Where a slice of the text begins in it, in bytes.
    pub(super) fn offset_of(&self, slice: &str) -> usize {
        slice.as_ptr().addr().saturating_sub(self.text.as_ptr().addr())
    }
}

/// Reads a file of a given format by handing its fields to `read`: all of it or its faults, in the order of the file.
///
/// # Errors
/// All faults found.
pub fn read_whole<T>(
    file: &str,
    text: &str,
    format: &str,
    read: impl FnOnce(&Fields<'_>) -> Option<T>,
) -> Result<T, Faults> {
    match read_parts(file, text, format, read) {
        (Some(made), faults) if faults.is_empty() => Ok(made),
        (_, faults) => Err(faults),
    }
}

/// As [`read_whole`], but what `read` makes comes back beside the faults. It is up to `read` to leave faulty parts
/// out, as [`Fields::entries`] does.
pub fn read_parts<T>(
    file: &str,
    text: &str,
    format: &str,
    read: impl FnOnce(&Fields<'_>) -> Option<T>,
) -> (Option<T>, Faults) {
    let page = Page::new(file, text);
    let made = open(&page, format).and_then(|fields| {
        let made = read(&fields);
        fields.close();
        made
    });
    (made, page.into_faults())
}

/// The format that a file says it has.
///
/// # Errors
/// The fault in the file's grammar, or that it names no format.
pub fn format_of(file: &str, text: &str) -> Result<String, Faults> {
    let page = Page::new(file, text);
    let format = top(&page).and_then(|fields| fields.read_required(FORMAT_KEY, FORMAT_WORDS));
    format.ok_or_else(|| page.into_faults())
}

/// What stands above the first bracket of a file: its comments.
pub fn comments_above(text: &str) -> &str {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    text.get(..value_start(text)).unwrap_or_default()
}

/// The fields of the file, if its format is right.
fn open<'p>(page: &'p Page<'p>, format: &str) -> Option<Fields<'p>> {
    let fields = top(page)?;
    let found: String = fields.read_required(FORMAT_KEY, FORMAT_WORDS)?;
    if found == format {
        return Some(fields);
    }
    let message = format!("expected \"{format}\", found \"{found}\"");
    fields.fault(FORMAT_KEY, message, wrong_format_remedy(&found, format));
    None
}

/// The fields of the file, if its grammar is right.
fn top<'p>(page: &'p Page<'p>) -> Option<Fields<'p>> {
    if let Err(error) = judge(page.text) {
        let (message, remedy) = syntax_words(&error.code);
        let place = if error.code == Error::Eof { error.span.end } else { error.span.start };
        page.fault(offset_of_place(page.text, place), "", message, remedy);
        return None;
    }
    let start = value_start(page.text);
    let Some(values) = group_values(page.text.get(start..).unwrap_or_default()) else {
        let message =
            "expected keys and values between round brackets, such as `(format: \"...\", name: \"...\")`";
        page.fault(0, "", message.into(), "Compare with the demo file of this kind".into());
        return None;
    };
    Some(Fields::new(page, String::new(), start, values))
}

fn wrong_format_remedy(found: &str, expected: &str) -> String {
    let kind = |format: &str| format.split('/').next().unwrap_or_default().to_owned();
    if kind(found) == kind(expected) {
        format!("This version of Evenfall reads {expected} only")
    } else {
        "Give a file of the kind that is expected here, or correct its format".into()
    }
}

/// The byte of a line and column.
fn offset_of_place(text: &str, place: Position) -> usize {
    let line_start: usize = text.split_inclusive('\n').take(place.line.saturating_sub(1)).map(str::len).sum();
    let rest = text.get(line_start..).unwrap_or_default();
    line_start + rest.chars().take(place.col.saturating_sub(1)).map(char::len_utf8).sum::<usize>()
}

#[cfg(test)]
mod tests {
    use super::{format_of, read_whole};

    fn faults(text: &str) -> Vec<String> {
        let read = read_whole("my.ron", text, "thing/1", |fields| {
            let (name, size) = (fields.name("name"), fields.number("size_mm", 1.0..=9.0));
            let parts = fields.entries("parts", |part| Some(part.count("teeth", 1..=40)));
            Some((name, size, parts))
        });
        read.err().unwrap_or_default().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn all_faults_are_listed_with_their_places() {
        let text = "(\n format: \"thing/1\",\n nmae: \"cog\",\n size_mm: 12,\n parts: [(teeth: 3), (teeth: 1.5),\n  (tooth: 4)],\n)";
        let expected = [
            "my.ron:1:1: name: the key is missing. Add `name: ...` with a text in quotation marks",
            "my.ron:3:2: nmae: there is no key `nmae` here. Did you mean `name`? Known here: format, name, size_mm, parts",
            "my.ron:4:11: size_mm: 12 is out of range. Give a number from 1 to 9 millimetres",
            "my.ron:5:30: parts[1].teeth: expected a whole number from 1 to 40, found `1.5`",
            "my.ron:6:3: parts[2].teeth: the key is missing. Add `teeth: ...` with a whole number from 1 to 40",
            "my.ron:6:4: parts[2].tooth: there is no key `tooth` here. Did you mean `teeth`? Known here: teeth",
        ];
        assert_eq!(faults(text), expected);
    }

    #[test]
    fn a_fault_in_the_grammar_has_its_place() {
        let missing_comma = faults("(\n format: \"thing/1\"\n name: \"cog\",\n)");
        assert_eq!(missing_comma.len(), 1);
        assert!(
            missing_comma[0].starts_with("my.ron:3:2: a comma is missing before this"),
            "{missing_comma:?}"
        );
        assert!(
            faults("(format: \"thing/1\", parts: [")[0].starts_with("my.ron:1:29: the file ends too early")
        );
        assert!(faults("")[0].starts_with("my.ron:1:1: "));
        assert!(faults("[1, 2]")[0].contains("expected keys and values between round brackets"));
        assert!(faults(&"(".repeat(5000))[0].contains("nested too deeply"));
    }

    #[test]
    fn columns_count_characters_and_a_byte_order_mark_does_not_matter() {
        let text = "\u{feff}(format: \"thing/1\", name: \"Skáld\", size_mm: true, parts: [])";
        assert_eq!(
            faults(text),
            ["my.ron:1:45: size_mm: expected a number from 1 to 9 millimetres, found `true`"]
        );
        assert_eq!(format_of("my.ron", text).as_deref(), Ok("thing/1"));
    }

    #[test]
    fn another_format_or_version_says_what_to_do() {
        assert!(faults("(format: \"thing/2\")")[0].ends_with("This version of Evenfall reads thing/1 only"));
        assert!(faults("(format: \"other/1\")")[0].contains("expected \"thing/1\", found \"other/1\""));
        assert!(faults("(name: \"x\")")[0].contains("format: the key is missing"));
    }

    #[test]
    fn a_key_given_twice_is_a_fault() {
        let text = "(format: \"thing/1\", name: \"a\", name: \"b\", size_mm: 2, parts: [])";
        assert_eq!(faults(text), ["my.ron:1:32: name: the key is given twice. Keep one"]);
    }
}
