//! The pages of an evening for the tests: made, found, read, and what holds of every set.

use evenfall_core::catalogue::TargetId;
use evenfall_core::output::pdf::Paper;
use evenfall_core::output::{Output, OutputSet};
use evenfall_core::plan::{Held, Prepared, Show, Stop, StopId, What};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::{Block, Leaf, LeafKind, LeafTable, Notice, RunSheet, leaves, run_sheet};
use evenfall_core::time::{Instant, Interval};
use evenfall_tests::park::Park;

const FONT: &[u8] = include_bytes!("../../assets/fonts/SourceSans3VF-Upright.ttf");

/// The pages of an evening, and its run sheet.
pub struct Pages {
    pub sheet: RunSheet,
    pub leaves: Vec<Leaf>,
}

impl Pages {
    pub fn of(park: &Park, prepared: &Prepared) -> Self {
        let sheet = run_sheet(&park.evening, prepared, &park.materials());
        let leaves = leaves(&park.evening, prepared, &park.materials(), &sheet);
        Self { sheet, leaves }
    }

    pub fn page(&self, kind: LeafKind) -> &Leaf {
        self.leaves.iter().find(|leaf| leaf.kind == kind).expect("every kind of page is made")
    }

    pub fn table(&self, kind: LeafKind, head: &str) -> &LeafTable {
        let mut tables = self.page(kind).blocks.iter().filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        });
        tables
            .find(|table| table.heads.iter().any(|own| own == head))
            .unwrap_or_else(|| panic!("{kind:?} has no table with {head}"))
    }
}

pub fn demo() -> (Park, Prepared, Pages) {
    let (park, prepared) = Park::demo().drafted();
    let pages = Pages::of(&park, &prepared);
    (park, prepared, pages)
}

/// Every text of a page, in its order.
pub fn texts(leaf: &Leaf) -> Vec<String> {
    let pair = |notice: &Notice| [notice.label.clone(), notice.value.clone()];
    let mut texts = vec![leaf.title.clone(), leaf.subtitle.clone()];
    for block in &leaf.blocks {
        match block {
            Block::Heading(text) | Block::Subheading(text) | Block::Text(text) | Block::Large(text) => {
                texts.push(text.clone());
            }
            Block::Facts(facts) | Block::Notes(facts) => texts.extend(facts.iter().flat_map(pair)),
            Block::List(all) | Block::Choices(all) | Block::FillIn(all) => texts.extend(all.iter().cloned()),
            Block::Table(table) => {
                texts.extend(table.heads.iter().chain(table.rows.iter().flatten()).cloned());
            }
            Block::Drawing(_) => {}
        }
    }
    texts
}

pub fn facts(leaf: &Leaf) -> Vec<&Notice> {
    let facts = leaf.blocks.iter().filter_map(|block| match block {
        Block::Facts(facts) | Block::Notes(facts) => Some(facts),
        _ => None,
    });
    facts.flatten().collect()
}

pub fn words(text: &str) -> usize {
    text.split_whitespace().count()
}

pub fn clock(prepared: &Prepared, at: Instant) -> String {
    prepared.night.local.local(at).format("%H:%M").to_string()
}

/// A stop of ten minutes that begins so many minutes after doors open.
pub fn stop(prepared: &Prepared, id: u32, minute: f64, target: &str, port: &str) -> Stop {
    let at = |minute: f64| prepared.doors.start().plus_minutes(minute);
    Stop {
        id: StopId(id),
        what: What::Show(Show {
            target: TargetId(target.into()),
            port: PortId(port.into()),
            eyepiece: None,
            understudy: None,
        }),
        interval: Interval::new(at(minute), at(minute + 10.0)).expect("in order"),
        held: Held::default(),
    }
}

/// Where a target stands, by the compass: eight winds of 45 degrees each, the first round north; a fist is ten degrees.
pub fn stands(prepared: &Prepared, index: usize, at: Instant) -> String {
    let winds = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let counts = [
        "no fists",
        "one fist",
        "two fists",
        "three fists",
        "four fists",
        "five fists",
        "six fists",
        "seven fists",
    ];
    let sample = prepared.sample(index, at).expect("it was sampled");
    let wind = winds[((sample.azimuth.degrees() + 22.5) / 45.0) as usize % 8];
    format!("{wind}, {}", counts[(sample.altitude.degrees() / 10.0).round() as usize])
}

/// The caption's lines and the description of every stop.
pub fn captions(leaf: &Leaf) -> Vec<(Vec<&str>, &str)> {
    let stops = leaf.blocks.iter().filter_map(|block| match block {
        Block::Facts(facts) => Some(facts),
        _ => None,
    });
    stops
        .map(|facts| {
            let lines = facts.iter().filter(|fact| fact.label.starts_with("Caption"));
            let spoken = facts.iter().find(|fact| fact.label == "Spoken").expect("it is described");
            (lines.map(|fact| fact.value.as_str()).collect(), spoken.value.as_str())
        })
        .collect()
}

pub fn captions_keep_their_lengths(pages: &Pages) {
    let captions = captions(pages.page(LeafKind::Captions));
    assert_eq!(captions.len(), pages.sheet.rows.len());
    for (lines, spoken) in captions {
        assert!((1..=2).contains(&lines.len()), "{lines:?}");
        assert!(lines.iter().all(|line| !line.is_empty() && line.chars().count() <= 42), "{lines:?}");
        assert!((1..=60).contains(&words(spoken)), "{spoken}");
    }
}

/// What holds of every set, whatever the night.
pub fn whole(park: &Park, prepared: &Prepared) -> Pages {
    let pages = Pages::of(park, prepared);
    assert_eq!(pages.leaves.len(), 12);
    for leaf in &pages.leaves {
        assert!(!leaf.title.is_empty() && !leaf.blocks.is_empty(), "{:?}", leaf.kind);
        for block in &leaf.blocks {
            let empty = match block {
                Block::Facts(facts) | Block::Notes(facts) => {
                    facts.iter().any(|fact| fact.label.is_empty() || fact.value.is_empty())
                }
                Block::List(all) | Block::FillIn(all) => all.is_empty() || all.iter().any(String::is_empty),
                Block::Table(table) => table.rows.is_empty(),
                Block::Heading(text) | Block::Subheading(text) | Block::Text(text) => text.trim().is_empty(),
                _ => false,
            };
            assert!(!empty, "{:?}: {block:?}", leaf.kind);
        }
        assert!(!texts(leaf).iter().any(|text| text.contains("NaN")), "{:?}", leaf.kind);
    }
    captions_keep_their_lengths(&pages);
    // The writer of the files refuses what breaks its standards.
    let materials = park.materials();
    let set = OutputSet::new(&park.evening, prepared, &materials, FONT);
    for output in Output::ALL.into_iter().filter(|output| output.is_page()) {
        set.make(output, Paper::A4, None).unwrap_or_else(|error| panic!("{output:?}: {error}"));
    }
    pages
}
