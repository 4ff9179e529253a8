//! Where the names of stops stand on a lane: along inside a stop, else beside it and tied to it, else up inside it, never over
//! another; with the start where it fits. The window's Board places its names by the same rules.

use super::{Rectangle, in_lines, text_width};

/// Most lines of a name; of one that runs up, where it has any choice.
const MOST_LINES: usize = 3;
const ROWS_UP: usize = 2;
/// Sizes of names as shares of the size of text: usual, smaller, least.
pub(super) const SIZES: [f32; 3] = [1.0, 0.9, 0.8];
/// From baseline to baseline, and how far below the top of a line its baseline lies, as shares of the size of type.
pub(super) const LEADING: f32 = 1.12;
pub(super) const ASCENT: f32 = 0.85;
/// Height of capitals and descenders together, and how far below its top the baseline of a line lies that runs up, as shares of
/// the size of type.
const INK_HEIGHT: f32 = 1.0;
pub(super) const INK_ASCENT: f32 = 0.78;
/// Between the edges of a stop and the words in it, and between a stop and the words beside it, as shares of the size of text.
const INSIDE: f32 = 0.3;
const TIE: f32 = 0.7;
/// Clear of the path, as a share of the size of text.
const CLEAR: f32 = 0.2;
/// From one height of words beside a stop to the next, as a share of the size of text.
const SLOT: f32 = 0.5;
/// Side of the corner of what is held, as a share of the size of text.
pub(super) const HELD_SIDE: f32 = 0.75;
/// What a number alone counts as, beside the places of a name, and no place at all: poor lasts.
const NUMBER: usize = 40;
const NOTHING: usize = 60;

/// How words stand to their stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stand {
    /// Along, inside it.
    Inside,
    /// To the right of it, tied to it.
    Right,
    /// To the left of it and of the move to it, tied to it.
    Left,
    /// Up, inside it.
    Up,
}

/// What the place of a name is found from.
#[derive(Clone, Debug)]
pub(super) struct Named {
    /// The stop.
    pub rectangle: Rectangle,
    /// Where the move to it begins.
    pub before: f32,
    /// The heights between which its target's path lies.
    pub path: Option<(f32, f32)>,
    /// Its number in the running order.
    pub number: usize,
    /// Its name.
    pub title: String,
    /// When it starts.
    pub clock: String,
    /// Whether its upper left corner is filled.
    pub held: bool,
}

/// Words where they stand.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Words {
    /// How.
    pub stand: Stand,
    /// Number and name.
    pub lines: Vec<String>,
    /// The start, below the name or behind it.
    pub clock: Option<String>,
    /// Size of type.
    pub size: f32,
    /// What they cover.
    pub rectangle: Rectangle,
    /// How far they are from the fullest.
    count: usize,
}

/// A place for the words of every stop on a lane, in their order; none where not even a number fits. `taken` are stops and
/// moves that words beside a stop keep clear of.
pub(super) fn place_names(
    lane: &Rectangle,
    stops: &[Named],
    taken: &[Rectangle],
    text: f32,
) -> Vec<Option<Words>> {
    let forms: Vec<Vec<Form>> = stops.iter().map(|stop| forms(stop, text)).collect();
    let search = Search { lane, stops, forms: &forms, taken, text };
    let forwards: Vec<usize> = (0..stops.len()).collect();
    let backwards: Vec<usize> = forwards.iter().rev().copied().collect();
    let mut best = search.along(&forwards, false);
    // The narrowest forms first or the flattest, from either end, until most stand in their stops.
    for (order, narrow) in [(&forwards, true), (&backwards, false), (&backwards, true)] {
        if best.0 > 2 * stops.len() {
            let other = search.along(order, narrow);
            best = if other.0 < best.0 { other } else { best };
        }
    }
    search.flatten(&mut best.1);
    best.1
}

/// Places of names with what they count: 0 for everything inside its stop.
type Found = (usize, Vec<Option<Words>>);

/// Where the start is told.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Told {
    /// In a line below the name.
    Below,
    /// Behind the name.
    Behind,
    /// Nowhere.
    Not,
}

/// What is told of a stop, in which lines and type, and how it stands.
struct Form {
    stand: Stand,
    /// Over the path of its target where there is no room above or below that.
    over_path: bool,
    lines: Vec<String>,
    clock: Option<String>,
    size: f32,
    /// Width and height that the words cover.
    extent: (f32, f32),
    /// How far it is from the fullest.
    count: usize,
}

/// The forms of a stop's words, the fullest first: with the start, the name alone; each inside
/// and beside; up; the number.
fn forms(stop: &Named, text: f32) -> Vec<Form> {
    let full = format!("{} {}", stop.number, stop.title);
    let rows: Vec<Vec<String>> = (1..=MOST_LINES).filter_map(|rows| in_lines(&full, rows)).collect();
    let mut forms = Vec::new();
    let mut add = |count: usize, rows: &[Vec<String>], (stand, over_path), share: f32, told: Told| {
        let size = share * text;
        for lines in rows {
            let mut lines = lines.clone();
            let clock = (told == Told::Below).then(|| stop.clock.clone());
            if told == Told::Behind
                && let Some(last) = lines.last_mut()
            {
                *last = format!("{last}  {}", stop.clock);
            }
            let all = lines.iter().chain(&clock);
            let (long, count_of_lines) = all
                .fold((0.0_f32, 0.0), |(long, lines), line| (long.max(text_width(line, size)), lines + 1.0));
            let extent = if stand == Stand::Up {
                (((count_of_lines - 1.0) * LEADING + INK_HEIGHT) * size, long)
            } else {
                (long, count_of_lines * LEADING * size)
            };
            forms.push(Form { stand, over_path, lines, clock, size, extent, count });
        }
    };
    let [usual, smaller, least] = SIZES;
    let mut worse = 0;
    for (below, behind) in [(Told::Below, Some(Told::Behind)), (Told::Not, None)] {
        add(worse, &rows, (Stand::Inside, false), usual, below);
        if let Some(behind) = behind {
            add(worse + 1, &rows, (Stand::Inside, false), usual, behind);
        }
        add(worse + 1, &rows, (Stand::Inside, false), smaller, below);
        for (count, share) in [(worse + 2, usual), (worse + 3, smaller)] {
            add(count, &rows, (Stand::Right, false), share, below);
            add(count, &rows, (Stand::Left, false), share, below);
        }
        add(worse + 4, &rows, (Stand::Inside, false), least, below);
        worse += 5;
    }
    // What runs up is read with the head to one side: better without the start than so.
    let few = &rows[..rows.len().min(ROWS_UP)];
    for (rows, told) in [(few, Told::Behind), (few, Told::Not), (&rows[..], Told::Not)] {
        for over_path in [false, true] {
            for share in SIZES {
                add(worse, rows, (Stand::Up, over_path), share, told);
            }
        }
        worse += 1;
    }
    let number = [vec![stop.number.to_string()]];
    for stand in [(Stand::Inside, true), (Stand::Right, false), (Stand::Left, false)] {
        for share in SIZES {
            add(NUMBER, &number, stand, share, Told::Not);
        }
    }
    forms
}

/// A lane whose names are looked for.
struct Search<'s> {
    lane: &'s Rectangle,
    stops: &'s [Named],
    forms: &'s [Vec<Form>],
    taken: &'s [Rectangle],
    text: f32,
}

impl Search<'_> {
    /// Gives each in turn its fullest words that have room, the narrowest forms first or the flattest.
    fn along(&self, order: &[usize], narrow: bool) -> Found {
        let mut taken = self.taken.to_vec();
        let mut all = vec![None; self.stops.len()];
        let mut counts = 0;
        for position in order.iter().copied() {
            let (stop, own) = (&self.stops[position], &self.forms[position]);
            let found = own.chunk_by(|one, other| one.count == other.count).find_map(|equals| {
                let place = |form: &Form| Some((form.count, self.words(stop, form, &taken)?));
                if narrow { equals.iter().rev().find_map(place) } else { equals.iter().find_map(place) }
            });
            counts += found.as_ref().map_or(NOTHING, |(count, _)| *count);
            taken.extend(found.iter().map(|(_, words)| words.rectangle));
            all[position] = found.map(|(_, words)| words);
        }
        (counts, all)
    }

    /// Gives words that are as full as before the fewest lines that the others leave room for.
    fn flatten(&self, all: &mut [Option<Words>]) {
        for position in 0..all.len() {
            let Some(own) = all[position].take() else { continue };
            let others = all.iter().flatten().map(|words| words.rectangle);
            let taken: Vec<Rectangle> = self.taken.iter().copied().chain(others).collect();
            let mut equals = self.forms[position].iter().filter(|form| form.count == own.count);
            let flattest = equals.find_map(|form| self.words(&self.stops[position], form, &taken));
            all[position] = flattest.or(Some(own));
        }
    }

    /// Words in a form, where it has room.
    fn words(&self, stop: &Named, form: &Form, taken: &[Rectangle]) -> Option<Words> {
        let (left, top) = match form.stand {
            Stand::Inside => self.inside(stop, form),
            Stand::Up => self.up(stop, form),
            Stand::Left | Stand::Right => self.beside(stop, form, taken),
        }?;
        Some(Words {
            stand: form.stand,
            lines: form.lines.clone(),
            clock: form.clock.clone(),
            size: form.size,
            rectangle: placed((left, top), form.extent),
            count: form.count,
        })
    }

    /// The heights of the words' upper edge in a stop that leave its path clear, as high and as low as they go.
    fn heights(&self, stop: &Named, form: &Form, (head, foot): (f32, f32)) -> Vec<(f32, f32)> {
        let clear = CLEAR * self.text;
        let (over, under) = stop.path.unwrap_or((stop.rectangle.bottom, stop.rectangle.bottom));
        let rooms = if form.over_path {
            vec![(head, foot)]
        } else {
            vec![(head, foot.min(over - clear)), (head.max(under + clear), foot)]
        };
        let high = form.extent.1;
        rooms.into_iter().filter(|(from, to)| to - from >= high).map(|(from, to)| (from, to - high)).collect()
    }

    fn inside(&self, stop: &Named, form: &Form) -> Option<(f32, f32)> {
        let (own, inset) = (&stop.rectangle, INSIDE * self.text);
        let held = if stop.held { HELD_SIDE * self.text } else { 0.0 };
        let room = own.width() - held - 2.0 * inset;
        // A number alone is read as long as it is no wider than its stop.
        let alone = if form.count >= NUMBER { 2.0 * inset } else { 0.0 };
        if form.extent.0 > room + alone {
            return None;
        }
        let left = own.left
            + held
            + if form.count >= NUMBER { (own.width() - held - form.extent.0) / 2.0 } else { inset };
        let clear = CLEAR * self.text;
        let heights = self.heights(stop, form, (own.top + clear, own.bottom - clear));
        heights.first().map(|(top, _)| (left, *top))
    }

    fn up(&self, stop: &Named, form: &Form) -> Option<(f32, f32)> {
        let own = &stop.rectangle;
        if form.extent.0 > own.width() {
            return None;
        }
        let left = own.left + (own.width() - form.extent.0) / 2.0;
        let clear = CLEAR * self.text;
        let held = if stop.held { HELD_SIDE * self.text } else { 0.0 };
        let heights = self.heights(stop, form, (own.top + clear + held, own.bottom - clear));
        heights.first().map(|(_, lowest)| (left, *lowest))
    }

    fn beside(&self, stop: &Named, form: &Form, taken: &[Rectangle]) -> Option<(f32, f32)> {
        let (own, tie) = (&stop.rectangle, TIE * self.text);
        let left = match form.stand {
            Stand::Left => stop.before - tie - form.extent.0,
            _ => own.right + tie,
        };
        let clear = CLEAR * self.text;
        let slots = (own.height() / (SLOT * self.text)) as usize;
        let tops = (0..slots).map(|slot| own.top + clear + slot as f32 * SLOT * self.text);
        let free = |top: &f32| {
            let place = placed((left, *top), form.extent);
            let wider = Rectangle { left: place.left - clear, right: place.right + clear, ..place };
            within(&wider, self.lane) && !taken.iter().any(|other| other.overlaps(&wider))
        };
        tops.into_iter().find(free).map(|top| (left, top))
    }
}

fn placed((left, top): (f32, f32), (width, height): (f32, f32)) -> Rectangle {
    Rectangle { left, top, right: left + width, bottom: top + height }
}

fn within(place: &Rectangle, room: &Rectangle) -> bool {
    place.left >= room.left
        && place.right <= room.right
        && place.top >= room.top
        && place.bottom <= room.bottom
}

#[cfg(test)]
mod tests {
    use super::{Named, Stand, Words, place_names};
    use crate::chart::Rectangle;

    const TEXT: f32 = 9.0;
    const LANE: Rectangle = Rectangle { left: 0.0, top: 0.0, right: 600.0, bottom: 45.0 };

    fn stop(number: usize, left: f32, width: f32, title: &str) -> Named {
        Named {
            rectangle: Rectangle { left, right: left + width, ..LANE },
            before: left - 5.0,
            path: Some((20.0, 24.0)),
            number,
            title: title.to_owned(),
            clock: "21:00".to_owned(),
            held: false,
        }
    }

    fn place(stops: &[Named]) -> Vec<Option<Words>> {
        let taken: Vec<Rectangle> =
            stops.iter().map(|stop| Rectangle { left: stop.before, ..stop.rectangle }).collect();
        place_names(&LANE, stops, &taken, TEXT)
    }

    #[test]
    fn a_name_stands_in_its_stop_or_beside_it() {
        let stops = [stop(1, 20.0, 120.0, "Jupiter"), stop(2, 300.0, 14.0, "The Shepherd's Wall")];
        let words = place(&stops);
        let [Some(jupiter), Some(wall)] = words.as_slice() else { panic!("{words:?}") };
        assert_eq!((jupiter.stand, jupiter.lines.concat().as_str()), (Stand::Inside, "1 Jupiter  21:00"));
        assert_eq!(wall.stand, Stand::Right);
        assert_eq!((wall.lines.join(" ").as_str(), wall.clock.is_some()), ("2 The Shepherd's Wall", true));
    }

    #[test]
    fn a_name_at_the_end_of_its_lane_stands_before_its_stop_and_its_move() {
        let words = place(&[stop(3, 580.0, 14.0, "The Shepherd's Wall")]);
        let Some(Some(wall)) = words.first() else { panic!("{words:?}") };
        assert!(wall.stand == Stand::Left && wall.rectangle.right < 575.0, "{wall:?}");
    }

    #[test]
    fn no_words_cover_others_or_a_path_and_a_crowd_keeps_its_numbers() {
        for width in [11.0, 20.0, 45.0] {
            let count = (600.0 / (width + 6.0)) as usize;
            let stops: Vec<Named> = (0..count)
                .map(|number| stop(number + 1, 6.0 + number as f32 * (width + 6.0), width, "Whin and Sky"))
                .collect();
            let words: Vec<Words> = place(&stops).into_iter().flatten().collect();
            assert_eq!(words.len(), count, "at {width}");
            for (position, one) in words.iter().enumerate() {
                assert!(one.lines[0].starts_with(&(position + 1).to_string()), "{one:?}");
                assert!(words[position + 1..].iter().all(|other| !one.rectangle.overlaps(&other.rectangle)));
                let clear = one.rectangle.bottom <= 20.0 || one.rectangle.top >= 24.0;
                assert!(clear || one.stand != Stand::Inside || one.lines[0].len() < 3, "{one:?}");
            }
        }
    }
}
