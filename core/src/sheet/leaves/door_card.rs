//! The Door card: a poster for the entrance.

use super::call_card::decided_hour;
use super::cloud_card::INDOORS;
use super::{Page, heading, texts};
use crate::plan::Decision;
use crate::sheet::head::clock_change_notice;
use crate::sheet::{Block, Leaf, LeafKind, Notice, numbers};

/// Points of its text, at least: a layout may enlarge a poster as far as one side holds it.
const POSTER_PT: f32 = 14.0;

pub(super) fn door_card(page: &Page<'_>) -> Leaf {
    let mut leaf = page.public_leaf(LeafKind::DoorCard, POSTER_PT, blocks(page));
    // The date stands below, to be read from afar.
    leaf.subtitle.clone_from(&page.names.materials.site.name);
    leaf
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    let (prepared, site) = (page.names.prepared, page.names.materials.site);
    let hours = numbers::clock_span(&prepared.night.local, prepared.doors);
    let mut blocks = vec![Block::Large(page.date()), Block::Large(hours)];
    blocks.extend(match page.names.evening.call.decision {
        Decision::Go => vec![Block::Large("Tonight we look at the sky".to_owned())],
        Decision::NoGo => {
            vec![Block::Large("No sky tonight: programme indoors".to_owned()), Block::List(texts(&INDOORS))]
        }
        Decision::Open => vec![Block::Text(format!(
            "The weather decides. We say at {} whether we look at the sky or stay indoors.",
            decided_hour(page)
        ))],
    });
    blocks.extend([
        heading("Please"),
        Block::List(texts(&[
            "Red light only. No white lamps, no flash, phones dimmed.",
            "Wait here until somebody leads you in.",
            "Children stay with their own adult.",
            "Stay behind the line: the dome and the telescope move.",
        ])),
        Block::Text(
            "Bring warm clothes, hat and gloves, firm shoes, and a red lamp if you have one.".to_owned(),
        ),
    ]);
    if !site.visitors.lines.is_empty() {
        blocks.extend([heading("Good to know"), Block::List(site.visitors.lines.clone())]);
    }
    let mut facts: Vec<Notice> = clock_change_notice(page.names).into_iter().collect();
    if let Some(gate) = site.park_closes {
        facts.push(Notice::new("Gate closes", numbers::given_clock(gate)));
    }
    if !site.visitors.contact.is_empty() {
        facts.push(Notice::new("Contact", site.visitors.contact.clone()));
    }
    if !facts.is_empty() {
        blocks.push(Block::Facts(facts));
    }
    blocks
}
