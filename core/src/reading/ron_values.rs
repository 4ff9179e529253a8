//! Whether a text is RON, what a value in it says, and what a fault in its grammar means.

use ron::error::{Error, SpannedError};
use ron::extensions::Extensions;
use ron::{Deserializer, Options};
use serde::de::{DeserializeOwned, Deserializer as _, IgnoredAny};

/// How all files are read: `Some(...)` may be left out round an optional value.
pub(super) fn options() -> Options {
    Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// Whether the text is RON at all, and if not, the first fault in its grammar.
pub(super) fn judge(text: &str) -> Result<(), SpannedError> {
    let mut deserializer = Deserializer::from_str_with_options(text, &options())?;
    deserializer
        .deserialize_ignored_any(IgnoredAny)
        .and_then(|_| deserializer.end())
        .map_err(|error| deserializer.span_error(error))
}

/// One value of a known type.
pub(super) fn value<T: DeserializeOwned>(text: &str) -> Result<T, Error> {
    options().from_str(text).map_err(|error| error.code)
}

/// A plain number such as `-12.5`, without the machinery of RON: a catalogue has a hundred thousand of them.
pub(super) fn plain_number(text: &str) -> Option<f64> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let is_plain = digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.ends_with(|c: char| c.is_ascii_digit())
        && digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    text.parse().ok().filter(|_| is_plain)
}

/// A text between quotation marks in which nothing is escaped; the same way.
pub(super) fn plain_text(text: &str) -> Option<&str> {
    let inner = text.strip_prefix('"')?.strip_suffix('"')?;
    (!inner.bytes().any(|byte| matches!(byte, b'"' | b'\\' | b'\r'))).then_some(inner)
}

/// What a fault in the grammar means, and what to do about it.
pub(super) fn syntax_words(code: &Error) -> (String, String) {
    let (message, remedy) = match code {
        Error::Eof => ("the file ends too early", "Close every bracket and quotation mark that was opened"),
        Error::ExpectedComma => ("a comma is missing before this", "Put a comma after each item"),
        Error::ExpectedStructLikeEnd | Error::ExpectedOptionEnd => {
            ("expected a comma or the closing `)`", "Put a comma after each item and close the bracket")
        }
        Error::ExpectedArrayEnd => {
            ("expected a comma or the closing `]`", "Put a comma after each item and close the bracket")
        }
        Error::ExpectedMapColon => ("expected a colon after the key", "Write `key: value`"),
        Error::ExpectedString | Error::ExpectedStringEnd => {
            ("a text is not closed", "Put text between two quotation marks")
        }
        Error::ExpectedIdentifier => ("expected a key", "Write `key: value`"),
        Error::ExpectedAttribute => (
            "this is no RON: expected `(`",
            "Begin the file with `(` and close it with `)`; `//` starts a comment",
        ),
        Error::TrailingCharacters => {
            ("something stands after the end of the file's `( ... )`", "Remove it, or move it inside")
        }
        Error::UnclosedBlockComment => ("a comment is not closed", "Close it with `*/`"),
        Error::ExceededRecursionLimit => ("brackets are nested too deeply", "Remove the surplus brackets"),
        other => return (lower_first(&other.to_string()), "Compare with the demo file of this kind".into()),
    };
    (message.into(), remedy.into())
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::{plain_number, plain_text, value};

    #[test]
    fn what_is_plain_is_read_as_ron_reads_it() {
        for text in [
            "0",
            "-1.5",
            "007",
            "12.25",
            "128.632916667",
            "1e5",
            "+1",
            "1.",
            ".5",
            "1_000",
            "--1",
            "",
            "-",
            "1.2.3",
        ] {
            if let Some(number) = plain_number(text) {
                assert_eq!(value::<f64>(text).as_ref(), Ok(&number), "{text}");
            }
        }
        for text in ["\"\"", "\"Lamp\"", "\"é // no comment\"", "\"a\\\"b\"", "r\"a\"", "\"", "\"a\" \"b\""]
        {
            if let Some(plain) = plain_text(text) {
                assert_eq!(value::<String>(text).as_deref(), Ok(plain), "{text}");
            }
        }
        assert_eq!((plain_number("-12.5"), plain_text("\"Lamp\"")), (Some(-12.5), Some("Lamp")));
    }
}
