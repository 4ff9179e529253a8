//! Target lists as other people keep them, turned into targets: CSV with any header, unit and equinox, plain coordinates, or
//! `VOTable`.
//!
//! [`read_list`] (in `read`) is the way in: bytes become text (`encoding`), text becomes rows (`table`; `votable` and
//! `votable_binary`), the header tells what
//! each of the `columns` holds (`header`, corrected by a [`Mapping`]), what it leaves open is guessed from the values and told
//! (`guess`), and each row becomes a target (`rows`, `row_place`). `twins` finds what stands twice; [`merged`] puts
//! a list into a catalogue that is there already, [`renewed`] elements of satellites and comets. What can't be used is never dropped in
//! silence: it is a [`Remark`] with line, column, value, reason and remedy.

mod angle_text;
mod columns;
mod encoding;
mod frame;
mod guess;
mod header;
mod ids;
mod kinds;
mod mapping;
mod merge;
mod numbers;
mod read;
mod renew;
mod row_place;
mod rows;
mod table;
mod twins;
mod usual_words;
mod votable;
mod votable_binary;

pub use columns::{Meaning, Unit};
pub use kinds::KIND_WORDS;
pub use mapping::{Delimiter, MAPPING_FORMAT, MappedColumn, Mapping, read_mapping, write_mapping};
pub use merge::{Filled, Merged, Met, merged};
pub use read::{ColumnUse, Effect, ListRead, MOST_BYTES, Remark, read_list};
pub use renew::{Renewed, renewed};
