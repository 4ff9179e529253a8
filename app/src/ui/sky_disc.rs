//! The disc of the Moon or a planet with its lit part, turned as it hangs in the sky.

use egui::{Mesh, Painter, Pos2, Shape, Stroke, Vec2, vec2};
use evenfall_core::units::Angle;

use super::theme::Tokens;

/// The direction of the bright limb's middle, counted from up (towards the zenith) to the left, for a body and the Sun at
/// their altitudes and azimuths: so it is right for both halves of the Earth.
///
/// The direction of the great circle to the Sun; Meeus, Astronomical Algorithms, 2nd ed., eq. 48.5, with zenith and
/// azimuth in the place of pole and right ascension.
pub fn bright_limb(
    (altitude, azimuth): (Angle, Angle),
    (sun_altitude, sun_azimuth): (Angle, Angle),
) -> Angle {
    let to_sun = sun_azimuth - azimuth;
    // tan chi = cos h0 sin(A - A0) / (sin h0 cos h - cos h0 sin h cos(A - A0)); azimuth grows to the right.
    let left = -sun_altitude.cos() * to_sun.sin();
    let up = sun_altitude.sin() * altitude.cos() - sun_altitude.cos() * altitude.sin() * to_sun.cos();
    Angle::from_radians(left.atan2(up))
}

/// A direction on the screen, counted from up to the left.
pub fn from_up(angle: Angle) -> Vec2 {
    vec2(-(angle.sin() as f32), -(angle.cos() as f32))
}

/// Paints the disc: half a circle and half an ellipse are lit, towards `limb`, a direction of length 1.
pub fn paint(painter: &Painter, tokens: &Tokens, (centre, radius): (Pos2, f32), lit: f32, limb: Vec2) {
    painter.circle_filled(centre, radius, tokens.moon_disc.1);
    let along = vec2(-limb.y, limb.x);
    let terminator = 1.0 - 2.0 * lit;
    let steps = 24;
    let mut mesh = Mesh::default();
    for step in 0..=steps {
        let y = -1.0 + 2.0 * step as f32 / steps as f32;
        let half = (1.0 - y * y).max(0.0).sqrt();
        mesh.colored_vertex(centre + radius * (along * y + limb * half * terminator), tokens.moon_disc.0);
        mesh.colored_vertex(centre + radius * (along * y + limb * half), tokens.moon_disc.0);
        if step > 0 {
            let first = 2 * step as u32 - 2;
            mesh.add_triangle(first, first + 1, first + 2);
            mesh.add_triangle(first + 1, first + 2, first + 3);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.circle_stroke(centre, radius, Stroke::new(1.2, tokens.edge));
}

#[cfg(test)]
mod tests {
    use evenfall_core::units::Angle;

    use super::bright_limb;

    fn limb(body: (f64, f64), sun: (f64, f64)) -> f64 {
        let degrees = |(altitude, azimuth)| (Angle::from_degrees(altitude), Angle::from_degrees(azimuth));
        bright_limb(degrees(body), degrees(sun)).degrees()
    }

    #[test]
    fn the_lit_side_faces_the_sun_on_both_halves_of_the_earth() {
        // Geometry: the Sun sets in the west; a Moon in the south has west to its right, one in the north to its left.
        assert!((limb((0.0, 180.0), (0.0, 270.0)) + 90.0).abs() < 1e-9);
        assert!((limb((0.0, 0.0), (0.0, 270.0)) - 90.0).abs() < 1e-9);
        // High in the south half an hour after sunset, it is lit to the right and below.
        let high = limb((50.0, 180.0), (-6.0, 275.0));
        assert!((-135.0..-90.0).contains(&high), "{high}");
    }

    #[test]
    fn the_worked_example_of_the_pole() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 48.a: 1992 April 12, 0h TD. Sun at 20.6579, +8.6964 degrees, Moon
        // at 134.6885, +13.7684: the position angle of the bright limb is 285.0 degrees. Right ascension grows to the left
        // where azimuth grows to the right.
        let angle = limb((13.7684, -134.6885), (8.6964, -20.6579));
        assert!(((angle + 360.0) % 360.0 - 285.0).abs() < 0.05, "{angle}");
    }
}
