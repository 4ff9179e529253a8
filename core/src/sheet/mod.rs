//! The evening in words, before any file format: one model that every page and table is made from.

mod build;
mod cautions;
mod model;
pub mod numbers;
pub mod wording;

pub use build::run_sheet;
pub use cautions::{FOOTER, usual_cautions};
pub use model::{Notice, Row, RunSheet};
