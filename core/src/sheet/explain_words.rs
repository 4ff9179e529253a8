//! Why an order is as it is and what would change it, in plain sentences: see [`explain`](crate::plan::explain).

mod not_shown;
mod request;
mod shares;
mod stops;
mod what_if;

pub use not_shown::{best_hour_sentence, not_shown_sentence, not_shown_sentences, way_phrase};
pub use request::request_sentences;
pub use shares::share_words;
pub use stops::{
    people_sentence, stop_sentence, stop_sentences, understudy_sentence, why_port_sentence, why_this_sentence,
};
pub use what_if::{held_price_sentence, what_if_sentence};
