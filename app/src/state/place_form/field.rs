//! Every value of a site and of a rig that is asked for: its words, how it is typed, where its key usually stands.

use crate::state::Part;

/// How a value is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words on one line.
    Words,
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

const fn field(
    name: &'static str,
    label: &'static str,
    unit: &'static str,
    kind: Kind,
    help: &'static str,
) -> PlaceField {
    PlaceField { name, label, unit, help, kind }
}

const YES_NO: &[(&str, &str)] = &[("true", "Yes"), ("false", "No")];
const SIDES: &[(&str, &str)] =
    &[("NasmythLeft", "Nasmyth, left"), ("NasmythRight", "Nasmyth, right"), ("Cassegrain", "Cassegrain")];
const PURPOSES: &[(&str, &str)] = &[("DeepSky", "Deep sky"), ("Planetary", "Moon and planets")];
const COLOURS: &[(&str, &str)] = &[("OneShotColour", "One-shot colour"), ("Mono", "Mono")];

/// Those of a site.
pub const SITE_FIELDS: &[PlaceField] = &[
    field("name", "Name", "", Kind::Words, "As it is printed on the pages; up to 60 characters."),
    field(
        "latitude_deg",
        "Latitude",
        "°",
        Kind::Degrees('N', 'S'),
        "North is positive: 55.1, 55 6 N or 33.9 S.",
    ),
    field(
        "longitude_deg",
        "Longitude",
        "°",
        Kind::Degrees('E', 'W'),
        "EAST is positive: west of Greenwich is -2.5 or 2.5 W.",
    ),
    field("elevation_m", "Elevation", "m", Kind::Number, "Above the sea."),
    field(
        "time_zone",
        "Time zone",
        "",
        Kind::Zone,
        "Its IANA name, such as Europe/London: type a part of it.",
    ),
    field(
        "park_closes",
        "Park closes",
        "",
        Kind::MaybeClock,
        "On the local clock, such as 23:30; empty if it never does.",
    ),
    field(
        "zenith_brightness_mag_arcsec2",
        "Darkest sky",
        "mag/arcsec²",
        Kind::Number,
        "At the zenith without Moon: 18 over a town, 21.3 in good country.",
    ),
    field(
        "extinction_mag_per_airmass",
        "Extinction",
        "mag",
        Kind::Number,
        "Light lost in one airmass, in V: 0.15 on a mountain, 0.22 in clean air.",
    ),
    field("seeing_arcsec", "Seeing", "″", Kind::Number, "Usual width of a star's image at the zenith."),
    field(
        "air.pressure_hpa",
        "Air pressure",
        "hPa",
        Kind::Number,
        "At the site itself, not reduced to sea level.",
    ),
    field("air.temperature_c", "Air temperature", "°C", Kind::Number, "Usual when you observe."),
    field(
        "sun_exclusion_deg",
        "Sun exclusion",
        "°",
        Kind::Number,
        "Nothing is pointed nearer to the Sun while it is above -6°. 30 is the floor: no file lowers it.",
    ),
    field(
        "weather_limits.wind_km_h",
        "Wind limit",
        "km/h",
        Kind::Number,
        "Sustained wind at which the dome closes.",
    ),
    field(
        "weather_limits.humidity_percent",
        "Humidity limit",
        "%",
        Kind::Number,
        "At which the dome closes.",
    ),
    field(
        "weather_limits.cloud_percent",
        "Cloud limit",
        "%",
        Kind::Number,
        "At which a sky programme is called off.",
    ),
    field(
        "light_domes[].azimuth_deg",
        "Direction",
        "°",
        Kind::Number,
        "Of the town's middle, from north through east.",
    ),
    field("light_domes[].half_width_deg", "Half width", "°", Kind::Number, "In which its light fades."),
    field(
        "light_domes[].brightening_mag",
        "Brightening",
        "mag",
        Kind::Number,
        "At 20° altitude above it, over the zenith.",
    ),
    field("cautions[]", "Caution", "", Kind::Words, "Printed on the run sheet; up to 200 characters."),
    field(
        "visitors.contact",
        "Whom to ask",
        "",
        Kind::Words,
        "On handbill, Door card and run sheet; up to 120 characters.",
    ),
    field(
        "visitors.lines[]",
        "Line",
        "",
        Kind::Words,
        "Toilets, step-free way, parking; up to 120 characters.",
    ),
    field("horizon[]/0", "Azimuth", "°", Kind::Number, "From north through east."),
    field(
        "horizon[]/1",
        "Altitude",
        "°",
        Kind::Number,
        "Of the lowest sky that can be used there, from -10 to 90.",
    ),
];

/// Those of a rig.
pub const RIG_FIELDS: &[PlaceField] = &[
    field("name", "Name", "", Kind::Words, "As it is printed on the run sheet; up to 60 characters."),
    field("telescope.aperture_mm", "Aperture", "mm", Kind::Number, "Diameter of the main mirror or lens."),
    field("telescope.focal_length_mm", "Focal length", "mm", Kind::Number, "As it is at the ports."),
    field(
        "telescope.central_obstruction",
        "Obstruction",
        "",
        Kind::Number,
        "Share of the aperture's diameter that is in shadow. A lens has 0.",
    ),
    field(
        "telescope.throughput",
        "Throughput",
        "",
        Kind::Number,
        "Share of the light that reaches a port, obstruction apart.",
    ),
    field(
        "mount.lowest_altitude_deg",
        "Lowest altitude",
        "°",
        Kind::Number,
        "Below this the telescope does not point.",
    ),
    field(
        "mount.highest_altitude_deg",
        "Highest altitude",
        "°",
        Kind::Number,
        "Above this it does not point.",
    ),
    field("mount.settle_s", "Settling", "s", Kind::Number, "After each slew."),
    field(
        "selector.change_s",
        "Port change",
        "s",
        Kind::Number,
        "For the selector to turn from one port to another.",
    ),
    field("selector.refocus_s", "Refocusing", "s", Kind::Number, "After a port change."),
    field("ports[].name", "Name", "", Kind::Words, "As it stands on the Board; up to 60 characters."),
    field("ports[].side", "Side", "", Kind::Choice(SIDES), "Seen along the tube towards the sky."),
    field(
        "ports[].derotator",
        "Rotator",
        "",
        Kind::Choice(YES_NO),
        "Whether one keeps the field from turning.",
    ),
    field(
        "ports[].focus_offset_steps",
        "Focus offset",
        "steps",
        Kind::MaybeNumber,
        "From the first port, outwards positive; may be empty.",
    ),
    field(
        "ports[].camera.purpose",
        "Used for",
        "",
        Kind::Choice(PURPOSES),
        "How its exposures are reckoned.",
    ),
    field("ports[].camera.sensor_mm/0", "Sensor width", "mm", Kind::Number, "The long side."),
    field("ports[].camera.sensor_mm/1", "Sensor height", "mm", Kind::Number, "The short side."),
    field("ports[].camera.pixel_um", "Pixel", "µm", Kind::Number, "The side of one pixel of the sensor."),
    field(
        "ports[].camera.binning",
        "Binning",
        "",
        Kind::MaybeNumber,
        "Pixels a side read out as one; empty for 1.",
    ),
    field(
        "ports[].camera.focal_factor",
        "Focal factor",
        "×",
        Kind::Number,
        "Of a reducer or Barlow lens; 1 for none.",
    ),
    field("ports[].camera.colour", "Colour", "", Kind::Choice(COLOURS), "What the sensor sees by itself."),
    field(
        "ports[].camera.quantum_efficiency",
        "Quantum efficiency",
        "",
        Kind::Number,
        "Share of the light that counts.",
    ),
    field("ports[].camera.read_noise_e", "Read noise", "e-", Kind::Number, "Of one pixel."),
    field("ports[].camera.full_well_e", "Full well", "e-", Kind::Number, "Of one pixel."),
    field(
        "ports[].eye_height_mm",
        "Eyepiece height",
        "mm",
        Kind::MaybeNumber,
        "Above the floor, at a Nasmyth port; may be empty.",
    ),
    field(
        "ports[].axis_height_mm",
        "Axis height",
        "mm",
        Kind::MaybeNumber,
        "Of the altitude axis, for Cassegrain; may be empty.",
    ),
    field(
        "ports[].axis_to_eyepiece_mm",
        "Axis to eyepiece",
        "mm",
        Kind::MaybeNumber,
        "Back along the tube, for Cassegrain; may be empty.",
    ),
    field("ports[].step_mm", "Step", "mm", Kind::MaybeNumber, "Height of a step in use; empty without one."),
    field("ports[].eyepieces[].name", "Eyepiece", "", Kind::Words, "As it is told on the run sheet."),
    field(
        "ports[].eyepieces[].focal_length_mm",
        "Focal length",
        "mm",
        Kind::Number,
        "As it is printed on it.",
    ),
    field(
        "ports[].eyepieces[].apparent_field_deg",
        "Apparent field",
        "°",
        Kind::Number,
        "As its maker gives it; 50 to 70 is usual.",
    ),
    field(
        "ports[].eyepieces[].field_stop_mm",
        "Field stop",
        "mm",
        Kind::MaybeNumber,
        "Tells the true field better, where the maker gives it; may be empty.",
    ),
    field("ports[].spectrograph.slit_um", "Slit width", "µm", Kind::Number, "Of the slit in use."),
    field("ports[].spectrograph.slit_length_um", "Slit length", "µm", Kind::Number, "Of the slit in use."),
    field("ports[].spectrograph.resolving_power", "Resolving power", "", Kind::Number, "At 550 nm."),
    field(
        "ports[].spectrograph.limiting_magnitude",
        "Faintest spectrum",
        "mag",
        Kind::Number,
        "The faintest star whose spectrum shows within a stop.",
    ),
];

/// The keys of a site, of a rig and of the groups in them, as they usually follow one another.
const SITE_ORDER: &[&str] = &[
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
];
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
const CAMERA_ORDER: &[&str] = &["purpose", "sensor_mm", "pixel_um", "binning"];
const EYEPIECE_ORDER: &[&str] = &["name", "focal_length_mm", "apparent_field_deg", "field_stop_mm"];

/// The keys of the group in which a value stands.
pub(super) fn order_around(name: &str) -> &'static [&'static str] {
    let plain = plain(name);
    match plain.rsplit_once('.').map_or("", |(group, _)| group) {
        "" => SITE_ORDER,
        "visitors" => VISITORS_ORDER,
        "ports[]" => PORT_ORDER,
        "ports[].camera" => CAMERA_ORDER,
        "ports[].eyepieces[]" => EYEPIECE_ORDER,
        _ => &[],
    }
}

/// A name without positions: `ports[].name` for `ports[3].name`.
fn plain(name: &str) -> String {
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

/// The field of a name.
pub fn field_of(part: Part, name: &str) -> Option<&'static PlaceField> {
    let fields = match part {
        Part::Site => SITE_FIELDS,
        Part::Rig => RIG_FIELDS,
        Part::Catalogue => &[],
    };
    let plain = plain(name);
    fields.iter().find(|field| field.name == plain)
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
