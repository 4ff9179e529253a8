//! Everything that leaves the evening, made from one sheet: which outputs there are, what their files are called.

use chrono::{DateTime, Utc};

use super::pdf::{Paper, PdfError, PdfOptions, run_sheet_pdf, run_sheet_scenes};
use super::{CalendarFor, CalendarOptions, evening_calendar, order_csv, order_json, scene_svg};
use crate::chart::{Scene, TimelineOptions, timeline};
use crate::plan::{Evening, Materials, Prepared};
use crate::sheet::{RunSheet, run_sheet};

/// The timeline as a picture of its own.
const AS_PICTURE: TimelineOptions = TimelineOptions { width: 1000.0, height: 560.0, text_size: 11.0 };

/// Something an evening is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Output {
    /// The operators' run sheet.
    RunSheet,
    /// The calendar of those who run the evening, or of those who come.
    Calendar(CalendarFor),
    /// The running order for other programs.
    OrderJson,
    /// The running order as a table.
    OrderCsv,
    /// The timeline as a picture.
    Picture,
}

impl Output {
    /// All, in the order in which they are offered and written.
    pub const ALL: [Self; 6] = [
        Self::RunSheet,
        Self::Calendar(CalendarFor::Crew),
        Self::Calendar(CalendarFor::Visitors),
        Self::OrderJson,
        Self::OrderCsv,
        Self::Picture,
    ];

    /// Whether it is printed, and so comes in a paper's size.
    pub const fn is_page(self) -> bool {
        matches!(self, Self::RunSheet)
    }

    /// The name of its file; pages bear their paper in it.
    pub fn file_name(self, paper: Paper) -> String {
        match self {
            Self::RunSheet => format!("run-sheet-{}.pdf", paper_word(paper)),
            Self::Calendar(CalendarFor::Crew) => "evening-crew.ics".to_owned(),
            Self::Calendar(CalendarFor::Visitors) => "evening-visitors.ics".to_owned(),
            Self::OrderJson => "running-order.json".to_owned(),
            Self::OrderCsv => "running-order.csv".to_owned(),
            Self::Picture => "timeline.svg".to_owned(),
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

/// An output as bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// What its file holds.
    pub bytes: Vec<u8>,
    /// Whether the calendar that it replaces could not be read, so that all its events count as new.
    pub previous_unreadable: bool,
}

/// An evening ready to be written as anything.
#[derive(Debug)]
pub struct OutputSet<'s> {
    evening: &'s Evening,
    prepared: &'s Prepared,
    materials: &'s Materials<'s>,
    font: &'s [u8],
    sheet: RunSheet,
}

impl<'s> OutputSet<'s> {
    /// The sheet of an evening. `font` is the embedded typeface: a variable TrueType font with a weight axis.
    pub fn new(
        evening: &'s Evening,
        prepared: &'s Prepared,
        materials: &'s Materials<'s>,
        font: &'s [u8],
    ) -> Self {
        Self { evening, prepared, materials, font, sheet: run_sheet(evening, prepared, materials) }
    }

    /// The same input gives the same bytes: what is made is dated by its evening, not by the clock.
    fn created(&self) -> DateTime<Utc> {
        self.prepared.doors.start().to_utc()
    }

    /// Makes an output. `previous` is the text of the file that a calendar replaces.
    ///
    /// # Errors
    /// When a page breaks a rule of its standard, or the typeface can't be read.
    pub fn make(&self, output: Output, paper: Paper, previous: Option<&str>) -> Result<Made, PdfError> {
        let (evening, prepared, materials) = (self.evening, self.prepared, self.materials);
        let bytes = match output {
            Output::RunSheet => {
                let scene = timeline(evening, prepared, materials, paper.timeline());
                let options = PdfOptions { paper, font: self.font, created: self.created() };
                run_sheet_pdf(&self.sheet, &scene, &options)?
            }
            Output::Calendar(audience) => {
                let options = CalendarOptions { audience, stamp: self.created(), previous };
                let calendar = evening_calendar(evening, prepared, materials, &self.sheet, &options);
                let previous_unreadable = calendar.previous_unreadable;
                return Ok(Made { bytes: calendar.text.into_bytes(), previous_unreadable });
            }
            Output::OrderJson => order_json(evening, prepared, materials).into_bytes(),
            Output::OrderCsv => order_csv(&self.sheet).into_bytes(),
            Output::Picture => scene_svg(&timeline(evening, prepared, materials, AS_PICTURE)).into_bytes(),
        };
        Ok(Made { bytes, previous_unreadable: false })
    }

    /// The sides that an output has on paper, each as a drawing as large as the paper; none where it is no page.
    ///
    /// # Errors
    /// When the typeface can't be read.
    pub fn sides(&self, output: Output, paper: Paper) -> Result<Vec<Scene>, PdfError> {
        match output {
            Output::RunSheet => {
                let scene = timeline(self.evening, self.prepared, self.materials, paper.timeline());
                let options = PdfOptions { paper, font: self.font, created: self.created() };
                run_sheet_scenes(&self.sheet, &scene, &options)
            }
            _ => Ok(Vec::new()),
        }
    }
}
