//! Where words stand beside the altitude paths: near their point, clear of one another, where their line strikes through
//! no other words.

use std::sync::Arc;

use egui::{Align2, Context, Pos2, Rect, Vec2, pos2, vec2};

use super::kept::kept;
use crate::ui::theme::{NEAR, TIGHT};

/// Distances of a label to the side of its point and above or below it, the nearest first.
const AWAY: [(f32, f32); 22] = [
    (0.0, 7.0),
    (0.0, 22.0),
    (45.0, 7.0),
    (-45.0, 7.0),
    (0.0, 38.0),
    (45.0, 22.0),
    (-45.0, 22.0),
    (0.0, 54.0),
    (45.0, 38.0),
    (-45.0, 38.0),
    (90.0, 7.0),
    (-90.0, 7.0),
    (90.0, 22.0),
    (-90.0, 22.0),
    (0.0, 70.0),
    (45.0, 54.0),
    (-45.0, 54.0),
    (90.0, 38.0),
    (-90.0, 38.0),
    (0.0, 86.0),
    (90.0, 60.0),
    (-90.0, 60.0),
];
/// Steps along the plot in which a place for a name is sought at last.
const GRID: f32 = 16.0;

/// Words to be set beside a point.
#[derive(Clone, PartialEq)]
pub struct Wanted {
    pub centre: Pos2,
    /// What they may stand beside, left and right; the point where there is nothing of the kind.
    pub thick: Option<Rect>,
    pub size: Vec2,
    /// A mark at the point, clear of which all that follows stands.
    pub mark: Option<Rect>,
}

/// What places are found from.
#[derive(Clone, PartialEq)]
pub struct Found {
    pub plot: Rect,
    /// What is taken before.
    pub taken: Vec<Rect>,
    /// In the order in which they choose.
    pub wanted: Vec<Wanted>,
}

/// A place for all words that find one; kept until something is to stand elsewhere.
pub fn places(context: &Context, from: Found) -> Arc<(Found, Vec<Option<Rect>>)> {
    kept(context, "labels of altitude paths", from, |from| {
        let mut taken = from.taken.clone();
        let places = from.wanted.iter().map(|wanted| {
            taken.extend(wanted.mark);
            let place = place(from.plot, wanted, &taken);
            taken.extend(place.map(|place| place.expand(NEAR)));
            place
        });
        places.collect()
    })
}

/// A free place: above and below the point, beside its thick part, then farther off, where the line to it strikes through no
/// other words.
fn place(plot: Rect, wanted: &Wanted, taken: &[Rect]) -> Option<Rect> {
    let Wanted { centre, size, .. } = *wanted;
    let thick = wanted.thick.unwrap_or_else(|| Rect::from_center_size(centre, Vec2::splat(NEAR)));
    let within = |x: f32| {
        let least = plot.left() + size.x / 2.0 + TIGHT;
        x.clamp(least, (plot.right() - size.x / 2.0 - TIGHT).max(least))
    };
    let vertical = |(aside, away): (f32, f32)| {
        let x = within(centre.x + aside);
        [
            Align2::CENTER_BOTTOM.anchor_size(pos2(x, centre.y - away), size),
            Align2::CENTER_TOP.anchor_size(pos2(x, centre.y + away), size),
        ]
    };
    let beside = [
        Align2::LEFT_CENTER.anchor_size(pos2(thick.right() + TIGHT, thick.center().y), size),
        Align2::RIGHT_CENTER.anchor_size(pos2(thick.left() - TIGHT, thick.center().y), size),
    ];
    let near = vertical(AWAY[0]).into_iter().chain(beside);
    let far = AWAY[1..].iter().copied().flat_map(vertical);
    let apart: Vec<Rect> = taken.iter().filter(|other| !other.contains(centre)).copied().collect();
    let strikes = |place: &Rect| {
        let line = leader(centre, *place);
        let on_line = [0.25, 0.5, 0.75, 1.0].map(|share| centre.lerp(line, share));
        apart.iter().any(|other| on_line.iter().any(|at| other.contains(*at)))
    };
    let is_free =
        |place: &Rect| plot.contains_rect(*place) && !taken.iter().any(|other| other.intersects(*place));
    let clear = near.chain(far).find(|place| is_free(place) && !strikes(place));
    // A target without its name could not be told from others: rather far off, at worst with its line through another.
    clear.or_else(|| {
        let free = free_places(plot, size, taken);
        let nearest = |will_do: &dyn Fn(&Rect) -> bool| nearest(&free, centre, will_do);
        nearest(&|place| !strikes(place)).or_else(|| nearest(&|_| true))
    })
}

/// The place nearest to a point that will do, the first of equals.
fn nearest(places: &[Rect], centre: Pos2, will_do: &dyn Fn(&Rect) -> bool) -> Option<Rect> {
    let mut best: Option<(f32, Rect)> = None;
    for place in places {
        let distance = place.distance_to_pos(centre);
        if best.is_none_or(|(least, _)| distance < least) && will_do(place) {
            best = Some((distance, *place));
        }
    }
    best.map(|(_, place)| place)
}

/// Free places for words all over a plot, row by row.
fn free_places(plot: Rect, size: Vec2, taken: &[Rect]) -> Vec<Rect> {
    let rows = (plot.height() / size.y).floor() as usize;
    let columns = (plot.width() / GRID).floor() as usize;
    let mut free = Vec::new();
    for row in 0..rows {
        let first = plot.min + vec2(TIGHT, row as f32 * size.y + NEAR);
        let whole = Rect::from_min_size(first, vec2(plot.width(), size.y));
        let in_row: Vec<Rect> = taken.iter().filter(|other| other.intersects(whole)).copied().collect();
        let places = (0..columns)
            .map(|column| Rect::from_min_size(first + vec2(column as f32 * GRID, 0.0), size))
            .take_while(|place| place.right() <= plot.right());
        let clear =
            |place: &Rect| plot.contains_rect(*place) && !in_row.iter().any(|other| other.intersects(*place));
        free.extend(places.filter(clear));
    }
    free
}

/// Where the line from a point meets its words.
pub fn leader(centre: Pos2, place: Rect) -> Pos2 {
    pos2(
        centre.x.clamp(place.left(), place.right()),
        centre.y.clamp(place.top() + TIGHT, place.bottom() - TIGHT),
    )
}
