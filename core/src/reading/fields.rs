//! The keys of one group in a file, asked for by name; what is missing, surplus or doubled is a fault.

use std::cell::{Cell, RefCell};
use std::collections::HashSet;

use ron::error::Error;
use serde::de::DeserializeOwned;

use super::cuts::{KeyedValues, group_values, list_values};
use super::nearest::nearest_remedy;
use super::page::Page;
use super::ron_values::{plain_number, plain_text, value};

/// What a text should be.
pub(super) const TEXT_WORDS: &str = "a text in quotation marks";

/// The keys of one group: the whole file, an entry of a list, or a group within.
pub struct Fields<'p> {
    page: &'p Page<'p>,
    /// Path of the group, such as `targets[3]`; empty for the whole file.
    path: String,
    start: usize,
    values: Vec<Value<'p>>,
    /// Where the key behind the one last found stands: readers mostly ask in the order of the file.
    next: Cell<usize>,
    /// What was asked for, some of it more than once.
    asked: RefCell<Vec<&'static str>>,
}

/// A key with its value as text.
struct Value<'p> {
    key: &'p str,
    text: &'p str,
    asked: Cell<bool>,
}

impl<'p> Fields<'p> {
    pub(super) fn new(page: &'p Page<'p>, path: String, start: usize, values: KeyedValues<'p>) -> Self {
        let asked = RefCell::new(Vec::with_capacity(2 * values.len()));
        let mut fields = Self { page, path, start, values: Vec::new(), next: Cell::new(0), asked };
        let mut seen = HashSet::with_capacity(values.len());
        let (first, again): (Vec<_>, Vec<_>) = values.into_iter().partition(|(key, _)| seen.insert(*key));
        for (key, _) in again {
            fields.key_fault(key, "the key is given twice".to_owned(), "Keep one".into());
        }
        let unasked = |(key, text)| Value { key, text, asked: Cell::new(false) };
        fields.values = first.into_iter().map(unasked).collect();
        fields
    }

    /// Notes a fault of a key, at its value if it has one.
    pub fn fault(&self, key: &str, message: impl Into<String>, remedy: impl Into<String>) {
        self.page.fault(self.offset(key), &self.key_path(key), message.into(), remedy.into());
    }

    /// Notes a fault of one value of a list, at that value.
    pub fn item_fault(
        &self,
        key: &'static str,
        index: usize,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        let text = self.list_texts(key).get(index).copied();
        let offset = text.map_or_else(|| self.offset(key), |text| self.page.offset_of(text));
        let path = format!("{}[{index}]", self.key_path(key));
        self.page.fault(offset, &path, message.into(), remedy.into());
    }

    /// Whether the file gives the key.
    pub fn has(&self, key: &'static str) -> bool {
        self.value(key).is_some()
    }

    /// Those of some keys that the file gives, in its order.
    pub fn given(&self, keys: &[&'static str]) -> Vec<&'static str> {
        let mut given: Vec<_> = keys.iter().copied().filter(|key| self.has(key)).collect();
        given.sort_by_key(|key| self.offset(key));
        given
    }

    /// A value that must be there; `None` is noted as a fault. `expected` says what it should be.
    pub fn read_required<T: DeserializeOwned>(&self, key: &'static str, expected: &str) -> Option<T> {
        self.required(key, || expected.to_owned())
    }

    /// As [`Self::read_required`], with words that are made only for a fault.
    pub(super) fn required<T: DeserializeOwned>(
        &self,
        key: &'static str,
        expected: impl FnOnce() -> String,
    ) -> Option<T> {
        let Some(found) = self.value(key) else {
            self.missing(key, &expected());
            return None;
        };
        self.parse(found.text, expected, || self.key_path(key))
    }

    /// A number that needs no more than a glance.
    pub(super) fn number_at_a_glance(&self, key: &'static str) -> Option<f64> {
        plain_number(self.value(key)?.text)
    }

    /// A text that needs no more than a glance.
    pub(super) fn text_at_a_glance(&self, key: &'static str) -> Option<&'p str> {
        plain_text(self.value(key)?.text)
    }

    /// A value that may be left out.
    pub fn read_optional<T: DeserializeOwned>(&self, key: &'static str, expected: &str) -> Option<T> {
        self.optional(key, || expected.to_owned())
    }

    /// As [`Self::read_optional`], with words that are made only for a fault.
    pub(super) fn optional<T: DeserializeOwned>(
        &self,
        key: &'static str,
        expected: impl FnOnce() -> String,
    ) -> Option<T> {
        let found = self.value(key)?;
        self.parse::<Option<T>>(found.text, expected, || self.key_path(key)).flatten()
    }

    /// A group that must be there.
    pub fn group<T>(&self, key: &'static str, read: impl FnOnce(&Fields<'p>) -> Option<T>) -> Option<T> {
        if !self.has(key) {
            self.missing(key, "a group between round brackets");
            return None;
        }
        self.optional_group(key, read)
    }

    /// A group that may be left out.
    pub fn optional_group<T>(
        &self,
        key: &'static str,
        read: impl FnOnce(&Fields<'p>) -> Option<T>,
    ) -> Option<T> {
        let found = self.value(key).filter(|found| found.text != "None")?;
        self.read_group(found.text, self.key_path(key), read)
    }

    /// A list of groups, read entry by entry: faulty entries are noted and left out, so one bad entry does not hide
    /// the others. Each that could be read comes with its position. A missing list is a fault.
    pub fn entries<T>(
        &self,
        key: &'static str,
        mut read: impl FnMut(&Fields<'p>) -> Option<T>,
    ) -> Vec<(usize, T)> {
        if !self.has(key) {
            self.missing(key, "a list between square brackets");
        }
        let mut entries = Vec::new();
        for (index, text) in self.list_texts(key).into_iter().enumerate() {
            let path = format!("{}[{index}]", self.key_path(key));
            entries.extend(self.read_group(text, path, &mut read).map(|entry| (index, entry)));
        }
        entries
    }

    /// A list of texts, read one by one; a missing list is empty.
    pub(super) fn text_values(&self, key: &'static str) -> Vec<String> {
        let texts = self.list_texts(key);
        let plain: Option<Vec<&str>> = texts.into_iter().map(plain_text).collect();
        match plain {
            Some(plain) => plain.into_iter().map(ToOwned::to_owned).collect(),
            None => self.values(key, TEXT_WORDS),
        }
    }

    /// A list of plain values, read one by one; a missing list is empty.
    pub fn values<T: DeserializeOwned>(&self, key: &'static str, expected: &str) -> Vec<T> {
        let texts = self.list_texts(key);
        let read = texts.into_iter().enumerate().map(|(index, text)| {
            self.parse(text, || expected.to_owned(), || format!("{}[{index}]", self.key_path(key)))
        });
        read.flatten().collect()
    }

    /// Reads nothing of this group, and counts none of its keys as one that nobody asked for.
    pub fn pass_over<T>(&self) -> Option<T> {
        self.values.iter().for_each(|value| value.asked.set(true));
        None
    }

    /// How many faults the file has so far; more than before means that something just read is faulty.
    pub fn fault_count(&self) -> usize {
        self.page.fault_count()
    }

    /// Notes every key that nobody asked for.
    pub(super) fn close(&self) {
        let surplus: Vec<_> = self.values.iter().filter(|value| !value.asked.get()).collect();
        if surplus.is_empty() {
            return;
        }
        let mut known = self.asked.borrow().clone();
        let mut seen = HashSet::new();
        known.retain(|key| seen.insert(*key));
        for value in surplus {
            let message = format!("there is no key `{}` here", value.key);
            self.key_fault(value.key, message, nearest_remedy(value.key, &known));
        }
    }

    /// Where the value of a key begins, or else the group.
    pub(super) fn offset(&self, key: &str) -> usize {
        let found = self.values.iter().find(|value| value.key == key);
        found.map_or(self.start, |value| self.page.offset_of(value.text))
    }

    fn value(&self, key: &'static str) -> Option<&Value<'p>> {
        self.asked.borrow_mut().push(key);
        let (before, behind) = self.values.split_at(self.next.get());
        let is_asked = |value: &Value<'_>| value.key == key;
        let position = match behind.iter().position(is_asked) {
            Some(position) => before.len() + position,
            None => before.iter().position(is_asked)?,
        };
        let found = &self.values[position];
        found.asked.set(true);
        self.next.set(position + 1);
        Some(found)
    }

    fn missing(&self, key: &str, expected: &str) {
        let message = "the key is missing".to_owned();
        self.page.fault(
            self.start,
            &self.key_path(key),
            message,
            format!("Add `{key}: ...` with {expected}"),
        );
    }

    fn parse<T: DeserializeOwned>(
        &self,
        text: &str,
        expected: impl FnOnce() -> String,
        path: impl FnOnce() -> String,
    ) -> Option<T> {
        value(text)
            .map_err(|error| {
                let (message, remedy) = value_words(&error, text, &expected());
                self.page.fault(self.page.offset_of(text), &path(), message, remedy);
            })
            .ok()
    }

    fn read_group<T>(
        &self,
        text: &'p str,
        path: String,
        read: impl FnOnce(&Fields<'p>) -> Option<T>,
    ) -> Option<T> {
        let before = self.fault_count();
        let start = self.page.offset_of(text);
        let values = if text.starts_with('(') { group_values(text) } else { None };
        let Some(values) = values else {
            let message = format!("expected keys and values between round brackets, found {}", shown(text));
            self.page.fault(start, &path, message, "Write `(key: value, ...)`".into());
            return None;
        };
        let group = Fields::new(self.page, path, start, values);
        let made = read(&group);
        group.close();
        made.filter(|_| self.fault_count() == before)
    }

    fn list_texts(&self, key: &'static str) -> Vec<&'p str> {
        let Some(found) = self.value(key) else { return Vec::new() };
        let Some(list) = list_values(found.text) else {
            let message = format!("expected a list between square brackets, found {}", shown(found.text));
            self.fault(key, message, format!("Write `{key}: [ ... ]`"));
            return Vec::new();
        };
        list
    }

    fn key_path(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// Notes a fault at a key itself.
    fn key_fault(&self, key: &str, message: String, remedy: String) {
        self.page.fault(self.page.offset_of(key), &self.key_path(key), message, remedy);
    }
}

/// What is wrong with one value, and what to do about it.
fn value_words(error: &Error, text: &str, expected: &str) -> (String, String) {
    if let Error::NoSuchEnumVariant { expected: known, found, .. } = error {
        (format!("`{found}` is not one of the words known here"), nearest_remedy(found, known))
    } else {
        (format!("expected {expected}, found {}", shown(text)), String::new())
    }
}

/// A value as shown in a message: on one line, and not longer than 40 characters.
fn shown(text: &str) -> String {
    let line: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() > 40 {
        format!("`{} ...`", line.chars().take(36).collect::<String>())
    } else {
        format!("`{line}`")
    }
}
