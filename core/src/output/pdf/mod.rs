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
    if sheet.rows.is_empty() {
        sections::no_stops(&mut pages);
    } else {
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
    Metadata::new()
        .title(typeface.writable(sections::title(sheet)))
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

#[cfg(test)]
mod tests {
    use chrono::{DateTime, Utc};

    use super::page::{MARGIN, Mark, Pages};
    use super::typeface::Typeface;
    use super::{Paper, PdfOptions, laid_out, run_sheet_pdf};
    use crate::chart::{Scene, Weight};
    use crate::sheet::demo::Demo;
    use crate::sheet::{FOOTER, Notice, Row, RunSheet};

    const FONT: &[u8] = include_bytes!("../../../../assets/fonts/SourceSans3VF-Upright.ttf");

    fn options(paper: Paper) -> PdfOptions<'static> {
        PdfOptions { paper, font: FONT, created: DateTime::<Utc>::UNIX_EPOCH }
    }

    fn scene(paper: Paper) -> Scene {
        let size = paper.timeline();
        Scene { width: size.width, height: size.height, alt: "A drawing".into(), items: Vec::new() }
    }

    /// A sheet with as many rows, each as long as it gets.
    fn crowded(rows: usize, cautions: usize) -> RunSheet {
        let row = |number: usize| Row {
            number: number.to_string(),
            start: "20:40".into(),
            end: "21:00".into(),
            zone: "GMT, then BST".into(),
            title: "Überlange Sternwartenteleskopkuppelsteuerungsanlage \u{5317} of Ærø".into(),
            kind: "Supernova remnant".into(),
            port: "C Eyepiece with a name of forty characters".into(),
            port_detail: "24 mm, 175×".into(),
            held: "time held".into(),
            cue: "Far more than the seven words that anybody can say".into(),
            cautions: vec![
                "Stopper: Shares time with stop 3. Move or shorten one of the two.".into();
                cautions
            ],
            ..Row::default()
        };
        RunSheet {
            title: "A title of an evening that is much longer than any poster, and then some more words"
                .into(),
            subtitle: "Saturday 13 March 2027 · a park with a long name · a telescope with a long name"
                .into(),
            head: vec![Notice::new("Sunset", "18:09 GMT"); 9],
            rows: (1..=rows).map(row).collect(),
            findings: vec!["Caution: Little slack. Remove a stop.".into(); 3],
            cautions: vec![Notice::new("This site", "Keep to the boards. ".repeat(6)); 14],
            limits: vec![Notice::new("Wind", "45 km/h sustained: dome closed"); 4],
            footer: FOOTER.into(),
            stamp: "Evenfall".into(),
            zone: "All times GMT".into(),
        }
    }

    fn assert_inside(pages: &Pages<'_>) {
        let (width, height) = pages.paper.size();
        for mark in pages.leaves.iter().flatten() {
            let (left, top, right, bottom) = match mark {
                Mark::Text { x, y, size, weight, text, .. } => {
                    let long = pages.typeface.width(text.trim_end(), *size, *weight);
                    (*x, y - 0.75 * size, x + long, y + 0.2 * size)
                }
                Mark::Rule { from, to, .. } => (from.0, from.1, to.0, to.1),
                Mark::Frame { at, size, .. } => (at.0, at.1, at.0 + size.0, at.1 + size.1),
                Mark::Drawing { at, scale, scene, .. } => {
                    (at.0, at.1, at.0 + scale * scene.width, at.1 + scale * scene.height)
                }
            };
            let edge = MARGIN - 1.0;
            assert!(
                left >= edge && top >= edge && right <= width - edge && bottom <= height - edge,
                "{mark:?}"
            );
        }
    }

    #[test]
    fn nothing_leaves_the_page_however_crowded() {
        let typeface = Typeface::new(FONT).unwrap();
        for paper in [Paper::A4, Paper::Letter] {
            let scene = scene(paper);
            for (rows, cautions) in [(0, 0), (1, 0), (25, 3), (2, 120)] {
                let sheet = crowded(rows, cautions);
                assert_inside(&laid_out(&sheet, &scene, paper, &typeface));
            }
        }
    }

    #[test]
    fn crowded_pages_keep_to_both_standards() {
        for (rows, cautions) in [(0, 0), (25, 3)] {
            let pdf = run_sheet_pdf(&crowded(rows, cautions), &scene(Paper::Letter), &options(Paper::Letter));
            assert!(pdf.is_ok(), "{pdf:?}");
        }
        let nameless = RunSheet::default();
        let pdf = run_sheet_pdf(&nameless, &scene(Paper::A4), &options(Paper::A4));
        assert!(pdf.is_ok(), "{pdf:?}");
    }

    #[test]
    fn the_demo_fits_two_sides_and_gives_the_same_bytes() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let sheet = demo.sheet(&prepared);
        let scene = demo.scene(&prepared, Paper::A4.timeline());
        let typeface = Typeface::new(FONT).unwrap();
        let pages = laid_out(&sheet, &scene, Paper::A4, &typeface);
        assert_inside(&pages);
        assert!(pages.leaves.len() <= 3, "{} pages", pages.leaves.len());
        let first = run_sheet_pdf(&sheet, &scene, &options(Paper::A4)).unwrap();
        assert_eq!(first, run_sheet_pdf(&sheet, &scene, &options(Paper::A4)).unwrap());
        // ISO 32000-1:2008, 7.5.2: the first line names the version.
        assert!(first.starts_with(b"%PDF-1.7"));
    }

    #[test]
    fn every_word_of_a_sheet_can_be_written() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let sheet = demo.sheet(&prepared);
        let typeface = Typeface::new(FONT).unwrap();
        let rows =
            sheet.rows.iter().flat_map(|row| [&row.title, &row.altitude, &row.azimuth, &row.cue, &row.port]);
        let notices = sheet.head.iter().chain(&sheet.cautions).chain(&sheet.limits);
        for text in rows.chain(notices.flat_map(|notice| [&notice.label, &notice.value])) {
            assert_eq!(&typeface.writable(text), text);
        }
        assert!(typeface.width(&sheet.footer, 9.0, Weight::Semibold) < Paper::Letter.text_width());
    }

    #[test]
    fn a_broken_typeface_is_told() {
        let options = PdfOptions { font: b"no font", ..options(Paper::A4) };
        let error = run_sheet_pdf(&RunSheet::default(), &scene(Paper::A4), &options).unwrap_err();
        assert!(error.to_string().contains("typeface"), "{error}");
    }
}
