//! What is written and printed: outputs left out, copies, paper, folder. Remembered from one start to the next.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use evenfall_core::output::Output;
use evenfall_core::output::pdf::Paper;
use evenfall_core::plan::House;
use evenfall_core::sheet::LeafKind;
use serde::{Deserialize, Serialize};

/// Most copies of a page.
pub const MOST_COPIES: u32 = 500;

/// Ends the name of a folder that was proposed, after the date of its evening.
const FOLDER_ENDING: &str = "-pages";

/// The choice, as it is remembered. Outputs are named as their files are, without the paper.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct PagesChoice {
    /// Whether the paper is US Letter rather than A4.
    pub us_letter: bool,
    /// What is not written.
    left_out: BTreeSet<String>,
    /// Copies of a page, where they were set by hand.
    copies: BTreeMap<String, u32>,
    /// The folder of the last set.
    pub folder: Option<PathBuf>,
}

impl PagesChoice {
    /// The paper.
    pub const fn paper(&self) -> Paper {
        if self.us_letter { Paper::Letter } else { Paper::A4 }
    }

    /// Whether an output is written.
    pub fn includes(&self, output: Output) -> bool {
        !self.left_out.contains(&key(output))
    }

    /// What is written, in its order.
    pub fn included(&self) -> Vec<Output> {
        Output::ALL.into_iter().filter(|output| self.includes(*output)).collect()
    }

    /// Writes an output, or leaves it out.
    pub(super) fn include(&mut self, output: Output, includes: bool) {
        if includes {
            self.left_out.remove(&key(output));
        } else {
            self.left_out.insert(key(output));
        }
    }

    /// How many copies of an output are printed for a house: those set by hand, else the usual ones.
    pub fn copies(&self, output: Output, house: &House) -> u32 {
        let by_hand = self.copies.get(&key(output)).copied().filter(|_| output.is_page());
        by_hand.unwrap_or_else(|| usual_copies(output, house)).min(MOST_COPIES)
    }

    /// Whether any copies were set by hand.
    pub fn has_own_copies(&self) -> bool {
        !self.copies.is_empty()
    }

    /// Sets the copies of a page.
    pub(super) fn set_copies(&mut self, output: Output, copies: u32) {
        self.copies.insert(key(output), copies.min(MOST_COPIES));
    }

    /// The usual copies of every page again.
    pub(super) fn forget_copies(&mut self) {
        self.copies.clear();
    }

    /// The folder to begin with: the last one, or one beside the evening. A folder named after an evening's date follows
    /// the date.
    pub(super) fn folder_for(&self, date: NaiveDate, beside: &Path) -> PathBuf {
        let named = format!("{date}{FOLDER_ENDING}");
        match &self.folder {
            Some(last) if is_dated(last) => last.with_file_name(named),
            Some(last) => last.clone(),
            None => beside.join(named),
        }
    }
}

fn is_dated(folder: &Path) -> bool {
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    name.strip_suffix(FOLDER_ENDING).is_some_and(|date| date.parse::<NaiveDate>().is_ok())
}

/// What an output is called in the settings.
fn key(output: Output) -> String {
    output.file_name(Paper::A4).replace("-a4.", ".")
}

/// How many copies a house needs as a rule (common practice, no source); none of what is no page.
pub fn usual_copies(output: Output, house: &House) -> u32 {
    match output {
        // For the operator, the host and the desk.
        Output::RunSheet => 3,
        // Families share one.
        Output::Leaf(LeafKind::Handbill) => house.visitors.div_ceil(2).max(1),
        Output::Leaf(LeafKind::HandbillLarge) => house.seated.max(2),
        Output::Leaf(
            LeafKind::HandbillEasy | LeafKind::DoorCard | LeafKind::HostCard | LeafKind::Cautions,
        ) => 2,
        Output::Leaf(
            LeafKind::CallCard
            | LeafKind::CloudCard
            | LeafKind::QueueCard
            | LeafKind::Captions
            | LeafKind::HandOver
            | LeafKind::NightReport,
        ) => 1,
        Output::Calendar(_)
        | Output::SitePlan
        | Output::OrderJson
        | Output::OrderCsv
        | Output::Picture
        | Output::Bitmap => 0,
    }
}

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use evenfall_core::output::Output;

    use super::{MOST_COPIES, PagesChoice};
    use crate::shell::Machine;
    use crate::state::Outside;

    #[test]
    fn everything_is_written_unless_it_is_left_out() {
        let mut choice = PagesChoice::default();
        assert_eq!(choice.included(), Output::ALL);
        choice.include(Output::OrderCsv, false);
        assert_eq!(choice.included().len(), Output::ALL.len() - 1);
        choice.include(Output::OrderCsv, true);
        assert_eq!(choice, PagesChoice::default());
    }

    #[test]
    fn copies_set_by_hand_stay_in_range_and_can_be_forgotten() {
        let house = Machine.demo().unwrap().evening.house;
        let mut choice = PagesChoice::default();
        let usual = choice.copies(Output::RunSheet, &house);
        choice.set_copies(Output::RunSheet, 9_000);
        assert_eq!(choice.copies(Output::RunSheet, &house), MOST_COPIES);
        choice.forget_copies();
        assert_eq!(choice.copies(Output::RunSheet, &house), usual);
        for output in Output::ALL {
            assert_eq!(choice.copies(output, &house) > 0, output.is_page(), "{output:?}");
        }
    }

    #[test]
    fn a_folder_named_after_a_date_follows_it() {
        let date = "2027-03-20".parse().unwrap();
        let beside = Path::new("parks");
        let after = |last: Option<&str>| {
            let choice = PagesChoice { folder: last.map(PathBuf::from), ..PagesChoice::default() };
            choice.folder_for(date, beside)
        };
        assert_eq!(after(None), Path::new("parks/2027-03-20-pages"));
        assert_eq!(after(Some("fell/2027-03-13-pages")), Path::new("fell/2027-03-20-pages"));
        for kept in ["fell/tonight", "fell/my-pages"] {
            assert_eq!(after(Some(kept)), Path::new(kept));
        }
    }
}
