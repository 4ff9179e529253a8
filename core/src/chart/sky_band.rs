//! The sky's own light and the Moon over time: computed brightness as strips, twilights as marks.

use super::{Point, Rectangle, TimeAxis};
use crate::events::{Crossings, Direction, Night};
use crate::plan::Moment;
use crate::sheet::wording::Twilight;
use crate::time::Instant;
use crate::units::{Angle, SurfaceBrightness};

/// Zenith brightness drawn as the darkest and as the brightest: a fine dark sky, and the Sun just below the horizon.
/// In magnitudes per square arcsecond.
const DARKEST: f64 = 21.8;
const BRIGHTEST: f64 = 7.0;

/// Levels next to each other on the scale are drawn alike, so that a night is a hundred strips and not five hundred.
const LEVEL_STEP: f64 = 4.0;

/// The light of the sky on a scale from 0 (dark) to 255 (day): even steps for even steps of magnitude, as the eye
/// judges light.
pub fn sky_light_level(zenith: SurfaceBrightness) -> u8 {
    let share = (DARKEST - zenith.0) / (DARKEST - BRIGHTEST);
    let level = (share.clamp(0.0, 1.0) * 255.0 / LEVEL_STEP).round() * LEVEL_STEP;
    level.min(255.0) as u8
}

/// A stretch of the sky band with one level of light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyStrip {
    /// x of its start.
    pub left: f32,
    /// x of its end.
    pub right: f32,
    /// Its light, from 0 (dark) to 255 (day).
    pub level: u8,
}

/// The light at the zenith as strips along an axis; neighbours touch.
pub fn sky_strips(moments: &[Moment], axis: &TimeAxis) -> Vec<SkyStrip> {
    let mut strips: Vec<SkyStrip> = Vec::new();
    for pair in moments.windows(2) {
        let (left, right) = (axis.x(pair[0].instant).max(axis.left), axis.x(pair[1].instant).min(axis.right));
        if left >= right {
            continue;
        }
        let level = sky_light_level(pair[0].zenith);
        match strips.last_mut() {
            Some(last) if last.level == level => last.right = right,
            _ => strips.push(SkyStrip { left, right, level }),
        }
    }
    strips
}

/// Something that happens to the sky's light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SkyEvent {
    /// The Sun sets.
    Sunset,
    /// A twilight ends in the evening.
    Dusk(Twilight),
    /// A twilight begins in the morning.
    Dawn(Twilight),
    /// The Sun rises.
    Sunrise,
}

impl SkyEvent {
    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sunset => "Sunset",
            Self::Dusk(twilight) => twilight.dusk(),
            Self::Dawn(twilight) => twilight.dawn(),
            Self::Sunrise => "Sunrise",
        }
    }
}

/// Sunset, dusks, dawns and sunrise of a night, in order of time.
pub fn sky_events(night: &Night) -> Vec<(Instant, SkyEvent)> {
    let of = |crossings: &Crossings, down: SkyEvent, up: SkyEvent| -> Vec<(Instant, SkyEvent)> {
        let down = crossings.going(Direction::Down).into_iter().map(move |at| (at, down));
        down.chain(crossings.going(Direction::Up).into_iter().map(move |at| (at, up))).collect()
    };
    let mut events = of(&night.sun, SkyEvent::Sunset, SkyEvent::Sunrise);
    for (twilight, crossings) in [
        (Twilight::Civil, &night.civil),
        (Twilight::Nautical, &night.nautical),
        (Twilight::Astronomical, &night.astronomical),
    ] {
        events.extend(of(crossings, SkyEvent::Dusk(twilight), SkyEvent::Dawn(twilight)));
    }
    events.sort_by_key(|event| event.0);
    events
}

/// The Moon above the horizon as areas in a band whose lower edge is altitude 0 and whose upper edge is 90 degrees:
/// four-cornered pieces, each convex, in order of time.
pub fn moon_areas(moments: &[Moment], axis: &TimeAxis, band: &Rectangle) -> Vec<[Point; 4]> {
    const EVERY: usize = 5;
    let height =
        |altitude: Angle| band.bottom - band.height() * (altitude.degrees() / 90.0).clamp(0.0, 1.0) as f32;
    let chosen: Vec<&Moment> = moments
        .iter()
        .enumerate()
        .filter(|(index, _)| index % EVERY == 0 || index + 1 == moments.len())
        .map(|(_, moment)| moment)
        .collect();
    chosen
        .windows(2)
        .filter(|pair| pair.iter().any(|moment| moment.moon.altitude > Angle::ZERO))
        .filter_map(|pair| {
            let (left, right) =
                (axis.x(pair[0].instant).max(axis.left), axis.x(pair[1].instant).min(axis.right));
            (left < right).then(|| {
                [
                    Point { x: left, y: band.bottom },
                    Point { x: left, y: height(pair[0].moon.altitude) },
                    Point { x: right, y: height(pair[1].moon.altitude) },
                    Point { x: right, y: band.bottom },
                ]
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::sky_light_level;
    use crate::units::SurfaceBrightness;

    #[test]
    fn the_level_grows_with_the_light() {
        // Zenith in twilight, Patat et al. 2006, A&A 455, 385, table 4: 13.30 at 6 degrees, 19.67 at 12.
        let (dark, nautical, civil) = (21.8, 19.67, 13.30);
        let level = |mu| sky_light_level(SurfaceBrightness(mu));
        assert!(level(dark) == 0 && level(nautical) > 20 && level(civil) > level(nautical) + 80);
        assert_eq!(level(4.0), 255);
    }
}
