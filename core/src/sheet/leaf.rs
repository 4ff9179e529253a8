//! Every page beside the run sheet as blocks of words: what stands on it in which order, before any layout.
//!
//! A layout shows all of a page's blocks in their order and adds no words but page numbers.

use super::Notice;

/// A page of the evening's set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LeafKind {
    /// The visitor's page.
    Handbill,
    /// The same facts in large print.
    HandbillLarge,
    /// The same facts in easy words and short sentences.
    HandbillEasy,
    /// The poster for the entrance.
    DoorCard,
    /// Go or no-go: the site's limits, the hour, who decides.
    CallCard,
    /// What happens instead under cloud.
    CloudCard,
    /// What the host says when, on the clock.
    HostCard,
    /// The line: how long it is when, what to tell those in it, when to close it.
    QueueCard,
    /// A caption for the screen and a spoken description for each stop.
    Captions,
    /// For the person or machine that moves the telescope.
    HandOver,
    /// The site's and the usual cautions, to be read and signed.
    Cautions,
    /// What was decided, and room for what came of the evening.
    NightReport,
}

/// A page.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    /// Which.
    pub kind: LeafKind,
    /// Its title, which is its heading of the first level.
    pub title: String,
    /// A line below the title; may be empty.
    pub subtitle: String,
    /// Size of its text, in points.
    pub text_pt: f32,
    /// The size to which its text may shrink where that brings the page on one side; as [`Self::text_pt`] for most.
    pub least_pt: f32,
    /// Whether the page lies on its long side.
    pub landscape: bool,
    /// What stands on it, in reading order.
    pub blocks: Vec<Block>,
    /// The footer of each side: who decides in the end.
    pub footer: String,
    /// The zone of its times.
    pub zone: String,
    /// The version stamp of the set.
    pub stamp: String,
}

/// A piece of a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading of the second level.
    Heading(String),
    /// A heading of the third level, such as a stop's.
    Subheading(String),
    /// A paragraph.
    Text(String),
    /// A few words to be read from afar, such as the hour of a Door card.
    Large(String),
    /// Labels with their values.
    Facts(Vec<Notice>),
    /// Labels, each with its words running on behind it across the page.
    Notes(Vec<Notice>),
    /// Points of a list.
    List(Vec<String>),
    /// A table.
    Table(LeafTable),
    /// A drawing, made by the chart layer.
    Drawing(LeafDrawing),
    /// Boxes to tick, with the words beside them.
    Choices(Vec<String>),
    /// Lines to fill in by hand, with their labels.
    FillIn(Vec<String>),
}

/// A table of words, and of boxes to write into. Its first column names the row.
#[derive(Clone, Debug, PartialEq)]
pub struct LeafTable {
    /// What it shows, for those who can't see it.
    pub summary: String,
    /// Heads of its columns, units among them.
    pub heads: Vec<String>,
    /// Rows of as many cells as heads.
    pub rows: Vec<Vec<String>>,
    /// How the columns share the width; as many as heads, any scale.
    pub shares: Vec<f32>,
    /// A column whose cells may stand below those of the column before it, where the table takes fewer lines so.
    pub may_stand_below: Option<usize>,
    /// Columns whose empty cells are boxes that are filled in by hand, each with the words that tell of them where they can't be
    /// seen.
    pub filled_in: &'static [(usize, &'static str)],
}

impl LeafTable {
    /// Whether the empty cells of a column are filled in by hand.
    pub fn is_filled_in(&self, column: usize) -> bool {
        self.filled_in.iter().any(|(filled_in, _)| *filled_in == column)
    }
}

/// A drawing on a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeafDrawing {
    /// The whole sky for visitors at the middle of the evening, in one colour.
    VisitorSky,
}
