//! Evenfall's window and commands over its core.

pub mod shell;
pub mod state;
pub mod ui;
