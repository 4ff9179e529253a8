//! What the patterns of the timeline's lanes mean, in one line: only those that are drawn.

use super::timeline::Frame;
use super::timeline_closed::closed_hatch;
use super::timeline_lanes::{MOVE, PATH, held_mark};
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
        Pattern::Ground => vec![area(place, Ink::Earth)],
    }
}
