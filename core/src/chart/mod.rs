//! Drawings without a medium: PDF and SVG draw the same [`Scene`] with different pens; the window's Board shares its
//! time axis and paints for itself.
//!
//! [`TimeAxis`] maps time to x; [`sky_strips`], [`lane_blocks`] and [`altitude_path`] give the geometry of the three
//! parts of a timeline, for pens that paint their own; [`timeline`] composes them for paper and picture.

mod altitude;
mod altitude_panel;
mod axis;
mod labels;
mod lanes;
mod scene;
mod sky_band;
mod timeline;
mod timeline_parts;

pub use altitude::{AltitudeScale, altitude_at, altitude_path};
pub use axis::TimeAxis;
pub use labels::{Placed, broken, shortened, text_width};
pub use lanes::{Block, Lane, Lanes, MoveBars, lane_blocks};
pub use scene::{Anchor, Ink, Item, Point, Rectangle, Scene, Stroke, Weight, hatch};
pub use sky_band::{SkyEvent, SkyStrip, moon_areas, sky_events, sky_light_level, sky_strips};
pub use timeline::{TimelineOptions, timeline};
