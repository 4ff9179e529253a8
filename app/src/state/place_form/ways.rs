//! What a rig has one way or another: the kind of its mount, a dome or none, how its guider is told. The keys of a way that is
//! left are put aside, and come back as they were when it is taken again.

use evenfall_core::reading::edit::{value_at, with_value, without};

use super::PlaceForm;
use super::field::{order_around, plain};

/// Words of the ways.
pub(super) const ALT_AZIMUTH: &str = "alt-azimuth";
pub(super) const EQUATORIAL: &str = "equatorial";
pub(super) const WITH: &str = "with";
pub(super) const WITHOUT: &str = "without";
pub(super) const BY_FIELD: &str = "by field";
pub(super) const BY_SENSOR: &str = "by sensor";

/// What an axis begins with, in degrees a second and a second squared: a usual pace of mounts of this size, no source.
const AXIS: &str = "(rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0)";
/// A small dome, no source.
const DOME: &str = "(\n    radius_m: 2.5,\n    slit_width_m: 1.0,\n    rotation: (rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0),\n  )";

/// One way of several.
struct Way {
    word: &'static str,
    /// The keys it needs, each with what it begins with. By the last of them the way is known.
    needs: &'static [(&'static str, &'static str)],
    /// Keys that it may have.
    may: &'static [&'static str],
    /// Keys that it can't have.
    bars: &'static [&'static str],
}

const MOUNT: [Way; 2] = [
    Way {
        word: ALT_AZIMUTH,
        needs: &[
            ("mount.keyhole_radius_deg", "3.0"),
            ("mount.azimuth_axis", AXIS),
            ("mount.altitude_axis", AXIS),
            ("mount.cable_wrap_deg", "(-270.0, 270.0)"),
        ],
        may: &[],
        bars: &[
            "mount.hour_angle_axis",
            "mount.declination_axis",
            "mount.pole_keyhole_radius_deg",
            "mount.meridian_flip",
        ],
    },
    Way {
        word: EQUATORIAL,
        needs: &[("mount.hour_angle_axis", AXIS), ("mount.declination_axis", AXIS)],
        may: &["mount.pole_keyhole_radius_deg", "mount.meridian_flip"],
        bars: &[
            "mount.keyhole_radius_deg",
            "mount.azimuth_axis",
            "mount.altitude_axis",
            "mount.cable_wrap_deg",
        ],
    },
];
const FLIP: [Way; 2] = [
    Way {
        word: WITH,
        needs: &[("mount.meridian_flip", "(past_meridian_min: 20.0, flip_s: 90.0)")],
        may: &[],
        bars: &[],
    },
    Way { word: WITHOUT, needs: &[], may: &[], bars: &["mount.meridian_flip"] },
];
const DOMES: [Way; 2] = [
    Way { word: WITH, needs: &[("dome", DOME)], may: &[], bars: &[] },
    Way { word: WITHOUT, needs: &[], may: &[], bars: &["dome"] },
];
/// A guider that is there, before its field is told.
const GUIDER: (&str, &str) = ("guider", "(limiting_magnitude: 12.0)");
const GUIDERS: [Way; 3] = [
    Way {
        word: BY_FIELD,
        needs: &[GUIDER, ("guider.field_arcmin", "(24.0, 18.0)")],
        may: &[],
        bars: &["guider.sensor_mm", "guider.focal_length_mm"],
    },
    Way {
        word: BY_SENSOR,
        needs: &[GUIDER, ("guider.sensor_mm", "(7.0, 5.0)"), ("guider.focal_length_mm", "600.0")],
        may: &[],
        bars: &["guider.field_arcmin"],
    },
    Way { word: WITHOUT, needs: &[], may: &[], bars: &["guider"] },
];
const PACE: [Way; 2] = [
    Way { word: WITH, needs: &[("ports[].rotator_axis", AXIS)], may: &[], bars: &[] },
    Way { word: WITHOUT, needs: &[], may: &[], bars: &["ports[].rotator_axis"] },
];

fn ways(name: &str) -> &'static [Way] {
    match plain(name).as_str() {
        "mount.way" => &MOUNT,
        "mount.meridian_flip.way" => &FLIP,
        "dome.way" => &DOMES,
        "guider.way" => &GUIDERS,
        "ports[].rotator_axis.way" => &PACE,
        _ => &[],
    }
}

/// A key of a way with the position that `name` has.
fn placed(key: &str, name: &str) -> String {
    match (key.split_once("[]"), name.split_once(']')) {
        (Some((_, behind)), Some((entry, _))) => format!("{entry}]{behind}"),
        _ => key.to_owned(),
    }
}

impl PlaceForm {
    /// The way that the file has.
    pub(super) fn way(&self, name: &str) -> &'static str {
        let is_it = |way: &&Way| way.needs.last().is_none_or(|(key, _)| self.has(&placed(key, name)));
        ways(name).iter().find(is_it).map_or(WITHOUT, |way| way.word)
    }

    /// Takes a way: its keys come, those it can't have are put aside.
    pub(super) fn take_way(&mut self, name: &str, word: &str) {
        let Some(way) = ways(name).iter().find(|way| way.word == word) else { return };
        let may = way.may.iter().map(|key| (*key, None));
        for (key, usual) in way.needs.iter().map(|(key, usual)| (*key, Some(*usual))).chain(may) {
            let key = placed(key, name);
            if self.has(&key) {
                continue;
            }
            if let Some(value) = self.put_aside.remove(&key).or_else(|| usual.map(str::to_owned)) {
                self.take(with_value(&self.text, &key, &value, order_around(&key)));
            }
        }
        for key in way.bars {
            self.lay_aside(&placed(key, name));
        }
    }

    /// Takes a key out of the file, to come back as it was.
    fn lay_aside(&mut self, key: &str) {
        if let Some(value) = value_at(&self.text, key).map(str::to_owned) {
            self.put_aside.insert(key.to_owned(), value);
            self.take(without(&self.text, key));
        }
        let within = |name: &str| {
            name.strip_prefix(key).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[', '/']))
        };
        self.typed.retain(|name, _| !within(name));
    }

    /// A port without a rotator has no pace of it; with one it has the pace that it had.
    pub(super) fn follow_rotator(&mut self, derotator: &str) {
        let Some(port) = derotator.strip_suffix(".derotator") else { return };
        let axis = format!("{port}.rotator_axis");
        if value_at(&self.text, derotator) == Some("false") {
            self.lay_aside(&axis);
        } else if self.put_aside.contains_key(&axis) {
            self.take_way(&format!("{axis}.way"), WITH);
        }
    }
}

#[cfg(test)]
mod tests {
    use evenfall_core::rig::{Drive, Rig, read_rig};

    use crate::shell::assets::DEMO_PARTS;
    use crate::state::{Part, PartFile, PlaceForm};

    fn form() -> PlaceForm {
        PlaceForm::new(Part::Rig, &PartFile::read(None, DEMO_PARTS[1].text.to_owned()))
    }

    #[test]
    fn a_mount_of_the_other_kind_comes_and_the_numbers_of_the_first_come_back() {
        let mut form = form();
        assert_eq!(form.shown("mount.way"), "alt-azimuth");
        form.put("mount.keyhole_radius_deg", "4".to_owned());
        form.put("mount.way", "equatorial".to_owned());
        assert!(form.is_sound(), "{:?}", form.wrongs());
        assert!(matches!(form.rig().unwrap().mount.drive, Drive::Equatorial(_)));
        assert!(form.help("mount.hour_angle_axis.rate_deg_per_s").contains("From 0.01 to 60"));
        assert!(form.help("mount.pole_keyhole_radius_deg").contains("From 0 to 20 degrees"));
        form.put("mount.meridian_flip.way", "with".to_owned());
        form.put("mount.meridian_flip.flip_s", "75".to_owned());
        assert!(form.is_sound(), "{:?}", form.wrongs());
        form.put("mount.way", "alt-azimuth".to_owned());
        assert!(form.is_sound(), "{:?}", form.wrongs());
        assert_eq!(form.shown("mount.keyhole_radius_deg"), "4");
        form.put("mount.way", "equatorial".to_owned());
        assert_eq!(form.shown("mount.meridian_flip.flip_s"), "75");
        form.put("mount.way", "alt-azimuth".to_owned());
        form.put("mount.keyhole_radius_deg", "3".to_owned());
        let (now, before) = (form.rig().unwrap(), read(DEMO_PARTS[1].text));
        assert_eq!(now.mount, before.mount);
    }

    fn read(text: &str) -> Rig {
        read_rig("demo", text).unwrap()
    }

    #[test]
    fn dome_and_guider_go_and_come_back_with_all_that_is_written_in_them() {
        let mut form = form();
        for name in ["dome.way", "guider.way"] {
            form.put(name, "without".to_owned());
            assert!(form.is_sound() && form.is_changed());
        }
        assert!(form.rig().unwrap().dome.is_none() && form.rig().unwrap().guider.is_none());
        assert!(form.text.contains("// Leave the dome out under a roof"), "comments stay");
        form.put("dome.way", "with".to_owned());
        form.put("guider.way", "by field".to_owned());
        assert_eq!(*form.rig().unwrap(), read(DEMO_PARTS[1].text));
        form.put("guider.way", "by sensor".to_owned());
        assert!(form.is_sound(), "{:?}", form.wrongs());
        assert!(form.help("guider.focal_length_mm").contains("From 20 to 500000 millimetres"));
        form.put("guider.sensor_mm/0", "600".to_owned());
        assert!(!form.can_be_set());
        form.put("guider.way", "without".to_owned());
        assert!(form.is_sound(), "what was wrong went with it");
    }

    #[test]
    fn a_rotator_has_a_pace_only_while_there_is_one() {
        let mut form = form();
        form.put("ports[0].rotator_axis.way", "with".to_owned());
        form.put("ports[0].rotator_axis.rate_deg_per_s", "5".to_owned());
        assert!(form.rig().unwrap().ports[0].rotator.is_some_and(|axis| axis.rate_deg_per_s == 5.0));
        form.put("ports[0].derotator", "false".to_owned());
        assert!(form.is_sound() && form.rig().unwrap().ports[0].rotator.is_none());
        form.put("ports[0].derotator", "true".to_owned());
        assert_eq!(form.shown("ports[0].rotator_axis.rate_deg_per_s"), "5");
    }

    #[test]
    fn pairs_of_ports_have_times_of_their_own_and_go_with_a_port() {
        let mut form = form();
        form.add("selector.pairs", 0);
        assert!(form.is_sound(), "{:?}", form.wrongs());
        form.put("selector.pairs[0].to", "eyepiece".to_owned());
        form.put("selector.pairs[0].change_s", "40".to_owned());
        let pairs = &form.rig().unwrap().selector.pairs;
        assert_eq!((pairs[0].ports.0.0.as_str(), pairs[0].ports.1.0.as_str()), ("wide", "eyepiece"));
        form.put("selector.pairs[0].to", "wide".to_owned());
        assert!(!form.can_be_set(), "a change needs two ports");
        form.put("selector.pairs[0].to", "eyepiece".to_owned());
        form.remove("ports[2]");
        assert!(form.is_sound(), "{:?}", form.wrongs());
        assert!(form.rig().unwrap().selector.pairs.is_empty());
    }
}
