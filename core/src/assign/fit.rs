//! Angular size against field: how much of a target is framed, and what that is worth.

use super::air::AirAndSky;
use super::subject::Subject;
use super::verdict::{Part, approach, rise};
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
/// the long axis lies along its long side; any other one lies as it was fastened, so that its short side must do.
fn share_of_field(long: Angle, short: Angle, field: FieldShape, can_turn: bool) -> f64 {
    match field {
        FieldShape::Rectangle(..) if can_turn => (long / field.long_side()).max(short / field.short_side()),
        _ => long / field.short_side(),
    }
}

/// The fit of a subject in a field, and what framing is worth.
///
/// * `can_turn`: whether a rotator turns the field to what suits the target;
/// * `size_worth`: what the instrument makes of the size of something framed whole, from 0 (a dot) to 1.
pub(super) fn framing(
    subject: &Subject,
    field: FieldShape,
    can_turn: bool,
    size_worth: impl Fn(Angle) -> f64,
) -> (Fit, Part) {
    let Some((long, short)) = subject.axes else {
        return (Fit::Unknown, (Reason::SizeUnknown, UNKNOWN));
    };
    let share = share_of_field(long, short, field, can_turn);
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
            return (
                Reason::CoreFits { core, field: field.short_side(), whole: long, shown: long * shown },
                alone,
            );
        }
    }
    (Reason::TooBig { target: long, field: long * shown }, part)
}

/// A pair that fits a field, and what it takes to see it as two.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    separation: Angle,
    /// The closest that the aperture splits.
    closest: Angle,
    /// What the instrument makes of the separation.
    gap: f64,
}

/// Share of the blur down to which calm moments show a pair. Common practice, no source.
const CALM_MOMENT: f64 = 0.6;

impl Pair {
    /// Not split closer than the Dawes limit, nor much closer than the seeing.
    #[inline]
    pub fn split(self, air: &AirAndSky) -> Part {
        let limit = self.closest.max(air.blur * CALM_MOMENT);
        let worth = approach(self.separation / limit - 1.0, 1.0) * self.gap;
        let separation = self.separation;
        let reason = if separation <= limit {
            Reason::PairTooClose { separation, limit }
        } else {
            Reason::SplitsPair { separation, seeing: air.seeing }
        };
        (reason, worth)
    }
}

/// The fit of a subject in a field and what it is worth; of a pair that fits, what it takes to split it.
///
/// * `dawes`: the closest equal pair that the aperture splits;
/// * `can_turn`: whether a rotator turns the field to what suits the target;
/// * `gap_worth`: what the instrument makes of a separation; `size_worth`: of the size of anything else.
pub(super) fn framed_or_paired(
    subject: &Subject,
    dawes: Angle,
    field: FieldShape,
    can_turn: bool,
    gap_worth: impl Fn(Angle) -> f64,
    size_worth: impl Fn(Angle) -> f64,
) -> (Fit, Part, Option<Pair>) {
    match (subject.kind, subject.axes) {
        (Kind::Star, _) => (Fit::Dot, (Reason::ColourByEye, 1.0), None),
        (Kind::DoubleStar, Some((separation, _))) => {
            let (fit, part) = framing(subject, field, true, |_| 1.0);
            if matches!(fit, Fit::Part { .. }) {
                return (fit, part, None);
            }
            // Dawes' limit for unequal pairs times 10^(0.155 dm), which fits the 3.4 and 7.5 times of Lewis 1914, The
            // Observatory 37, 378, for 3.3 and 5.7 magnitudes (from memory).
            let closest = dawes * 10_f64.powf(0.155 * subject.difference_mag);
            (fit, part, Some(Pair { separation, closest, gap: gap_worth(separation) }))
        }
        _ => {
            let (fit, part) = framing(subject, field, can_turn, size_worth);
            (fit, part, None)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Pair, framed_or_paired};
    use crate::assign::air::AirAndSky;
    use crate::assign::sample::{double, under};
    use crate::assign::subject::Subject;
    use crate::assign::{Fit, Showing};
    use crate::rig::sample::rig;
    use crate::rig::{FieldShape, Telescope};
    use crate::units::Angle;

    fn pair(aperture_mm: f64) -> Pair {
        let telescope = Telescope { aperture_mm, ..rig().telescope };
        let subject = Subject::new(&double(0.5, 4.0, 4.0), None);
        let field = FieldShape::Circle(Angle::from_arcminutes(20.0));
        let (fit, _, pair) =
            framed_or_paired(&subject, telescope.dawes_limit(), field, true, |_| 1.0, |_| 1.0);
        assert!(matches!(fit, Fit::Whole { .. } | Fit::Dot));
        pair.expect("a pair that fits")
    }

    #[test]
    fn the_closest_pair_by_aperture() {
        // Dawes 1867, 116 / D: 0.193, 0.580 and 0.116 arcseconds at 600, 200 and 1000 mm.
        for (aperture_mm, want) in [(600.0, 0.193), (200.0, 0.580), (1000.0, 0.116)] {
            let got = pair(aperture_mm).closest.arcseconds();
            assert!((got - want).abs() < 0.0006, "got {got}, want {want}");
        }
        let perfect =
            AirAndSky::new(&Showing { seeing: Angle::from_arcseconds(0.01), airmass: 1.0, ..under(20.0) });
        assert!(pair(600.0).split(&perfect).1 > 0.5);
        assert_eq!(pair(200.0).split(&perfect).1, 0.0);
    }
}
