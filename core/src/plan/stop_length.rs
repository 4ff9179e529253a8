//! How long a stop takes: heads through an eyepiece, or a group before a screen.

use super::House;
use crate::catalogue::Kind;
use crate::rig::{CameraUse, Instrument, Port};

/// Seconds that a child takes at an eyepiece; common practice, no source.
const CHILD_S: f64 = 60.0;
/// Seconds that a seated visitor takes at an eyepiece; common practice, no source.
const SEATED_S: f64 = 180.0;

/// Minutes of people's time a target needs on a port, for everybody who takes part.
///
/// * Before an eyepiece visitors look one by one: `T = N s`, with `s` 60 seconds for a child, 180 for a seated visitor
///   and [`House::seconds_a_look`] for the others, longer for what is hard to see. Those who skip a stop
///   ([`House::skip_percent`]) are taken off in proportion.
/// * Before a screen the group looks together: [`House::screen_minutes`].
///
/// Common practice, no source, for all figures.
pub fn stop_minutes(house: &House, port: &Port, kind: Kind) -> f64 {
    if !port.is_eyepiece() {
        return house.screen_minutes.max(1.0);
    }
    let look_s = house.seconds_a_look * look_factor(kind);
    let seated = house.seated.min(house.visitors);
    let children = house.children.min(house.visitors - seated);
    let others = house.visitors - seated - children;
    let all_s = f64::from(seated) * SEATED_S.max(look_s)
        + f64::from(children) * CHILD_S.max(look_s)
        + f64::from(others) * look_s;
    let share = 1.0 - (house.skip_percent / 100.0).clamp(0.0, 1.0);
    (all_s * share / 60.0).max(1.0)
}

/// How a look at one kind compares with the usual look: 30, 40, 45 and 60 seconds are in use for what is easy, usual,
/// small and faint; common practice, no source.
const fn look_factor(kind: Kind) -> f64 {
    match kind {
        Kind::Moon | Kind::Star | Kind::DoubleStar => 30.0 / 40.0,
        Kind::Planet | Kind::OpenCluster => 1.0,
        Kind::GlobularCluster | Kind::PlanetaryNebula => 45.0 / 40.0,
        Kind::Nebula | Kind::SupernovaRemnant | Kind::Galaxy | Kind::DarkNebula => 60.0 / 40.0,
    }
}

/// Seconds of framing or exposing before the first visitor sees anything, beyond the move. Common practice, no source.
pub const fn lead_s(port: &Port, kind: Kind) -> f64 {
    match &port.instrument {
        Instrument::Eyepieces(_) => 20.0,
        Instrument::Spectrograph(_) => 60.0,
        Instrument::Camera(camera) => match (camera.purpose, kind) {
            (CameraUse::Planetary, _) | (CameraUse::DeepSky, Kind::Moon | Kind::Planet) => 15.0,
            (
                CameraUse::DeepSky,
                Kind::Star | Kind::DoubleStar | Kind::OpenCluster | Kind::GlobularCluster,
            ) => 30.0,
            (CameraUse::DeepSky, _) => 60.0,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::{lead_s, stop_minutes};
    use crate::catalogue::Kind;
    use crate::plan::House;
    use crate::rig::{Instrument, Port, PortId, Side, Spectrograph};
    use crate::units::Magnitude;

    fn house(visitors: u32, children: u32, seated: u32, seconds_a_look: f64, skip_percent: f64) -> House {
        House {
            visitors,
            children,
            seated,
            seconds_a_look,
            skip_percent,
            screen_minutes: 5.0,
            arrivals: Vec::new(),
        }
    }

    fn port(instrument: Instrument) -> Port {
        let id = PortId("port".to_owned());
        Port {
            id,
            name: "Port".to_owned(),
            side: Side::NasmythLeft,
            derotator: true,
            rotator: None,
            on_equatorial: false,
            access: None,
            instrument,
        }
    }

    #[test]
    fn heads_times_seconds() {
        let eyepiece = port(Instrument::Eyepieces(Vec::new()));
        // T = N s: 60 heads at 30 s are 30 minutes; 20 % fewer heads, 24 minutes.
        assert!((stop_minutes(&house(60, 0, 0, 30.0, 0.0), &eyepiece, Kind::Planet) - 30.0).abs() < 1e-9);
        assert!((stop_minutes(&house(60, 0, 0, 30.0, 20.0), &eyepiece, Kind::Planet) - 24.0).abs() < 1e-9);
        // 2 x 180 s + 10 x 60 s + 8 x 40 s = 1280 s.
        let mixed = stop_minutes(&house(20, 10, 2, 40.0, 0.0), &eyepiece, Kind::OpenCluster);
        assert!((mixed - 1280.0 / 60.0).abs() < 1e-9, "got {mixed}");
        assert!(stop_minutes(&house(20, 30, 30, 40.0, 0.0), &eyepiece, Kind::Moon) <= 60.0);
    }

    #[test]
    fn a_screen_serves_the_group_at_once() {
        let spectrograph = port(Instrument::Spectrograph(Spectrograph {
            slit_um: 30.0,
            slit_length_um: 3000.0,
            resolving_power: 1200.0,
            limiting_magnitude: Magnitude(7.0),
        }));
        assert!((stop_minutes(&house(150, 60, 4, 40.0, 20.0), &spectrograph, Kind::Star) - 5.0).abs() < 1e-9);
        assert!(lead_s(&spectrograph, Kind::Star) > 0.0);
    }
}
