//! The printable evening as PDF: tagged, archival, the same bytes for the same evening.
//!
//! [`run_sheet_pdf`] lays the sheet out (`run_sheet`, `stops`), [`leaf_pdf`] any other page (`leaf`, `blocks`), both with
//! `parts`, `listed`, `table` and `foot` as marks on `page`s, with their meaning in `tags`. `pen` draws the marks with the
//! embedded `typeface` into a `file`, `packed` small, which keeps to PDF/UA-1 (ISO 14289-1:2014, for screen readers) and PDF/A-2a (ISO
//! 19005-2:2011, for the archive), or is none; `preview` gives the same marks as drawings for the window.

mod blocks;
mod bound;
mod column_widths;
mod file;
mod foot;
mod leaf;
mod listed;
mod packed;
mod page;
mod parts;
mod pen;
mod preview;
mod run_sheet;
mod stops;
mod table;
mod tags;
#[cfg(test)]
mod tests;
pub(in crate::output) mod typeface;

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

/// Why no page or picture was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PdfError(pub String);

impl fmt::Display for PdfError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a page or picture could not be made: {}", self.0)
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
    run_sheet_in(&Typeface::new(options.font)?, sheet, timeline, (options.paper, options.created))
}

/// The same in a typeface that was read before.
pub(super) fn run_sheet_in(
    typeface: &Typeface<'_>,
    sheet: &RunSheet,
    timeline: &Scene,
    (paper, created): (Paper, DateTime<Utc>),
) -> Result<Vec<u8>, PdfError> {
    let pages = run_sheet::laid_out(sheet, timeline, paper, typeface);
    let about =
        About { title: run_sheet::title(sheet), subtitle: &sheet.subtitle, stamp: &sheet.stamp, created };
    written(&pages, &about)
}

/// Any other page, with the drawings that it asks for.
///
/// # Errors
/// When the typeface can't be read, a drawing is missing, or the document breaks a rule of its standard.
pub fn leaf_pdf(leaf: &Leaf, drawings: &Drawings<'_>, options: &PdfOptions<'_>) -> Result<Vec<u8>, PdfError> {
    leaf_in(&Typeface::new(options.font)?, leaf, drawings, (options.paper, options.created))
}

/// The same in a typeface that was read before.
pub(super) fn leaf_in(
    typeface: &Typeface<'_>,
    leaf: &Leaf,
    drawings: &Drawings<'_>,
    (paper, created): (Paper, DateTime<Utc>),
) -> Result<Vec<u8>, PdfError> {
    let pages = leaf::laid_out(leaf, drawings, paper, typeface)?;
    let about = About { title: &leaf.title, subtitle: &leaf.subtitle, stamp: &leaf.stamp, created };
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
    Ok(run_sheet_sides(&Typeface::new(options.font)?, sheet, timeline, options.paper))
}

/// The same in a typeface that was read before.
pub(super) fn run_sheet_sides(
    typeface: &Typeface<'_>,
    sheet: &RunSheet,
    timeline: &Scene,
    paper: Paper,
) -> Vec<Scene> {
    scenes(&run_sheet::laid_out(sheet, timeline, paper, typeface))
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
    leaf_sides(&Typeface::new(options.font)?, leaf, drawings, options.paper)
}

/// The same in a typeface that was read before.
pub(super) fn leaf_sides(
    typeface: &Typeface<'_>,
    leaf: &Leaf,
    drawings: &Drawings<'_>,
    paper: Paper,
) -> Result<Vec<Scene>, PdfError> {
    Ok(scenes(&leaf::laid_out(leaf, drawings, paper, typeface)?))
}
