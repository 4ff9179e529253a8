//! Edits of what a draft keeps to: the trade's rules, slack, closed parts of the sky.

use chrono::NaiveTime;

use crate::plan::{ClosedSky, Evening, OrderRule};

/// The most of an evening that can be kept free, in percent.
pub const MOST_SLACK_PERCENT: f64 = 90.0;

/// Gives a rule another weight, in percent; 0 switches it off.
#[must_use]
pub fn set_rule(evening: &Evening, rule: OrderRule, percent: u8) -> Evening {
    let mut changed = evening.clone();
    changed.rules.set(rule, percent);
    changed
}

/// Sets the part of the evening to keep free, in percent, from 0 to [`MOST_SLACK_PERCENT`]; not a number changes
/// nothing.
#[must_use]
pub fn set_slack(evening: &Evening, percent: f64) -> Evening {
    let mut changed = evening.clone();
    if !percent.is_nan() {
        changed.programme.slack_percent = percent.clamp(0.0, MOST_SLACK_PERCENT);
    }
    changed
}

/// Sets when children go to bed, on the local clock.
#[must_use]
pub fn set_bedtime(evening: &Evening, bedtime: NaiveTime) -> Evening {
    let mut changed = evening.clone();
    changed.rules.bedtime = bedtime;
    changed
}

/// Closes a part of the sky.
#[must_use]
pub fn close_sky(evening: &Evening, closed: ClosedSky) -> Evening {
    let mut changed = evening.clone();
    changed.wishes.closed_sky.push(closed);
    changed
}

/// Opens a closed part of the sky again, by its position in the wishes.
#[must_use]
pub fn open_sky(evening: &Evening, position: usize) -> Evening {
    let mut changed = evening.clone();
    if position < changed.wishes.closed_sky.len() {
        changed.wishes.closed_sky.remove(position);
    }
    changed
}

#[cfg(test)]
mod tests {
    use chrono::NaiveTime;

    use super::{close_sky, open_sky, set_bedtime, set_rule, set_slack};
    use crate::plan::invented::march_evening;
    use crate::plan::{ClosedSky, OrderRule};
    use crate::units::Angle;

    #[test]
    fn each_edit_changes_its_own_wish_only() {
        let before = march_evening();
        let mut wanted = before.clone();
        wanted.rules.crescendo = 60;
        assert_eq!(set_rule(&before, OrderRule::Crescendo, 60), wanted);
        let bedtime = NaiveTime::from_hms_opt(20, 30, 0).unwrap();
        wanted.rules.bedtime = bedtime;
        assert_eq!(set_bedtime(&set_rule(&before, OrderRule::Crescendo, 60), bedtime), wanted);
        let slack = |percent| set_slack(&before, percent).programme.slack_percent;
        assert_eq!(
            [15.0, -3.0, 200.0, f64::NAN].map(slack),
            [15.0, 0.0, 90.0, before.programme.slack_percent]
        );
    }

    #[test]
    fn what_is_closed_opens_again() {
        let before = march_evening();
        let closed =
            |from, to| ClosedSky::new(Angle::from_degrees(from), Angle::from_degrees(to), None, None);
        let both = close_sky(&close_sky(&before, closed(0.0, 90.0)), closed(90.0, 180.0));
        assert_eq!(both.wishes.closed_sky, [closed(0.0, 90.0), closed(90.0, 180.0)]);
        assert_eq!(open_sky(&both, 0).wishes.closed_sky, [closed(90.0, 180.0)]);
        assert_eq!(open_sky(&open_sky(&both, 0), 0), before);
        assert_eq!(open_sky(&both, 2), both);
    }
}
