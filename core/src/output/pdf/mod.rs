//! The printable evening as PDF: tagged, archival, the same bytes for the same evening.
//!
//! [`run_sheet_pdf`] lays the sheet out (`run_sheet`, `stops`), [`leaf_pdf`] any other page (`leaf`, `blocks`), both with
//! `parts`, `listed`, `table` and `foot` as marks on `page`s, with their meaning in `tags`. `pen` draws the marks with the
//! embedded `typeface` into a `file`, which keeps to PDF/UA-1 (ISO 14289-1:2014, for screen readers) and PDF/A-2a (ISO
//! 19005-2:2011, for the archive), or is none; `preview` gives the same marks as drawings for the window.

mod blocks;
mod column_widths;
mod file;
mod foot;
mod leaf;
mod listed;
mod page;
mod parts;
mod pen;
mod preview;
mod run_sheet;
mod stops;
mod table;
mod tags;
mod typeface;

use std::fmt;

use chrono::{DateTime, Utc};

pub use leaf::Drawings;
pub use page::Paper;

use self::file::{About, written};
use self::preview::scenes;
use self::typeface::Typeface;
use crate::chart::Scene;
use crate::sheet::{Leaf, RunSheet};

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
    let pages = run_sheet::laid_out(sheet, timeline, options.paper, &typeface);
    let about = About {
        title: run_sheet::title(sheet),
        subtitle: &sheet.subtitle,
        stamp: &sheet.stamp,
        created: options.created,
    };
    written(&pages, &about)
}

/// Any other page, with the drawings that it asks for.
///
/// # Errors
/// When the typeface can't be read, a drawing is missing, or the document breaks a rule of its standard.
pub fn leaf_pdf(leaf: &Leaf, drawings: &Drawings<'_>, options: &PdfOptions<'_>) -> Result<Vec<u8>, PdfError> {
    let typeface = Typeface::new(options.font)?;
    let pages = leaf::laid_out(leaf, drawings, options.paper, &typeface)?;
    let about =
        About { title: &leaf.title, subtitle: &leaf.subtitle, stamp: &leaf.stamp, created: options.created };
    written(&pages, &about)
}

/// The sides that [`run_sheet_pdf`] writes, each as a drawing as large as the paper.
///
/// # Errors
/// When the typeface can't be read.
pub fn run_sheet_scenes(
    sheet: &RunSheet,
    timeline: &Scene,
    options: &PdfOptions<'_>,
) -> Result<Vec<Scene>, PdfError> {
    let typeface = Typeface::new(options.font)?;
    Ok(scenes(&run_sheet::laid_out(sheet, timeline, options.paper, &typeface)))
}

/// The sides that [`leaf_pdf`] writes, each as a drawing as large as the paper.
///
/// # Errors
/// When the typeface can't be read, or a drawing is missing.
pub fn leaf_scenes(
    leaf: &Leaf,
    drawings: &Drawings<'_>,
    options: &PdfOptions<'_>,
) -> Result<Vec<Scene>, PdfError> {
    let typeface = Typeface::new(options.font)?;
    Ok(scenes(&leaf::laid_out(leaf, drawings, options.paper, &typeface)?))
}

/// Of some texts those that the typeface can't write whole, each with what is written in its place: an empty box for a
/// character that it does not have.
///
/// # Errors
/// When the typeface can't be read.
pub fn unwritable<'t>(
    texts: impl IntoIterator<Item = &'t str>,
    font: &[u8],
) -> Result<Vec<(&'t str, String)>, PdfError> {
    let typeface = Typeface::new(font)?;
    let changed = |text: &'t str| {
        let written = typeface.writable(text);
        (!typeface.can_write(text)).then_some((text, written))
    };
    Ok(texts.into_iter().filter_map(changed).collect())
}

#[cfg(test)]
mod tests {
    use chrono::{DateTime, Utc};

    use super::page::{Mark, Pages, Setting};
    use super::run_sheet::laid_out;
    use super::typeface::Typeface;
    use super::{Paper, PdfOptions, run_sheet_pdf};
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
        let (width, height) = pages.setting.size;
        for mark in pages.sides.iter().flatten() {
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
            let edge = pages.setting.margin - 1.0;
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
        assert!(pages.sides.len() <= 3, "{} pages", pages.sides.len());
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
        let setting = Setting::run_sheet(Paper::Letter);
        assert!(typeface.width(&sheet.footer, 9.0, Weight::Semibold) < setting.text_width());
    }

    #[test]
    fn a_broken_typeface_is_told() {
        let options = PdfOptions { font: b"no font", ..options(Paper::A4) };
        let error = run_sheet_pdf(&RunSheet::default(), &scene(Paper::A4), &options).unwrap_err();
        assert!(error.to_string().contains("typeface"), "{error}");
    }
}
