//! The printable evening as PDF: tagged, archival, the same bytes for the same evening.

use std::fmt;

use chrono::{DateTime, Utc};

use crate::chart::Scene;
use crate::sheet::RunSheet;

/// Paper, in points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

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

/// The operators' run sheet with the timeline drawing.
///
/// # Errors
/// When the typeface can't be read or the document breaks a rule of its standard.
pub fn run_sheet_pdf(
    sheet: &RunSheet,
    timeline: &Scene,
    options: &PdfOptions<'_>,
) -> Result<Vec<u8>, PdfError> {
    todo!()
}
