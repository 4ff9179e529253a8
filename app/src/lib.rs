//! Evenfall's window and commands over its core.
//!
//! [`cli`] is the program's front door; [`shell`] is everything that touches the machine (files and embedded
//! data); [`state`] is what the window shows and does, without a window; [`ui`] is the window.

pub mod cli;
pub mod shell;
pub mod state;
pub mod ui;
