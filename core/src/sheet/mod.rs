//! The evening in words, before any file format: one model that every page and table is made from.
//!
//! [`run_sheet`] makes the [`RunSheet`]; below it stand the only rounding rules ([`numbers`]) and the only phrases
//! ([`wording`] for single things, [`rig_words`] for what the rig does to a stop, [`finding_sentence`] for Stoppers and
//! Cautions), which the window and the command line use too. `why` answers why, why not and when better,
//! `explain_words` why an order is as it is, `best_time` when best, `holds_back` what keeps a view from being perfect,
//! `given_up_words` what a draft could not keep, `quality_words` how good an order is; `formulas` names what each number
//! comes from, `optics` among them; `rule_words` are the trade's rules and what is closed of the sky; `set_notes` what to know before the pages are written.
//! [`Leaf`] is any page beside the run sheet, [`leaves`](fn@leaves) makes them all. [`page_words`] are the headings and labels of the pages.

mod best_time;
mod build;
mod cautions;
#[cfg(test)]
pub(crate) mod demo;
mod dry_run_words;
mod explain_words;
mod finding_word;
mod findings;
mod findings_of_views;
mod formulas;
mod given_up_words;
mod head;
mod holds_back;
mod leaf;
mod leaves;
mod missing_words;
mod model;
mod names;
pub mod numbers;
mod optics;
pub mod page_words;
mod phrases;
mod quality_words;
mod rig_notes;
pub mod rig_words;
mod row_rig;
mod rule_words;
mod satellite_words;
mod set_notes;
mod why;
pub mod wording;

pub use best_time::{NightOnPort, not_tonight_sentence};
pub use build::{run_sheet, sheet_and_leaves};
pub use cautions::{FOOTER, usual_cautions};
pub use dry_run_words::dry_run_lines;
pub use explain_words::{
    best_hour_sentence, held_price_sentence, not_shown_sentence, not_shown_sentences, people_sentence,
    request_sentences, share_words, stop_sentence, stop_sentences, understudy_sentence, way_phrase,
    what_if_sentence, why_port_sentence, why_this_sentence,
};
pub use finding_word::finding_word;
pub use findings::{finding_place, finding_sentence};
pub use formulas::{Formula, NumberBehind, factors, formula_of, numbers_behind};
pub use given_up_words::given_up_sentences;
pub use holds_back::{holds_back_sentence, link_word};
pub use leaf::{Block, Leaf, LeafDrawing, LeafKind, LeafTable};
pub use leaves::leaves;
pub(crate) use leaves::{DARK_FOR_STARS, NAKED_EYE, look, place_words, sky_of};
pub use model::{Notice, Row, RunSheet};
pub use names::{Names, port_letter};
pub use optics::optics_numbers;
pub use phrases::{lower_first, upper_first};
pub use quality_words::{
    at_most_phrase, best_there_is_phrase, better_than_drafts_phrase, draft_better_phrase,
    draft_better_short_phrase, draft_shows_phrase,
};
pub use rig_notes::rig_notes;
pub use rule_words::{closed_sky_words, rule_meaning, rule_words, sector_words};
pub(crate) use satellite_words::satellite_label;
pub use satellite_words::{outdated_satellites, pass_mark};
pub use set_notes::set_notes;
pub use why::{
    appeal_sentence, better_phrase, difference_phrase, moon_framing_sentence, sky_sentence, sky_word,
    why_not_now_sentence, why_not_phrase, why_not_port, why_this_why_now,
};
