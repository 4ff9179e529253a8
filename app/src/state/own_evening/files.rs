//! The answers as the files of an evening: the evening, its site and its rig. What was not asked has the usual value, and a
//! comment where it is worth a look.

use super::judge::CLOSING_MINUTES;
use super::number::numbers;
use super::{NewFile, OwnField, OwnForm, PortTemplate, slug};

/// The name of the demonstration's catalogue, which is written beside.
const CATALOGUE: &str = "heron-fell.catalogue.ron";

/// The files of a form in which nothing is missing or wrong.
pub(super) fn of(form: &OwnForm) -> Option<Vec<NewFile>> {
    let name = match slug(form.text(OwnField::SiteName)) {
        name if name.is_empty() => "my-park".to_owned(),
        name => name,
    };
    let (site, rig) = (format!("{name}.site.ron"), format!("{name}.rig.ron"));
    // Evenings of several dates stand beside the one site and rig that they share.
    let dated = format!("{name}-{}.evening.ron", form.date()?.format("%Y-%m-%d"));
    Some(vec![
        NewFile { text: evening(form, &site, &rig)?, name: dated },
        NewFile { text: site_text(form)?, name: site },
        NewFile { text: rig_text(form)?, name: rig },
    ])
}

fn evening(form: &OwnForm, site: &str, rig: &str) -> Option<String> {
    let [open, closing, close] = form.doors()?.map(|time| time.format("%H:%M").to_string());
    let visitors = form.number(OwnField::Visitors)?;
    Some(format!(
        "// A first evening of your own. Saving it in Evenfall adds the explanation of every key.\n\
         (\n\
         \x20 format: \"evenfall-evening/1\",\n\
         \x20 title: {title},\n\
         \x20 date: \"{date}\",\n\
         \x20 site: {site:?},\n\
         \x20 rig: {rig:?},\n\
         \x20 // The demo's catalogue: beyond the Moon and the planets all of it is invented. Replace it with your own\n\
         \x20 // before a real night.\n\
         \x20 catalogue: \"{CATALOGUE}\",\n\
         \x20 house: (visitors: {visitors}, children: {children}, seated: 0, seconds_a_look: 30.0, skip_percent: 20.0, screen_minutes: 8.0),\n\
         \x20 programme: (\n\
         \x20   doors_open: \"{open}\", doors_close: \"{close}\", slack_percent: 12.0,\n\
         \x20   fixed: [\n\
         \x20     (kind: Welcome, start: \"{open}\", minutes: 10.0, title: \"Welcome and safety talk\", cue: \"Red lamps only. Ask us anything.\"),\n\
         \x20     (kind: Closing, start: \"{closing}\", minutes: {CLOSING_MINUTES}.0, title: \"Closing: lamps, coats, way out\", cue: \"Mind your step on the way.\"),\n\
         \x20   ],\n\
         \x20 ),\n\
         \x20 wishes: (must_show: [], leave_out: [], ports_out_of_service: [], closed_sky: []),\n\
         \x20 order: [],\n\
         )\n",
        title = quoted(form.text(OwnField::Title)),
        date = form.date()?.format("%Y-%m-%d"),
        children = (visitors / 3.0).floor(),
    ))
}

fn site_text(form: &OwnForm) -> Option<String> {
    let height = form.number(OwnField::Height)?;
    // p = 1013.25 (1 - 2.25577e-5 h)^5.25588 hPa, the standard atmosphere of ISO 2533.
    let pressure = 1013.25 * (1.0 - 2.25577e-5 * height).powf(5.255_88);
    Some(format!(
        "// Your site. Heron Fell's own file, heron-fell.site.ron of the demo, explains every key.\n\
         (\n\
         \x20 format: \"evenfall-site/1\",\n\
         \x20 name: {name},\n\
         \x20 // North and EAST are positive.\n\
         \x20 latitude_deg: {latitude:?},\n\
         \x20 longitude_deg: {longitude:?},\n\
         \x20 elevation_m: {height:?},\n\
         \x20 time_zone: \"{zone}\",\n\
         \x20 // Flat so far. Walk round the dome with a phone's inclinometer and list corners (azimuth, altitude) in degrees.\n\
         \x20 horizon: [],\n\
         \x20 zenith_brightness_mag_arcsec2: {darkness:?},\n\
         \x20 // Towns: (azimuth_deg: 62.0, half_width_deg: 25.0, brightening_mag: 1.1).\n\
         \x20 light_domes: [],\n\
         \x20 // Usual country air and seeing, and the standard pressure at this height.\n\
         \x20 extinction_mag_per_airmass: 0.25,\n\
         \x20 seeing_arcsec: 2.5,\n\
         \x20 air: (pressure_hpa: {pressure:.1}, temperature_c: 8.0),\n\
         \x20 sun_exclusion_deg: 30.0,\n\
         \x20 // Take your own from the makers' instructions for dome and telescope; the stricter holds.\n\
         \x20 weather_limits: (wind_km_h: 40.0, humidity_percent: 85.0, cloud_percent: 60.0),\n\
         \x20 // The site's own cautions, printed on the run sheet beside the usual ones.\n\
         \x20 cautions: [],\n\
         )\n",
        name = quoted(form.text(OwnField::SiteName)),
        latitude = form.number(OwnField::Latitude)?,
        longitude = form.number(OwnField::Longitude)?,
        zone = form.zone()?.name(),
        darkness = form.number(OwnField::Darkness)?,
    ))
}

fn rig_text(form: &OwnForm) -> Option<String> {
    let ports: Option<String> = PortTemplate::ALL
        .into_iter()
        .filter(|port| form.has_port(*port))
        .map(|port| port_text(form, port))
        .collect();
    Some(format!(
        "// Your telescope. Heron Fell's own file, heron-fell.rig.ron of the demo, explains every key.\n\
         (\n\
         \x20 format: \"evenfall-rig/1\",\n\
         \x20 name: {name},\n\
         \x20 telescope: (\n\
         \x20   aperture_mm: {aperture:?}, focal_length_mm: {focal_length:?},\n\
         \x20   central_obstruction: {obstruction:.3}, throughput: 0.78,\n\
         \x20 ),\n\
         \x20 // An alt-azimuth mount of usual pace: measure yours. With a dome, add it here.\n\
         \x20 mount: (\n\
         \x20   lowest_altitude_deg: {lowest:?}, highest_altitude_deg: {highest:?}, keyhole_radius_deg: 3.0,\n\
         \x20   azimuth_axis: (rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0),\n\
         \x20   altitude_axis: (rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0),\n\
         \x20   cable_wrap_deg: (-270.0, 270.0), settle_s: 8.0,\n\
         \x20 ),\n\
         \x20 selector: (change_s: 30.0, refocus_s: 20.0),\n\
         \x20 ports: [\n{ports}\x20 ],\n\
         )\n",
        name = quoted(form.text(OwnField::TelescopeName)),
        aperture = form.number(OwnField::Aperture)?,
        focal_length = form.number(OwnField::FocalLength)?,
        obstruction = form.number(OwnField::Obstruction)? / 100.0,
        lowest = form.number(OwnField::LowestAltitude)?,
        highest = form.number(OwnField::HighestAltitude)?,
        ports = ports?,
    ))
}

fn port_text(form: &OwnForm, port: PortTemplate) -> Option<String> {
    let camera = |purpose: &str, [width, height, pixel]: [OwnField; 3], sensor: &str| {
        Some(format!(
            "      camera: (\n\
             \x20       purpose: {purpose}, sensor_mm: ({:?}, {:?}), pixel_um: {:?},\n\
             \x20       focal_factor: 1.0, colour: OneShotColour, {sensor},\n\
             \x20     ),\n",
            form.number(width)?,
            form.number(height)?,
            form.number(pixel)?,
        ))
    };
    let (id, place, what) = match port {
        PortTemplate::Wide => (
            "wide",
            "side: NasmythLeft, derotator: true",
            camera(
                "DeepSky",
                [OwnField::WideWidth, OwnField::WideHeight, OwnField::WidePixel],
                "quantum_efficiency: 0.75, read_noise_e: 1.8, full_well_e: 40000.0",
            )?,
        ),
        PortTemplate::Planetary => (
            "planetary",
            "side: NasmythLeft, derotator: false",
            camera(
                "Planetary",
                [OwnField::PlanetaryWidth, OwnField::PlanetaryHeight, OwnField::PlanetaryPixel],
                "quantum_efficiency: 0.8, read_noise_e: 1.5, full_well_e: 15000.0",
            )?,
        ),
        PortTemplate::Eyepiece => ("eyepiece", "side: NasmythRight, derotator: false", eyepieces(form)?),
        PortTemplate::Spectrograph => (
            "spectrograph",
            "side: NasmythRight, derotator: false",
            format!(
                "      spectrograph: (slit_um: 30.0, slit_length_um: 4000.0, resolving_power: 1000.0, \
                 limiting_magnitude: {:?}),\n",
                form.number(OwnField::SpectrumLimit)?
            ),
        ),
    };
    Some(format!("    (\n      id: \"{id}\", name: \"{}\", {place},\n{what}    ),\n", port.words()))
}

/// The longest first, all with the same apparent field.
fn eyepieces(form: &OwnForm) -> Option<String> {
    let field_deg = form.number(OwnField::EyepieceField)?;
    let mut lengths = numbers(form.text(OwnField::EyepieceLengths))?;
    lengths.sort_by(|one, other| other.total_cmp(one));
    lengths.dedup();
    let line = |length: &f64| {
        format!(
            "        (name: \"{length} mm\", focal_length_mm: {length:?}, apparent_field_deg: {field_deg:?}),\n"
        )
    };
    let lines = lengths.iter().map(line).collect::<Vec<_>>().concat();
    Some(format!("      eye_height_mm: 1400.0,\n      eyepieces: [\n{lines}      ],\n"))
}

/// As a text of RON.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.trim().replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use chrono::{TimeZone, Utc};
    use evenfall_core::document::read_evening;
    use evenfall_core::rig::read_rig;
    use evenfall_core::site::read_site;
    use evenfall_core::time::Instant;

    use super::{OwnField, OwnForm, PortTemplate};

    fn answered() -> OwnForm {
        let now = Instant::from_utc(Utc.with_ymd_and_hms(2027, 3, 10, 12, 0, 0).unwrap());
        let mut form = OwnForm::new(now, None);
        for (field, text) in [
            (OwnField::SiteName, "Otter \"Hill\" \\ Park"),
            (OwnField::Latitude, "39° 42′ N"),
            (OwnField::Longitude, "105 W"),
            (OwnField::Zone, "America/Denver"),
        ] {
            form.put(field, text.to_owned());
        }
        form
    }

    #[test]
    fn the_files_are_read_without_a_fault() {
        let mut form = answered();
        assert_eq!(form.open_fields(), []);
        for ports in 1..16_u8 {
            for (position, port) in PortTemplate::ALL.into_iter().enumerate() {
                form.set_port(port, ports >> position & 1 == 1);
            }
            let files = form.files().expect("nothing is missing");
            let [evening, site, rig] = &files[..] else { panic!("{files:?}") };
            let evening =
                read_evening(&evening.name, &evening.text).unwrap_or_else(|faults| panic!("{faults:?}"));
            let site = read_site(&site.name, &site.text).unwrap_or_else(|faults| panic!("{faults:?}"));
            let rig = read_rig(&rig.name, &rig.text).unwrap_or_else(|faults| panic!("{faults:?}"));
            assert_eq!(site.name, "Otter \"Hill\" \\ Park");
            assert!((site.place.latitude.degrees() - 39.7).abs() < 1e-12);
            assert!((site.place.longitude.degrees() + 105.0).abs() < 1e-12);
            assert_eq!(rig.ports.len(), ports.count_ones() as usize);
            assert_eq!(evening.date.to_string(), "2027-03-13");
        }
    }

    #[test]
    fn evenings_of_one_site_differ_in_name_by_their_dates_and_share_the_rest() {
        let names = |form: &OwnForm| -> Vec<String> {
            form.files().expect("nothing is missing").into_iter().map(|file| file.name).collect()
        };
        let mut form = answered();
        let first = form.files().expect("nothing is missing");
        assert_eq!(
            names(&form),
            ["otter-hill-park-2027-03-13.evening.ron", "otter-hill-park.site.ron", "otter-hill-park.rig.ron"]
        );
        form.put(OwnField::Date, "2027-04-10".to_owned());
        let second = form.files().expect("nothing is missing");
        assert_eq!(second[0].name, "otter-hill-park-2027-04-10.evening.ron");
        assert_eq!(second[1..], first[1..]);
    }

    #[test]
    fn the_ends_of_every_range_are_read_too() {
        let ends: [&[(OwnField, &str)]; 2] = [
            &[
                (OwnField::Latitude, "-90"),
                (OwnField::Longitude, "-180"),
                (OwnField::Height, "-450"),
                (OwnField::Darkness, "15"),
                (OwnField::Aperture, "20"),
                (OwnField::FocalLength, "50"),
                (OwnField::Obstruction, "0"),
                (OwnField::LowestAltitude, "0"),
                (OwnField::HighestAltitude, "61"),
                (OwnField::WideWidth, "0.5"),
                (OwnField::WideHeight, "0.5"),
                (OwnField::WidePixel, "0.5"),
                (OwnField::EyepieceLengths, "1"),
                (OwnField::EyepieceField, "10"),
                (OwnField::SpectrumLimit, "-2"),
                (OwnField::Visitors, "1"),
                (OwnField::DoorsOpen, "12:00"),
                (OwnField::DoorsClose, "13:00"),
            ],
            &[
                (OwnField::Latitude, "90"),
                (OwnField::Longitude, "180"),
                (OwnField::Height, "6000"),
                (OwnField::Darkness, "22.2"),
                (OwnField::Aperture, "50000"),
                (OwnField::FocalLength, "500000"),
                (OwnField::Obstruction, "90"),
                (OwnField::LowestAltitude, "60"),
                (OwnField::HighestAltitude, "90"),
                (OwnField::WideWidth, "500"),
                (OwnField::WideHeight, "500"),
                (OwnField::WidePixel, "50"),
                (OwnField::EyepieceLengths, "40"),
                (OwnField::EyepieceField, "60"),
                (OwnField::SpectrumLimit, "20"),
                (OwnField::Visitors, "1000"),
                (OwnField::DoorsOpen, "18:00"),
                (OwnField::DoorsClose, "04:00"),
            ],
        ];
        for answers in ends {
            let mut form = answered();
            for (field, text) in answers {
                form.put(*field, (*text).to_owned());
            }
            assert_eq!(form.open_fields(), [], "of {answers:?}");
            let files = form.files().expect("nothing is missing");
            let [evening, site, rig] = &files[..] else { panic!("{files:?}") };
            read_evening(&evening.name, &evening.text).unwrap_or_else(|faults| panic!("{faults:?}"));
            read_site(&site.name, &site.text).unwrap_or_else(|faults| panic!("{faults:?}"));
            read_rig(&rig.name, &rig.text).unwrap_or_else(|faults| panic!("{faults:?}"));
        }
    }
}
