//! Angular size against field: how much of a target is framed, and what that is worth.

use super::subject::Subject;
use super::verdict::{Part, rise};
use super::{Fit, Reason};
use crate::catalogue::Kind;
use crate::rig::FieldShape;
use crate::units::Angle;

/// What an unknown size or brightness leaves of a view. Common practice, no source: "perhaps".
pub(super) const UNKNOWN: f64 = 0.6;
/// Shares of a field between which a target is framed best. Common practice, no source.
const BEST_FILLED: (f64, f64) = (0.4, 0.8);
/// What framing leaves of the view of a target lost in its field, and of one that just fits.
const LOOSE: f64 = 0.85;
const TIGHT: f64 = 0.85;
/// What the bright core alone is worth, the whole being too big.
const CORE_ALONE: f64 = 0.7;
/// What a small part of the Moon is worth: any part of it is a view.
const PART_OF_MOON: f64 = 0.75;
/// Below this worth of its size a target is only a dot.
const DOT: f64 = 0.1;

/// The share of a field that axes take, above 1 where they don't fit. A sensor behind a rotator is turned so that
/// the long axis lies along its long side.
fn share_of_field(long: Angle, short: Angle, field: FieldShape, turns: bool) -> f64 {
    match field {
        FieldShape::Rectangle(..) if turns => (long / field.long_side()).max(short / field.short_side()),
        _ => long / field.short_side(),
    }
}

/// The fit of a subject in a field, and what framing is worth.
///
/// `size_worth` says what the instrument makes of the size of something framed whole, from 0 (a dot) to 1.
pub(super) fn framing(
    subject: &Subject,
    field: FieldShape,
    turns: bool,
    size_worth: impl Fn(Angle) -> f64,
) -> (Fit, Part) {
    let Some((long, short)) = subject.axes else {
        return (Fit::Unknown, (Reason::SizeUnknown, UNKNOWN));
    };
    let share = share_of_field(long, short, field, turns);
    if share > 1.0 {
        let shown = 1.0 / share;
        return (Fit::Part { shown }, part_worth(subject, shown, long, field, size_worth));
    }
    let room = match subject.kind {
        Kind::Moon | Kind::Planet | Kind::DoubleStar => 1.0,
        _ if share < BEST_FILLED.0 => LOOSE + (1.0 - LOOSE) * share / BEST_FILLED.0,
        _ => 1.0 - (1.0 - TIGHT) * rise(share, BEST_FILLED.1, 1.0),
    };
    let size = size_worth(long);
    let fit = if size < DOT { Fit::Dot } else { Fit::Whole { filled: share } };
    let field = field.short_side();
    let reason = if size < 0.5 {
        Reason::TooSmall { target: long, field }
    } else {
        Reason::Fits { target: long, field }
    };
    (fit, (reason, size * room))
}

/// What a part of a target too big for the field is worth: its core where that is the better picture.
fn part_worth(
    subject: &Subject,
    shown: f64,
    long: Angle,
    field: FieldShape,
    size_worth: impl Fn(Angle) -> f64,
) -> Part {
    let part = if subject.kind == Kind::Moon {
        PART_OF_MOON + (1.0 - PART_OF_MOON) * shown
    } else {
        TIGHT * shown.powf(0.7)
    };
    let whole_core = subject.core.map(|core| core.long).filter(|core| *core <= field.short_side());
    if let Some(core) = whole_core {
        let alone = CORE_ALONE * size_worth(core);
        if alone > part {
            return (Reason::CoreFits { core, field: field.short_side() }, alone);
        }
    }
    (Reason::TooBig { target: long, field: field.long_side() }, part)
}
