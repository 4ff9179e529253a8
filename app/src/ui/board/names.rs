//! Where the names of stops stand on a lane: inside a block, else beside it, never over another; with the start, and with
//! what is wrong in a word, wherever they fit.

use std::sync::Arc;

use egui::text::{LayoutJob, TextFormat};
use egui::{Align, Color32, FontId, Galley, Painter, Pos2, Rect, Vec2, pos2, vec2};

use super::layout::BoardLayout;
use super::model::{Bite, Block, BoardModel};
use super::paint_lanes::{HELD_SIDE, MARK, PORT_STRIPE, finding_place};
use crate::ui::text;
use crate::ui::theme::{CLOSE_LINE, SMALL, SMALLER, TIGHT, Tokens, regular, semibold};

/// Between a block's edge and the words in it.
const INSIDE: f32 = 2.0;
/// Most lines of a name.
const MOST_LINES: usize = 3;
/// What a number alone counts as, beside the places of a name: a poor last.
const NUMBER_ALONE: usize = 40;

/// A name in so many lines, with what stands below it.
#[derive(Clone)]
pub struct Form {
    pub name: Arc<Galley>,
    pub clock: Option<Arc<Galley>>,
    pub word: Option<(Bite, Arc<Galley>)>,
}

/// The same words in one, two and three lines, in small type and, for the inside of a block, in smaller.
struct Forms {
    small: Vec<Form>,
    smaller: Vec<Form>,
}

impl Form {
    fn size(&self) -> Vec2 {
        let below = [self.clock.as_ref().map(|clock| clock.size()), self.word.as_ref().map(word_size)];
        below
            .into_iter()
            .flatten()
            .fold(self.name.size(), |all, line| vec2(all.x.max(line.x), all.y + line.y))
    }
}

fn word_size((_, galley): &(Bite, Arc<Galley>)) -> Vec2 {
    galley.size() + vec2(MARK, 0.0)
}

/// A form with its upper left corner.
pub struct Placed {
    pub form: Form,
    pub at: Pos2,
}

impl Placed {
    fn rect(&self) -> Rect {
        Rect::from_min_size(self.at, self.form.size())
    }
}

/// What is taken on the lanes: blocks, moves, and the words set so far.
pub struct Taken(Vec<Rect>);

impl Taken {
    pub fn new(model: &BoardModel<'_>, layout: &BoardLayout) -> Self {
        let mut taken = Vec::new();
        for block in &model.blocks {
            let rect = layout.block(block);
            taken.push(rect);
            taken.push(rect.with_max_x(rect.left()).with_min_x(before(layout, block)));
        }
        Self(taken)
    }

    /// Whether a place that ends at a block's right end reaches over something before the block and its move.
    pub fn strikes_before(&self, layout: &BoardLayout, block: &Block, place: Rect) -> bool {
        let ahead = place.with_max_x(before(layout, block));
        ahead.is_positive() && self.0.iter().any(|other| other.intersects(ahead.shrink(0.5)))
    }

    pub fn is_free(&self, layout: &BoardLayout, place: Rect) -> bool {
        room(layout).contains_rect(place) && !self.0.iter().any(|other| other.intersects(place))
    }

    pub fn take(&mut self, place: Rect) {
        self.0.push(place);
    }
}

/// Names may reach into the margin behind the lanes.
fn room(layout: &BoardLayout) -> Rect {
    layout.all_lanes().with_max_x(layout.whole.right())
}

/// Where a block begins together with the move to it.
pub fn before(layout: &BoardLayout, block: &Block) -> f32 {
    let left = layout.block(block).left();
    block.travel.as_ref().map_or(left, |travel| layout.axis.x(travel.leave()).min(left))
}

/// Start time, and whether it is held.
pub fn clock_words(model: &BoardModel<'_>, block: &Block) -> String {
    let start = model.clock(block.interval.start());
    if block.held { format!("{start} {}", text::HELD_MARK) } else { start }
}

/// A place for the words of every stop on a port, in the order of the blocks; none where only a number fits.
pub fn place(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    taken: &mut Taken,
) -> Vec<Option<Placed>> {
    let mut places: Vec<Option<Placed>> = model.blocks.iter().map(|_| None).collect();
    for lane in 0..layout.lanes.len() {
        let own = |block: &Block| block.lane == Some(lane) && block.lifted_from.is_none();
        let blocks = model.blocks.iter().enumerate().filter(|(_, block)| own(block));
        let blocks: Vec<(usize, &Block, Vec<Forms>)> =
            blocks.map(|(position, block)| (position, block, forms(painter, tokens, model, block))).collect();
        let lane_rect = room(layout).intersect(layout.lanes[lane].with_max_x(layout.whole.right()));
        let beside: Vec<Rect> = taken.0.iter().copied().filter(|rect| rect.intersects(lane_rect)).collect();
        let mut best: Option<(usize, Vec<(usize, Placed)>)> = None;
        for way in 0..8 {
            let tried = Way { narrow: way & 1 != 0, left: way & 2 != 0, backwards: way & 4 != 0 }
                .place(layout, lane_rect, &blocks, &beside);
            if best.as_ref().is_none_or(|(least, _)| tried.0 < *least) {
                best = Some(tried);
            }
            if best.as_ref().is_some_and(|(least, _)| *least <= 2 * blocks.len()) {
                break;
            }
        }
        for (position, placed) in best.into_iter().flat_map(|(_, placed)| placed) {
            taken.take(placed.rect());
            places[position] = Some(placed);
        }
    }
    places
}

/// One way to go through a lane: the narrowest forms first or the flattest, the left side first or the right, from either
/// end.
struct Way {
    narrow: bool,
    left: bool,
    backwards: bool,
}

impl Way {
    /// Places with what they count: 0 for everything inside its block.
    fn place(
        &self,
        layout: &BoardLayout,
        lane: Rect,
        blocks: &[(usize, &Block, Vec<Forms>)],
        beside: &[Rect],
    ) -> (usize, Vec<(usize, Placed)>) {
        let mut taken = beside.to_vec();
        let mut counts = 0;
        let mut all = Vec::with_capacity(blocks.len());
        let mut order: Vec<_> = blocks.iter().collect();
        if self.backwards {
            order.reverse();
        }
        for (position, block, forms) in order {
            let rect = layout.block(block);
            let found = forms.iter().enumerate().find_map(|(step, Forms { small, smaller })| {
                let inside = |forms: &[Form]| forms.iter().find_map(|form| inside(block, rect, form));
                let placed = inside(small).map(|placed| (3 * step, placed));
                let placed = placed.or_else(|| Some((3 * step + 1, inside(smaller)?)));
                placed.or_else(|| {
                    let beside = self.beside(layout, lane, (block, rect), small, &taken)?;
                    Some((3 * step + 2, beside))
                })
            });
            match found {
                Some((count, placed)) => {
                    counts += count;
                    taken.push(placed.rect());
                    all.push((*position, placed));
                }
                None => counts += NUMBER_ALONE,
            }
        }
        (counts, all)
    }

    fn beside(
        &self,
        layout: &BoardLayout,
        lane: Rect,
        (block, rect): (&Block, Rect),
        forms: &[Form],
        taken: &[Rect],
    ) -> Option<Placed> {
        let place = |form: &Form| {
            let size = form.size();
            // Its mark may be wider than a narrow block.
            let mark = finding_place(block, rect).filter(|_| form.word.is_none());
            let right = mark.map_or(rect.right(), |mark| mark.right().max(rect.right())) + TIGHT;
            let left = before(layout, block) - TIGHT - size.x;
            let sides = if self.left { [left, right] } else { [right, left] };
            let top = (rect.top() + INSIDE).min(rect.bottom() - size.y).max(lane.top());
            sides.into_iter().map(|x| pos2(x, top)).find(|at| {
                let place = Rect::from_min_size(*at, size);
                lane.contains_rect(place) && !taken.iter().any(|other| other.intersects(place))
            })
        };
        let found = |form: &Form| place(form).map(|at| Placed { form: form.clone(), at });
        if self.narrow { forms.iter().rev().find_map(found) } else { forms.iter().find_map(found) }
    }
}

/// Inside the block, clear of its marks.
fn inside(block: &Block, rect: Rect, form: &Form) -> Option<Placed> {
    let held = if block.held { HELD_SIDE - PORT_STRIPE } else { 0.0 };
    let inner = rect.shrink2(vec2(INSIDE, 0.0));
    let inner = inner.with_min_x((inner.left() + PORT_STRIPE + held).min(inner.right()));
    let at = pos2(inner.left(), (rect.top() + INSIDE).min(rect.bottom() - form.size().y));
    let place = Rect::from_min_size(at, form.size());
    let clear = form.word.is_some() || finding_place(block, rect).is_none_or(|mark| !mark.intersects(place));
    (inner.contains_rect(place) && clear).then(|| Placed { form: form.clone(), at })
}

/// The forms of a block's words, the fullest first: with what is wrong, with the start, the name alone.
fn forms(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, block: &Block) -> Vec<Forms> {
    let clock = clock_words(model, block);
    let rows = (1..=MOST_LINES).filter_map(|rows| in_lines(&block.title, rows));
    let rows: Vec<String> = rows.collect();
    let in_type = |size: f32| {
        let set = |words: &str, font| close(painter, words.to_owned(), font, tokens.ink);
        let names: Vec<Arc<Galley>> = rows.iter().map(|name| set(name, semibold(size))).collect();
        let clock = set(&clock, regular(size));
        let word = block.bite.map(|bite| (bite, set(bite.word, semibold(size))));
        move |has_clock: bool, has_word: bool| -> Vec<Form> {
            let form = |name: &Arc<Galley>| Form {
                name: Arc::clone(name),
                clock: has_clock.then(|| Arc::clone(&clock)),
                word: word.clone().filter(|_| has_word),
            };
            names.iter().map(form).collect()
        }
    };
    let (small, smaller) = (in_type(SMALL), in_type(SMALLER));
    let both = |has_clock, has_word| Forms {
        small: small(has_clock, has_word),
        smaller: smaller(has_clock, has_word),
    };
    let mut forms = Vec::new();
    if block.bite.is_some() {
        forms.push(both(true, true));
    }
    forms.push(both(true, false));
    forms.push(both(false, false));
    forms
}

/// Text with its lines close together.
fn close(painter: &Painter, words: String, font: FontId, ink: Color32) -> Arc<Galley> {
    let line_height = Some(CLOSE_LINE * font.size);
    let format = TextFormat { line_height, ..TextFormat::simple(font, ink) };
    let mut job = LayoutJob::single_section(words, format);
    job.halign = Align::Min;
    painter.layout_job(job)
}

/// A name in so many lines, parted at the spaces that make it shortest; `None` where it has too few words.
fn in_lines(name: &str, rows: usize) -> Option<String> {
    let mut ways = vec![name.to_owned()];
    for _ in 1..rows {
        ways = ways.iter().flat_map(|way| part_once_more(way)).collect();
    }
    let longest = |way: &String| way.lines().map(|line| line.chars().count()).max();
    ways.into_iter().min_by_key(longest)
}

/// All ways to part the last line once more.
fn part_once_more(way: &str) -> Vec<String> {
    let last = way.rfind('\n').map_or(0, |at| at + 1);
    let spaces = way[last..].match_indices(' ').map(|(at, _)| last + at);
    spaces.map(|at| format!("{}\n{}", &way[..at], &way[at + 1..])).collect()
}

#[cfg(test)]
mod tests {
    use super::{in_lines, part_once_more};

    #[test]
    fn names_are_parted_at_spaces_only() {
        assert_eq!(
            part_once_more("Marigold and Speedwell"),
            ["Marigold\nand Speedwell", "Marigold and\nSpeedwell"]
        );
        assert_eq!(part_once_more("Marigold\nand Speedwell"), ["Marigold\nand\nSpeedwell"]);
        assert!(part_once_more("Jupiter").is_empty());
        assert_eq!(in_lines("The Hearth Sparks", 2).as_deref(), Some("The Hearth\nSparks"));
        assert_eq!(in_lines("Jupiter", 2), None);
    }
}
