//! The program as its user meets it.

mod board;
mod card;
mod drafts;
mod kept_orders;
mod keyboard;
mod order_rules;
mod pick_up;
mod pictures;
mod session;
mod shaping;
mod shelf;
mod state;
mod walk;
mod window;
