//! The horizon profile on a ring: corners that are dragged or moved by keys, joined as the program joins them.

use std::mem::take;

use egui::{
    Align2, Context, Event, EventFilter, FocusDirection, Id, Key, Memory, Mesh, Modifiers, Painter, Pos2,
    Rect, Response, Role, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, vec2,
};
use evenfall_core::earth::Horizon;
use evenfall_core::units::Angle;

use super::compass::Compass;
use crate::state::{AppState, Command, Corner, Focus, PlaceEdit, PlaceForm};
use crate::ui::parts::small;
use crate::ui::place_page;
use crate::ui::theme::{BODY, BOLD, FINE, HAIR, Tokens, least_side, semibold};

/// How it is worked.
pub(super) const HINT: &str =
    "North up, the zenith in the middle. Drag a corner, or use the arrow keys; F6 goes to it and back.";
/// All of its keys.
pub(super) const KEYS_HINT: &str = "The arrow keys move a corner by a degree, with Shift by a tenth. Page up and Page down go to the \
                                    corner before and after; Insert adds one, Delete takes it away.";
/// What a text may hold.
pub(super) const TEXT_HINT: &str =
    "Azimuth and altitude in degrees, a corner a line, parted by comma, semicolon, tab or space";

/// Room for the letters of the winds, round the ring.
const AROUND: f32 = 40.0;
/// The largest ring.
const LARGEST: f32 = 270.0;
/// Height of what stands above and below the ring; lower than this it never gets.
const BELOW: f32 = 268.0;
const LEAST: f32 = 220.0;
/// Half the side of a corner's mark.
const CORNER: f32 = 4.5;
/// Degrees between the points of the line that is drawn.
const STEP_DEG: f64 = 1.0;
/// Altitudes with a circle of their own.
const CIRCLES_DEG: [f64; 2] = [30.0, 60.0];

/// Draws it with all that listens on it.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    form: &PlaceForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let beside = ui.ctx().content_rect().height() - place_page::AROUND - BELOW;
    let side = ui.available_width().min(LARGEST + AROUND).min(beside.max(LEAST));
    let (room, _) = ui.allocate_exact_size(vec2(ui.available_width(), side), Sense::hover());
    let compass = Compass { centre: room.center(), radius: (side - AROUND) / 2.0 };
    let corners = form.corners();
    let painter = ui.painter_at(room);
    ground(&painter, tokens, compass, &corners);
    let mut with_keys = None;
    for (number, corner) in corners.iter().enumerate() {
        let response = listen(ui, form, (compass, *corner), (number + 1, corners.len()), commands);
        let is_current = corner.position == form.corner;
        if is_current && state.view.focus == Some(Focus::Corner) {
            response.request_focus();
        }
        // A corner that has just got the keyboard, else the one that is looked at: until the next frame both may have it.
        if response.has_focus() && (response.gained_focus() || with_keys.is_none()) {
            let looked_at = corners.iter().position(|own| own.position == form.corner);
            let is_new = response.gained_focus() && state.view.focus != Some(Focus::Corner);
            with_keys = if is_new { Some(number) } else { looked_at.or(Some(number)) };
        }
        mark(&painter, tokens, compass.place(corner.azimuth_deg, corner.altitude_deg), is_current);
    }
    if let Some(number) = with_keys {
        keys(ui, (&corners, number), commands);
    }
    let rim = ui.interact(room, Id::unique("horizon ring"), Sense::HOVER);
    rim.widget_info(|| WidgetInfo::labeled(Role::Image, true, words(&corners)));
}

/// A corner under the pointer and the keyboard.
fn listen(
    ui: &Ui,
    form: &PlaceForm,
    (compass, corner): (Compass, Corner),
    (number, of): (usize, usize),
    commands: &mut Vec<Command>,
) -> Response {
    let place = compass.place(corner.azimuth_deg, corner.altitude_deg);
    let rect = Rect::from_center_size(place, Vec2::splat(least_side(ui.ctx())));
    let response = ui.interact(rect, corner_id(corner.position), Sense::click_and_drag());
    let (azimuth, altitude) = (corner.azimuth_deg, corner.altitude_deg);
    let name = format!("horizon corner {number} of {of}, azimuth {azimuth:.4}, altitude {altitude:.4}");
    let name = plain_numbers(&name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let response = response.on_hover_text(format!("{azimuth}°, {altitude}° high"));
    if response.clicked() {
        response.request_focus();
    }
    if (response.gained_focus() || response.drag_started() || response.clicked())
        && corner.position != form.corner
    {
        commands.push(Command::EditPlace(PlaceEdit::LookAtCorner(corner.position)));
    }
    if response.dragged()
        && let Some(pointer) = response.interact_pointer_pos()
    {
        let (azimuth, altitude) = compass.direction(pointer);
        commands.push(Command::EditPlace(PlaceEdit::MoveCorner(corner.position, azimuth, altitude)));
    }
    response
}

/// F6 leads from any field to the corner that is looked at, and from the ring back to the first field.
pub(super) fn between_ring_and_fields(ui: &Ui, form: &PlaceForm, commands: &mut Vec<Command>) {
    if !ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::F6)) {
        return;
    }
    let focused = ui.memory(Memory::focused);
    let on_ring = form.corners().iter().any(|corner| Some(corner_id(corner.position)) == focused);
    if on_ring {
        ui.data_mut(|data| data.insert_temp(to_fields(), true));
        ui.ctx().request_repaint();
    } else {
        commands.push(Command::ToCorner);
    }
}

/// Whether the keyboard is to go from the ring to the first field.
pub(super) fn leads_to_fields(context: &Context) -> bool {
    context.data_mut(|data| take(data.get_temp_mut_or_default::<bool>(to_fields())))
}

fn to_fields() -> Id {
    Id::unique("from the ring to the fields")
}

fn corner_id(position: usize) -> Id {
    Id::unique(("horizon corner", position))
}

/// Numbers without idle zeros behind the point.
fn plain_numbers(words: &str) -> String {
    let plain = |word: &str| {
        let (number, comma) = word.strip_suffix(',').map_or((word, ""), |number| (number, ","));
        match number.parse::<f64>() {
            Ok(value) => format!("{value}{comma}"),
            Err(_) => word.to_owned(),
        }
    };
    words.split(' ').map(plain).collect::<Vec<_>>().join(" ")
}

/// The keys of a corner.
const KEYS: [Key; 9] = [
    Key::ArrowLeft,
    Key::ArrowRight,
    Key::ArrowUp,
    Key::ArrowDown,
    Key::PageDown,
    Key::PageUp,
    Key::Insert,
    Key::Delete,
    Key::Backspace,
];

/// The keys of the corner that is looked at, one press after the other: a frame may bring several.
fn keys(ui: &Ui, (corners, current): (&[Corner], usize), commands: &mut Vec<Command>) {
    let is_own = |modifiers: Modifiers| modifiers.is_none() || modifiers.shift_only();
    let pressed: Vec<(Key, bool)> = ui.input_mut(|input| {
        let mut taken = Vec::new();
        input.events.retain(|event| match event {
            Event::Key { key, pressed: true, modifiers, .. } if KEYS.contains(key) && is_own(*modifiers) => {
                taken.push((*key, modifiers.shift));
                false
            }
            _ => true,
        });
        taken
    });
    let arrows = EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: false };
    ui.memory_mut(|memory| {
        if let Some(focused) = memory.focused() {
            memory.set_focus_lock_filter(focused, arrows);
        }
        // In the first frame of a focus its filter does not hold yet, and an arrow would lead away at the end of it.
        if !pressed.is_empty() {
            memory.move_focus(FocusDirection::None);
        }
    });
    let mut at = current;
    let mut corner = corners[at];
    for (key, shift) in pressed {
        let degrees = if shift { 0.1 } else { 1.0 };
        let (azimuth, altitude, steps) = match key {
            Key::ArrowLeft => (-degrees, 0.0, 0),
            Key::ArrowRight => (degrees, 0.0, 0),
            Key::ArrowUp => (0.0, degrees, 0),
            Key::ArrowDown => (0.0, -degrees, 0),
            Key::PageDown => (0.0, 0.0, 1),
            Key::PageUp => (0.0, 0.0, corners.len() - 1),
            key => {
                let change =
                    if key == Key::Insert { PlaceEdit::InsertCorner } else { PlaceEdit::RemoveCorner };
                commands.push(Command::EditPlace(change(corner.position)));
                commands.push(Command::ToCorner);
                // What comes after it is for other corners than those here.
                return;
            }
        };
        if steps > 0 {
            at = (at + steps) % corners.len();
            corner = corners[at];
            commands.push(Command::EditPlace(PlaceEdit::LookAtCorner(corner.position)));
            commands.push(Command::ToCorner);
        } else {
            corner.azimuth_deg += azimuth;
            corner.altitude_deg += altitude;
            let (azimuth, altitude) = (corner.azimuth_deg, corner.altitude_deg);
            commands.push(Command::EditPlace(PlaceEdit::MoveCorner(corner.position, azimuth, altitude)));
        }
    }
}

/// The ground below the profile, the circles and the winds.
fn ground(painter: &Painter, tokens: &Tokens, compass: Compass, corners: &[Corner]) {
    painter.circle_filled(compass.centre, compass.radius, tokens.raised);
    for altitude in CIRCLES_DEG {
        painter.circle_stroke(compass.centre, compass.distance(altitude), Stroke::new(HAIR, tokens.hair));
        let at = compass.place(45.0, altitude);
        small(painter, at, Align2::CENTER_CENTER, format!("{altitude:.0}°"), tokens.quiet);
    }
    let profile =
        Horizon::from_corners(corners.iter().map(|corner| {
            (Angle::from_degrees(corner.azimuth_deg), Angle::from_degrees(corner.altitude_deg))
        }));
    // Corners that can't be stand without ground, as nothing is known of it.
    let Ok(profile) = profile else {
        painter.circle_stroke(compass.centre, compass.radius, Stroke::new(FINE, tokens.edge));
        return;
    };
    // The corners themselves too, so that the line has its bends where they are.
    let mut azimuths: Vec<f64> = (0..360).map(|step| f64::from(step) * STEP_DEG).collect();
    azimuths.extend(corners.iter().map(|corner| corner.azimuth_deg));
    azimuths.sort_by(f64::total_cmp);
    azimuths.push(360.0);
    let line: Vec<Pos2> = azimuths
        .iter()
        .map(|azimuth| compass.place(*azimuth, profile.altitude(Angle::from_degrees(*azimuth)).degrees()))
        .collect();
    let mut mesh = Mesh::default();
    for (index, (azimuth, place)) in (0_u32..).zip(azimuths.iter().zip(&line)) {
        mesh.colored_vertex(compass.place(*azimuth, 0.0), tokens.earth);
        mesh.colored_vertex(*place, tokens.earth);
        if index > 0 {
            let first = 2 * index - 2;
            mesh.add_triangle(first, first + 1, first + 2);
            mesh.add_triangle(first + 1, first + 2, first + 3);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.circle_stroke(compass.centre, compass.radius, Stroke::new(FINE, tokens.edge));
    painter.add(Shape::line(line, Stroke::new(BOLD, tokens.ink)));
    for (letter, azimuth) in [("N", 0.0), ("E", 90.0), ("S", 180.0), ("W", 270.0)] {
        let at = compass.centre
            + (compass.place(azimuth, 0.0) - compass.centre).normalized() * (compass.radius + 12.0);
        painter.text(at, Align2::CENTER_CENTER, letter, semibold(BODY), tokens.ink);
    }
}

fn mark(painter: &Painter, tokens: &Tokens, place: Pos2, is_current: bool) {
    let side = if is_current { CORNER + 2.0 } else { CORNER };
    let square = Rect::from_center_size(place, Vec2::splat(2.0 * side));
    let fill = if is_current { tokens.accent } else { tokens.raised };
    painter.rect(square, 0.0, fill, Stroke::new(BOLD, tokens.accent), StrokeKind::Inside);
}

/// The whole profile in words.
fn words(corners: &[Corner]) -> String {
    let highest = corners.iter().max_by(|one, other| one.altitude_deg.total_cmp(&other.altitude_deg));
    match highest {
        None => "Horizon: flat, no corner".to_owned(),
        Some(highest) => format!(
            "Horizon of {} corners, highest {}° at azimuth {}°",
            corners.len(),
            highest.altitude_deg,
            highest.azimuth_deg
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::plain_numbers;

    #[test]
    fn a_corner_is_told_in_plain_numbers() {
        assert_eq!(
            plain_numbers("horizon corner 5 of 16, azimuth 62.0000, altitude 18.3000"),
            "horizon corner 5 of 16, azimuth 62, altitude 18.3"
        );
    }
}
