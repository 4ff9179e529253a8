//! What only the unrolled sky says.

/// The button on the Board.
pub const SKY: &str = "Sky";
/// The view by its name.
pub const SKY_NAME: &str = "The sky unrolled";
/// What it is for.
pub const SKY_HINT: &str =
    "Where the stops stand at the minute that is read, and how the telescope turns between them";
/// The button's hint.
pub const SKY_BUTTON_HINT: &str =
    "The sky unrolled as the telescope turns, in the Board's place   Y, Escape to the Board";
/// To a sky before or after.
pub const EARLIER: &str = "10 min earlier";
pub const LATER: &str = "10 min later";
/// How a direction is read.
pub const READ_HINT: &str = "Point at the sky, or walk it with the arrow keys, to read a direction. Darker is darker: a shade for a magnitude.";

/// The minute that is shown.
pub fn sky_at(clock: &str) -> String {
    format!("The sky at {clock}")
}

/// A stop on the sky.
pub fn stop_name(number: usize, title: &str) -> String {
    format!("Stop {number} in the sky: {title}")
}
