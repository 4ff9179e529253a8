//! The unit of a number in words, from the ending of its key.

/// Endings of keys with their units. Of two that fit, the longer stands first.
const UNITS: [(&str, &str); 27] = [
    ("deg_per_s2", "degrees per second squared"),
    ("deg_per_s", "degrees per second"),
    ("deg", "degrees"),
    ("arcmin", "arcminutes"),
    ("mag_arcsec2", "magnitudes per square arcsecond"),
    ("arcsec", "arcseconds"),
    ("mag_per_airmass", "magnitudes per airmass"),
    ("mag", "magnitudes"),
    ("magnitude", "magnitudes"),
    ("magnitudes", "magnitudes"),
    ("um", "micrometres"),
    ("mm", "millimetres"),
    ("km", "kilometres"),
    ("m", "metres"),
    ("km_h", "kilometres per hour"),
    ("min", "minutes"),
    ("minutes", "minutes"),
    ("seconds_a_look", "seconds"),
    ("seconds", "seconds"),
    ("s", "seconds"),
    ("c", "degrees Celsius"),
    ("hpa", "hectopascals"),
    ("e", "electrons"),
    ("percent", "percent"),
    ("visitors", "people"),
    ("children", "people"),
    ("seated", "people"),
];

/// The unit of a key's number; `None` for what has none, such as a share from 0 to 1.
fn unit(key: &str) -> Option<&'static str> {
    let fits = |ending: &str| {
        key.strip_suffix(ending).is_some_and(|before| before.is_empty() || before.ends_with('_'))
    };
    UNITS.iter().find(|(ending, _)| fits(ending)).map(|(_, unit)| *unit)
}

/// A range in words with the unit of its key behind it.
pub(super) fn with_unit(key: &str, range: String) -> String {
    match unit(key) {
        Some(unit) => format!("{range} {unit}"),
        None => range,
    }
}

#[cfg(test)]
mod tests {
    use super::unit;

    #[test]
    fn the_ending_of_a_key_gives_its_unit() {
        for (key, expected) in [
            ("aperture_mm", "millimetres"),
            ("slit_um", "micrometres"),
            ("radius_m", "metres"),
            ("size_km", "kilometres"),
            ("wind_km_h", "kilometres per hour"),
            ("ra_deg", "degrees"),
            ("rate_deg_per_s", "degrees per second"),
            ("acceleration_deg_per_s2", "degrees per second squared"),
            ("size_arcmin", "arcminutes"),
            ("seeing_arcsec", "arcseconds"),
            ("zenith_brightness_mag_arcsec2", "magnitudes per square arcsecond"),
            ("extinction_mag_per_airmass", "magnitudes per airmass"),
            ("brightening_mag", "magnitudes"),
            ("limiting_magnitude", "magnitudes"),
            ("settle_s", "seconds"),
            ("seconds_a_look", "seconds"),
            ("until_min", "minutes"),
            ("screen_minutes", "minutes"),
            ("humidity_percent", "percent"),
            ("percent", "percent"),
            ("temperature_c", "degrees Celsius"),
            ("pressure_hpa", "hectopascals"),
            ("full_well_e", "electrons"),
            ("visitors", "people"),
            ("seated", "people"),
        ] {
            assert_eq!(unit(key), Some(expected), "{key}");
        }
        // An ending is a word of its own.
        for key in ["appeal", "binning", "focal_factor", "resolving_power", "id", "throughput", "teeth"] {
            assert_eq!(unit(key), None, "{key}");
        }
    }
}
