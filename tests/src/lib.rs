//! What the comparisons with the outside world share.

pub mod close;
pub mod table;
