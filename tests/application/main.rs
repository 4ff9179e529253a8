//! The program as its user meets it.

mod keyboard;
mod pictures;
mod state;
mod window;
