//! Sheet and drawing to bytes: PDF, SVG, PNG, calendar, CSV, JSON and `GeoJSON`; [`OutputSet`] makes any of them from one sheet.

mod calendar;
mod csv;
mod geojson;
mod json;
mod paper;
pub mod pdf;
mod picture;
mod set;
mod svg;

pub use calendar::{CalendarFor, CalendarOptions, CalendarText, evening_calendar};
pub use csv::order_csv;
pub use geojson::site_plan;
pub use json::order_json;
pub use paper::paper_grey;
pub use picture::scene_png;
pub use set::{Made, Output, OutputSet, SetWords};
pub use svg::scene_svg;
