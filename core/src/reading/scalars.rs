//! Numbers, texts, names and clock times with the rules that all files share.

use std::ops::RangeInclusive;

use chrono::{NaiveDate, NaiveTime};
use serde::de::DeserializeOwned;

use super::Fields;
use super::fields::TEXT_WORDS;
use super::key_unit::with_unit;

/// The longest name for people, in characters.
pub const LONGEST_NAME: usize = 60;

impl Fields<'_> {
    /// A number within a range. A faulty one is noted and replaced by the lower end of the range.
    pub fn number(&self, key: &'static str, range: RangeInclusive<f64>) -> f64 {
        self.number_or(key, range, "")
    }

    /// As [`Self::number`], with words of its own on what to do about a number out of range.
    pub fn number_or(&self, key: &'static str, range: RangeInclusive<f64>, remedy: &str) -> f64 {
        if let Some(number) = self.number_at_a_glance(key).filter(|number| range.contains(number)) {
            return number;
        }
        let number = self.required(key, || number_words(key, &range));
        number.and_then(|number| self.within(key, number, &range, remedy)).unwrap_or(*range.start())
    }

    /// A number within a range that may be left out.
    pub fn optional_number(&self, key: &'static str, range: RangeInclusive<f64>) -> Option<f64> {
        if let Some(number) = self.number_at_a_glance(key).filter(|number| range.contains(number)) {
            return Some(number);
        }
        let number = self.optional(key, || number_words(key, &range))?;
        self.within(key, number, &range, "")
    }

    /// Two numbers within a range, such as `(14.0, 12.0)`.
    pub fn pair(&self, key: &'static str, range: RangeInclusive<f64>) -> (f64, f64) {
        let pair = self.required(key, || pair_words(key, &range));
        pair.and_then(|pair| self.pair_within(key, pair, &range)).unwrap_or((*range.start(), *range.start()))
    }

    /// Two numbers within a range that may be left out.
    pub fn optional_pair(&self, key: &'static str, range: RangeInclusive<f64>) -> Option<(f64, f64)> {
        let pair = self.optional(key, || pair_words(key, &range))?;
        self.pair_within(key, pair, &range)
    }

    /// A whole number within a range. A faulty one is noted and replaced by the lower end of the range.
    pub fn count(&self, key: &'static str, range: RangeInclusive<u32>) -> u32 {
        let count = self.required(key, || count_words(key, &range));
        count.and_then(|count| self.count_within(key, count, &range)).unwrap_or(*range.start())
    }

    /// A whole number within a range that may be left out.
    pub fn optional_count(&self, key: &'static str, range: RangeInclusive<u32>) -> Option<u32> {
        let count = self.optional(key, || count_words(key, &range))?;
        self.count_within(key, count, &range)
    }

    /// One word out of a known few.
    pub fn word<T: DeserializeOwned>(&self, key: &'static str) -> Option<T> {
        self.read_required(key, "one word without quotation marks")
    }

    /// A name for people.
    pub fn name(&self, key: &'static str) -> String {
        self.text(key, LONGEST_NAME)
    }

    /// A text of at least one and at most `longest` characters, on one line.
    pub fn text(&self, key: &'static str, longest: usize) -> String {
        let plain = self.text_at_a_glance(key).map(ToOwned::to_owned);
        let text = plain.or_else(|| self.read_required(key, TEXT_WORDS));
        text.and_then(|text| self.good_text(key, text, longest)).unwrap_or_default()
    }

    /// A text that may be left out; it may be empty.
    pub fn optional_text(&self, key: &'static str, longest: usize) -> Option<String> {
        let plain = self.text_at_a_glance(key).map(ToOwned::to_owned);
        let text: String = plain.or_else(|| self.read_optional(key, TEXT_WORDS))?;
        if text.is_empty() { Some(text) } else { self.good_text(key, text, longest) }
    }

    /// A list of texts of at most `longest` characters; a missing list is empty. A faulty one is noted at its place.
    pub fn texts(&self, key: &'static str, longest: usize) -> Vec<String> {
        let before = self.fault_count();
        let texts: Vec<String> = self.text_values(key);
        if self.fault_count() == before {
            for (index, text) in texts.iter().enumerate() {
                if let Some((message, remedy)) = text_trouble(text, longest) {
                    self.item_fault(key, index, message, remedy);
                }
            }
        }
        texts
    }

    /// The unchanging name of something in files: a-z, 0-9 and hyphens.
    pub fn identifier(&self, key: &'static str) -> String {
        let text = self.text(key, LONGEST_NAME);
        self.check_identifier(key, &text);
        text
    }

    /// As [`Self::identifier`], but it may be left out.
    pub fn optional_identifier(&self, key: &'static str) -> Option<String> {
        let text = self.optional_text(key, LONGEST_NAME)?;
        self.check_identifier(key, &text);
        Some(text)
    }

    /// A list of unchanging names; a missing list is empty.
    pub fn identifiers(&self, key: &'static str) -> Vec<String> {
        let names: Vec<String> = self.text_values(key);
        for name in &names {
            self.check_identifier(key, name);
        }
        names
    }

    /// A time on the local clock, such as `"18:30"`.
    pub fn clock_time(&self, key: &'static str) -> Option<NaiveTime> {
        let text: String = self.read_required(key, "a time on the local clock such as \"18:30\"")?;
        self.good_clock_time(key, &text)
    }

    /// A time on the local clock that may be left out.
    pub fn optional_clock_time(&self, key: &'static str) -> Option<NaiveTime> {
        let text: String = self.read_optional(key, "a time on the local clock such as \"18:30\"")?;
        self.good_clock_time(key, &text)
    }

    /// A date, such as `"2027-03-13"`.
    pub fn date(&self, key: &'static str) -> Option<NaiveDate> {
        let text: String = self.read_required(key, "a date such as \"2027-03-13\"")?;
        let date = NaiveDate::parse_from_str(&text, "%Y-%m-%d").ok();
        if date.is_none() {
            self.fault(key, format!("\"{text}\" is no date"), "Write year-month-day, such as \"2027-03-13\"");
        }
        date
    }

    /// The number, if it is within its range; without a remedy the range is told.
    fn within(&self, key: &str, number: f64, range: &RangeInclusive<f64>, remedy: &str) -> Option<f64> {
        let inside = range.contains(&number);
        if !inside {
            let usual = || format!("Give {}", number_words(key, range));
            let remedy = if remedy.is_empty() { usual() } else { remedy.to_owned() };
            self.fault(key, format!("{number} is out of range"), remedy);
        }
        inside.then_some(number)
    }

    fn count_within(&self, key: &str, count: u32, range: &RangeInclusive<u32>) -> Option<u32> {
        let inside = range.contains(&count);
        if !inside {
            let expected = count_words(key, range);
            self.fault(key, format!("{count} is out of range"), format!("Give {expected}"));
        }
        inside.then_some(count)
    }

    fn pair_within(&self, key: &str, pair: (f64, f64), range: &RangeInclusive<f64>) -> Option<(f64, f64)> {
        let (first, second) = (self.within(key, pair.0, range, ""), self.within(key, pair.1, range, ""));
        Some((first?, second?))
    }

    fn good_text(&self, key: &str, text: String, longest: usize) -> Option<String> {
        let Some((message, remedy)) = text_trouble(&text, longest) else { return Some(text) };
        self.fault(key, message, remedy);
        None
    }

    fn check_identifier(&self, key: &str, text: &str) {
        let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if !text.chars().all(good) {
            self.fault(
                key,
                format!("\"{text}\" can't be used as a name in files"),
                "Use a-z, 0-9 and hyphens only",
            );
        }
    }

    fn good_clock_time(&self, key: &str, text: &str) -> Option<NaiveTime> {
        let time =
            ["%H:%M", "%H:%M:%S%.f"].iter().find_map(|form| NaiveTime::parse_from_str(text, form).ok());
        if time.is_none() {
            self.fault(
                key,
                format!("\"{text}\" is no clock time"),
                "Write hours and minutes, such as \"18:30\"",
            );
        }
        time
    }
}

/// What is wrong with a text, and what to do about it.
fn text_trouble(text: &str, longest: usize) -> Option<(String, String)> {
    let length = text.chars().count();
    if text.trim().is_empty() {
        Some(("the text is empty".into(), "Write at least one word".into()))
    } else if text.chars().any(char::is_control) {
        let message = "the text holds a line break or another control character";
        Some((message.into(), "Write it on one line".into()))
    } else if length > longest {
        let remedy = format!("Shorten it to {longest} characters or fewer");
        Some((format!("the text has {length} characters"), remedy))
    } else {
        None
    }
}

fn number_words(key: &str, range: &RangeInclusive<f64>) -> String {
    with_unit(key, format!("a number from {} to {}", range.start(), range.end()))
}

fn count_words(key: &str, range: &RangeInclusive<u32>) -> String {
    with_unit(key, format!("a whole number from {} to {}", range.start(), range.end()))
}

fn pair_words(key: &str, range: &RangeInclusive<f64>) -> String {
    with_unit(key, format!("two numbers such as `(a, b)`, each from {} to {}", range.start(), range.end()))
}
