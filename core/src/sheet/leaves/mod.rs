//! Every page beside the run sheet, made from the same plan and the same sheet.
//!
//! [`leaves`] makes them all; a file each makes one kind. `visitor_facts` holds what all three handbills tell, `at_home` and
//! `in_the_sky` work out what stands where for the naked eye, `visitor_words` are the phrases for the public, `shorten` breaks
//! and shortens what others wrote.

mod at_home;
mod call_card;
mod captions;
mod cautions;
mod cloud_card;
mod crew;
mod door_card;
mod easy;
mod hand_over;
mod handbill;
mod host_card;
mod in_the_sky;
mod night_report;
mod queue_card;
mod shorten;
#[cfg(test)]
mod tests;
mod thin_cloud;
mod visitor_facts;
mod visitor_words;

pub(crate) use in_the_sky::{DARK_FOR_STARS, NAKED_EYE, look, place_words, sky_of};

use super::build::zone_words;
use super::{Block, Leaf, LeafKind, Names, Notice, RunSheet, numbers};
use crate::plan::{Decision, Evening, Materials, Prepared, Stop, StopTiming, timings};
use crate::time::Instant;

/// All pages beside the run sheet, in the order of [`LeafKind`].
///
/// * `sheet`: the run sheet of the same evening: its stamp, its zone, its words.
pub fn leaves(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    sheet: &RunSheet,
) -> Vec<Leaf> {
    let timings = timings(&evening.order, prepared, materials);
    leaves_of(&Names::new(evening, prepared, materials), &timings, sheet)
}

/// All pages from what has been timed already.
pub(super) fn leaves_of(names: &Names<'_>, timings: &[StopTiming], sheet: &RunSheet) -> Vec<Leaf> {
    let page = Page { names, sheet };
    let facts = visitor_facts::facts(names);
    let mut leaves = vec![
        handbill::handbill(&page, &facts),
        handbill::large(&page, &facts),
        easy::easy(&page, &facts),
        door_card::door_card(&page),
        call_card::call_card(&page),
        cloud_card::cloud_card(&page),
        host_card::host_card(&page),
        queue_card::queue_card(&page),
        captions::captions(&page),
        hand_over::hand_over(&page, timings),
        cautions::cautions(&page),
        night_report::night_report(&page),
    ];
    // Who decides and who moves the telescope must not miss it.
    let warned = [LeafKind::CallCard, LeafKind::HandOver];
    for leaf in leaves.iter_mut().filter(|leaf| warned.contains(&leaf.kind) && !sheet.warning.is_empty()) {
        leaf.blocks.insert(0, Block::Large(sheet.warning.clone()));
    }
    leaves
}

/// Points of the text of staff pages, which are read under a red lamp.
const STAFF_PT: f32 = 11.0;
/// The least to which it shrinks to bring a card on one side: that of the run sheet.
const LEAST_STAFF_PT: f32 = 10.0;

/// What all pages stand on.
struct Page<'p> {
    names: &'p Names<'p>,
    sheet: &'p RunSheet,
}

impl Page<'_> {
    /// A page with what all share.
    fn leaf(&self, kind: LeafKind, title: impl Into<String>, text_pt: f32, blocks: Vec<Block>) -> Leaf {
        Leaf {
            kind,
            title: title.into(),
            subtitle: format!("{} · {}", self.date(), self.names.materials.site.name),
            text_pt,
            least_pt: text_pt,
            landscape: false,
            blocks,
            footer: self.sheet.footer.clone(),
            zone: self.sheet.zone.clone(),
            stamp: self.sheet.stamp.clone(),
        }
    }

    /// As [`Self::leaf`], for the public: the name of the time zone's file is left out.
    fn public_leaf(&self, kind: LeafKind, text_pt: f32, blocks: Vec<Block>) -> Leaf {
        let mut leaf = self.leaf(kind, self.title(), text_pt, blocks);
        leaf.zone = zone_words(self.names);
        leaf
    }

    /// Whether the evening was called off.
    fn called_off(&self) -> bool {
        called_off(self.names)
    }

    /// A stop with its number before it.
    fn numbered(&self, stop: &Stop) -> String {
        let number = self.names.stop_number(stop.id).map(|number| format!("{number} ")).unwrap_or_default();
        format!("{number}{}", self.names.stop_title(stop))
    }

    /// From when to when a stop is planned.
    fn span(&self, stop: &Stop) -> String {
        format!("{} to {}", clock(self.names, stop.start()), clock(self.names, stop.end()))
    }

    /// What the head of the run sheet says under some of its labels.
    fn of_head(&self, labels: &[&str]) -> Vec<Notice> {
        let head = self.sheet.head.iter();
        head.filter(|notice| labels.contains(&notice.label.as_str())).cloned().collect()
    }

    fn date(&self) -> String {
        numbers::date_in_full(self.names.evening.date)
    }

    /// The title of the evening; a plain one where it has none.
    fn title(&self) -> String {
        let title = &self.names.evening.title;
        if title.trim().is_empty() { "Public observing night".to_owned() } else { title.clone() }
    }
}

fn called_off(names: &Names<'_>) -> bool {
    names.evening.call.decision == Decision::NoGo
}

/// An instant on the clock; with its zone where the clocks change while doors are open, and where they have changed since.
fn clock(names: &Names<'_>, at: Instant) -> String {
    with_zone(names, at, numbers::clock(names.prepared.night.local.local(at)))
}

fn with_zone(names: &Names<'_>, at: Instant, told: String) -> String {
    let (night, doors) = (&names.prepared.night.local, names.prepared.doors);
    let (opened, own) = (night.zone_label(doors.start()), night.zone_label(at));
    if opened == night.zone_label(doors.end()) && opened == own { told } else { format!("{told} {own}") }
}

/// As [`clock`], rounded down to the minute: for what must not begin late.
fn clock_down(names: &Names<'_>, at: Instant) -> String {
    with_zone(names, at, numbers::clock_down(names.prepared.night.local.local(at)))
}

/// Cells that are filled in by hand.
fn blank(cells: usize) -> impl Iterator<Item = String> {
    std::iter::repeat_n(String::new(), cells)
}

fn heading(words: &str) -> Block {
    Block::Heading(words.to_owned())
}

fn texts(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}
