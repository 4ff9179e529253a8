//! What may be shown: targets with their sizes, brightness and words for the public. [`NameIndex`] finds them by any form
//! of their names.

mod amend;
mod fold;
mod missing;
mod names;
mod read;
mod target;
mod usual_words;
mod write;

pub use amend::{CatalogueChange, amended_catalogue};
pub use fold::folded_name;
pub use missing::{COLOURS_NOT_TOLD, Missing};
pub use names::{Found, Hit, NameIndex};
pub use read::{
    CATALOGUE_FORMAT, LONGEST_AT_HOME, LONGEST_LINE, LONGEST_LOOK_FOR, LONGEST_NAME, LONGEST_NOTES,
    LONGEST_PHOTO, LONGEST_TYPE, MOST_CUE_WORDS, MOST_PHOTOS, MOST_SATELLITES, read_catalogue,
};
pub use target::{Catalogue, Core, Double, Feature, Kind, Public, Target, TargetId, TargetNotes, Words};
pub use usual_words::usual_words;
pub use write::{
    catalogue_head, catalogue_head_as_in, catalogue_tail, write_catalogue, write_catalogue_as_in,
    write_target,
};
