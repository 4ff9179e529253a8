//! The shapes of a field: its outline, the target at its size and angle, north and east, a bar of a round length.

use std::f32::consts::{PI, TAU};

use egui::{Align2, Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};
use evenfall_core::assign::extent;
use evenfall_core::catalogue::Target;
use evenfall_core::ephemeris::{Appearance, MoonFace, Rings};
use evenfall_core::place::Observed;
use evenfall_core::plan::Sample;
use evenfall_core::rig::{EyepieceView, FieldShape};
use evenfall_core::sheet::numbers;
use evenfall_core::units::{Angle, Fraction};

use super::words;
use crate::ui::parts::small;
use crate::ui::sky_disc::{self, bright_limb, from_up};
use crate::ui::theme::{SMALL, Tokens, regular, semibold};

/// Round lengths of the scale bar, in arcseconds.
const BARS_ARCSEC: [f64; 12] = [1.0, 2.0, 5.0, 10.0, 20.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 3600.0, 7200.0];
/// Length of the mark of north and east.
const TICK: f32 = 4.0;
/// From its middle to its edge, a field smaller than this has no room for letters.
const SMALL_FIELD: f32 = 26.0;
/// Radius below which a disc is a dot.
const DOT: f32 = 2.2;

/// Half the length from which rings are more than a smudge.
const RINGED: f32 = 5.0;
/// The inner edge of the bright rings, as a share of the outer edge of all. Meeus, Astronomical Algorithms, 2nd ed., ch. 45.
const RING_INNER_EDGE: f32 = 0.6650;

/// Points for an angle on the sky.
#[derive(Clone, Copy)]
pub(super) struct Scale {
    points_per_arcsec: f32,
}

impl Scale {
    /// The scale at which a field's diameter takes so many points.
    pub fn across(field: Angle, points: f32) -> Self {
        Self { points_per_arcsec: points / (field.arcseconds().max(1e-6) as f32) }
    }

    /// The scale at which a field fits a room. A target larger than the field widens the view, up to `widest` fields, where
    /// the field itself would get lost.
    pub fn of_field(shape: FieldShape, long: Angle, room: Vec2, widest: f64) -> Self {
        let (across, up) = match shape {
            FieldShape::Rectangle(width, height) => (width, height),
            FieldShape::Circle(diameter) => (diameter, diameter),
            FieldShape::Slit(_, length) => (length, length),
        };
        let needed = |side: Angle| side.max(long.min(side * widest)).arcseconds() as f32;
        Self { points_per_arcsec: (room.x / needed(across)).min(room.y / needed(up)) }
    }

    fn points(self, angle: Angle) -> f32 {
        angle.arcseconds() as f32 * self.points_per_arcsec
    }

    fn round_length(self, room: f32) -> Option<(f32, String)> {
        let longest = f64::from(room / self.points_per_arcsec);
        let length = BARS_ARCSEC.into_iter().rev().find(|length| *length <= longest)?;
        let words = numbers::size(Angle::from_arcseconds(length));
        Some((length as f32 * self.points_per_arcsec, words))
    }

    /// A bar from `left`, no longer than `room`, with its length.
    pub fn bar(self, painter: &Painter, tokens: &Tokens, left: Pos2, room: f32) {
        let Some((length, words)) = self.round_length(room) else { return };
        let stroke = Stroke::new(1.5, tokens.ink);
        let right = left.x + length;
        painter.hline(left.x..=right, left.y, stroke);
        painter.vline(left.x, left.y - 3.0..=left.y + 3.0, stroke);
        painter.vline(right, left.y - 3.0..=left.y + 3.0, stroke);
        small(painter, pos2(right + 4.0, left.y), Align2::LEFT_CENTER, words, tokens.ink);
    }

    /// The same with bar and length together about `centre`.
    pub fn bar_centred(self, painter: &Painter, tokens: &Tokens, centre: Pos2, room: f32) {
        let Some((length, words)) = self.round_length(room) else { return };
        let width = painter.layout_no_wrap(words, regular(SMALL), tokens.ink).size().x;
        self.bar(painter, tokens, pos2(centre.x - (length + 4.0 + width) / 2.0, centre.y), room);
    }
}

/// A place on the Moon as it is drawn.
struct PlaceOnMoon {
    size: Angle,
    /// From the middle of the disc.
    position_angle: Angle,
    offset: Angle,
}

/// Where a place of the Moon's globe lies on its disc.
struct OnDisc {
    /// From the Moon's north through the east of the sky.
    angle: Angle,
    /// In radii of the disc.
    from_middle: f64,
}

/// The orthographic projection: Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395, eqs. 20-3 and 20-4.
fn on_disc(face: &MoonFace, longitude: Angle, latitude: Angle) -> OnDisc {
    let (sin_b, cos_b) = latitude.sin_cos();
    let (sin_b0, cos_b0) = face.libration_latitude.sin_cos();
    let (sin_l, cos_l) = (longitude - face.libration_longitude).sin_cos();
    // x = cos b sin(l - l0), y = cos b0 sin b - sin b0 cos b cos(l - l0); the Moon's east is the sky's west.
    let (east, north) = (-cos_b * sin_l, cos_b0 * sin_b - sin_b0 * cos_b * cos_l);
    OnDisc { angle: Angle::from_radians(east.atan2(north)), from_middle: east.hypot(north) }
}

/// A target as it is drawn in any field.
pub(super) struct Picture<'a> {
    pub target: &'a Target,
    pub appearance: Option<&'a Appearance>,
    /// Saturn's.
    pub rings: Option<&'a Rings>,
    pub sample: &'a Sample,
    pub sun: Option<&'a Observed>,
    /// The Moon's face then.
    pub face: Option<&'a MoonFace>,
    /// The position angle of what is up.
    pub up: Angle,
}

impl Picture<'_> {
    /// A place on the Moon as it lies there: its size, and its offset from the middle of the disc.
    fn place_on_moon(&self, limb: Angle) -> Option<PlaceOnMoon> {
        let (feature, seen, face) = (self.target.feature.as_ref()?, self.appearance?, self.face?);
        let place = on_disc(face, feature.longitude, feature.latitude);
        let sun = on_disc(face, face.sub_solar_longitude, face.sub_solar_latitude);
        // The place below the Sun lies towards the bright limb, so the Moon's own north need not be known.
        let position_angle = limb + place.angle - sun.angle;
        let offset = seen.diameter / 2.0 * place.from_middle;
        Some(PlaceOnMoon { size: feature.apparent_size(seen.diameter), position_angle, offset })
    }

    /// The long axis tonight; nothing for a point.
    pub fn long(&self) -> Angle {
        extent(self.target, self.appearance).map_or(Angle::ZERO, |(long, _)| long)
    }

    /// A direction of the sky on the screen, by its position angle.
    fn direction(&self, position_angle: Angle) -> Vec2 {
        from_up(position_angle - self.up)
    }

    /// The outline with the target in it, and north and east at its edge; strong where it is the field in use.
    pub fn paint(
        &self,
        painter: &Painter,
        tokens: &Tokens,
        centre: Pos2,
        (shape, scale, strong): (FieldShape, Scale, bool),
    ) {
        self.body(painter, tokens, centre, scale);
        let width = if strong { 2.0 } else { 1.0 };
        let ink = if strong { tokens.ink } else { tokens.edge };
        // Light behind it, so that it shows on the dark part of a disc too.
        for stroke in [Stroke::new(width + 2.0, tokens.raised), Stroke::new(width, ink)] {
            let rectangle = |width: f32, height: f32| {
                let outline = Rect::from_center_size(centre, vec2(width, height));
                painter.rect_stroke(outline, 0.0, stroke, StrokeKind::Middle);
            };
            match shape {
                FieldShape::Rectangle(width, height) => rectangle(scale.points(width), scale.points(height)),
                FieldShape::Circle(diameter) => {
                    painter.circle_stroke(centre, scale.points(diameter) / 2.0, stroke);
                }
                FieldShape::Slit(width, length) => {
                    rectangle(scale.points(width).max(2.0), scale.points(length));
                }
            }
        }
        self.compass(painter, tokens, centre, (shape, scale));
    }

    /// The target: two dots for a pair, a disc with its lit part for a body, an ellipse with its core, or one dot where its
    /// size is none or not known.
    fn body(&self, painter: &Painter, tokens: &Tokens, centre: Pos2, scale: Scale) {
        if let Some(double) = &self.target.double {
            let half = self.direction(double.position_angle) * scale.points(double.separation) / 2.0;
            painter.circle_filled(centre - half, 2.6, tokens.accent);
            painter.circle_filled(centre + half, 1.8, tokens.accent);
            return;
        }
        if let Some((seen, sun)) = self.appearance.zip(self.sun).filter(|_| self.target.size.is_none()) {
            self.disc(painter, tokens, centre, scale, (seen, sun));
            return;
        }
        let axes = extent(self.target, self.appearance);
        let axes = axes.map(|(long, short)| (scale.points(long) / 2.0, scale.points(short) / 2.0));
        let Some((long, short)) = axes.filter(|(long, _)| *long >= DOT) else {
            painter.circle_filled(centre, DOT, tokens.accent);
            return;
        };
        self.ellipse(painter, tokens, centre, (long, short));
        if let Some(core) = &self.target.core {
            painter.circle_filled(centre, (scale.points(core.size) / 2.0).max(1.5), tokens.accent);
        }
    }

    /// A body's disc with its lit part, Saturn's between the halves of its rings, and the place to be seen on the Moon.
    fn disc(
        &self,
        painter: &Painter,
        tokens: &Tokens,
        centre: Pos2,
        scale: Scale,
        (seen, sun): (&Appearance, &Observed),
    ) {
        let radius = scale.points(seen.diameter) / 2.0;
        let rings = self.rings.is_some_and(|rings| scale.points(rings.major_axis) / 2.0 >= RINGED);
        let Some(lit) = seen.illuminated.filter(|_| rings || (radius >= DOT && self.rings.is_none())) else {
            painter.circle_filled(centre, radius.max(DOT), tokens.accent);
            return;
        };
        let place = (self.sample.altitude, self.sample.azimuth);
        let limb = self.sample.parallactic_angle + bright_limb(place, (sun.altitude, sun.azimuth));
        let place = self.place_on_moon(limb);
        let middle = place.as_ref().map_or(centre, |place| {
            centre - self.direction(place.position_angle) * scale.points(place.offset)
        });
        let half_ring = |near: bool| {
            if let Some(rings) = self.rings {
                self.half_ring(painter, tokens, middle, scale, (rings, near));
            }
        };
        half_ring(false);
        let lit = Fraction::value(lit) as f32;
        sky_disc::paint(painter, tokens, (middle, radius), lit, self.direction(limb));
        half_ring(true);
        if let Some(place) = place {
            // Light behind it, as behind the field's outline.
            for stroke in [Stroke::new(3.5, tokens.raised), Stroke::new(1.5, tokens.accent)] {
                painter.circle_stroke(centre, (scale.points(place.size) / 2.0).max(DOT), stroke);
            }
        }
    }

    /// The half of Saturn's rings nearer to us, or the farther one.
    fn half_ring(
        &self,
        painter: &Painter,
        tokens: &Tokens,
        centre: Pos2,
        scale: Scale,
        (rings, near): (&Rings, bool),
    ) {
        let along = self.direction(rings.pole_angle + Angle::from_degrees(90.0));
        // The near half lies to the south where the north face is seen.
        let side = if near == (rings.tilt > Angle::ZERO) { -1.0 } else { 1.0 };
        let towards = self.direction(rings.pole_angle) * side;
        let (long, short) = (scale.points(rings.major_axis) / 2.0, scale.points(rings.minor_axis) / 2.0);
        let half = |share: f32| -> Vec<Pos2> {
            let point = |step: u8| {
                let (sine, cosine) = (PI * f32::from(step) / 24.0).sin_cos();
                centre + (along * long * cosine + towards * short * sine) * share
            };
            (0..=24).map(point).collect()
        };
        let (outer, inner) = (half(1.0), half(RING_INNER_EDGE));
        let mut mesh = Mesh::default();
        for (step, (outside, inside)) in (0_u32..).zip(outer.iter().zip(&inner)) {
            mesh.colored_vertex(*outside, tokens.moon_disc.0);
            mesh.colored_vertex(*inside, tokens.moon_disc.0);
            if step > 0 {
                mesh.add_triangle(2 * step - 2, 2 * step - 1, 2 * step);
                mesh.add_triangle(2 * step - 1, 2 * step, 2 * step + 1);
            }
        }
        painter.add(Shape::mesh(mesh));
        for edge in [outer, inner] {
            painter.add(Shape::line(edge, Stroke::new(1.0, tokens.edge)));
        }
    }

    fn ellipse(&self, painter: &Painter, tokens: &Tokens, centre: Pos2, (long, short): (f32, f32)) {
        let along = self.direction(self.target.position_angle.unwrap_or(Angle::ZERO));
        let sideways = vec2(along.y, -along.x);
        let corners: Vec<Pos2> = (0..48)
            .map(|step| {
                let angle = TAU * step as f32 / 48.0;
                centre + along * long * angle.cos() + sideways * short.max(1.0) * angle.sin()
            })
            .collect();
        let fill = tokens.accent.gamma_multiply(0.22);
        painter.add(Shape::convex_polygon(corners, fill, Stroke::new(1.5, tokens.accent)));
    }

    /// North and east inside the edge of the field, as on the sky. A slit has no room for them.
    fn compass(&self, painter: &Painter, tokens: &Tokens, centre: Pos2, (shape, scale): (FieldShape, Scale)) {
        for (angle, name) in [(Angle::ZERO, words::NORTH), (Angle::from_degrees(90.0), words::EAST)] {
            let towards = self.direction(angle);
            let edge = match shape {
                FieldShape::Circle(diameter) => scale.points(diameter) / 2.0,
                FieldShape::Rectangle(width, height) => {
                    let half = vec2(scale.points(width), scale.points(height)) / 2.0;
                    (half.x / towards.x.abs().max(1e-3)).min(half.y / towards.y.abs().max(1e-3))
                }
                FieldShape::Slit(..) => return,
            };
            let at = |distance: f32| centre + towards * distance;
            painter.line_segment([at(edge - TICK), at(edge)], Stroke::new(1.5, tokens.ink));
            let letter = painter.layout_no_wrap(name.to_owned(), regular(SMALL - 2.0), tokens.ink);
            // Inside where there is room, else outside, so that the target stays free.
            let inwards = if edge > SMALL_FIELD { edge - TICK - 6.0 } else { edge + 7.0 };
            let place = Align2::CENTER_CENTER.anchor_size(at(inwards), letter.size());
            painter.rect_filled(place.shrink2(vec2(-1.0, 2.0)), 0.0, tokens.raised);
            painter.galley(place.min, letter, tokens.ink);
        }
    }
}

/// Name and magnification below an eyepiece's circle.
pub(super) fn eyepiece_words(
    painter: &Painter,
    tokens: &Tokens,
    top: Pos2,
    view: &EyepieceView,
    chosen: bool,
) {
    let font = if chosen { semibold(SMALL) } else { regular(SMALL) };
    let magnification = format!("{}×", numbers::decimal(view.magnification, 0));
    for (row, words) in [view.name.clone(), magnification].into_iter().enumerate() {
        let at = top + vec2(0.0, 15.0 * row as f32);
        painter.text(at, Align2::CENTER_TOP, words, font.clone(), tokens.ink);
    }
}

#[cfg(test)]
mod tests {
    use evenfall_core::ephemeris::MoonFace;
    use evenfall_core::units::Angle;

    use super::on_disc;

    #[test]
    fn a_place_lies_on_the_disc_as_on_a_globe_seen_from_afar() {
        let degrees = Angle::from_degrees;
        let (sub_solar_longitude, sub_solar_latitude) = (degrees(90.0), Angle::ZERO);
        let face = |libration_longitude, libration_latitude| MoonFace {
            libration_longitude,
            libration_latitude,
            sub_solar_longitude,
            sub_solar_latitude,
        };
        let upright = face(Angle::ZERO, Angle::ZERO);
        // Geometry: 30 degrees along a great circle from the middle is half a radius, and the limb first lit after new Moon
        // lies towards the west of the sky, at position angle 270.
        let north = on_disc(&upright, Angle::ZERO, degrees(30.0));
        assert!((north.from_middle - 0.5).abs() < 1e-12 && north.angle.degrees().abs() < 1e-9);
        let east = on_disc(&upright, degrees(30.0), Angle::ZERO);
        assert!((east.from_middle - 0.5).abs() < 1e-12 && (east.angle.degrees() + 90.0).abs() < 1e-9);
        // Libration carries what lies under us to the middle.
        let turned = face(degrees(5.0), degrees(-4.0));
        assert!(on_disc(&turned, degrees(5.0), degrees(-4.0)).from_middle < 1e-12);
    }
}
