//! The program as its user meets it.

mod board;
mod card;
mod keyboard;
mod order_rules;
mod pictures;
mod state;
mod window;
