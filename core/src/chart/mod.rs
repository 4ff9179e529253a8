//! Drawings without a medium: the window, the PDF and the SVG draw the same [`Scene`] with different pens.

mod axis;
mod scene;
mod timeline;

pub use axis::TimeAxis;
pub use scene::{Anchor, Ink, Item, Point, Scene, Stroke, Weight};
pub use timeline::{TimelineOptions, timeline};
