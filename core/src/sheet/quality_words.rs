//! How good an order is beside the best draft, in words.

use super::names::Names;
use super::numbers;
use crate::catalogue::TargetId;

/// From this share on a difference is told in whole percent.
const WHOLE_PERCENT: f64 = 10.0;

/// No order of those that a draft chooses from is better.
///
/// * `slack_percent`: the share of the evening that is to stay free. If any is, a draft leaves its part of it free after
///   each stop, and an order that does not may be worth more.
pub fn best_there_is_phrase(slack_percent: f64) -> &'static str {
    if slack_percent > 0.0 { "The best with time to spare" } else { "This is the best there is" }
}

/// An order made by hand beats what a draft could choose.
///
/// * `spares`: whether it leaves as much time free after each stop as a draft does.
pub const fn better_than_drafts_phrase(spares: bool) -> &'static str {
    if spares { "Better than any draft found" } else { "Better, with less time to spare" }
}

/// No order is better by more than so many percent, rounded up: `At most 0.8% better exists`.
///
/// * `slack_percent`: as for [`best_there_is_phrase`].
pub fn at_most_phrase(percent: f64, slack_percent: f64) -> String {
    let percent = in_percent(percent, f64::ceil);
    if slack_percent > 0.0 {
        format!("A draft at most {percent} better")
    } else {
        format!("At most {percent} better exists")
    }
}

/// A new draft is better by so many percent, rounded down: `A new draft would be 12% better`.
pub fn draft_better_phrase(percent: f64) -> String {
    format!("A new draft would be {} better", in_percent(percent, f64::floor))
}

/// The same where there is little room: `New draft: 12% better`.
pub fn draft_better_short_phrase(percent: f64) -> String {
    format!("New draft: {} better", in_percent(percent, f64::floor))
}

/// A new draft shows targets that must be shown: `A new draft would show Lantern Drift too`.
pub fn draft_shows_phrase(targets: &[TargetId], names: &Names<'_>) -> String {
    let targets: Vec<String> = targets.iter().map(|target| names.target_name(target)).collect();
    format!("A new draft would show {} too", targets.join(", "))
}

/// To a tenth below ten percent, whole from there.
fn in_percent(percent: f64, round: fn(f64) -> f64) -> String {
    if percent < WHOLE_PERCENT {
        format!("{}%", numbers::decimal(round(percent * 10.0) / 10.0, 1))
    } else {
        format!("{}%", numbers::decimal(round(percent), 0))
    }
}

#[cfg(test)]
mod tests {
    use super::{at_most_phrase, draft_better_phrase, draft_better_short_phrase};

    #[test]
    fn what_must_not_be_promised_is_rounded_down_and_what_may_be_up() {
        assert_eq!(at_most_phrase(0.81, 0.0), "At most 0.9% better exists");
        assert_eq!(at_most_phrase(12.1, 15.0), "A draft at most 13% better");
        assert_eq!(draft_better_phrase(0.89), "A new draft would be 0.8% better");
        assert_eq!(draft_better_phrase(12.9), "A new draft would be 12% better");
        assert_eq!(draft_better_short_phrase(12.9), "New draft: 12% better");
    }
}
