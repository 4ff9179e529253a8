//! Paper, how pages are set, and the marks on each side: the layout fills sides, the pen draws them afterwards.

use krilla::tagging::TagKind;

use super::tags::{Element, Slot, Tags};
use super::typeface::Typeface;
use crate::chart::{Scene, TimelineOptions, VisitorSkyOptions, Weight};

/// Paper, in points. A point is 1/72 inch, an inch 25.4 mm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

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

    /// Width and height, standing on its short side.
    pub const fn upright(self) -> (f32, f32) {
        let (long, short) = self.size();
        (short, long)
    }

    /// The size at which a timeline fits a run sheet of this paper with room for the cautions below it.
    pub const fn timeline(self) -> TimelineOptions {
        TimelineOptions { width: Setting::run_sheet(self).text_width(), height: 246.0, text_size: 9.0 }
    }

    /// The size at which the visitors' sky fits a page whose text is so large without scaling.
    pub const fn visitor_sky(self, text_pt: f32) -> VisitorSkyOptions {
        let (width, height) = self.upright();
        // Beside its words the sky leaves room for what can be seen at home; large print takes a list below it, most of a side.
        let most = if text_pt < 15.0 { 0.57 * height } else { 0.72 * height };
        VisitorSkyOptions {
            width: width - 2.0 * LEAF_MARGIN,
            height: most,
            sky_beside: 0.355 * height,
            text_size: text_pt,
        }
    }
}

/// White round every side of a page other than the run sheet: half an inch, more than office printers need.
pub(super) const LEAF_MARGIN: f32 = 36.0;

/// How the sides of a document are set, in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Setting {
    /// Width and height of each side.
    pub size: (f32, f32),
    /// White all round.
    pub margin: f32,
    /// Height kept for the footer, and the size of its text.
    pub foot: f32,
    pub foot_text: f32,
    /// Size of text, and from baseline to baseline.
    pub body: f32,
    pub line: f32,
    /// White between the points of a list, on top of that.
    pub between: f32,
    /// Sizes of the headings of the first, second and third level.
    pub headings: [f32; 3],
    /// Size of words to be read from afar.
    pub large: f32,
}

impl Setting {
    /// The run sheet's: as much on a side as is legible at arm's length. The margin of 8 mm is more than office printers
    /// need.
    pub const fn run_sheet(paper: Paper) -> Self {
        Self {
            size: paper.size(),
            margin: 22.0,
            foot: 26.0,
            foot_text: 9.0,
            body: 10.0,
            line: 11.4,
            between: 1.7,
            headings: [18.0, 13.0, 11.0],
            large: 30.0,
        }
    }

    /// Width between the margins.
    pub const fn text_width(&self) -> f32 {
        self.size.0 - 2.0 * self.margin
    }

    /// The right edge of what is set.
    pub const fn right(&self) -> f32 {
        self.size.0 - self.margin
    }

    /// Lowest point for content.
    pub const fn bottom(&self) -> f32 {
        self.size.1 - self.margin - self.foot
    }

    /// Height of an empty side.
    pub const fn full_room(&self) -> f32 {
        self.bottom() - self.margin
    }

    /// Size of a heading of a level, from 1.
    pub fn heading(&self, level: u16) -> f32 {
        let index = usize::from(level.saturating_sub(1)).min(self.headings.len() - 1);
        self.headings[index]
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

/// One mark on a side; y runs down from the upper edge.
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

/// A heading for the outline.
#[derive(Clone, Debug)]
pub(super) struct Heading {
    pub level: u16,
    pub text: String,
    /// The side it stands on, from 0, and its height there.
    pub side: usize,
    pub y: f32,
}

/// Sides being filled from above, with the structure of what stands on them.
pub(super) struct Pages<'s> {
    /// How all sides are set.
    pub setting: Setting,
    /// Typeface of all text.
    pub typeface: &'s Typeface<'s>,
    /// Structure.
    pub tags: Tags,
    /// Marks of each side.
    pub sides: Vec<Vec<Mark<'s>>>,
    /// Where the next thing goes on the last side.
    pub y: f32,
    /// Left edge and width of the column that is being filled: most often all between the margins.
    pub left: f32,
    pub width: f32,
    /// Headings in their order.
    pub headings: Vec<Heading>,
}

impl<'s> Pages<'s> {
    /// One empty side.
    pub fn new(setting: Setting, typeface: &'s Typeface<'s>) -> Self {
        Self {
            setting,
            typeface,
            tags: Tags::default(),
            sides: vec![Vec::new()],
            y: setting.margin,
            left: setting.margin,
            width: setting.text_width(),
            headings: Vec::new(),
        }
    }

    /// One empty side without end, to find out how high things are.
    pub fn endless(&self) -> Self {
        let size = (self.setting.size.0, 1e6);
        let empty = Self::new(Setting { size, ..self.setting }, self.typeface);
        Self { left: self.left, width: self.width, ..empty }
    }

    /// Goes on in a column of that many, from 0, or across the side for one of one.
    pub fn column(&mut self, column: usize, columns: usize) {
        let columns = columns.max(1);
        let gap = 2.0 * self.setting.body;
        self.width = (self.setting.text_width() - (columns - 1) as f32 * gap) / columns as f32;
        self.left = self.setting.margin + column as f32 * (self.width + gap);
    }

    /// Where the column ends.
    pub const fn right(&self) -> f32 {
        self.left + self.width
    }

    /// Whether nothing stands on the last side yet.
    pub fn at_top(&self) -> bool {
        self.y <= self.setting.margin
    }

    /// Height left on the side.
    pub fn room(&self) -> f32 {
        self.setting.bottom() - self.y
    }

    /// Goes on at the top of a new side.
    pub fn turn(&mut self) {
        self.sides.push(Vec::new());
        self.y = self.setting.margin;
    }

    /// Turns the side where less than `height` is left and a new side would have more.
    pub fn need(&mut self, height: f32) {
        if self.room() < height && !self.at_top() {
            self.turn();
        }
    }

    /// White before the next thing, except at the top of a side.
    pub fn gap(&mut self, height: f32) {
        if !self.at_top() {
            self.y += height;
        }
    }

    /// Puts a mark on the last side.
    pub fn put(&mut self, mark: Mark<'s>) {
        if let Some(side) = self.sides.last_mut() {
            side.push(mark);
        }
    }

    /// Draws a line across the column that says nothing.
    pub fn rule(&mut self, width: f32) {
        let (from, to) = ((self.left, self.y), (self.right(), self.y));
        self.put(Mark::Rule { from, to, width, role: Role::Decoration });
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

    /// Writes lines below one another from the left edge `x`, each `leading` high; turns where a side is full.
    pub fn write_lines(
        &mut self,
        element: Element,
        x: f32,
        (size, weight, leading): (f32, Weight, f32),
        lines: &[String],
    ) {
        for line in lines {
            self.need(leading);
            self.write(element, (x, self.y + size), size, weight, line);
            self.y += leading;
        }
    }

    /// Notes a heading for the outline.
    pub fn note_heading(&mut self, level: u16, text: &str, y: f32) {
        let text = self.typeface.writable(text);
        self.headings.push(Heading { level, text, side: self.sides.len() - 1, y });
    }

    /// Writes a heading at the left edge and notes it for the outline.
    pub fn heading(&mut self, tag: impl Into<TagKind>, level: u16, text: &str) {
        let size = self.setting.heading(level);
        let element = self.tags.section(tag);
        self.note_heading(level, text, self.y);
        let lines = self.typeface.lines(text, size, Weight::Semibold, self.width);
        self.write_lines(element, self.left, (size, Weight::Semibold, 1.3 * size), &lines);
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
        assert_eq!(Paper::Letter.upright(), (8.5 * 72.0, 11.0 * 72.0));
    }
}
