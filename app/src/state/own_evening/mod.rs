//! An evening of one's own, from nothing: what is asked for site, telescope, ports and evening, judged as it is typed, and
//! written as the four files that an evening is made of.
//!
//! [`OwnField`] is every question with its unit and range, `judge` says what is wrong or odd with an answer, `files` makes
//! the texts. The catalogue is the demonstration's.

mod field;
mod files;
mod judge;
pub(super) mod number;

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use chrono::{Datelike, Days, NaiveDate, Weekday};
use evenfall_core::time::Instant;

pub use field::{OwnField, PortTemplate};
pub use judge::Judgement;

use super::NewFile;

/// What has been answered so far.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnForm {
    texts: BTreeMap<OwnField, String>,
    ports: BTreeSet<PortTemplate>,
    /// The folder that is suggested follows the name of the site until it is typed over.
    documents: Option<PathBuf>,
    folder_typed: bool,
    is_begun: bool,
    /// Whether the files are being written.
    pub making: bool,
    /// Why they could not be written.
    pub trouble: Option<String>,
}

impl OwnForm {
    /// The questions with their usual answers: the Saturday after `now`, all four ports.
    pub fn new(now: Instant, documents: Option<PathBuf>) -> Self {
        let mut texts: BTreeMap<_, _> =
            OwnField::ALL.into_iter().map(|field| (field, field.usual().to_owned())).collect();
        texts.insert(OwnField::Date, next_saturday(now.to_utc().date_naive()).format("%Y-%m-%d").to_string());
        let mut form = Self {
            texts,
            ports: PortTemplate::ALL.into(),
            documents,
            folder_typed: false,
            is_begun: false,
            making: false,
            trouble: None,
        };
        form.suggest_folder();
        form
    }

    /// What stands in a field.
    pub fn text(&self, field: OwnField) -> &str {
        self.texts.get(&field).map_or("", String::as_str)
    }

    /// Puts an answer in a field.
    pub fn put(&mut self, field: OwnField, text: String) {
        self.texts.insert(field, text);
        self.trouble = None;
        self.is_begun = true;
        match field {
            OwnField::Folder => self.folder_typed = true,
            OwnField::SiteName if !self.folder_typed => self.suggest_folder(),
            _ => {}
        }
    }

    /// Whether the telescope has this port.
    pub fn has_port(&self, port: PortTemplate) -> bool {
        self.ports.contains(&port)
    }

    /// Whether anything would be lost with it.
    pub const fn is_begun(&self) -> bool {
        self.is_begun
    }

    /// Takes a port on, or off.
    pub fn set_port(&mut self, port: PortTemplate, has: bool) {
        self.trouble = None;
        self.is_begun = true;
        if has {
            self.ports.insert(port);
        } else {
            self.ports.remove(&port);
        }
    }

    /// The fields that count: those of ports that are not there do not.
    pub fn asked(&self) -> impl Iterator<Item = OwnField> + '_ {
        OwnField::ALL.into_iter().filter(|field| field.port().is_none_or(|port| self.has_port(port)))
    }

    /// The fields that keep the evening from being made.
    pub fn open_fields(&self) -> Vec<OwnField> {
        let stands = |field: &OwnField| !self.judge(*field).lets_go_on();
        self.asked().filter(stands).collect()
    }

    /// The files, the evening's own first; `None` while something is missing or wrong.
    pub fn files(&self) -> Option<Vec<NewFile>> {
        if self.ports.is_empty() || !self.open_fields().is_empty() {
            return None;
        }
        files::of(self)
    }

    fn suggest_folder(&mut self) {
        let name = match slug(self.text(OwnField::SiteName)) {
            name if name.is_empty() => "my-park".to_owned(),
            name => name,
        };
        let folder =
            self.documents.as_ref().map_or_else(|| PathBuf::from(&name), |folder| folder.join(&name));
        self.texts.insert(OwnField::Folder, folder.display().to_string());
    }
}

/// A name of a file: small letters, digits and hyphens.
pub(super) fn slug(name: &str) -> String {
    let kept = |letter: char| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { '-' };
    let slug: String = name.chars().take(40).map(kept).collect();
    slug.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
}

fn next_saturday(from: NaiveDate) -> NaiveDate {
    let ahead = (Weekday::Sat.num_days_from_monday() + 7 - from.weekday().num_days_from_monday()) % 7;
    from.checked_add_days(Days::new(u64::from(ahead))).unwrap_or(from)
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::{next_saturday, slug};

    #[test]
    fn names_of_files_are_plain() {
        assert_eq!(slug("Heron Fell – Country Park"), "heron-fell-country-park");
        assert_eq!(slug("../../etc"), "etc");
        assert_eq!(slug("天文台"), "");
    }

    #[test]
    fn the_date_suggested_is_a_saturday_within_the_week() {
        let day = |day| NaiveDate::from_ymd_opt(2027, 3, day).unwrap();
        assert_eq!(
            [next_saturday(day(13)), next_saturday(day(14)), next_saturday(day(19))],
            [day(13), day(20), day(20)]
        );
    }
}
