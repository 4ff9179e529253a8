//! What the patterns of the timeline's lanes mean, in one line: only those that are drawn.

use super::timeline::Frame;
use super::timeline_closed::closed_hatch;
use super::timeline_lanes::{EDGE_OF_GROUND, MOVE, PATH, held_mark};
use super::timeline_parts::OUTLINE;
use super::{Anchor, Ink, Item, Rectangle, hatch, text_width};

/// A pattern that the key explains.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pattern {
    /// A stop whose target has an altitude.
    Filled,
    /// A stop without one.
    Empty,
    /// Mount, dome and selector on their way.
    Travel,
    /// The rest of a move.
    Waiting,
    /// A filled corner.
    Held,
    /// A target in closed sky.
    Closed,
    /// The lowest part of a sky.
    Ground,
}

/// A pattern that is drawn, with what it means.
pub(super) type Meaning = (Pattern, String);

/// What the patterns mean; in a narrow drawing only what fits.
pub(super) fn key_line(frame: &Frame, shown: &[Meaning], items: &mut Vec<Item>) {
    let text = frame.text;
    let mut x = frame.axis.left;
    for (pattern, words) in shown {
        let place = Rectangle {
            left: x,
            top: frame.key - 0.75 * text,
            right: x + 1.6 * text,
            bottom: frame.key + 0.05 * text,
        };
        let start = place.right + 0.5 * text;
        let end = start + text_width(words, text);
        if end > frame.width {
            break;
        }
        items.extend(pattern_sample(*pattern, &place, text));
        items.push(Item::text((start, frame.key), Anchor::Start, text, Ink::Text, words.as_str()));
        x = end + 1.4 * text;
    }
}

fn pattern_sample(pattern: Pattern, place: &Rectangle, text: f32) -> Vec<Item> {
    let area = |place: &Rectangle, ink: Ink| Item::rectangle(place, Some(ink), None);
    match pattern {
        Pattern::Filled => {
            let y = f32::midpoint(place.top, place.bottom);
            let under = Rectangle { top: y, ..*place };
            let path = Item::segment((place.left, y), (place.right, y), PATH);
            vec![area(&under, Ink::Port(0)), Item::rectangle(place, None, Some(OUTLINE)), path]
        }
        Pattern::Empty => vec![Item::rectangle(place, None, Some(OUTLINE))],
        Pattern::Travel => {
            let mut items = hatch(place, 0.3 * text, MOVE);
            items.push(Item::rectangle(place, None, Some(MOVE)));
            items
        }
        Pattern::Waiting => vec![Item::rectangle(place, None, Some(MOVE))],
        Pattern::Held => vec![Item::rectangle(place, None, Some(OUTLINE)), held_mark(place, text)],
        Pattern::Closed => {
            let mut items = closed_hatch(place, text);
            items.push(Item::rectangle(place, None, Some(OUTLINE)));
            items
        }
        Pattern::Ground => {
            let edge = Item::segment((place.left, place.top), (place.right, place.top), EDGE_OF_GROUND);
            vec![area(place, Ink::Earth), edge]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Pattern, pattern_sample};
    use crate::chart::{Item, Point, Rectangle};
    use crate::output::paper_grey;

    /// What is left of a sample where no shade can be told from white: lines, and what is black.
    fn without_shades(pattern: Pattern) -> Vec<Vec<Point>> {
        let place = Rectangle { left: 0.0, top: 0.0, right: 20.0, bottom: 10.0 };
        let items = pattern_sample(pattern, &place, 12.0).into_iter().filter_map(|item| match item {
            Item::Path { points, fill, stroke, .. } => {
                (stroke.is_some() || fill.is_some_and(|fill| paper_grey(fill) == 0)).then_some(points)
            }
            Item::Text { .. } => None,
        });
        items.collect()
    }

    #[test]
    fn patterns_differ_by_their_shapes_where_no_shade_is_seen() {
        // `Empty` stands for `Filled` where no target has an altitude, never beside it.
        let patterns = [
            Pattern::Filled,
            Pattern::Travel,
            Pattern::Waiting,
            Pattern::Held,
            Pattern::Closed,
            Pattern::Ground,
        ];
        for (index, one) in patterns.iter().enumerate() {
            assert!(!without_shades(*one).is_empty(), "{one:?}");
            for other in &patterns[index + 1..] {
                assert_ne!(without_shades(*one), without_shades(*other), "{one:?} and {other:?}");
            }
        }
    }
}
