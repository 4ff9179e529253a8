//! The evening on a time axis: sky light, Moon, lanes by port with stops and moves, altitude paths.

use super::Scene;
use crate::plan::{Evening, Materials, Prepared};

/// Size and what to draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimelineOptions {
    /// Width in points.
    pub width: f32,
    /// Height in points.
    pub height: f32,
    /// Size of the smallest text, in points.
    pub text_size: f32,
}

/// The timeline of an evening, for paper and picture.
pub fn timeline(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    options: TimelineOptions,
) -> Scene {
    todo!()
}
