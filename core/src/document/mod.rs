//! The saved evening: text to evening and back, strict, versioned, in a stable order.

mod read;
mod write;

pub use read::{EVENING_FORMAT, read_evening};
pub use write::write_evening;
