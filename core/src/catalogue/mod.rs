//! What may be shown: targets with their sizes, brightness and words for the public.

mod read;
mod target;

pub use read::{CATALOGUE_FORMAT, read_catalogue};
pub use target::{Catalogue, Core, Double, Feature, Kind, Target, TargetId, Words};
