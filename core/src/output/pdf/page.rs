//! Paper, margins and the marks on each page: the layout fills pages, the pen draws them afterwards.

use krilla::tagging::TagKind;

use super::tags::{Element, Slot, Tags};
use super::typeface::Typeface;
use crate::chart::{Scene, TimelineOptions, Weight};

/// Paper, in points; pages lie on their long side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

/// White round every page, in points: 9 mm, more than office printers need.
pub(super) const MARGIN: f32 = 26.0;
/// Height kept for the footer.
pub(super) const FOOT: f32 = 26.0;
/// Size of text in tables and lists.
pub(super) const BODY: f32 = 10.0;
/// From baseline to baseline of [`BODY`].
pub(super) const LINE: f32 = 11.6;
/// Size of a section's heading.
pub(super) const HEADING: f32 = 13.0;

impl Paper {
    /// All papers.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Width and height in points, lying on its long side. A point is 1/72 inch, an inch 25.4 mm.
    pub const fn size(self) -> (f32, f32) {
        match self {
            Self::A4 => (841.89, 595.276),
            Self::Letter => (792.0, 612.0),
        }
    }

    /// Width between the margins.
    pub const fn text_width(self) -> f32 {
        self.size().0 - 2.0 * MARGIN
    }

    /// The size at which a timeline fits this paper with room for the cautions below it.
    pub const fn timeline(self) -> TimelineOptions {
        TimelineOptions { width: self.text_width(), height: 246.0, text_size: 9.0 }
    }
}

/// What a mark is to the structure of the document.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Role {
    /// Content that is read.
    Content(Slot),
    /// Content that is told by other words.
    Told(Slot, &'static str),
    /// Part of the footer.
    Footer,
    /// Lines and boxes that say nothing.
    Decoration,
}

/// One mark on a page; y runs down from the upper edge.
#[derive(Clone, Debug)]
pub(super) enum Mark<'s> {
    /// A line of text from its left end, on its baseline.
    Text { x: f32, y: f32, size: f32, weight: Weight, text: String, role: Role },
    /// A straight line.
    Rule { from: (f32, f32), to: (f32, f32), width: f32, role: Role },
    /// An empty box: left, top, width, height.
    Frame { at: (f32, f32), size: (f32, f32), role: Role },
    /// A drawing with its upper left corner and its scale.
    Drawing { at: (f32, f32), scale: f32, scene: &'s Scene, slot: Slot },
}

/// Pages being filled from above, with the structure of what stands on them.
pub(super) struct Pages<'s> {
    /// Paper of all pages.
    pub paper: Paper,
    /// Typeface of all text.
    pub typeface: &'s Typeface<'s>,
    /// Structure.
    pub tags: Tags,
    /// Marks of each page.
    pub leaves: Vec<Vec<Mark<'s>>>,
    /// Where the next thing goes on the last page.
    pub y: f32,
    /// Headings with page and height, for the outline.
    pub headings: Vec<(String, usize, f32)>,
}

impl<'s> Pages<'s> {
    /// One empty page.
    pub fn new(paper: Paper, typeface: &'s Typeface<'s>) -> Self {
        Self {
            paper,
            typeface,
            tags: Tags::default(),
            leaves: vec![Vec::new()],
            y: MARGIN,
            headings: Vec::new(),
        }
    }

    /// Lowest point for content.
    pub const fn bottom(&self) -> f32 {
        self.paper.size().1 - MARGIN - FOOT
    }

    /// Height left on the page.
    pub fn room(&self) -> f32 {
        self.bottom() - self.y
    }

    /// Height of an empty page.
    pub const fn full_room(&self) -> f32 {
        self.bottom() - MARGIN
    }

    /// Goes on at the top of a new page.
    pub fn turn(&mut self) {
        self.leaves.push(Vec::new());
        self.y = MARGIN;
    }

    /// Turns the page where less than `height` is left and a new page would have more.
    pub fn need(&mut self, height: f32) {
        if self.room() < height && self.y > MARGIN {
            self.turn();
        }
    }

    /// Puts a mark on the last page.
    pub fn put(&mut self, mark: Mark<'s>) {
        if let Some(page) = self.leaves.last_mut() {
            page.push(mark);
        }
    }

    /// Writes a line that is part of an element.
    pub fn write(&mut self, element: Element, at: (f32, f32), size: f32, weight: Weight, text: &str) {
        let text = self.typeface.writable(text);
        if text.trim().is_empty() {
            return;
        }
        let role = Role::Content(self.tags.slot(element));
        self.put(Mark::Text { x: at.0, y: at.1, size, weight, text, role });
    }

    /// Writes a heading at the left margin and notes it for the outline.
    pub fn heading(&mut self, tag: impl Into<TagKind>, size: f32, text: &str) {
        let element = self.tags.section(tag);
        self.headings.push((self.typeface.writable(text), self.leaves.len() - 1, self.y));
        for line in self.typeface.lines(text, size, Weight::Semibold, self.paper.text_width()) {
            self.y += size;
            self.write(element, (MARGIN, self.y), size, Weight::Semibold, &line);
            self.y += 0.3 * size;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Paper;

    #[test]
    fn papers_have_their_published_sizes() {
        // ISO 216: A4 is 210 by 297 mm; Letter is 8.5 by 11 inches (ANSI/ASME Y14.1).
        let (width, height) = Paper::A4.size();
        assert!((width - 297.0 / 25.4 * 72.0).abs() < 0.01 && (height - 210.0 / 25.4 * 72.0).abs() < 0.01);
        assert_eq!(Paper::Letter.size(), (11.0 * 72.0, 8.5 * 72.0));
    }
}
