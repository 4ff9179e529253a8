//! A page of blocks on as few sides as it takes: its setting, and what stands where on which side.

use krilla::tagging::Tag;

use super::PdfError;
use super::blocks::{draw, level};
use super::foot::Foot;
use super::page::{LEAF_MARGIN, Pages, Paper, Setting};
use super::parts::heading_tag;
use super::typeface::Typeface;
use crate::chart::{Scene, Weight};
use crate::sheet::{Block, Leaf, LeafDrawing, LeafKind};

/// The drawings that pages ask for.
pub type Drawings<'s> = [(LeafDrawing, &'s Scene)];

/// How close things stand.
#[derive(Clone, Copy)]
struct Rhythm {
    /// Size of the text, as a share of what the page asks for.
    enlarged: f32,
    /// From baseline to baseline, in sizes of the text.
    leading: f32,
    /// White between blocks, as a share of the usual.
    gap: f32,
    /// White between blocks on top of that, in points.
    extra: f32,
    /// Whether short sections stand beside one another.
    pairs: bool,
}

/// White between the points of a list in lines, where it is airy.
const BETWEEN: f32 = 0.15;

const AIRY: Rhythm = Rhythm { enlarged: 1.0, leading: 1.34, gap: 1.0, extra: 0.0, pairs: false };

/// From airy to tight: the first with the fewest sides is taken, of those the first whose sides begin with headings.
const RHYTHMS: [Rhythm; 6] = [
    AIRY,
    Rhythm { pairs: true, ..AIRY },
    Rhythm { leading: 1.26, gap: 0.8, pairs: true, ..AIRY },
    Rhythm { leading: 1.2, gap: 0.6, pairs: true, ..AIRY },
    Rhythm { leading: 1.2, gap: 0.35, pairs: true, ..AIRY },
    Rhythm { leading: 1.15, gap: 0.35, pairs: true, ..AIRY },
];

/// Tighter still, for a page that is to stand on one side.
const ONE_SIDE: Rhythm = Rhythm { leading: 1.12, gap: 0.3, pairs: true, ..AIRY };

/// By how many points the text of a page that is to stand on one side shrinks at a time.
const SHRINK_STEP: f32 = 0.5;

/// How much smaller and larger than asked for a poster's text may be, and by how much it grows at a time.
const POSTER: (f32, f32) = (0.6, 1.8);
const POSTER_STEP: f32 = 0.05;

/// The share of a side up to which what stands below a heading stays together with it.
const TOGETHER: f32 = 0.45;

/// A paragraph of fewer lines leads in what stands below it, and is not left alone.
const LEAD_IN: f32 = 3.5;

/// Sizes of text that pages are set in; others are taken as the nearest of these.
const TEXT_SIZES: (f32, f32) = (8.0, 40.0);
/// The size of text that is enough for a footer that nobody reads from afar; that of large print is as large as all of it.
const FOOT_TEXT: f32 = 12.0;
/// The least leading of large print, from the advice on clear print: lines that stand closer run into one another for a weak eye
/// (common practice, no source).
const LARGE_LEADING: f32 = 1.2;
/// Words to be read from afar, in sizes of the text that the page asks for.
const LARGE: f32 = 3.0;

/// Every side of a page with its marks, on as few sides as it takes.
pub(super) fn laid_out<'s>(
    leaf: &'s Leaf,
    drawings: &Drawings<'s>,
    paper: Paper,
    typeface: &'s Typeface<'s>,
) -> Result<Pages<'s>, PdfError> {
    let sides = |rhythm: Rhythm| Layout { leaf, drawings, rhythm }.sides(paper, typeface);
    if leaf.kind == LeafKind::DoorCard
        && let Some(poster) = poster(sides)?
    {
        return Ok(poster);
    }
    let mut best = sides(AIRY)?;
    let allowed = |rhythm: &&Rhythm| !is_large(leaf) || rhythm.leading >= LARGE_LEADING;
    let poor = |pages: &Pages<'_>| (pages.sides.len(), !begin_with_headings(pages));
    // What the tightest can't do, none between can.
    let least = match RHYTHMS.iter().rfind(allowed) {
        Some(tightest) if best.sides.len() > 1 => sides(*tightest)?.sides.len(),
        _ => 1,
    };
    for rhythm in RHYTHMS[1..].iter().filter(allowed) {
        if poor(&best) <= (least, false) {
            break;
        }
        let tighter = sides(*rhythm)?;
        if poor(&tighter) < poor(&best) {
            best = tighter;
        }
    }
    if best.sides.len() > 1
        && let Some(one) = shrunk(leaf, sides)?
    {
        return Ok(one);
    }
    Ok(best)
}

/// Whether every side but the first begins with a heading: whoever turns the page finds something whole.
fn begin_with_headings(pages: &Pages<'_>) -> bool {
    let begins = |side: usize| {
        pages.headings.iter().any(|heading| heading.side == side && heading.y <= pages.setting.margin + 0.1)
    };
    (1..pages.sides.len()).all(begins)
}

/// Whether a page is for those who need large print.
fn is_large(leaf: &Leaf) -> bool {
    leaf.kind == LeafKind::HandbillLarge
}

/// A page in the largest text, of those that it allows, at which one side holds it. `None` where none does.
fn shrunk<'s>(
    leaf: &Leaf,
    sides: impl Fn(Rhythm) -> Result<Pages<'s>, PdfError>,
) -> Result<Option<Pages<'s>>, PdfError> {
    let mut text_pt = leaf.text_pt - SHRINK_STEP;
    while text_pt >= leaf.least_pt {
        for rhythm in RHYTHMS[1..].iter().chain([&ONE_SIDE]) {
            let smaller = sides(Rhythm { enlarged: text_pt / leaf.text_pt, ..*rhythm })?;
            if smaller.sides.len() == 1 {
                return Ok(Some(smaller));
            }
        }
        text_pt -= SHRINK_STEP;
    }
    Ok(None)
}

/// A page to be read from afar: as large as one side allows, what is left over spread between its blocks. `None` where it
/// takes more than a side.
fn poster<'s>(sides: impl Fn(Rhythm) -> Result<Pages<'s>, PdfError>) -> Result<Option<Pages<'s>>, PdfError> {
    let mut best: Option<(Pages<'s>, Rhythm)> = None;
    let mut enlarged = POSTER.0;
    while enlarged <= POSTER.1 {
        let rhythm = Rhythm { enlarged, ..AIRY };
        let larger = sides(rhythm)?;
        if larger.sides.len() > 1 {
            break;
        }
        best = Some((larger, rhythm));
        enlarged += POSTER_STEP;
    }
    let Some((best, rhythm)) = best else {
        return Ok(None);
    };
    let gaps = (sides(Rhythm { extra: 1.0, ..rhythm })?.y - best.y).max(1.0);
    let spread = sides(Rhythm { extra: (best.room() - best.setting.line).max(0.0) / gaps, ..rhythm })?;
    Ok(Some(if spread.sides.len() == 1 { spread } else { best }))
}

/// A page being laid out.
struct Layout<'l, 's> {
    leaf: &'s Leaf,
    drawings: &'l Drawings<'s>,
    rhythm: Rhythm,
}

impl<'s> Layout<'_, 's> {
    fn setting(&self, paper: Paper) -> Setting {
        let text_pt = self.leaf.text_pt.clamp(TEXT_SIZES.0, TEXT_SIZES.1);
        let body = self.rhythm.enlarged * text_pt;
        Setting {
            size: if self.leaf.landscape { paper.size() } else { paper.upright() },
            margin: LEAF_MARGIN,
            foot: 0.0,
            foot_text: if is_large(self.leaf) { text_pt } else { text_pt.min(FOOT_TEXT) },
            body,
            line: self.rhythm.leading * body,
            between: BETWEEN * self.rhythm.gap * self.rhythm.leading * body,
            headings: [1.5 * body + 9.0, 1.25 * body + 2.0, 1.1 * body],
            large: LARGE * text_pt,
        }
    }

    fn sides(&self, paper: Paper, typeface: &'s Typeface<'s>) -> Result<Pages<'s>, PdfError> {
        let (leaf, mut setting) = (self.leaf, self.setting(paper));
        // Large print has its advice once, at its end: at the foot of every side it would take a tenth of them all.
        let advice = if is_large(leaf) { "" } else { &leaf.footer };
        let foot = Foot::new(&setting, typeface, [advice, &leaf.stamp, &leaf.zone]);
        setting.foot = foot.height(&setting);
        let mut pages = Pages::new(setting, typeface);
        self.head(&mut pages);
        let mut index = 0;
        while index < leaf.blocks.len() {
            if let Some(end) = self.pair(&mut pages, index)? {
                index = end;
            } else {
                let gap = self.gap_before(&pages, index);
                let together = self.together(&pages, index)?;
                pages.need(gap + together);
                pages.gap(gap);
                self.draw(&mut pages, index)?;
                index += 1;
            }
        }
        if is_large(leaf) {
            self.closing(&mut pages);
        }
        foot.draw(&mut pages);
        Ok(pages)
    }

    /// What else stands at the foot: who decides in the end.
    fn closing(&self, pages: &mut Pages<'_>) {
        let (setting, gap) = (pages.setting, self.rhythm.gap * pages.setting.line);
        let lines = pages.typeface.lines(&self.leaf.footer, setting.body, Weight::Semibold, pages.width);
        pages.need(gap + lines.len() as f32 * setting.line);
        pages.gap(gap);
        let paragraph = pages.tags.section(Tag::P);
        let bold = (setting.body, Weight::Semibold, setting.line);
        pages.write_lines(paragraph, pages.left, bold, &lines);
    }

    /// Title and subtitle, and the line that ends them.
    fn head(&self, pages: &mut Pages<'_>) {
        let (leaf, setting) = (self.leaf, pages.setting);
        pages.heading(heading_tag(1, &leaf.title), 1, &leaf.title);
        if !leaf.subtitle.trim().is_empty() {
            let paragraph = pages.tags.section(Tag::P);
            let lines = pages.typeface.lines(&leaf.subtitle, setting.body, Weight::Regular, pages.width);
            let plain = (setting.body, Weight::Regular, setting.line);
            pages.write_lines(paragraph, pages.left, plain, &lines);
        }
        pages.y += 0.3 * setting.body;
        pages.rule(1.6);
    }

    fn draw(&self, pages: &mut Pages<'s>, index: usize) -> Result<(), PdfError> {
        let blocks = &self.leaf.blocks;
        draw(pages, &blocks[index], level(blocks, index), self.drawings)
    }

    /// White before a block.
    fn gap_before(&self, pages: &Pages<'_>, index: usize) -> f32 {
        let blocks = &self.leaf.blocks;
        let previous = index.checked_sub(1).and_then(|index| blocks.get(index));
        let lines = match (previous, &blocks[index]) {
            (Some(Block::Heading(_)), Block::Subheading(_) | Block::Table(_)) => 0.4,
            (_, Block::Heading(_)) => 1.0,
            (_, Block::Subheading(_)) => 0.7,
            (Some(Block::Heading(_)), _) => 0.25,
            (Some(Block::Subheading(_)), _) => 0.1,
            (_, Block::Large(_) | Block::Drawing(_) | Block::Choices(_)) => 0.7,
            (_, Block::List(_)) => 0.35,
            _ => 0.5,
        };
        self.rhythm.gap * lines * pages.setting.line + self.rhythm.extra
    }

    /// How high some blocks are below one another, and how high up to the end of the first of them that is no heading.
    fn heights(&self, pages: &Pages<'s>, from: usize, to: usize) -> Result<(f32, f32), PdfError> {
        let mut measured = pages.endless();
        let top = measured.y;
        let mut first = None;
        for index in from..to {
            let block = &self.leaf.blocks[index];
            if index > from {
                measured.y += self.gap_before(pages, index);
            }
            let begin = measured.y;
            self.draw(&mut measured, index)?;
            let leads_in =
                matches!(block, Block::Text(_)) && measured.y - begin < LEAD_IN * pages.setting.line;
            if first.is_none() && !begins(block) && !(leads_in && index + 1 < to) {
                first = Some(match block {
                    Block::Drawing(_) => measured.y,
                    _ => measured.y.min(begin + 4.0 * pages.setting.line),
                });
            }
        }
        Ok((measured.y - top, first.unwrap_or(measured.y) - top))
    }

    /// How much of what comes must stand on the same side as a block's beginning: all of a short section, else the heading
    /// with the beginning of what follows it.
    fn together(&self, pages: &Pages<'s>, index: usize) -> Result<f32, PdfError> {
        let blocks = &self.leaf.blocks;
        if !begins(&blocks[index]) {
            return Ok(0.0);
        }
        let body = index + blocks[index..].iter().take_while(|block| begins(block)).count();
        let (whole, least) = self.heights(pages, index, section_end(blocks, body))?;
        Ok(if whole <= TOGETHER * pages.setting.full_room() { whole } else { least })
    }

    /// Draws two short sections beside one another where that saves height; gives the end of the second.
    fn pair(&self, pages: &mut Pages<'s>, index: usize) -> Result<Option<usize>, PdfError> {
        let blocks = &self.leaf.blocks;
        if !self.rhythm.pairs {
            return Ok(None);
        }
        let Some(middle) = short_section(blocks, index) else {
            return Ok(None);
        };
        let Some(end) = short_section(blocks, middle) else {
            return Ok(None);
        };
        let below = self.heights(pages, index, end)?.0;
        pages.column(0, 2);
        let left = self.heights(pages, index, middle)?.0;
        let right = self.heights(pages, middle, end)?.0;
        let beside = left.max(right);
        let gap = self.gap_before(pages, index);
        if beside > 0.85 * below || beside + gap > pages.setting.full_room() {
            pages.column(0, 1);
            return Ok(None);
        }
        pages.need(gap + beside);
        pages.gap(gap);
        let top = pages.y;
        let mut lowest = top;
        for (column, section) in [index..middle, middle..end].into_iter().enumerate() {
            pages.column(column, 2);
            pages.y = top;
            for block in section.clone() {
                pages.y += if block > section.start { self.gap_before(pages, block) } else { 0.0 };
                self.draw(pages, block)?;
            }
            lowest = lowest.max(pages.y);
        }
        pages.column(0, 1);
        pages.y = lowest;
        Ok(Some(end))
    }
}

/// Whether a block begins a section.
const fn begins(block: &Block) -> bool {
    matches!(block, Block::Heading(_) | Block::Subheading(_))
}

/// Where the section ends whose first block below its headings this is.
fn section_end(blocks: &[Block], body: usize) -> usize {
    body + blocks[body..].iter().take_while(|block| !begins(block)).count()
}

/// The end of a section of a few words that begins here, if one does.
fn short_section(blocks: &[Block], index: usize) -> Option<usize> {
    let Some(Block::Heading(_)) = blocks.get(index) else {
        return None;
    };
    let end = section_end(blocks, index + 1);
    let is_short = |block: &Block| matches!(block, Block::Text(_) | Block::Facts(_) | Block::List(_));
    let next_is_heading = !matches!(blocks.get(end), Some(Block::Subheading(_)));
    (next_is_heading && blocks[index + 1..end].iter().all(is_short)).then_some(end)
}
