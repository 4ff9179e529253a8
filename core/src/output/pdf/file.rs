//! From laid out sides to the bytes of a file that keeps to its two standards.

use chrono::{DateTime, Datelike, Timelike, Utc};
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::Point;
use krilla::metadata::{DateTime as PdfDateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::{Document, SerializeSettings};

use super::packed::packed;
use super::page::{Heading, Pages};
use super::{PdfError, pen};

/// What the file says of itself.
pub(super) struct About<'a> {
    pub title: &'a str,
    pub subtitle: &'a str,
    pub stamp: &'a str,
    pub created: DateTime<Utc>,
}

/// The file. It keeps to PDF/UA-1 (ISO 14289-1:2014) and PDF/A-2a (ISO 19005-2:2011), or there is none.
pub(super) fn written(pages: &Pages<'_>, about: &About<'_>) -> Result<Vec<u8>, PdfError> {
    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A2_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| PdfError(format!("its two standards exclude each other: {error:?}")))?;
    let settings = SerializeSettings { configuration, enable_tagging: true, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    document.set_metadata(metadata(pages, about));
    document.set_outline(outline(pages));
    let drawn = pen::draw(&mut document, pages)?;
    document.set_tag_tree(pages.tags.tree(&drawn));
    let file = document.finish();
    let file = file.map_err(|error| PdfError(format!("it breaks a rule of its standard: {error:?}")))?;
    Ok(packed(file))
}

fn metadata(pages: &Pages<'_>, about: &About<'_>) -> Metadata {
    let created = about.created;
    let date = PdfDateTime::new(created.year().clamp(0, 9999) as u16)
        .month(created.month() as u8)
        .day(created.day() as u8)
        .hour(created.hour() as u8)
        .minute(created.minute() as u8)
        .second(created.second() as u8)
        .utc_offset_hour(0)
        .utc_offset_minute(0);
    let typeface = pages.typeface;
    Metadata::new()
        .title(typeface.writable(about.title))
        .description(typeface.writable(&with_commas(about.subtitle)))
        .creator(typeface.writable(&with_commas(about.stamp)))
        .language("en-GB".to_owned())
        .creation_date(date)
        .document_id(format!("{} {} {}", about.stamp, about.title, about.subtitle))
}

/// Words with commas for the dots between: plain letters take half the room in a file's particulars.
fn with_commas(text: &str) -> String {
    text.replace(" · ", ", ")
}

/// The headings, each below the one it belongs to.
fn outline(pages: &Pages<'_>) -> Outline {
    let mut outline = Outline::new();
    let mut rest = &pages.headings[..];
    while let Some(node) = entry(pages, &mut rest) {
        outline.push_child(node);
    }
    outline
}

/// The first of the headings with those below it, which are taken away.
fn entry(pages: &Pages<'_>, rest: &mut &[Heading]) -> Option<OutlineNode> {
    let (first, mut others) = rest.split_first()?;
    let destination = XyzDestination::new(first.side, Point::from_xy(pages.setting.margin, first.y));
    let mut node = OutlineNode::new(first.text.clone(), destination).with_open(true);
    while others.first().is_some_and(|next| next.level > first.level) {
        if let Some(child) = entry(pages, &mut others) {
            node.push_child(child);
        }
    }
    *rest = others;
    Some(node)
}
