//! A page of blocks on as few sides as it takes: its setting, and what stands where on which side.

use krilla::tagging::Tag;

use super::PdfError;
use super::blocks::{draw, level};
use super::foot::Foot;
use super::page::{Pages, Paper, Setting};
use super::parts::heading_tag;
use super::typeface::Typeface;
use crate::chart::{Scene, Weight};
use crate::sheet::{Block, Leaf, LeafDrawing, LeafKind};

/// The drawings that pages ask for.
pub type Drawings<'s> = [(LeafDrawing, &'s Scene)];

/// White between things as a share of the usual.
#[derive(Clone, Copy)]
struct Rhythm {
    /// From baseline to baseline, in sizes of the text.
    leading: f32,
    /// Between blocks, as a share of the usual.
    gap: f32,
    /// And in points on top of it.
    extra: f32,
}

/// From airy to tight: the first with the fewest sides is taken.
const RHYTHMS: [Rhythm; 3] = [
    Rhythm { leading: 1.34, gap: 1.0, extra: 0.0 },
    Rhythm { leading: 1.26, gap: 0.8, extra: 0.0 },
    Rhythm { leading: 1.2, gap: 0.6, extra: 0.0 },
];

/// How much larger than asked for a poster's text may be, and by how much it grows at a time.
const LARGEST_POSTER: f32 = 1.8;
const POSTER_STEP: f32 = 0.05;

/// The share of a side up to which what stands below a heading stays together with it.
const TOGETHER: f32 = 0.45;

/// White round every side: 16 mm.
const MARGIN: f32 = 45.0;

/// Sizes of text that pages are set in; others are taken as the nearest of these.
const TEXT_SIZES: (f32, f32) = (8.0, 40.0);

/// How a page is set whose text is so large.
fn setting(leaf: &Leaf, paper: Paper, enlarged: f32, leading: f32) -> Setting {
    let body = enlarged * leaf.text_pt.clamp(TEXT_SIZES.0, TEXT_SIZES.1);
    Setting {
        size: if leaf.landscape { paper.size() } else { paper.upright() },
        margin: MARGIN,
        foot: 0.0,
        foot_text: (0.9 * leaf.text_pt).clamp(12.0, 18.0),
        body,
        line: leading * body,
        headings: [1.5 * body + 9.0, 1.25 * body + 2.0, 1.1 * body],
    }
}

/// Every side of a page with its marks, on as few sides as it takes.
pub(super) fn laid_out<'s>(
    leaf: &'s Leaf,
    drawings: &Drawings<'s>,
    paper: Paper,
    typeface: &'s Typeface<'s>,
) -> Result<Pages<'s>, PdfError> {
    let sides = |enlarged: f32, rhythm: Rhythm| sides(leaf, drawings, paper, typeface, (enlarged, rhythm));
    let mut best = sides(1.0, RHYTHMS[0])?;
    if leaf.kind == LeafKind::DoorCard && best.sides.len() == 1 {
        return poster(best, sides);
    }
    for rhythm in &RHYTHMS[1..] {
        if best.sides.len() == 1 {
            break;
        }
        let tighter = sides(1.0, *rhythm)?;
        if tighter.sides.len() < best.sides.len() {
            best = tighter;
        }
    }
    Ok(best)
}

/// A page to be read from afar: as large as one side allows, what is left over spread between its blocks.
fn poster<'s>(
    mut best: Pages<'s>,
    sides: impl Fn(f32, Rhythm) -> Result<Pages<'s>, PdfError>,
) -> Result<Pages<'s>, PdfError> {
    let mut enlarged = 1.0;
    while enlarged < LARGEST_POSTER {
        let larger = sides(enlarged + POSTER_STEP, RHYTHMS[0])?;
        if larger.sides.len() > 1 {
            break;
        }
        (best, enlarged) = (larger, enlarged + POSTER_STEP);
    }
    let spread = Rhythm { extra: 1.0, ..RHYTHMS[0] };
    let gaps = (sides(enlarged, spread)?.y - best.y).max(1.0);
    let spread = Rhythm { extra: best.room() / gaps, ..RHYTHMS[0] };
    let full = sides(enlarged, spread)?;
    Ok(if full.sides.len() == 1 { full } else { best })
}

fn sides<'s>(
    leaf: &'s Leaf,
    drawings: &Drawings<'s>,
    paper: Paper,
    typeface: &'s Typeface<'s>,
    (enlarged, rhythm): (f32, Rhythm),
) -> Result<Pages<'s>, PdfError> {
    let mut setting = setting(leaf, paper, enlarged, rhythm.leading);
    let foot = Foot::new(&setting, typeface, [&leaf.footer, &leaf.stamp, &leaf.zone]);
    setting.foot = foot.height(&setting);
    let mut pages = Pages::new(setting, typeface);
    head(&mut pages, leaf);
    pages.y += rhythm.extra;
    for (index, block) in leaf.blocks.iter().enumerate() {
        if matches!(block, Block::NewSide) {
            if !pages.at_top() {
                pages.turn();
            }
            continue;
        }
        let gap = rhythm.gap * gap_before(&leaf.blocks, index) * setting.line + rhythm.extra;
        let together = together(&pages, &leaf.blocks, index, drawings)?;
        pages.need(gap + together);
        pages.gap(gap);
        draw(&mut pages, block, level(&leaf.blocks, index), drawings)?;
    }
    foot.draw(&mut pages);
    Ok(pages)
}

/// Title and subtitle, and the line that ends them.
fn head(pages: &mut Pages<'_>, leaf: &Leaf) {
    let setting = pages.setting;
    pages.heading(heading_tag(1, &leaf.title), 1, &leaf.title);
    if !leaf.subtitle.trim().is_empty() {
        let paragraph = pages.tags.section(Tag::P);
        let lines = pages.typeface.lines(&leaf.subtitle, setting.body, Weight::Regular, setting.text_width());
        let plain = (setting.body, Weight::Regular, setting.line);
        pages.write_lines(paragraph, setting.margin, plain, &lines);
    }
    pages.y += 0.3 * setting.body;
    pages.rule(1.6);
}

/// White before a block, in lines.
fn gap_before(blocks: &[Block], index: usize) -> f32 {
    let previous = index.checked_sub(1).and_then(|index| blocks.get(index));
    match (previous, &blocks[index]) {
        (Some(Block::Heading(_)), Block::Table(_)) => 0.4,
        (Some(Block::Heading(_)), _) => 0.25,
        (Some(Block::Subheading(_)), _) => 0.1,
        (_, Block::Heading(_)) => 1.0,
        (_, Block::Subheading(_) | Block::Large(_) | Block::Drawing(_) | Block::Choices(_)) => 0.7,
        (_, Block::List(_)) => 0.35,
        _ => 0.5,
    }
}

/// How much of what comes must stand on the same side as a block's beginning: all of a short section, else the heading
/// with the beginning of what follows it.
fn together(
    pages: &Pages<'_>,
    blocks: &[Block],
    index: usize,
    drawings: &Drawings<'_>,
) -> Result<f32, PdfError> {
    let begins = |block: &Block| matches!(block, Block::Heading(_) | Block::Subheading(_));
    if !begins(&blocks[index]) {
        return Ok(0.0);
    }
    let ends = |block: &Block| begins(block) || matches!(block, Block::NewSide);
    let body = index + blocks[index..].iter().take_while(|block| begins(block)).count();
    let end = body + blocks[body..].iter().take_while(|block| !ends(block)).count();
    let mut measured = pages.endless();
    let mut least = f32::INFINITY;
    for next in index..end {
        let block = &blocks[next];
        measured.y += if next > index { gap_before(blocks, next) * pages.setting.line } else { 0.0 };
        let top = measured.y;
        draw(&mut measured, block, level(blocks, next), drawings)?;
        if next == body {
            let first = match block {
                Block::Drawing(_) => measured.y,
                _ => measured.y.min(top + 4.0 * pages.setting.line),
            };
            least = first - pages.setting.margin;
        }
    }
    let whole = measured.y - pages.setting.margin;
    Ok(if whole <= TOGETHER * pages.setting.full_room() { whole } else { whole.min(least) })
}
