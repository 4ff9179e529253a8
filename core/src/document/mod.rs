//! The saved evening: text to evening and back, strict, versioned, in a stable order.

mod call;
mod names;
mod read;
mod read_house;
mod read_order;
mod read_wishes;
mod write;
mod zoned;

pub use names::{NamedFiles, check_names, named_files};
pub use read::{EVENING_FORMAT, read_evening};
pub use write::write_evening;
