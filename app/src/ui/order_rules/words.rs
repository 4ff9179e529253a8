//! What only the panel of the order rules says.

use evenfall_core::plan::ClosedSky;
use evenfall_core::sheet::closed_sky_words;

/// The name of the panel, and of the button that opens it.
pub const ORDER_RULES: &str = "Order rules";
/// The button in little room.
pub const RULES: &str = "Rules";
/// What the rules are for.
pub const HINT: &str =
    "What counts when the running order is drafted, and how much. Nothing moves before it is drafted anew.";
/// Common practice.
pub const PRACTICE: &str = "Rules of the trade: common practice, no source.";
/// The minutes to keep free.
pub const SLACK: &str = "Slack";
/// What slack is for.
pub const SLACK_HINT: &str =
    "This part of the evening is kept free, for what takes longer than planned. 10 to 15% is usual.";
/// When children go to bed.
pub const BEDTIME: &str = "Bedtime";
/// What bedtime is for.
pub const BEDTIME_HINT: &str = "Until when the children's best counts more, on the local clock.";
/// Drafts anew from the panel.
pub const DRAFT: &str = "Draft anew by these rules";
/// The closed parts of the sky.
pub const CLOSED_SKY: &str = "Closed sky";
/// What closing does.
pub const CLOSED_SKY_HINT: &str =
    "A bank of cloud, a crane, a neighbour's light: nothing is drafted there, and a stop there is a Stopper.";
/// Nothing is closed.
pub const ALL_OPEN: &str = "All of the sky is open.";
/// Opens a part again.
pub const OPEN_AGAIN: &str = "Open again";
/// Closes a part.
pub const CLOSE_PART: &str = "Shut off this part";
/// The part to close.
pub const PART_TO_CLOSE: &str = "Part to close";
/// Since when.
pub const SINCE: &str = "Since";
/// Its clock, for a screen reader.
pub const SINCE_CLOCK: &str = "Closed since";
/// Until when.
pub const UNTIL: &str = "Until";
/// Its clock, for a screen reader.
pub const UNTIL_CLOCK: &str = "Closed until";
/// Since and until are the wrong way round.
pub const BACKWARDS: &str = "It must open again after it closes.";

/// The weight of a rule, for a screen reader.
pub fn weight_of(rule: &str) -> String {
    format!("Weight of: {rule}")
}

/// Opens this part again, for a screen reader.
pub fn open_again(closed: &ClosedSky) -> String {
    format!("{OPEN_AGAIN}: {}", closed_sky_words(closed))
}
