//! A target as it is being changed, or a new one: what is typed, judged as it is typed, and made into a target of the catalogue.
//!
//! [`TargetField`] is every question with its unit and range, `texts` what stands in the fields at first, `judge` what is wrong
//! with what is typed, `build` makes the target; `flow` asks and takes the answers.

mod build;
mod field;
mod flow;
mod judge;
mod texts;

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use evenfall_core::catalogue::{Kind, Public, Target, TargetId};
use evenfall_core::place::Source;

pub use field::TargetField;
pub(super) use flow::{ask, comes_back, follow, photos_looked_for, remove, set, show_new};

/// Kinds that can be chosen: the others have no fixed place.
pub const TARGET_KINDS: [Kind; 9] = [
    Kind::Star,
    Kind::DoubleStar,
    Kind::OpenCluster,
    Kind::GlobularCluster,
    Kind::PlanetaryNebula,
    Kind::Nebula,
    Kind::SupernovaRemnant,
    Kind::Galaxy,
    Kind::DarkNebula,
];

/// What the page is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TargetPage {
    /// The target of this identifier is changed.
    Change(TargetId),
    /// There is to be a new one.
    New,
    /// There is to be a new one like this one, behind it.
    Duplicate(TargetId),
}

/// The answers so far.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetForm {
    /// What the page is for.
    pub page: TargetPage,
    /// What sort of thing it is.
    pub kind: Kind,
    /// The pleasure it gives, in percent.
    pub appeal_percent: f64,
    /// Whom it pleases most; `None` for the usual of its kind.
    pub public: Option<Public>,
    texts: BTreeMap<TargetField, String>,
    /// The target as it was; what a new one begins with.
    before: Box<Target>,
    /// The same form as nothing was typed.
    at_first: BTreeMap<TargetField, String>,
    /// The names of all other targets.
    taken: BTreeSet<String>,
    /// Where the catalogue's file is, from which photos are named.
    catalogue: Option<PathBuf>,
    /// What an example put into fields: it is true of no target.
    example: BTreeMap<TargetField, String>,
    /// Photos that are not there.
    missing: BTreeSet<PathBuf>,
    /// Why the catalogue did not take it.
    pub trouble: Option<String>,
}

impl TargetForm {
    /// What stands in a field.
    pub fn text(&self, field: TargetField) -> &str {
        self.texts.get(&field).map_or("", String::as_str)
    }

    /// Puts an answer in a field.
    pub fn put(&mut self, field: TargetField, text: String) {
        self.texts.insert(field, text);
    }

    /// Whether it is the Moon, a place on it, a planet or a comet: where it stands is computed.
    pub const fn is_body(&self) -> bool {
        !matches!(self.before.source, Source::Star(_))
    }

    /// The fields that count.
    pub fn asked(&self) -> impl Iterator<Item = TargetField> + '_ {
        TargetField::ALL.into_iter().filter(|field| field.is_asked(self.kind, self.is_body()))
    }

    /// The fields that keep the answers from being taken.
    pub fn open_fields(&self) -> Vec<TargetField> {
        self.asked().filter(|field| !self.judge(*field).lets_go_on()).collect()
    }

    /// Whether the answers can be taken.
    pub fn can_be_set(&self) -> bool {
        self.open_fields().is_empty()
    }

    /// What is typed in a field, on one line and without space round it.
    fn plain(&self, field: TargetField) -> String {
        let letters: String = self.text(field).chars().filter(|letter| !letter.is_control()).collect();
        letters.trim().to_owned()
    }

    /// Whether something else stands in a field than at first.
    fn is_typed(&self, field: TargetField) -> bool {
        self.texts.get(&field) != self.at_first.get(&field)
    }
}

/// The parts of a list that is typed.
fn parts(typed: &str, marks: &[char]) -> Vec<String> {
    let parts = typed.split(marks).map(str::trim).filter(|part| !part.is_empty());
    parts.map(ToOwned::to_owned).collect()
}
