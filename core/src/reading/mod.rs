//! Files that people write: RON read strictly, with every fault placed by line, column and key.
//!
//! [`read_whole`] opens a file and hands its [`Fields`] to a reader, which asks for each key by name, kind and
//! range. What is wrong is noted as a [`Fault`] and replaced by a harmless stand-in, so that one reading finds all
//! faults; a value made with a stand-in is never handed out. Keys that nobody asked for are faults too. `edit` puts one
//! value of a file in another's place.

mod cuts;
pub mod edit;
mod fault;
mod fields;
mod key_unit;
mod nearest;
mod page;
mod ron_values;
mod scalars;

pub use fault::{Fault, Faults};
pub use fields::Fields;
pub use nearest::{nearest_remedy, slip_of};
pub use page::{comments_above, format_of, read_parts, read_whole};
pub use scalars::LONGEST_NAME;
