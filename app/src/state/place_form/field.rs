//! A value of a site or a rig that is asked for: its words, how it is typed, where its key usually stands.

use super::rig_fields::RIG_FIELDS;
use super::site_fields::SITE_FIELDS;
use crate::state::Part;

/// How a value is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words on one line.
    Words,
    /// Words that may be left out.
    MaybeWords,
    /// A number.
    Number,
    /// A number that may be left out.
    MaybeNumber,
    /// An angle with the letters of its sides, the positive one first.
    Degrees(char, char),
    /// A zone of the IANA database.
    Zone,
    /// A time on the local clock that may be left out.
    MaybeClock,
    /// One of a few words, each with what it is called.
    Choice(&'static [(&'static str, &'static str)]),
    /// One of a few ways, each with what it is called: which keys there are.
    Way(&'static [(&'static str, &'static str)]),
    /// The id of a port of the rig.
    Port,
}

/// A value that is asked for.
#[derive(Debug, PartialEq, Eq)]
pub struct PlaceField {
    /// Its name as faults give it, without positions; behind a stroke one of a pair.
    pub name: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// What follows what is typed.
    pub unit: &'static str,
    /// What it means.
    pub help: &'static str,
    /// How it is typed.
    pub kind: Kind,
}

pub(super) const fn field(
    name: &'static str,
    label: &'static str,
    unit: &'static str,
    kind: Kind,
    help: &'static str,
) -> PlaceField {
    PlaceField { name, label, unit, help, kind }
}

/// The keys of a site, of a rig and of the groups in them, as they usually follow one another.
const WHOLE_ORDER: &[&str] = &[
    "format",
    "name",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "time_zone",
    "horizon",
    "zenith_brightness_mag_arcsec2",
    "light_domes",
    "extinction_mag_per_airmass",
    "seeing_arcsec",
    "air",
    "sun_exclusion_deg",
    "park_closes",
    "weather_limits",
    "cautions",
    "visitors",
    "plan",
    "telescope",
    "mount",
    "dome",
    "selector",
    "guider",
    "ports",
];
const PLAN_ORDER: &[&str] = &["name", "latitude_deg", "longitude_deg", "note"];
const MOUNT_ORDER: &[&str] = &[
    "lowest_altitude_deg",
    "highest_altitude_deg",
    "keyhole_radius_deg",
    "azimuth_axis",
    "altitude_axis",
    "cable_wrap_deg",
    "hour_angle_axis",
    "declination_axis",
    "pole_keyhole_radius_deg",
    "meridian_flip",
    "settle_s",
];
const DOME_ORDER: &[&str] =
    &["radius_m", "slit_width_m", "offset_east_m", "offset_north_m", "offset_up_m", "rotation"];
const SELECTOR_ORDER: &[&str] = &["change_s", "refocus_s", "pairs"];
const GUIDER_ORDER: &[&str] = &["field_arcmin", "sensor_mm", "focal_length_mm", "limiting_magnitude"];
const VISITORS_ORDER: &[&str] = &["contact", "lines"];
const PORT_ORDER: &[&str] = &[
    "id",
    "name",
    "side",
    "derotator",
    "rotator_axis",
    "focus_offset_steps",
    "eye_height_mm",
    "axis_height_mm",
    "axis_to_eyepiece_mm",
    "step_mm",
    "camera",
    "eyepieces",
    "spectrograph",
];
const CAMERA_ORDER: &[&str] = &[
    "purpose",
    "sensor_mm",
    "pixel_um",
    "binning",
    "focal_factor",
    "colour",
    "quantum_efficiency",
    "read_noise_e",
    "full_well_e",
    "turned_deg",
];
const EYEPIECE_ORDER: &[&str] =
    &["name", "focal_length_mm", "apparent_field_deg", "field_stop_mm", "barrel_mm", "eye_relief_mm"];

/// The keys of the group in which a value stands.
pub(super) fn order_around(name: &str) -> &'static [&'static str] {
    let plain = plain(name);
    match plain.rsplit_once('.').map_or("", |(group, _)| group) {
        "" => WHOLE_ORDER,
        "visitors" => VISITORS_ORDER,
        "plan[]" => PLAN_ORDER,
        "mount" => MOUNT_ORDER,
        "dome" => DOME_ORDER,
        "selector" => SELECTOR_ORDER,
        "guider" => GUIDER_ORDER,
        "ports[]" => PORT_ORDER,
        "ports[].camera" => CAMERA_ORDER,
        "ports[].eyepieces[]" => EYEPIECE_ORDER,
        _ => &[],
    }
}

/// A name without positions: `ports[].name` for `ports[3].name`.
pub(super) fn plain(name: &str) -> String {
    let mut plain = String::with_capacity(name.len());
    let mut within = false;
    for letter in name.chars() {
        within = (within || letter == '[') && letter != ']';
        if !within || letter == '[' {
            plain.push(letter);
        }
    }
    plain
}

/// All fields of a part.
pub(super) const fn fields_of(part: Part) -> &'static [PlaceField] {
    match part {
        Part::Site => SITE_FIELDS,
        Part::Rig => RIG_FIELDS,
        Part::Catalogue => &[],
    }
}

/// The field of a name.
pub fn field_of(part: Part, name: &str) -> Option<&'static PlaceField> {
    let plain = plain(name);
    fields_of(part).iter().find(|field| field.name == plain)
}

#[cfg(test)]
mod tests {
    use super::{RIG_FIELDS, SITE_FIELDS, field_of, order_around, plain};
    use crate::state::Part;

    #[test]
    fn a_field_is_found_by_its_name_with_positions() {
        assert_eq!(plain("ports[12].eyepieces[0].name"), "ports[].eyepieces[].name");
        let found = field_of(Part::Rig, "ports[12].camera.sensor_mm/1").expect("it is asked for");
        assert_eq!(found.label, "Sensor height");
        assert_eq!(field_of(Part::Site, "ports[0].name"), None);
        assert!(order_around("ports[2].camera.binning").contains(&"pixel_um"));
    }

    #[test]
    fn no_value_is_asked_for_twice() {
        for fields in [SITE_FIELDS, RIG_FIELDS] {
            for (position, field) in fields.iter().enumerate() {
                assert!(
                    fields[position + 1..].iter().all(|other| other.name != field.name),
                    "{}",
                    field.name
                );
            }
        }
    }
}
