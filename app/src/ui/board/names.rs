//! Where the names of stops stand on a lane: along inside a block, else beside it and tied to it, else up inside it, never
//! over another; with the start, and with what is wrong in a word, wherever they fit. Where the whole name has no room its
//! first word stands for it, and where that has none, the number.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock};

use egui::text::{LayoutJob, TextFormat};
use egui::{Align, Color32, FontId, Galley, Id, Painter, Pos2, Rect, Vec2, pos2, vec2};
use evenfall_core::chart::in_lines;

use super::kept::kept;
use super::layout::BoardLayout;
use super::model::{Bite, Block, BoardModel};
use super::paint_lanes::{CLOSED_FOOT, HELD_SIDE, MARK, finding_place};
use super::paint_skies::heights;
use crate::ui::text;
use crate::ui::theme::{CLOSE_LINE, NEAR, SMALL, SMALLER, TINY, Tokens, regular, semibold};

/// Between a block's edge and the words in it.
const INSIDE: f32 = 3.0;
/// Between a block and the words beside it: as long as the line that ties them.
pub const TIE: f32 = 7.0;
/// Half the width of a strip that no words beside a block do without: less than what is kept free beside them.
const SLIVER: f32 = 0.9 * NEAR;
/// Most lines of a name.
const MOST_LINES: usize = 3;
/// From one height of words beside a block to the next.
const SLOT: f32 = 14.0;
/// Words that a name does without where there is little room.
const ARTICLES: [&str; 3] = ["The", "A", "An"];
/// Height of capitals and descenders together, as a share of the size of type.
const INK_HEIGHT: f32 = 1.02;
/// What the first word of a name counts as, beside the places of a whole one.
const FIRST_WORD: usize = 30;
/// What a number alone counts as, beside the places of a name, and one that stands over its block's edges: poor lasts.
const NUMBER: usize = 40;
const NUMBER_ALONE: usize = 60;

/// How words stand to their block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stand {
    /// Along, inside it.
    Inside,
    /// To the right of it, tied to it.
    Right,
    /// To the left of it and of the move to it, tied to it.
    Left,
    /// Up, inside it.
    Up,
}

/// What is told of a stop, in which lines and type, and how it stands.
#[derive(Clone, Debug, PartialEq)]
struct Form {
    stand: Stand,
    /// The lines of the name.
    lines: Arc<str>,
    type_size: f32,
    has_clock: bool,
    has_word: bool,
    /// Over the path of its target where there is no room above or below that.
    over_path: bool,
}

/// Words where they stand.
pub struct Placed {
    pub stand: Stand,
    /// Name, and what stands below it: the start, and what is wrong behind its mark.
    pub name: Arc<Galley>,
    pub clock: Option<Arc<Galley>>,
    pub word: Option<(Bite, Arc<Galley>)>,
    pub rect: Rect,
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

    pub fn is_free(&self, layout: &BoardLayout, place: Rect) -> bool {
        layout.all_lanes().contains_rect(place) && !self.0.iter().any(|other| other.intersects(place))
    }

    pub fn take(&mut self, place: Rect) {
        self.0.push(place);
    }
}

/// Where a block begins together with the move to it as it is, whatever a drag would make of that: names keep still under
/// the hand.
fn rests_before(model: &BoardModel<'_>, layout: &BoardLayout, block: &Block) -> f32 {
    let left = layout.block(block).left();
    let timing = model.open.derived.timing(block.stop).filter(|_| block.travel.is_some());
    timing.map_or(left, |timing| layout.axis.x(timing.leave).min(left))
}

/// Where a block begins together with the move to it.
fn before(layout: &BoardLayout, block: &Block) -> f32 {
    let left = layout.block(block).left();
    block.travel.as_ref().map_or(left, |travel| layout.axis.x(travel.leave()).min(left))
}

/// Start time, and whether it is held.
pub fn clock_words(model: &BoardModel<'_>, block: &Block) -> String {
    let start = model.clock(block.interval.start());
    if block.held { format!("{start} {}", text::HELD_MARK) } else { start }
}

/// What the places of the names on a lane are found from.
#[derive(PartialEq)]
struct Found {
    lane: Rect,
    taken: Vec<Rect>,
    blocks: Vec<Named>,
    /// Letters stand on whole pixels.
    pixels_per_point: f32,
}

/// What the place of a name is found from.
#[derive(PartialEq)]
struct Named {
    position: usize,
    number: usize,
    title: String,
    clock: String,
    bite: Option<Bite>,
    held: bool,
    rect: Rect,
    /// Where the move to it begins.
    before: f32,
    /// The heights between which its target's path lies.
    path: Option<(f32, f32)>,
    /// The mark of what is wrong with it.
    mark: Option<Rect>,
    /// The lowest that words reach in it.
    foot: f32,
}

/// A place for the words of every stop on a port, in the order of the blocks; none where not even its number fits. Kept lane by
/// lane until something is to stand elsewhere; what is dragged lies over the others' words and leaves them where they are.
pub fn place(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    taken: &mut Taken,
) -> Vec<Option<Placed>> {
    let mut places: Vec<Option<Placed>> = model.blocks.iter().map(|_| None).collect();
    let resting = || model.blocks.iter().enumerate().filter(|(_, block)| block.lifted_from.is_none());
    for (lane, rect) in layout.lanes.iter().enumerate() {
        let beside = resting().filter(|(_, block)| block.lane.is_none_or(|own| own == lane));
        let beside = beside.flat_map(|(_, block)| {
            let rect = layout.block(block);
            [rect, rect.with_max_x(rect.left()).with_min_x(rests_before(model, layout, block))]
        });
        let blocks = resting().filter(|(_, block)| block.lane == Some(lane)).map(|(position, block)| {
            let rect = layout.block(block);
            Named {
                position,
                number: block.number,
                title: block.title.clone(),
                clock: clock_words(model, block),
                bite: block.bite.map(|bite| Bite { minute: None, ..bite }),
                held: block.held,
                rect,
                before: rests_before(model, layout, block),
                path: heights(model, layout, block),
                mark: finding_place(layout, block, rect),
                foot: rect.bottom() - NEAR - if block.closed.is_empty() { 0.0 } else { CLOSED_FOOT },
            }
        });
        let from = Found {
            lane: *rect,
            taken: beside.collect(),
            blocks: blocks.collect(),
            pixels_per_point: painter.pixels_per_point(),
        };
        let found = kept(painter.ctx(), ("names on a lane", lane), from, |from| find(painter, tokens, from));
        let (from, chosen) = &*found;
        for (block, chosen) in from.blocks.iter().zip(chosen) {
            let Some((form, at)) = chosen else { continue };
            // Laid out in every frame: galleys last only as long as what is drawn of the typeface.
            let placed = set(painter, tokens, block, form, *at);
            taken.take(placed.rect);
            places[block.position] = Some(placed);
        }
    }
    places
}

impl Named {
    /// Where words to the left of it end, and those to the right begin. Its mark may be wider than a narrow block; words that
    /// tell what is wrong bear it themselves.
    fn edge(&self, stand: Stand, has_word: bool) -> f32 {
        let mark = self.mark.filter(|_| !has_word);
        match stand {
            Stand::Left => self.before.min(mark.map_or(f32::INFINITY, |mark| mark.left())) - TIE,
            _ => self.rect.right().max(mark.map_or(0.0, |mark| mark.right())) + TIE,
        }
    }

    /// The heights at which words beside it may begin.
    fn slots(&self) -> impl Iterator<Item = f32> + use<> {
        let (top, slots) = (self.rect.top() + INSIDE, (self.rect.height() / SLOT) as usize);
        (0..slots).map(move |slot| top + slot as f32 * SLOT)
    }
}

/// The first height beside a block at which a place is on its lane and free.
///
/// * `place`: what is to be free at a height.
fn free_slot(from: &Found, block: &Named, taken: &[Rect], place: impl Fn(f32) -> Rect) -> Option<f32> {
    // What is in the way at one height mostly is at the next.
    let mut in_the_way: Option<&Rect> = None;
    block.slots().find(|y| {
        let place = place(*y);
        if !from.lane.contains_rect(place) || in_the_way.is_some_and(|other| other.intersects(place)) {
            return false;
        }
        in_the_way = taken.iter().find(|other| other.intersects(place));
        in_the_way.is_none()
    })
}

/// On which sides of a block there is no room for the narrowest words: on a full lane most forms need not be tried.
#[derive(Default)]
struct Beside([Option<bool>; 4]);

impl Beside {
    fn is_full(&mut self, from: &Found, block: &Named, form: &Form, taken: &[Rect]) -> bool {
        let side = match form.stand {
            Stand::Inside | Stand::Up => return false,
            Stand::Left => usize::from(form.has_word),
            Stand::Right => 2 + usize::from(form.has_word),
        };
        *self.0[side].get_or_insert_with(|| {
            let edge = block.edge(form.stand, form.has_word);
            // Less than any words with what is kept free beside them.
            let sliver = |y: f32| Rect::from_x_y_ranges(edge - SLIVER..=edge + SLIVER, y..=y);
            free_slot(from, block, taken, sliver).is_none()
        })
    }
}

type Chosen = Option<(Form, Pos2)>;

/// The best places that some ways through a lane find.
fn find(painter: &Painter, tokens: &Tokens, from: &Found) -> Vec<Chosen> {
    let forms: Vec<Forms> = from.blocks.iter().map(|block| kept_forms(painter, block)).collect();
    let mut best: Option<(usize, Vec<Chosen>)> = None;
    for way in 0..4 {
        let way = Way { narrow: way & 1 != 0, backwards: way & 2 != 0 };
        let tried = way.place(from, &forms, |block, form| size_of(painter, tokens, block, form));
        if best.as_ref().is_none_or(|(least, _)| tried.0 < *least) {
            best = Some(tried);
        }
        if best.as_ref().is_some_and(|(least, _)| *least <= 2 * forms.len()) {
            break;
        }
    }
    best.map(|(_, chosen)| chosen).unwrap_or_default()
}

/// A form, and how far it is from the fullest.
struct Ranked {
    form: Form,
    count: usize,
    /// Measured when it is first tried: most never are.
    size: OnceLock<Vec2>,
}

/// One way to go through a lane: the narrowest forms first or the flattest, from either end.
struct Way {
    narrow: bool,
    backwards: bool,
}

impl Way {
    /// Places with what they count: 0 for everything inside its block.
    ///
    /// * `measure`: the size of a block's words in a form.
    fn place(
        &self,
        from: &Found,
        forms: &[Forms],
        measure: impl Fn(&Named, &Form) -> Vec2,
    ) -> (usize, Vec<Chosen>) {
        let mut taken = from.taken.clone();
        let mut all: Vec<Chosen> = vec![None; forms.len()];
        let mut counts = 0;
        let mut order: Vec<usize> = (0..forms.len()).collect();
        if self.backwards {
            order.reverse();
        }
        for position in order {
            let (block, own) = (&from.blocks[position], &forms[position]);
            let mut beside = Beside::default();
            let in_turn = own.chunk_by(|one, other| one.count == other.count).find_map(|equals| {
                let mut place = |ranked: &Ranked| {
                    if beside.is_full(from, block, &ranked.form, &taken) {
                        return None;
                    }
                    let size = *ranked.size.get_or_init(|| measure(block, &ranked.form));
                    let at = place_of(from, block, (&ranked.form, size), &taken)?;
                    Some((ranked.form.clone(), Rect::from_min_size(at, size), ranked.count))
                };
                if self.narrow {
                    equals.iter().rev().find_map(&mut place)
                } else {
                    equals.iter().find_map(&mut place)
                }
            });
            match in_turn {
                Some((form, rect, count)) => {
                    counts += count;
                    taken.push(rect);
                    all[position] = Some((form, rect.min));
                }
                None => counts += NUMBER_ALONE,
            }
        }
        (counts, all)
    }
}

/// The upper left corner of words that have room.
fn place_of(from: &Found, block: &Named, (form, size): (&Form, Vec2), taken: &[Rect]) -> Option<Pos2> {
    let rect = block.rect;
    let mark = block.mark.filter(|_| !form.has_word);
    let held = if block.held { HELD_SIDE } else { 0.0 };
    let (over, under) = block.path.unwrap_or((rect.bottom(), rect.bottom()));
    let heights = |head: f32, foot: f32| {
        let clear = [(head, over - NEAR), (under + NEAR, foot)];
        let any = [(head, foot); 2];
        let rooms = if form.over_path { any } else { clear };
        let rooms = rooms.into_iter().filter(move |(from, to)| to - from >= size.y);
        rooms.map(move |(from, to)| (from, to - size.y))
    };
    let free = |at: Pos2| mark.is_none_or(|mark| !mark.intersects(Rect::from_min_size(at, size)));
    match form.stand {
        Stand::Inside => {
            let x = rect.left() + INSIDE + held;
            if x + size.x > rect.right() - NEAR {
                return None;
            }
            let heights = heights(rect.top() + NEAR, block.foot);
            let mut places = heights.flat_map(|(top, foot)| [pos2(x, top), pos2(x, foot)]);
            places.find(|at| free(*at))
        }
        Stand::Up => {
            if size.x > rect.width() + 0.5 {
                return None;
            }
            // In the middle, else beside its mark.
            let sides = [rect.center().x - size.x / 2.0, rect.right() - NEAR - size.x, rect.left() + NEAR];
            let heights: Vec<_> = heights(rect.top() + NEAR + held, block.foot - NEAR).collect();
            let places = sides.into_iter().flat_map(|x| {
                heights.iter().flat_map(move |(top, foot)| [*foot, *top].map(|y| pos2(x.max(rect.left()), y)))
            });
            places.into_iter().find(|at| at.x + size.x <= rect.right() + 0.5 && free(*at))
        }
        stand => {
            let edge = block.edge(stand, form.has_word);
            let x = if stand == Stand::Left { edge - size.x } else { edge };
            let place = |y: f32| Rect::from_min_size(pos2(x, y), size).expand2(vec2(NEAR, 0.0));
            free_slot(from, block, taken, place).map(|y| pos2(x, y))
        }
    }
}

/// The forms of a block's words.
type Forms = Arc<Vec<Ranked>>;

/// What they depend on: its number, name and start, what is wrong with it in a word, and pixels in a point.
type Told = (usize, String, String, Option<&'static str>, u32);

/// Most of them that are kept: what is dragged over others makes their faults come and go from frame to frame.
const MOST_KEPT: usize = 600;

/// The forms of a block's words, kept as long as they are told: to measure them takes longer than to place them.
fn kept_forms(painter: &Painter, block: &Named) -> Forms {
    let id = Id::unique("forms of names");
    let word = block.bite.map(|bite| bite.word);
    let pixels = painter.pixels_per_point().to_bits();
    let told: Told = (block.number, block.title.clone(), block.clock.clone(), word, pixels);
    let known = painter.ctx().data(|data| {
        let all = data.get_temp::<Arc<Mutex<HashMap<Told, Forms>>>>(id)?;
        all.lock().ok()?.get(&told).cloned()
    });
    if let Some(known) = known {
        return known;
    }
    let found = Arc::new(forms(block));
    painter.ctx().data_mut(|data| {
        let all = data.get_temp_mut_or_default::<Arc<Mutex<HashMap<Told, Forms>>>>(id);
        if let Ok(mut all) = all.lock() {
            if all.len() >= MOST_KEPT {
                all.clear();
            }
            all.insert(told, Arc::clone(&found));
        }
    });
    found
}

/// The forms of a block's words, the fullest first: with what is wrong, with the start, the name alone; each inside, beside
/// and, without what is wrong, up.
fn forms(block: &Named) -> Vec<Ranked> {
    let rows: Vec<Arc<str>> =
        (1..=MOST_LINES).filter_map(|rows| Some(in_lines(&block.title, rows)?.join("\n").into())).collect();
    let mut forms = Vec::new();
    let mut add = |count: usize, rows: &[Arc<str>], (stand, over_path), type_size, (has_clock, has_word)| {
        for lines in rows {
            let form = Form { stand, lines: Arc::clone(lines), type_size, has_clock, has_word, over_path };
            forms.push(Ranked { form, count, size: OnceLock::new() });
        }
    };
    let steps = [(true, true), (true, false), (false, false)];
    let steps = steps.into_iter().filter(|(_, has_word)| block.bite.is_some() || !has_word);
    for (step, told) in steps.enumerate() {
        let worse = 7 * step;
        add(worse, &rows, (Stand::Inside, false), SMALL, told);
        add(worse + 1, &rows, (Stand::Inside, false), SMALLER, told);
        for (count, size) in [(worse + 2, SMALL), (worse + 3, SMALLER)] {
            add(count, &rows, (Stand::Right, false), size, told);
            add(count, &rows, (Stand::Left, false), size, told);
        }
        add(worse + 4, &rows, (Stand::Inside, true), SMALL, told);
        add(worse + 5, &rows, (Stand::Inside, false), TINY, told);
        if !told.1 {
            for size in [SMALL, SMALLER, TINY] {
                add(worse + 6, &rows, (Stand::Up, false), size, told);
                add(worse + 6, &rows, (Stand::Up, true), size, told);
            }
        }
    }
    add(FIRST_WORD - 1, &rows, (Stand::Right, false), TINY, (false, false));
    add(FIRST_WORD - 1, &rows, (Stand::Left, false), TINY, (false, false));
    let first = first_word(&block.title).map(Arc::from);
    for (step, size) in [SMALL, SMALLER, TINY].into_iter().enumerate() {
        for stand in [
            (Stand::Inside, false),
            (Stand::Right, false),
            (Stand::Left, false),
            (Stand::Up, false),
            (Stand::Inside, true),
            (Stand::Up, true),
        ] {
            add(FIRST_WORD + step, first.as_slice(), stand, size, (false, false));
        }
    }
    let number: [Arc<str>; 1] = [Arc::from(block.number.to_string())];
    for stand in [(Stand::Inside, true), (Stand::Right, false), (Stand::Left, false)] {
        add(NUMBER, &number, stand, SMALL, (false, false));
    }
    forms
}

/// The first word of a name that says something, with a mark where more follows; `None` for a name of one word.
pub fn first_word(title: &str) -> Option<String> {
    let mut words = title.split_whitespace().filter(|word| !ARTICLES.contains(word));
    let first = words.next().filter(|first| *first != title)?;
    Some(if words.next().is_some() { format!("{first}…") } else { first.to_owned() })
}

/// The size of a block's words in a form.
fn size_of(painter: &Painter, tokens: &Tokens, block: &Named, form: &Form) -> Vec2 {
    set(painter, tokens, block, form, Pos2::ZERO).rect.size()
}

/// Words set in type where they stand.
fn set(painter: &Painter, tokens: &Tokens, block: &Named, form: &Form, at: Pos2) -> Placed {
    let Form { stand, lines, type_size, has_clock, has_word, .. } = form;
    let halign = if *stand == Stand::Left { Align::Max } else { Align::Min };
    let set = |words: String, font: FontId| close(painter, words, font, tokens.ink, halign);
    if *stand == Stand::Up {
        let words = if *has_clock { format!("{lines}  {}", block.clock) } else { lines.to_string() };
        let rows = lines.lines().count() as f32;
        let name = set(words, semibold(*type_size));
        let height = (rows - 1.0) * CLOSE_LINE * type_size + INK_HEIGHT * type_size;
        return Placed {
            stand: *stand,
            rect: Rect::from_min_size(at, vec2(height, name.size().x)),
            name,
            clock: None,
            word: None,
        };
    }
    let name = set(lines.to_string(), semibold(*type_size));
    let clock = has_clock.then(|| set(block.clock.clone(), regular(*type_size)));
    let word = block.bite.filter(|_| *has_word);
    let word = word.map(|bite| {
        let galley = close(painter, bite.word.to_owned(), semibold(*type_size), tokens.ink, Align::Min);
        (bite, galley)
    });
    let below = [
        clock.as_ref().map(|clock| clock.size()),
        word.as_ref().map(|(_, word)| word.size() + vec2(MARK, 0.0)),
    ];
    let below = below.into_iter().flatten();
    let size = below.fold(name.size(), |all, line| vec2(all.x.max(line.x), all.y + line.y));
    Placed { stand: *stand, name, clock, word, rect: Rect::from_min_size(at, size) }
}

/// Text with its lines close together.
fn close(painter: &Painter, words: String, font: FontId, ink: Color32, halign: Align) -> Arc<Galley> {
    let line_height = Some(CLOSE_LINE * font.size);
    let format = TextFormat { line_height, ..TextFormat::simple(font, ink) };
    let mut job = LayoutJob::single_section(words, format);
    job.halign = halign;
    painter.layout_job(job)
}

#[cfg(test)]
mod tests {
    use super::first_word;

    #[test]
    fn a_name_is_known_by_its_first_word() {
        for (name, first) in [
            ("Marigold and Speedwell", Some("Marigold…")),
            ("The Shepherd's Wall", Some("Shepherd's…")),
            ("The Moon", Some("Moon")),
            ("Jupiter", None),
            ("", None),
        ] {
            assert_eq!(first_word(name).as_deref(), first, "{name}");
        }
    }
}
