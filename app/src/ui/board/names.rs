//! Where the names of stops stand on a lane: inside a block, else beside it, never over another; with the start, and with
//! what is wrong in a word, wherever they fit.

use std::sync::Arc;

use egui::text::{LayoutJob, TextFormat};
use egui::{Align, Color32, FontId, Galley, Painter, Pos2, Rect, Vec2, pos2, vec2};

use super::kept::kept;
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
    /// The lines of the name, and the size of type.
    lines: Arc<str>,
    type_size: f32,
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

/// What the places of names are found from.
#[derive(PartialEq)]
struct Found {
    /// Each lane with the margin behind it.
    lanes: Vec<Rect>,
    taken: Vec<Rect>,
    blocks: Vec<Named>,
    /// Letters stand on whole pixels.
    pixels_per_point: f32,
}

/// What the place of a name is found from.
#[derive(PartialEq)]
struct Named {
    title: String,
    clock: String,
    bite: Option<Bite>,
    held: bool,
    /// `None` while it is under the pointer, and for what is no showing.
    lane: Option<usize>,
    rect: Rect,
    /// Where the move to it begins.
    before: f32,
    /// The mark of what is wrong with it.
    mark: Option<Rect>,
}

/// A form that was chosen, and its upper left corner. Its galleys are laid out in every frame: they last only as long as
/// what is drawn of the typeface.
struct Chosen {
    lines: Arc<str>,
    type_size: f32,
    has_clock: bool,
    has_word: bool,
    at: Pos2,
}

/// A place for the words of every stop on a port, in the order of the blocks; none where only a number fits. Kept until
/// something is to stand elsewhere.
pub fn place(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    taken: &mut Taken,
) -> Vec<Option<Placed>> {
    let room = room(layout);
    let lanes = layout.lanes.iter().map(|lane| room.intersect(lane.with_max_x(layout.whole.right())));
    let blocks = model.blocks.iter().map(|block| {
        let rect = layout.block(block);
        Named {
            title: block.title.clone(),
            clock: clock_words(model, block),
            bite: block.bite,
            held: block.held,
            lane: block.lane.filter(|_| block.lifted_from.is_none()),
            rect,
            before: before(layout, block),
            mark: finding_place(block, rect),
        }
    });
    let pixels_per_point = painter.pixels_per_point();
    let from =
        Found { lanes: lanes.collect(), taken: taken.0.clone(), blocks: blocks.collect(), pixels_per_point };
    let found = kept(painter.ctx(), "names on the lanes", from, |from| find(painter, tokens, from));
    let (from, chosen) = &*found;
    let placed = from.blocks.iter().zip(chosen).map(|(block, chosen)| {
        let Chosen { lines, type_size, has_clock, has_word, at } = chosen.as_ref()?;
        let form = Type { painter, tokens, size: *type_size }.form(block, lines, *has_clock, *has_word);
        let placed = Placed { form, at: *at };
        taken.take(placed.rect());
        Some(placed)
    });
    placed.collect()
}

/// The best places that some ways through each lane find.
fn find(painter: &Painter, tokens: &Tokens, from: &Found) -> Vec<Option<Chosen>> {
    let mut places: Vec<Option<Chosen>> = from.blocks.iter().map(|_| None).collect();
    for (lane, lane_rect) in from.lanes.iter().enumerate() {
        let own = from.blocks.iter().enumerate().filter(|(_, block)| block.lane == Some(lane));
        let blocks: Vec<(usize, &Named, Vec<Forms>)> =
            own.map(|(position, block)| (position, block, forms(painter, tokens, block))).collect();
        let beside: Vec<Rect> =
            from.taken.iter().copied().filter(|rect| rect.intersects(*lane_rect)).collect();
        let mut best: Option<(usize, Vec<(usize, Placed)>)> = None;
        for way in 0..8 {
            let tried = Way { narrow: way & 1 != 0, left: way & 2 != 0, backwards: way & 4 != 0 }
                .place(*lane_rect, &blocks, &beside);
            if best.as_ref().is_none_or(|(least, _)| tried.0 < *least) {
                best = Some(tried);
            }
            if best.as_ref().is_some_and(|(least, _)| *least <= 2 * blocks.len()) {
                break;
            }
        }
        for (position, Placed { form, at }) in best.into_iter().flat_map(|(_, placed)| placed) {
            let (has_clock, has_word) = (form.clock.is_some(), form.word.is_some());
            let Form { lines, type_size, .. } = form;
            places[position] = Some(Chosen { lines, type_size, has_clock, has_word, at });
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
        lane: Rect,
        blocks: &[(usize, &Named, Vec<Forms>)],
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
            let found = forms.iter().enumerate().find_map(|(step, Forms { small, smaller })| {
                let inside = |forms: &[Form]| forms.iter().find_map(|form| inside(block, form));
                let placed = inside(small).map(|placed| (3 * step, placed));
                let placed = placed.or_else(|| Some((3 * step + 1, inside(smaller)?)));
                placed.or_else(|| {
                    let beside = self.beside(lane, block, small, &taken)?;
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

    fn beside(&self, lane: Rect, block: &Named, forms: &[Form], taken: &[Rect]) -> Option<Placed> {
        let rect = block.rect;
        let place = |form: &Form| {
            let size = form.size();
            // Its mark may be wider than a narrow block.
            let mark = block.mark.filter(|_| form.word.is_none());
            let right = mark.map_or(rect.right(), |mark| mark.right().max(rect.right())) + TIGHT;
            let left = block.before - TIGHT - size.x;
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
fn inside(block: &Named, form: &Form) -> Option<Placed> {
    let rect = block.rect;
    let held = if block.held { HELD_SIDE - PORT_STRIPE } else { 0.0 };
    let inner = rect.shrink2(vec2(INSIDE, 0.0));
    let inner = inner.with_min_x((inner.left() + PORT_STRIPE + held).min(inner.right()));
    let at = pos2(inner.left(), (rect.top() + INSIDE).min(rect.bottom() - form.size().y));
    let place = Rect::from_min_size(at, form.size());
    let clear = form.word.is_some() || block.mark.is_none_or(|mark| !mark.intersects(place));
    (inner.contains_rect(place) && clear).then(|| Placed { form: form.clone(), at })
}

/// Type of a size.
struct Type<'p> {
    painter: &'p Painter,
    tokens: &'p Tokens,
    size: f32,
}

impl Type<'_> {
    /// A name in these lines, with what stands below it.
    fn form(&self, block: &Named, lines: &Arc<str>, has_clock: bool, has_word: bool) -> Form {
        let set = |words: &str, font| close(self.painter, words.to_owned(), font, self.tokens.ink);
        Form {
            lines: Arc::clone(lines),
            type_size: self.size,
            name: set(lines, semibold(self.size)),
            clock: has_clock.then(|| set(&block.clock, regular(self.size))),
            word: block.bite.filter(|_| has_word).map(|bite| (bite, set(bite.word, semibold(self.size)))),
        }
    }
}

/// The forms of a block's words, the fullest first: with what is wrong, with the start, the name alone.
fn forms(painter: &Painter, tokens: &Tokens, block: &Named) -> Vec<Forms> {
    let rows = (1..=MOST_LINES).filter_map(|rows| in_lines(&block.title, rows));
    let rows: Vec<Arc<str>> = rows.map(Arc::from).collect();
    let in_type = |size: f32| -> Vec<Form> {
        let type_of = Type { painter, tokens, size };
        rows.iter().map(|lines| type_of.form(block, lines, true, true)).collect()
    };
    let (small, smaller) = (in_type(SMALL), in_type(SMALLER));
    let with = |forms: &[Form], has_clock: bool, has_word: bool| -> Vec<Form> {
        let without = |form: &Form| Form {
            clock: form.clock.clone().filter(|_| has_clock),
            word: form.word.clone().filter(|_| has_word),
            ..form.clone()
        };
        forms.iter().map(without).collect()
    };
    let both = |has_clock, has_word| Forms {
        small: with(&small, has_clock, has_word),
        smaller: with(&smaller, has_clock, has_word),
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
