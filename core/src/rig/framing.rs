//! How the field of a port lies on the sky: its angle, how that turns, how long a frame may last, what of a target it
//! holds, and what a stack of frames keeps.

use super::polygon::Polygon;
use super::{FieldShape, Instrument, Port, Side, field_rotation_arcsec_per_s, longest_frame_s};
use crate::units::Angle;

/// Largest step in which a turning sensor is cut out of itself.
const TURN_STEP: Angle = Angle::from_degrees(1.0);

/// What becomes of the field of a port while the mount tracks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FieldHold {
    /// It turns, as the side of an alt-azimuth mount has it.
    Turns(Side),
    /// A rotator keeps it still, at any angle that is wished.
    Rotator,
    /// An equatorial mount keeps it still, at the angle at which the instrument was fastened.
    Equatorial,
}

impl Port {
    /// What becomes of its field while the mount tracks.
    pub const fn field_hold(&self) -> FieldHold {
        if self.derotator {
            FieldHold::Rotator
        } else if self.on_equatorial {
            FieldHold::Equatorial
        } else {
            FieldHold::Turns(self.side)
        }
    }

    /// The position angle of the upper edge of its instrument, as the camera is turned in it; see [`FieldHold::angle`].
    pub fn field_angle(&self, parallactic: Angle, altitude: Angle) -> Angle {
        let turned = match &self.instrument {
            Instrument::Camera(camera) => camera.turned,
            Instrument::Eyepieces(_) | Instrument::Spectrograph(_) => Angle::ZERO,
        };
        self.field_hold().angle(parallactic, altitude) + turned
    }

    /// The angle that its rotator undoes: how the field would lie without it.
    pub(super) fn turning_angle(&self, parallactic: Angle, altitude: Angle) -> Angle {
        let without = if self.on_equatorial { FieldHold::Equatorial } else { FieldHold::Turns(self.side) };
        without.angle(parallactic, altitude)
    }

    /// Whether its field turns while the mount tracks.
    pub const fn field_turns(&self) -> bool {
        matches!(self.field_hold(), FieldHold::Turns(_))
    }
}

impl FieldHold {
    /// The position angle, from north through east, of the upper edge of an instrument that was fastened upright: in the
    /// field as the sky shows it, mirrors apart. 0 where the field is kept still: the angle is then what the rotator or
    /// the one who fastened the camera chose. After a meridian flip the picture stands on its head.
    ///
    /// Source: the zenith stands at the position angle q, the parallactic angle; a Nasmyth platform adds the altitude on
    /// the right and takes it off on the left: UCO/Lick, position angle note for the DEIMOS spectrograph.
    pub fn angle(self, parallactic: Angle, altitude: Angle) -> Angle {
        match self {
            Self::Turns(Side::Cassegrain) => parallactic,
            Self::Turns(Side::NasmythRight) => parallactic + altitude,
            Self::Turns(Side::NasmythLeft) => parallactic - altitude,
            Self::Rotator | Self::Equatorial => Angle::ZERO,
        }
    }

    /// How fast the field turns, in arcseconds a second; see [`field_rotation_arcsec_per_s`].
    pub fn rotation_arcsec_per_s(self, latitude: Angle, azimuth: Angle, altitude: Angle) -> f64 {
        match self {
            Self::Turns(side) => field_rotation_arcsec_per_s(side, latitude, azimuth, altitude),
            Self::Rotator | Self::Equatorial => 0.0,
        }
    }
}

/// How far a field turns through the angles at the samples of a stop, which follow each other by less than half a turn.
pub fn turn_through(angles: impl IntoIterator<Item = Angle>) -> Angle {
    let mut angles = angles.into_iter();
    let Some(first) = angles.next() else { return Angle::ZERO };
    let whole = angles.fold((Angle::ZERO, first), |(turn, before), angle| {
        (turn + (angle - before).wrapped_signed(), angle)
    });
    whole.0
}

/// The longest frames, in seconds, before a field that turns trails; `None` where nothing trails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LongestFrames {
    /// In the centre of the field: nothing trails there unless the field turns round another point.
    pub centre_s: Option<f64>,
    /// In the corner that trails most.
    pub corner_s: Option<f64>,
}

/// The longest frames for which nothing trails by more than `trail`.
///
/// * `rotation_arcsec_per_s`: how fast the field turns;
/// * `held`: angle from the centre of the field to the point that is held still, such as a guide star; 0 where the mount
///   itself tracks the centre.
pub fn longest_frames(
    field: FieldShape,
    rotation_arcsec_per_s: f64,
    held: Angle,
    trail: Angle,
) -> LongestFrames {
    LongestFrames {
        centre_s: longest_frame_s(rotation_arcsec_per_s, held, trail),
        corner_s: longest_frame_s(rotation_arcsec_per_s, held + field.corner(), trail),
    }
}

/// The share of a field that every frame of a stack holds, when the field turns by an angle meanwhile: what is left
/// whole when frames are turned back onto each other.
pub fn stack_coverage(field: FieldShape, turn: Angle) -> f64 {
    let turn = turn.abs().min(Angle::from_degrees(360.0));
    let whole = field.polygon(Angle::ZERO);
    let steps = (turn / TURN_STEP).ceil() as u32;
    let common = (1..=steps).fold(whole.clone(), |common, step| {
        common.within(&field.polygon(turn * (f64::from(step) / f64::from(steps))))
    });
    common.area() / whole.area()
}

/// An ellipse on the sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outline {
    /// Its long axis.
    pub long: Angle,
    /// Its short axis.
    pub short: Angle,
    /// Position angle of the long axis, from north through east.
    pub position_angle: Angle,
}

/// The share of an ellipse that a field holds, the ellipse in its middle.
///
/// * `field_angle`: position angle of the field's upper edge; see [`FieldHold::angle`].
pub fn share_inside(outline: Outline, field: FieldShape, field_angle: Angle) -> f64 {
    if outline.long <= Angle::ZERO {
        return 1.0;
    }
    // Without a width it would have no area to share.
    let short = outline.short.max(outline.long / 1000.0);
    let ellipse = Polygon::ellipse(short, outline.long).turned(outline.position_angle - field_angle);
    ellipse.clone().within(&field.polygon(Angle::ZERO)).area() / ellipse.area()
}

/// The smallest and the largest share of an ellipse that a field holds at the angles at the samples of a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Framed {
    /// The smallest share.
    pub worst: f64,
    /// The largest share.
    pub best: f64,
}

/// What a field holds of an ellipse through a stop; `None` without angles.
pub fn framed_through(
    outline: Outline,
    field: FieldShape,
    field_angles: impl IntoIterator<Item = Angle>,
) -> Option<Framed> {
    field_angles.into_iter().map(|angle| share_inside(outline, field, angle)).fold(None, |range, share| {
        let Framed { worst, best } = range.unwrap_or(Framed { worst: share, best: share });
        Some(Framed { worst: worst.min(share), best: best.max(share) })
    })
}

/// What a field holds of an ellipse whose position angle is not known, by whatever angle it may have.
pub fn framed_at_any_angle(long: Angle, short: Angle, field: FieldShape) -> Framed {
    let outline = Outline { long, short, position_angle: Angle::ZERO };
    let angles = (0..=18).map(|step| Angle::from_degrees(f64::from(step) * 5.0));
    framed_through(outline, field, angles).unwrap_or(Framed { worst: 0.0, best: 0.0 })
}

/// The field angle at which an ellipse lies along the long side of a field: where a rotator is best set.
pub fn best_field_angle(position_angle: Angle, field: FieldShape) -> Angle {
    let lies_across = match field {
        FieldShape::Rectangle(width, height) => width > height,
        FieldShape::Circle(_) | FieldShape::Slit(..) => false,
    };
    let turn = if lies_across { Angle::from_degrees(90.0) } else { Angle::ZERO };
    (position_angle - turn).wrapped_signed()
}

impl FieldShape {
    /// From the centre to the corner, or to the edge of a round field.
    pub fn corner(self) -> Angle {
        match self {
            Self::Rectangle(width, height) | Self::Slit(width, height) => {
                Angle::from_radians(width.radians().hypot(height.radians()) / 2.0)
            }
            Self::Circle(diameter) => diameter / 2.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{
        FieldHold, Outline, best_field_angle, framed_at_any_angle, framed_through, longest_frames,
        share_inside, stack_coverage, turn_through,
    };
    use crate::rig::sample::{rig, telescope_port};
    use crate::rig::{FieldShape, Instrument, Side};
    use crate::units::Angle;

    const fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    const fn arcminutes(value: f64) -> Angle {
        Angle::from_arcminutes(value)
    }

    fn near(got: f64, want: f64, allowed: f64) {
        assert!((got - want).abs() <= allowed, "got {got}, want {want} within {allowed}");
    }

    fn rectangle(width: f64, height: f64) -> FieldShape {
        FieldShape::Rectangle(arcminutes(width), arcminutes(height))
    }

    fn outline(long: f64, short: f64, position_angle: f64) -> Outline {
        Outline { long: arcminutes(long), short: arcminutes(short), position_angle: degrees(position_angle) }
    }

    #[test]
    fn the_angle_of_a_field_by_its_side() {
        // Latitude 38, hour angle 2 h, declination 20 (checked against ERFA): q 48.7836, h 58.4135.
        let (q, h) = (degrees(48.7836), degrees(58.4135));
        for (hold, want) in [
            (FieldHold::Turns(Side::Cassegrain), 48.7836),
            (FieldHold::Turns(Side::NasmythRight), 107.1971),
            (FieldHold::Turns(Side::NasmythLeft), -9.6299),
            (FieldHold::Rotator, 0.0),
            (FieldHold::Equatorial, 0.0),
        ] {
            near(hold.angle(q, h).degrees(), want, 1e-9);
            let turns = hold.rotation_arcsec_per_s(degrees(38.0), degrees(243.7691), degrees(58.4135)) != 0.0;
            assert_eq!(turns, matches!(hold, FieldHold::Turns(_)));
        }
        near(turn_through([350.0, 358.0, 5.0, 4.0].map(degrees)).degrees(), 14.0, 1e-9);
        near(turn_through([]).degrees(), 0.0, 0.0);
    }

    #[test]
    fn a_camera_turned_in_its_port_turns_the_field() {
        let mut port = telescope_port(&rig(), "wide").clone();
        let (q, h) = (degrees(10.0), degrees(50.0));
        assert_eq!((port.field_hold(), port.field_turns()), (FieldHold::Rotator, false));
        near(port.field_angle(q, h).degrees(), 0.0, 0.0);
        port.derotator = false;
        assert_eq!(port.field_hold(), FieldHold::Turns(Side::NasmythLeft));
        let Instrument::Camera(camera) = &mut port.instrument else { panic!("it is a camera") };
        camera.turned = degrees(90.0);
        near(port.field_angle(q, h).degrees(), 50.0, 1e-9);
        port.on_equatorial = true;
        assert_eq!((port.field_hold(), port.field_turns()), (FieldHold::Equatorial, false));
        near(port.field_angle(q, h).degrees(), 90.0, 1e-9);
    }

    #[test]
    fn the_centre_trails_only_round_a_guide_star() {
        // t = p 206265 / (r rate): 25.25 arcseconds a second, r 3606 pixels, p 1 pixel: 2.27 s.
        let (pixel, field) = (Angle::from_arcseconds(0.2947), rectangle(29.47, 19.64));
        near(field.corner() / pixel, 3606.0, 1.0);
        let frames = longest_frames(field, 25.247, Angle::ZERO, pixel);
        assert_eq!(frames.centre_s, None);
        near(frames.corner_s.unwrap(), 2.27, 0.006);
        let guided = longest_frames(field, 25.247, field.corner(), pixel);
        near(guided.centre_s.unwrap(), 2.27, 0.006);
        near(guided.corner_s.unwrap(), 2.27 / 2.0, 0.003);
        let still = longest_frames(field, 0.0, field.corner(), pixel);
        assert_eq!([still.centre_s, still.corner_s], [None, None]);
    }

    #[test]
    fn a_stack_loses_its_corners() {
        // A square of side 1 turned through 90 degrees keeps the disc of diameter 1: pi / 4.
        let square = rectangle(10.0, 10.0);
        near(stack_coverage(square, degrees(90.0)), std::f64::consts::FRAC_PI_4, 0.001);
        // Turned by 45 degrees it keeps at most the octagon of 2 (sqrt 2 - 1) that both ends share.
        let half = stack_coverage(square, degrees(-45.0));
        assert!(half <= 2.0 * (std::f64::consts::SQRT_2 - 1.0) + 1e-9 && half > 0.78, "got {half}");
        near(stack_coverage(square, Angle::ZERO), 1.0, 1e-12);
        // A long field turned by a right angle keeps the circle of its short side.
        let long = rectangle(30.0, 10.0);
        near(stack_coverage(long, degrees(180.0)), std::f64::consts::PI * 25.0 / 300.0, 0.001);
        near(stack_coverage(FieldShape::Circle(arcminutes(20.0)), degrees(30.0)), 1.0, 1e-9);
    }

    #[test]
    fn the_share_of_a_target_follows_its_angle() {
        let field = rectangle(30.0, 20.0);
        // North is up: along the height, 25 by 5 arcminutes sticks out; across, it fits.
        near(share_inside(outline(25.0, 5.0, 90.0), field, Angle::ZERO), 1.0, 1e-12);
        let along = share_inside(outline(25.0, 5.0, 0.0), field, Angle::ZERO);
        // The part of an ellipse within |y| <= k of its half axis: (2 / pi) (asin k + k sqrt(1 - k^2)), k = 20 / 25.
        let k: f64 = 0.8;
        near(along, 2.0 / std::f64::consts::PI * (k.asin() + k * (1.0 - k * k).sqrt()), 0.001);
        near(share_inside(outline(25.0, 5.0, 0.0), field, degrees(90.0)), 1.0, 1e-12);
        // A disc of 60 arcminutes that hides the field behind it: area of the field over that of the disc.
        let disc = share_inside(outline(60.0, 60.0, 0.0), field, degrees(30.0));
        near(disc, 600.0 / (std::f64::consts::PI * 900.0), 0.001);
        // A round target in a round field: the ratio of areas.
        let round = FieldShape::Circle(arcminutes(30.0));
        near(share_inside(outline(40.0, 40.0, 10.0), round, Angle::ZERO), 0.5625, 0.001);
        near(share_inside(outline(0.0, 0.0, 0.0), field, Angle::ZERO), 1.0, 0.0);
        let line = share_inside(outline(40.0, 0.0, 0.0), field, Angle::ZERO);
        assert!((0.5..0.61).contains(&line), "got {line}");
    }

    #[test]
    fn best_and_worst_over_a_stop() {
        let (field, target) = (rectangle(30.0, 20.0), outline(28.0, 5.0, 40.0));
        let framed = framed_through(target, field, [-50.0, -20.0, 10.0, 40.0].map(degrees)).unwrap();
        near(framed.best, 1.0, 1e-12);
        near(framed.worst, share_inside(target, field, degrees(40.0)), 1e-12);
        assert!(framed.worst < 0.9);
        assert_eq!(framed_through(target, field, []), None);
        let any = framed_at_any_angle(arcminutes(28.0), arcminutes(5.0), field);
        near(any.worst, framed.worst, 1e-9);
        near(any.best, 1.0, 1e-12);
        near(best_field_angle(degrees(40.0), field).degrees(), -50.0, 1e-9);
        near(best_field_angle(degrees(40.0), rectangle(20.0, 30.0)).degrees(), 40.0, 1e-9);
    }
}
