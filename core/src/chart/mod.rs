//! Drawings without a medium: PDF and SVG draw the same [`Scene`] with different pens; the window's Board shares its
//! time axis and paints for itself.
//!
//! [`TimeAxis`] maps time to x; [`sky_strips`], [`lane_blocks`] and [`altitude_path`] give the geometry of a timeline, whose
//! lanes are skies of their own; [`timeline`] composes them for paper and picture, with `timeline_parts` for what stands over the
//! lanes, `timeline_lanes` for the lanes, `timeline_words` for the words on them, `stop_names` for where names stand and
//! `timeline_key` for what patterns mean; [`thin`] takes out of a curve what nobody sees.
//!
//! [`sky_dome`] is the sky overhead at one minute: `dome_map` lays it flat, `dome_light` shades it, `dome_ground` draws what
//! is closed of it and where people stand, `dome_stops` the stops and the ways between them, with `dome_telescope` where
//! the telescope points; `dome_words` says it all. [`visitor_sky`] is the sky for visitors, on paper, to be held overhead.

mod altitude;
mod axis;
mod dome_ground;
mod dome_labels;
mod dome_light;
mod dome_map;
mod dome_moon;
mod dome_stops;
mod dome_telescope;
mod dome_words;
mod labels;
mod lanes;
mod scene;
mod sky_band;
mod sky_dome;
mod stop_names;
mod thin;
mod timeline;
mod timeline_key;
mod timeline_lanes;
mod timeline_parts;
mod timeline_words;
mod visitor_sky;
mod visitor_sky_layout;
mod visitor_sky_words;

pub use altitude::{AltitudeScale, altitude_path};
pub use axis::TimeAxis;
pub use dome_map::DomeMap;
pub use dome_words::direction_words;
pub use labels::{Placed, broken, in_lines, shortened, text_width};
pub use lanes::{Block, Lane, Lanes, MoveBars, lane_blocks};
pub use scene::{Anchor, Ink, Item, Point, Rectangle, Scene, Stroke, Weight, hatch};
pub use sky_band::{SkyEvent, SkyStrip, moon_areas, sky_events, sky_light_level, sky_strips};
pub use sky_dome::{DomeStop, SkyDome, sky_dome};
pub use thin::thin;
pub use timeline::{TimelineOptions, timeline};
pub use visitor_sky::{VisitorSkyOptions, visitor_sky};
