//! Sheet and drawing to bytes: PDF, SVG, CSV and JSON.

mod csv;
mod json;
mod paper;
pub mod pdf;
mod svg;

pub use csv::order_csv;
pub use json::order_json;
pub use paper::paper_grey;
pub use svg::scene_svg;
