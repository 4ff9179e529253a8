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
