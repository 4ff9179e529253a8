//! A made-up rig for the tests of fields, moves and ports: 600 mm at f/7, four ports.

use super::{
    AltAzimuth, Axis, Camera, CameraUse, Colour, Dome, Drive, Equatorial, Eyepiece, Instrument, MeridianFlip,
    Mount, Port, PortId, Rig, Selector, Side, Spectrograph, Telescope,
};
use crate::units::{Angle, Fraction, Magnitude};

pub fn eyepiece(focal_length_mm: f64, apparent_deg: f64, field_stop_mm: Option<f64>) -> Eyepiece {
    Eyepiece {
        name: format!("{focal_length_mm} mm"),
        focal_length_mm,
        apparent_field: Angle::from_degrees(apparent_deg),
        field_stop_mm,
        barrel_mm: 50.8,
        eye_relief_mm: None,
    }
}

/// A mount that tracks so many minutes past the meridian and takes so many seconds to flip.
pub fn equatorial_mount(past_meridian_min: f64, flip_s: f64) -> Mount {
    let axis = Axis { rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0 };
    Mount {
        lowest_altitude: Angle::from_degrees(15.0),
        highest_altitude: Angle::from_degrees(90.0),
        settle_s: 3.0,
        drive: Drive::Equatorial(Equatorial {
            pole_keyhole_radius: Angle::from_degrees(1.0),
            hour_angle: axis,
            declination: axis,
            flip: Some(MeridianFlip { past_meridian: Angle::from_hours(past_meridian_min / 60.0), flip_s }),
        }),
    }
}

fn camera(purpose: CameraUse, sensor_mm: (f64, f64), pixel_um: f64) -> Camera {
    Camera {
        purpose,
        sensor_mm,
        pixel_um,
        binning: 1,
        focal_factor: 1.0,
        colour: Colour::OneShotColour,
        quantum_efficiency: Fraction::clamped(0.8),
        read_noise_e: 2.0,
        full_well_e: 50_000.0,
        turned: Angle::ZERO,
    }
}

fn port(id: &str, side: Side, instrument: Instrument) -> Port {
    Port {
        id: PortId(id.into()),
        name: id.into(),
        side,
        derotator: true,
        rotator: None,
        on_equatorial: false,
        access: None,
        focus_offset_steps: None,
        instrument,
    }
}

pub fn telescope_port<'r>(rig: &'r Rig, id: &str) -> &'r Port {
    rig.port(&PortId(id.into())).expect("the sample rig has this port")
}

pub fn rig() -> Rig {
    let spectrograph = Spectrograph {
        slit_um: 30.0,
        slit_length_um: 3000.0,
        resolving_power: 1000.0,
        limiting_magnitude: Magnitude(9.0),
    };
    Rig {
        name: "Sample".into(),
        telescope: Telescope {
            aperture_mm: 600.0,
            focal_length_mm: 4200.0,
            obstruction: Fraction::clamped(0.42),
            throughput: Fraction::clamped(0.8),
        },
        mount: Mount {
            lowest_altitude: Angle::from_degrees(15.0),
            highest_altitude: Angle::from_degrees(88.0),
            settle_s: 3.0,
            drive: Drive::AltAzimuth(AltAzimuth {
                keyhole_radius: Angle::from_degrees(5.0),
                azimuth: Axis { rate_deg_per_s: 4.0, acceleration_deg_per_s2: 2.0 },
                altitude: Axis { rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0 },
                cable_wrap: (Angle::from_degrees(-270.0), Angle::from_degrees(270.0)),
            }),
        },
        dome: Some(Dome {
            radius_m: 3.0,
            slit_width_m: 1.2,
            offset_m: [0.0, 0.0, 0.2],
            rotation: Axis { rate_deg_per_s: 3.0, acceleration_deg_per_s2: 0.5 },
        }),
        selector: Selector { change_s: 15.0, refocus_s: 20.0, pairs: Vec::new() },
        ports: vec![
            port(
                "wide",
                Side::NasmythLeft,
                Instrument::Camera(camera(CameraUse::DeepSky, (36.0, 24.0), 6.0)),
            ),
            port(
                "planetary",
                Side::NasmythLeft,
                Instrument::Camera(camera(CameraUse::Planetary, (7.43, 4.99), 2.4)),
            ),
            port(
                "eyepiece",
                Side::NasmythRight,
                Instrument::Eyepieces(vec![
                    eyepiece(35.0, 68.0, Some(38.7)),
                    eyepiece(24.0, 68.0, None),
                    eyepiece(18.0, 82.0, None),
                    eyepiece(10.0, 70.0, None),
                ]),
            ),
            port("spectrograph", Side::NasmythRight, Instrument::Spectrograph(spectrograph)),
        ],
        guider: None,
    }
}
