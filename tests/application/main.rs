//! The program as its user meets it.

mod accessibility;
mod board;
mod board_looks;
mod card;
mod drafts;
mod grey;
mod house;
mod keeping;
mod kept_orders;
mod keyboard;
mod kills;
mod manners;
mod order_rules;
mod pages;
mod pages_disk;
mod pick_up;
mod pictures;
mod places;
mod session;
mod shaping;
mod shelf;
mod sky_view;
mod state;
mod strict_pictures;
mod walk;
mod window;
