//! The window: Shelf, Board and Card over one [`AppState`](crate::state::AppState).
//!
//! [`show`] draws a frame and gives back what the user wants as commands, applied at its end; it knows nothing of
//! the window system, so that tests drive it. [`run`] puts it into a real window. Read `theme` (colours, space,
//! type), `text` (the words; those about files in `file_words`, those of the Card, the Shelf and the order rules alone
//! stand with them), `commands` (every command by its name, with its keys), `keys`, `escape`, `fields`, `leading_on` (Enter), `scene_pen` (the core's
//! drawings), then the parts: `top_bar`, `shelf`, `board` and its other face `sky_view`, `card`, `order_rules`,
//! `status_bar`, `dialogs`, `pages`, and the pages of site and rig: `place_page`, `place_fields`,
//! `site_editor`, `rig_editor`.

mod board;
mod card;
pub mod commands;
mod dialogs;
mod escape;
mod fields;
mod file_words;
pub mod keys;
mod leading_on;
mod list_in;
mod order_rules;
mod pages;
mod parts;
mod place_fields;
mod place_page;
mod reading_order;
mod rig_editor;
mod run;
mod scene_pen;
mod shaping_words;
mod shelf;
mod site_editor;
mod sky_disc;
mod sky_view;
mod status_bar;
mod step_words;
mod target_editor;
pub mod text;
pub mod theme;
mod top_bar;
mod window;

pub use board::stop_widget_id;
pub use run::{Options, run};
pub use shelf::show as show_shelf;
pub use window::{ask_inside, set_up, show};
