//! The direction that is read on the sky: under the pointer, or walked to by the arrow keys.

use egui::{EventFilter, Id, Key, Modifiers, Painter, Pos2, Rect, Response, Stroke, Ui, vec2};
use evenfall_core::chart::{Point, UnrolledMap, direction_words};
use evenfall_core::time::Instant;
use evenfall_core::units::Angle;

use super::words::READ_HINT;
use crate::state::OpenEvening;
use crate::ui::parts::lines;
use crate::ui::theme::{HEAVY, SMALL, STRONG, Tokens, regular};

/// Two lines of small type below the drawing.
pub const HEIGHT: f32 = 38.0;
/// Degrees that a key moves the direction by.
const STEP_DEG: f64 = 5.0;
/// Half of the mark of a direction.
const MARK: f32 = 7.0;

/// Azimuth, from a whole turn, and altitude.
pub type Direction = (Angle, Angle);

/// The direction under the pointer, else the one walked to while the keyboard is on the sky.
pub fn listen(ui: &Ui, response: &Response, map: &UnrolledMap, origin: Pos2) -> Option<Direction> {
    let id = Id::unique("direction read on the sky");
    let place = |at: Pos2| {
        let (turned, altitude) = map.direction(Point { x: at.x - origin.x, y: at.y - origin.y })?;
        Some((turned.wrapped(), altitude))
    };
    let pointed = response.hover_pos().and_then(place);
    if response.clicked() {
        response.request_focus();
        if let Some((azimuth, altitude)) = pointed {
            ui.data_mut(|data| data.insert_temp(id, (azimuth.degrees(), altitude.degrees())));
        }
    }
    if !response.has_focus() {
        return pointed;
    }
    let arrows = EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: true };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, arrows));
    // It begins half way up in the south.
    let (mut azimuth, mut altitude) =
        ui.data(|data| data.get_temp::<(f64, f64)>(id)).unwrap_or((180.0, 45.0));
    let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    for (key, right, up) in [
        (Key::ArrowLeft, -STEP_DEG, 0.0),
        (Key::ArrowRight, STEP_DEG, 0.0),
        (Key::ArrowUp, 0.0, STEP_DEG),
        (Key::ArrowDown, 0.0, -STEP_DEG),
    ] {
        if pressed(key) {
            azimuth = (azimuth + right).rem_euclid(360.0);
            altitude = (altitude + up).clamp(0.0, 90.0);
        }
    }
    if pressed(Key::Home) {
        altitude = 90.0;
    }
    ui.data_mut(|data| data.insert_temp(id, (azimuth, altitude)));
    pointed.or(Some((Angle::from_degrees(azimuth), Angle::from_degrees(altitude))))
}

/// What is there.
pub fn words(open: &OpenEvening, at: Instant, direction: Direction) -> String {
    direction_words(&open.derived.prepared, &open.document.stock.materials(), at, direction)
}

/// Marks the direction, wherever the strip shows it.
pub fn paint(painter: &Painter, tokens: &Tokens, map: &UnrolledMap, origin: Pos2, direction: Direction) {
    for turned in map.all(direction.0) {
        let at = map.place(turned, direction.1);
        let at = origin + vec2(at.x, at.y);
        for (width, ink) in [(HEAVY + 1.0, tokens.raised), (STRONG, tokens.accent)] {
            for along in [vec2(MARK, 0.0), vec2(0.0, MARK)] {
                painter.line_segment([at - along, at + along], Stroke::new(width, ink));
            }
        }
    }
}

/// Tells it below the drawing.
pub fn tell(painter: &Painter, tokens: &Tokens, room: Rect, told: Option<&str>) {
    let (words, ink) = told.map_or((READ_HINT, tokens.quiet), |told| (told, tokens.ink));
    let galley = lines(painter, words, regular(SMALL), ink, room.width(), 2);
    painter.galley(room.min, galley, ink);
}
