//! How long a stop takes: heads through an eyepiece, or a group before a screen.

use super::{House, Materials, Prepared};
use crate::catalogue::Kind;
use crate::rig::{CameraUse, Instrument, Port};

/// Seconds that a child takes at an eyepiece; common practice, no source.
const CHILD_S: f64 = 60.0;
/// Seconds that a seated visitor takes at an eyepiece; common practice, no source.
const SEATED_S: f64 = 180.0;
/// Seconds that a group looks at a picture after it has come. Common practice, no source.
const LOOK_AT_PICTURE_S: f64 = 120.0;

/// A group that comes at once and looks one by one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Batch {
    /// Minutes until the last one has looked.
    pub total_minutes: f64,
    /// Minutes until a look begins, on average.
    pub mean_wait_minutes: f64,
}

/// A group of `people` who come at once: `T = T0 + N s`; the first waits `T0`, the last `T0 + (N - 1) s`.
///
/// * `overhead_minutes`: `T0`, from the last look at what came before to the first of this: move, focus, framing, words.
/// * `seconds_a_look`: `s`.
pub fn batch(people: f64, overhead_minutes: f64, seconds_a_look: f64) -> Batch {
    let look_minutes = seconds_a_look / 60.0;
    Batch {
        total_minutes: overhead_minutes + people * look_minutes,
        mean_wait_minutes: overhead_minutes + (people - 1.0).max(0.0) / 2.0 * look_minutes,
    }
}

/// Everybody who takes part, looking one by one through an eyepiece at a target of a kind.
///
/// A child takes 60 seconds, a seated visitor 180, the others what the kind takes ([`House::seconds_a_look`],
/// [`House::seconds_by_kind`]). Those who skip a stop ([`House::skip_percent`]) are taken off in proportion. Common
/// practice, no source, for all figures.
pub fn everybody_looks(house: &House, kind: Kind, overhead_minutes: f64) -> Batch {
    let look_s = look_s(house, kind);
    let seated = house.seated.min(house.visitors);
    let children = house.children.min(house.visitors - seated);
    let others = house.visitors - seated - children;
    let all_s = f64::from(seated) * SEATED_S.max(look_s)
        + f64::from(children) * CHILD_S.max(look_s)
        + f64::from(others) * look_s;
    let mean_s = all_s / f64::from(house.visitors.max(1));
    batch(f64::from(house.visitors) * house.share_taking_part(), overhead_minutes, mean_s)
}

/// Minutes of people's time a target needs on a port, for everybody who takes part: before an eyepiece one by one
/// ([`everybody_looks`]; the move before it comes on top), before a screen together ([`House::screen_minutes`]). At
/// least a minute.
pub fn stop_minutes(house: &House, port: &Port, kind: Kind) -> f64 {
    let minutes = if port.is_eyepiece() {
        everybody_looks(house, kind, 0.0).total_minutes
    } else {
        house.screen_minutes
    };
    minutes.max(1.0)
}

/// The same for a target of the catalogue. Before a screen no less than the exposure takes until a group sees it, at
/// the target's best time, and two minutes to look; what is exposed before the first visitor ([`lead_s`]) counts. A
/// minute for a target that there is not.
pub fn needed_minutes(
    house: &House,
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    port: &Port,
) -> f64 {
    let Some(target) = materials.catalogue.targets.get(target_index) else { return 1.0 };
    let kind = target.kind;
    let minutes = stop_minutes(house, port, kind);
    let exposure_s = prepared.exposure_s(materials, target_index, &port.id);
    let on_screen = exposure_s.map_or(0.0, |exposure_s| exposed_minutes(exposure_s, lead_s(port, kind)));
    minutes.max(on_screen)
}

/// People's time for a picture that grows for `exposure_s`, of which `lead_s` pass before the first visitor; 0 where the
/// picture is there before them.
fn exposed_minutes(exposure_s: f64, lead_s: f64) -> f64 {
    if exposure_s > lead_s { (exposure_s - lead_s + LOOK_AT_PICTURE_S) / 60.0 } else { 0.0 }
}

/// Seconds for one look at a kind, without children and seated visitors.
fn look_s(house: &House, kind: Kind) -> f64 {
    let own = house.seconds_by_kind.iter().find(|(own, _)| *own == kind);
    own.map_or_else(
        || house.seconds_a_look * usual_look_s(kind) / usual_look_s(Kind::Planet),
        |(_, seconds)| *seconds,
    )
}

/// Seconds for one look at a kind, as usual: what is easy, usual, small and faint. Common practice, no source.
const fn usual_look_s(kind: Kind) -> f64 {
    match kind {
        Kind::Moon | Kind::Star | Kind::DoubleStar => 30.0,
        Kind::Planet | Kind::OpenCluster => 40.0,
        Kind::GlobularCluster | Kind::PlanetaryNebula | Kind::Comet => 45.0,
        Kind::Nebula | Kind::SupernovaRemnant | Kind::Galaxy | Kind::DarkNebula => 60.0,
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
    use super::{batch, everybody_looks, exposed_minutes, lead_s, look_s, stop_minutes};
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
            seconds_by_kind: Vec::new(),
            skip_percent,
            screen_minutes: 5.0,
            arrivals: Vec::new(),
            leaving: None,
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
            focus_offset_steps: None,
            instrument,
        }
    }

    #[test]
    fn b21_a_batch_takes_its_overhead_and_its_looks() {
        // T = T0 + N s and the mean wait, worked by hand: people, overhead in seconds, seconds a look, minutes in all,
        // minutes of waiting on average.
        for (people, overhead_s, seconds, total, mean) in [
            (25.0, 240.0, 30.0, 16.5, 10.0),
            (60.0, 240.0, 30.0, 34.0, 18.75),
            (60.0, 240.0, 45.0, 49.0, 26.125),
            (200.0, 180.0, 30.0, 103.0, 52.75),
        ] {
            let got = batch(people, overhead_s / 60.0, seconds);
            assert!((got.total_minutes - total).abs() < 1e-9, "{got:?}");
            assert!((got.mean_wait_minutes - mean).abs() < 1e-9, "{got:?}");
        }
        assert_eq!(batch(0.0, 4.0, 30.0).mean_wait_minutes, 4.0);
    }

    #[test]
    fn row_37_sixty_people_at_30_seconds_with_4_minutes_of_overhead_take_34_minutes() {
        let all = everybody_looks(&house(60, 0, 0, 30.0, 0.0), Kind::Planet, 4.0);
        assert!((all.total_minutes - 34.0).abs() < 1e-9 && (all.mean_wait_minutes - 18.75).abs() < 1e-9);
    }

    #[test]
    fn seconds_a_look_follow_the_kind_unless_the_house_says() {
        // 30, 40 and 45 seconds a look by kind of target; 60 for what is faint (common practice, no source).
        let usual = house(60, 0, 0, 40.0, 0.0);
        for (kind, seconds) in [
            (Kind::Moon, 30.0),
            (Kind::DoubleStar, 30.0),
            (Kind::Planet, 40.0),
            (Kind::OpenCluster, 40.0),
            (Kind::GlobularCluster, 45.0),
            (Kind::PlanetaryNebula, 45.0),
            (Kind::Galaxy, 60.0),
        ] {
            assert!((look_s(&usual, kind) - seconds).abs() < 1e-9, "{kind:?}");
        }
        let own = House { seconds_by_kind: vec![(Kind::Moon, 50.0)], ..usual };
        assert_eq!((look_s(&own, Kind::Moon), look_s(&own, Kind::Planet)), (50.0, 40.0));
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
    fn a_screen_serves_the_group_at_once_and_waits_for_its_picture() {
        let spectrograph = port(Instrument::Spectrograph(Spectrograph {
            slit_um: 30.0,
            slit_length_um: 3000.0,
            resolving_power: 1200.0,
            limiting_magnitude: Magnitude(7.0),
        }));
        assert!((stop_minutes(&house(150, 60, 4, 40.0, 20.0), &spectrograph, Kind::Star) - 5.0).abs() < 1e-9);
        assert!(lead_s(&spectrograph, Kind::Star) > 0.0);
        // 360 s of exposure, 60 s of them before the first visitor, and 120 s to look: 7 minutes.
        assert!((exposed_minutes(360.0, 60.0) - 7.0).abs() < 1e-9);
        assert_eq!(exposed_minutes(5.0, 60.0), 0.0);
    }
}
