//! Target lists as other people keep them, turned into targets: CSV with any header, unit and equinox, plain coordinates, or
//! `VOTable`.
//!
//! [`read_list_into`] (in `read`) is the way in: bytes become text (`encoding`), text becomes rows of `cells` (`table`;
//! `votable` and `votable_binary`), the header tells what each of the `columns` holds (`header`, corrected by a [`Mapping`]),
//! what it leaves open is guessed from the values and told (`guess`), and each row becomes a target (`rows`, `row_place`), which
//! is handed on to the one that [`TakesList`]; [`read_list`] keeps them all. `twins` finds what stands twice, with names in a
//! `name_book`; [`Merging`] puts a list into a catalogue that is there already, [`renewed`] elements of satellites and comets. What can't be used is never dropped in silence:
//! it is a [`Remark`] with line, column, value, reason and remedy (`account`).

mod account;
mod angle_text;
mod cells;
mod columns;
mod encoding;
mod frame;
mod guess;
mod header;
mod ids;
mod kinds;
mod mapping;
mod merge;
mod name_book;
mod numbers;
mod one_target;
mod read;
mod renew;
mod row_place;
mod rows;
mod table;
mod twins;
mod votable;
mod votable_binary;

pub use account::{ColumnUse, Effect, ListAccount, ListProgress, ListRead, Remark, TakesList};
pub use cells::{MOST_COLUMNS, MOST_ROWS};
pub use columns::{Meaning, Unit};
pub use kinds::KIND_WORDS;
pub use mapping::{Delimiter, MAPPING_FORMAT, MappedColumn, Mapping, read_mapping, write_mapping};
pub use merge::{Filled, Merged, Merging, Met, merged};
pub use one_target::{id_for, read_place, read_size};
pub use read::{MOST_BYTES, read_list, read_list_into};
pub use renew::{Renewed, renewed};
