//! Drawings without a medium: PDF and SVG draw the same [`Scene`] with different pens; the window's Board shares its
//! time axis and paints for itself.
//!
//! [`TimeAxis`] maps time to x; [`sky_strips`], [`lane_blocks`] and [`altitude_path`] give the geometry of a timeline, whose
//! lanes are skies of their own; [`timeline`] composes them for paper and picture, with `timeline_parts` for what stands over the
//! lanes, `timeline_closed` for what is closed of the sky, `timeline_lanes` for the lanes, `timeline_words` for the words on
//! them, `stop_names` for where names stand and `timeline_key` for what patterns mean; [`thin`] takes out of a curve what nobody
//! sees.
//!
//! [`unrolled_sky`] is the sky at one minute, unrolled as the telescope turns: `unrolled_map` lays it out, `unrolled_light`
//! shades it, `unrolled_ground` draws what is closed of it, `unrolled_drawing` what stands on it and on its ground,
//! `unrolled_stops` the stops and the ways between them, with `unrolled_telescope` where the telescope points and, below the
//! sky, `unrolled_turns` how the mount turns through the evening; `unrolled_words` says it all. [`visitor_sky`] is the sky for
//! visitors, on paper, to be held overhead.

mod altitude;
mod axis;
mod directions;
mod dome_ground;
mod dome_map;
mod labels;
mod lanes;
mod moon_disc;
mod scene;
mod sky_band;
mod sky_labels;
mod sky_marks;
mod stop_names;
mod thin;
mod timeline;
mod timeline_closed;
mod timeline_key;
mod timeline_lanes;
mod timeline_parts;
mod timeline_words;
mod unrolled;
mod unrolled_drawing;
mod unrolled_ground;
mod unrolled_light;
mod unrolled_map;
mod unrolled_stops;
mod unrolled_telescope;
mod unrolled_turns;
mod unrolled_words;
mod visitor_sky;
mod visitor_sky_key;
mod visitor_sky_layout;
mod visitor_sky_words;

pub use altitude::{AltitudeScale, altitude_path};
pub use axis::TimeAxis;
pub use labels::{Placed, broken, in_lines, shortened, text_width};
pub use lanes::{Block, Lane, Lanes, MoveBars, lane_blocks};
pub use scene::{Anchor, Ink, Item, Point, Rectangle, Scene, Stroke, Weight, hatch};
pub use sky_band::{SkyEvent, SkyStrip, moon_areas, sky_events, sky_light_level, sky_strips};
pub use thin::thin;
pub use timeline::{TimelineOptions, timeline};
pub use unrolled::{SkyStop, UnrolledSky, unrolled_sky};
pub use unrolled_map::UnrolledMap;
pub use unrolled_words::direction_words;
pub use visitor_sky::{VisitorSkyOptions, visitor_sky};
