//! The printable evening as PDF: tagged, archival, the same bytes for the same evening.
//!
//! [`run_sheet_pdf`] lays the sheet out in `sections` and `table` as marks on `page`s, with their meaning in `tags`;
//! `pen` draws the marks with the embedded `typeface`. The file keeps to PDF/UA-1 (ISO 14289-1:2014, for screen
//! readers) and PDF/A-2a (ISO 19005-2:2011, for the archive), and writing it fails where it would not.

mod page;
mod pen;
mod sections;
mod table;
mod tags;
mod typeface;

use std::fmt;

use chrono::{DateTime, Datelike, Timelike, Utc};
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::Point;
use krilla::metadata::{DateTime as PdfDateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::{Document, SerializeSettings};

pub use page::Paper;

use self::page::Pages;
use self::typeface::Typeface;
use crate::chart::Scene;
use crate::sheet::RunSheet;

/// What the caller gives beside the content.
#[derive(Clone, Copy, Debug)]
pub struct PdfOptions<'p> {
    /// Paper.
    pub paper: Paper,
    /// The embedded typeface: a variable TrueType font with a weight axis.
    pub font: &'p [u8],
    /// The date of the document; the same evening with the same date gives the same bytes.
    pub created: DateTime<Utc>,
}

/// Why no PDF was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PdfError(pub String);

impl fmt::Display for PdfError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the PDF could not be made: {}", self.0)
    }
}

impl std::error::Error for PdfError {}

/// The operators' run sheet with the timeline drawing. A timeline made with [`Paper::timeline`] fits without scaling.
///
/// # Errors
/// When the typeface can't be read or the document breaks a rule of its standard.
pub fn run_sheet_pdf(
    sheet: &RunSheet,
    timeline: &Scene,
    options: &PdfOptions<'_>,
) -> Result<Vec<u8>, PdfError> {
    let typeface = Typeface::new(options.font)?;
    let pages = laid_out(sheet, timeline, options.paper, &typeface);

    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A2_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| PdfError(format!("its two standards exclude each other: {error:?}")))?;
    let settings = SerializeSettings { configuration, enable_tagging: true, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    document.set_metadata(metadata(sheet, &typeface, options.created));
    document.set_outline(outline(&pages));
    let drawn = pen::draw(&mut document, &pages)?;
    document.set_tag_tree(pages.tags.tree(&drawn));
    document.finish().map_err(|error| PdfError(format!("it breaks a rule of its standard: {error:?}")))
}

/// Every page with its marks.
fn laid_out<'s>(
    sheet: &'s RunSheet,
    timeline: &'s Scene,
    paper: Paper,
    typeface: &'s Typeface<'s>,
) -> Pages<'s> {
    let mut pages = Pages::new(paper, typeface);
    sections::head(&mut pages, sheet);
    sections::findings(&mut pages, sheet);
    sections::running_order_heading(&mut pages, sheet);
    if !sheet.rows.is_empty() {
        table::table(&mut pages, sheet);
    }
    sections::drawing(&mut pages, timeline);
    sections::cautions(&mut pages, sheet);
    sections::footers(&mut pages, sheet);
    pages
}

fn metadata(sheet: &RunSheet, typeface: &Typeface<'_>, created: DateTime<Utc>) -> Metadata {
    let date = PdfDateTime::new(created.year().clamp(0, 9999) as u16)
        .month(created.month() as u8)
        .day(created.day() as u8)
        .hour(created.hour() as u8)
        .minute(created.minute() as u8)
        .second(created.second() as u8)
        .utc_offset_hour(0)
        .utc_offset_minute(0);
    let title = typeface.writable(&sheet.title);
    // A document without a title is no accessible document.
    let title = if title.trim().is_empty() { "Run sheet".to_owned() } else { title };
    Metadata::new()
        .title(title)
        .description(typeface.writable(&sheet.subtitle))
        .creator(typeface.writable(&sheet.stamp))
        .language("en-GB".to_owned())
        .creation_date(date)
        .document_id(format!("{} {}", sheet.stamp, sheet.subtitle))
}

fn outline(pages: &Pages<'_>) -> Outline {
    let mut outline = Outline::new();
    for (title, page, y) in &pages.headings {
        let destination = XyzDestination::new(*page, Point::from_xy(page::MARGIN, *y));
        outline.push_child(OutlineNode::new(title.clone(), destination));
    }
    outline
}
