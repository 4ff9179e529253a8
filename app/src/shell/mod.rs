//! Everything that touches the machine: files and embedded data; and the outside world as the window wants it.
//!
//! [`files`] reads and writes, [`assets`] are the embedded bytes, `beginnings` the files to begin with among them, [`evenings`] puts an evening together from its
//! files, `earlier` keeps what is written over, `unsaved` what is not written yet; [`Machine`] is all of it behind the window's [`Outside`](crate::state::Outside), [`AtHome`] the same with a place
//! for what the window remembers.

pub mod assets;
mod at_home;
pub mod beginnings;
mod earlier;
pub mod evenings;
pub mod files;
mod machine;
mod unsaved;

pub use at_home::AtHome;
pub use earlier::{MOST_EARLIER, earlier_saves, write_keeping, write_keeping_with};
pub use machine::Machine;
