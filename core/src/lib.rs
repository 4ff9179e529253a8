//! Evenfall's core: the sky, the ports, the running order and the pages of a public observing night.
//!
//! Pure functions and values: no clock, files, environment or printing. Data flows one way:
//!
//! ```text
//! units, maths -> time -> earth -> ephemeris, elements -> place -> events, catalogue, rig, site -> lists, sky
//!     -> assign -> plan -> document, chart, sheet -> output
//! ```

pub mod arrange;
pub mod assign;
pub mod catalogue;
pub mod chart;
pub mod document;
pub mod earth;
pub mod elements;
pub mod ephemeris;
pub mod events;
pub mod lists;
pub mod maths;
pub mod output;
pub mod place;
pub mod plan;
pub mod reading;
pub mod rig;
pub mod sheet;
pub mod site;
pub mod sky;
pub mod time;
pub mod units;
