//! Everything that leaves the evening, made from one sheet: which outputs there are, what their files are called.

use std::sync::{Arc, OnceLock};

use chrono::{DateTime, Utc};

use super::pdf::typeface::Typeface;
use super::pdf::{Paper, PdfError, leaf_in, leaf_sides, run_sheet_in, run_sheet_sides};
use super::picture::scene_png_in;
use super::{CalendarFor, CalendarOptions, evening_calendar, order_csv, order_json, scene_svg, site_plan};
use crate::chart::{Scene, TimelineOptions, timeline, visitor_sky};
use crate::plan::{Evening, Materials, Prepared};
use crate::sheet::{Block, Leaf, LeafDrawing, LeafKind, Names, RunSheet, set_notes, sheet_and_leaves};

/// The timeline as a picture of its own.
const AS_PICTURE: TimelineOptions = TimelineOptions { width: 1000.0, height: 560.0, text_size: 11.0 };

/// Something an evening is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Output {
    /// The operators' run sheet.
    RunSheet,
    /// Any other page.
    Leaf(LeafKind),
    /// The calendar of those who run the evening, or of those who come.
    Calendar(CalendarFor),
    /// The grounds as a map's layer.
    SitePlan,
    /// The running order for other programs.
    OrderJson,
    /// The running order as a table.
    OrderCsv,
    /// The timeline as a picture of lines, sharp at any size.
    Picture,
    /// The same as a picture of dots, which every program shows.
    Bitmap,
}

impl Output {
    /// All, in the order in which they are offered and written.
    pub const ALL: [Self; 20] = [
        Self::RunSheet,
        Self::Leaf(LeafKind::Handbill),
        Self::Leaf(LeafKind::HandbillLarge),
        Self::Leaf(LeafKind::HandbillEasy),
        Self::Leaf(LeafKind::DoorCard),
        Self::Leaf(LeafKind::CallCard),
        Self::Leaf(LeafKind::CloudCard),
        Self::Leaf(LeafKind::HostCard),
        Self::Leaf(LeafKind::QueueCard),
        Self::Leaf(LeafKind::Captions),
        Self::Leaf(LeafKind::HandOver),
        Self::Leaf(LeafKind::Cautions),
        Self::Leaf(LeafKind::NightReport),
        Self::Calendar(CalendarFor::Crew),
        Self::Calendar(CalendarFor::Visitors),
        Self::SitePlan,
        Self::OrderJson,
        Self::OrderCsv,
        Self::Picture,
        Self::Bitmap,
    ];

    /// Whether it is printed, and so comes in a paper's size.
    pub const fn is_page(self) -> bool {
        matches!(self, Self::RunSheet | Self::Leaf(_))
    }

    /// The name of its file; pages bear their paper in it.
    pub fn file_name(self, paper: Paper) -> String {
        let page = |name: &str| format!("{name}-{}.pdf", paper_word(paper));
        match self {
            Self::RunSheet => page("run-sheet"),
            Self::Leaf(kind) => page(leaf_word(kind)),
            Self::Calendar(CalendarFor::Crew) => "evening-crew.ics".to_owned(),
            Self::Calendar(CalendarFor::Visitors) => "evening-visitors.ics".to_owned(),
            Self::SitePlan => "site-plan.geojson".to_owned(),
            Self::OrderJson => "running-order.json".to_owned(),
            Self::OrderCsv => "running-order.csv".to_owned(),
            Self::Picture => "timeline.svg".to_owned(),
            Self::Bitmap => "timeline.png".to_owned(),
        }
    }
}

/// A paper's part of a file name.
const fn paper_word(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "a4",
        Paper::Letter => "letter",
    }
}

/// A page's part of a file name.
const fn leaf_word(kind: LeafKind) -> &'static str {
    match kind {
        LeafKind::Handbill => "handbill",
        LeafKind::HandbillLarge => "handbill-large-print",
        LeafKind::HandbillEasy => "handbill-easy-words",
        LeafKind::DoorCard => "door-card",
        LeafKind::CallCard => "call-card",
        LeafKind::CloudCard => "cloud-card",
        LeafKind::HostCard => "host-card",
        LeafKind::QueueCard => "queue-card",
        LeafKind::Captions => "captions",
        LeafKind::HandOver => "hand-over-card",
        LeafKind::Cautions => "cautions",
        LeafKind::NightReport => "night-report",
    }
}

/// An output as bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// What its file holds.
    pub bytes: Vec<u8>,
    /// Whether the calendar that it replaces could not be read, so that all its events count as new.
    pub previous_unreadable: bool,
    /// How many events of the calendar that it replaces belong to other evenings, and were left out.
    pub left_out: usize,
}

/// An evening ready to be written as anything.
#[derive(Debug)]
pub struct OutputSet<'s> {
    evening: &'s Evening,
    prepared: &'s Prepared,
    materials: &'s Materials<'s>,
    font: &'s [u8],
    /// Read when it is first needed, and then the same for all pages.
    typeface: OnceLock<Result<Typeface<'s>, PdfError>>,
    words: Arc<SetWords>,
}

/// All words of an evening's pages: what takes longest to make, and serves every page on every paper.
#[derive(Debug)]
pub struct SetWords {
    sheet: RunSheet,
    leaves: Vec<Leaf>,
}

impl<'s> OutputSet<'s> {
    /// The sheet of an evening. `font` is the embedded typeface: a variable TrueType font with a weight axis.
    pub fn new(
        evening: &'s Evening,
        prepared: &'s Prepared,
        materials: &'s Materials<'s>,
        font: &'s [u8],
    ) -> Self {
        let (sheet, leaves) = sheet_and_leaves(evening, prepared, materials);
        Self::with_words(evening, prepared, materials, font, Arc::new(SetWords { sheet, leaves }))
    }

    /// As [`Self::new`], with the words that were made for the same evening before.
    pub const fn with_words(
        evening: &'s Evening,
        prepared: &'s Prepared,
        materials: &'s Materials<'s>,
        font: &'s [u8],
        words: Arc<SetWords>,
    ) -> Self {
        Self { evening, prepared, materials, font, typeface: OnceLock::new(), words }
    }

    /// Its words, to be kept for the next page.
    pub fn words(&self) -> Arc<SetWords> {
        Arc::clone(&self.words)
    }

    /// The same input gives the same bytes: what is made is dated by its evening, not by the clock.
    fn created(&self) -> DateTime<Utc> {
        self.prepared.doors.start().to_utc()
    }

    /// The names on the run sheet that the typeface can't write whole, each with what is printed for it.
    ///
    /// # Errors
    /// When the typeface can't be read.
    fn unwritable(&self) -> Result<Vec<(&str, String)>, PdfError> {
        let titles = self.words.sheet.rows.iter().map(|row| row.title.as_str());
        Ok(self.typeface()?.unwritable([self.words.sheet.title.as_str()].into_iter().chain(titles)))
    }

    /// What whoever writes the set should know, in sentences: names that are not printed whole, dates that are left out, targets
    /// that are invented. None for most evenings.
    pub fn notes(&self) -> Vec<String> {
        // A typeface that can't be read is told by the pages themselves.
        let unwritable = self.unwritable().unwrap_or_default();
        let unwritable = unwritable.into_iter().map(|(name, printed)| {
            format!(
                "\"{name}\" is printed as \"{printed}\": the typeface of the pages lacks some of its letters"
            )
        });
        let names = Names::new(self.evening, self.prepared, self.materials);
        unwritable.chain(set_notes(&names)).collect()
    }

    fn typeface(&self) -> Result<&Typeface<'s>, PdfError> {
        self.typeface.get_or_init(|| Typeface::new(self.font)).as_ref().map_err(Clone::clone)
    }

    fn timeline(&self, paper: Paper) -> Scene {
        timeline(self.evening, self.prepared, self.materials, paper.timeline())
    }

    fn leaf(&self, kind: LeafKind) -> Result<&Leaf, PdfError> {
        let leaf = self.words.leaves.iter().find(|leaf| leaf.kind == kind);
        leaf.ok_or_else(|| PdfError(format!("there is no page {}", leaf_word(kind))))
    }

    /// The drawings that a page asks for.
    fn drawings(&self, leaf: &Leaf, paper: Paper) -> Vec<(LeafDrawing, Scene)> {
        let names = Names::new(self.evening, self.prepared, self.materials);
        let drawn = leaf.blocks.iter().filter_map(|block| match block {
            Block::Drawing(LeafDrawing::VisitorSky) => {
                Some((LeafDrawing::VisitorSky, visitor_sky(&names, paper.visitor_sky(leaf.text_pt))))
            }
            _ => None,
        });
        drawn.collect()
    }

    /// The sides of a page, each as a drawing as large as the paper; none where the output is no page.
    ///
    /// # Errors
    /// When the typeface can't be read.
    pub fn sides(&self, output: Output, paper: Paper) -> Result<Vec<Scene>, PdfError> {
        match output {
            Output::RunSheet => {
                let timeline = self.timeline(paper);
                Ok(run_sheet_sides(self.typeface()?, &self.words.sheet, &timeline, paper))
            }
            Output::Leaf(kind) => {
                let leaf = self.leaf(kind)?;
                leaf_sides(self.typeface()?, leaf, &named(&self.drawings(leaf, paper)), paper)
            }
            Output::Calendar(_)
            | Output::SitePlan
            | Output::OrderJson
            | Output::OrderCsv
            | Output::Picture
            | Output::Bitmap => Ok(Vec::new()),
        }
    }

    /// Makes an output. `previous` is the text of the file that a calendar replaces.
    ///
    /// # Errors
    /// When a page breaks a rule of its standard, or the typeface can't be read.
    pub fn make(&self, output: Output, paper: Paper, previous: Option<&str>) -> Result<Made, PdfError> {
        let (evening, prepared, materials) = (self.evening, self.prepared, self.materials);
        let on_paper = (paper, self.created());
        let bytes = match output {
            Output::RunSheet => {
                run_sheet_in(self.typeface()?, &self.words.sheet, &self.timeline(paper), on_paper)?
            }
            Output::Leaf(kind) => {
                let leaf = self.leaf(kind)?;
                let drawn = self.drawings(leaf, paper);
                leaf_in(self.typeface()?, leaf, &named(&drawn), on_paper)?
            }
            Output::Calendar(audience) => {
                let options = CalendarOptions { audience, stamp: self.created(), previous };
                let calendar = evening_calendar(evening, prepared, materials, &self.words.sheet, &options);
                let (previous_unreadable, left_out) = (calendar.previous_unreadable, calendar.left_out);
                return Ok(Made { bytes: calendar.text.into_bytes(), previous_unreadable, left_out });
            }
            Output::SitePlan => site_plan(materials.site).into_bytes(),
            Output::OrderJson => order_json(evening, prepared, materials).into_bytes(),
            Output::OrderCsv => order_csv(&self.words.sheet).into_bytes(),
            Output::Picture => scene_svg(&timeline(evening, prepared, materials, AS_PICTURE)).into_bytes(),
            Output::Bitmap => {
                scene_png_in(self.typeface()?, &timeline(evening, prepared, materials, AS_PICTURE))?
            }
        };
        Ok(Made { bytes, previous_unreadable: false, left_out: 0 })
    }
}

/// Drawings by their names.
fn named(drawn: &[(LeafDrawing, Scene)]) -> Vec<(LeafDrawing, &Scene)> {
    drawn.iter().map(|(drawing, scene)| (*drawing, scene)).collect()
}

#[cfg(test)]
mod tests {
    use super::{Output, OutputSet};
    use crate::output::pdf::Paper;
    use crate::sheet::demo::Demo;

    const FONT: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3VF-Upright.ttf");

    #[test]
    fn everything_is_made_twice_the_same_under_names_of_its_own() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let materials = demo.materials();
        let [set, again] = [0; 2].map(|_| OutputSet::new(&demo.evening, &prepared, &materials, FONT));
        let mut names = Vec::new();
        for output in Output::ALL {
            for paper in Paper::ALL {
                let made = set.make(output, paper, None).unwrap();
                assert_eq!(made, again.make(output, paper, None).unwrap(), "{output:?}");
                assert!(!made.bytes.is_empty() && !made.previous_unreadable);
                assert_eq!(set.sides(output, paper).unwrap().is_empty(), !output.is_page());
                names.push(output.file_name(paper));
            }
        }
        names.sort_unstable();
        names.dedup();
        let pages = Output::ALL.into_iter().filter(|output| output.is_page()).count();
        assert_eq!(names.len(), Output::ALL.len() + pages, "pages have a file for each paper");
    }
}
