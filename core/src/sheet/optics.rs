//! What the optics allow, where it matters to a target: a pair against the aperture, pixels against the blur, an eyepiece
//! against the eye.

use super::formulas::{Formula, NumberBehind};
use super::{Names, numbers};
use crate::assign::AirAndSky;
use crate::catalogue::Kind;
use crate::rig::{Camera, Instrument, PortId};
use crate::time::Instant;

/// The widest pupil of a young eye in the dark, in millimetres. Common practice, no source.
const EYE_PUPIL_MM: f64 = 7.0;

/// For a pair the limits of the aperture, on a camera the pixels across the blur and for a planet or the Moon the focal
/// ratio that they ask for, at an eyepiece the lowest useful magnification. Empty for a port that the rig does not have.
pub fn optics_numbers(
    names: &Names<'_>,
    target_index: usize,
    port: &PortId,
    instant: Instant,
) -> Vec<NumberBehind> {
    let materials = names.materials;
    let target = materials.catalogue.targets.get(target_index);
    let (Some(target), Some(port)) = (target, materials.rig.port(port)) else { return Vec::new() };
    let telescope = &materials.rig.telescope;
    let mut all = Vec::new();
    if let Some(pair) = &target.double {
        let arcsec = |limit: f64| {
            format!("{}″ for a pair {} apart", numbers::decimal(limit, 2), numbers::size(pair.separation))
        };
        all.push(number(
            "Dawes limit",
            arcsec(telescope.dawes_limit().arcseconds()),
            "116 mm over the aperture, in arcseconds",
            "Dawes 1867, Mem. R. Astron. Soc. 35, 137",
        ));
        all.push(number(
            "Rayleigh limit",
            arcsec(telescope.rayleigh_limit().arcseconds()),
            "1.22 λ / D at 550 nm",
            "Rayleigh 1879, Phil. Mag. 8, 261",
        ));
    }
    match &port.instrument {
        Instrument::Camera(camera) => {
            let minute = names.prepared.moment_index(instant);
            let showing = names.prepared.showing(materials, target_index, minute);
            all.extend(showing.map(|showing| {
                let blur = AirAndSky::new(&showing).seeing();
                number(
                    "Pixels across the blur",
                    format!(
                        "{} across {} of seeing; two to three sample it",
                        numbers::decimal(camera.pixels_across(telescope, blur), 1),
                        numbers::size(blur)
                    ),
                    "seeing over the pixel's share of the sky",
                    "arithmetic of the focal plane; Nyquist",
                )
            }));
            if matches!(target.kind, Kind::Planet | Kind::Moon) {
                all.push(critical_ratio(camera, telescope.focal_length_mm / telescope.aperture_mm));
            }
        }
        Instrument::Eyepieces(_) => all.push(number(
            "Lowest useful magnification",
            format!("{}×", numbers::decimal(telescope.lowest_magnification(EYE_PUPIL_MM), 0)),
            "aperture over a pupil of 7 mm; an older eye's 5 mm ask for more",
            "geometry of the exit pupil",
        )),
        Instrument::Spectrograph(_) => {}
    }
    all
}

/// The focal ratio that a camera's pixels ask for, beside its own.
fn critical_ratio(camera: &Camera, focal_ratio: f64) -> NumberBehind {
    number(
        "Focal ratio for the finest detail",
        format!(
            "f/{}, here f/{}",
            numbers::decimal(camera.critical_focal_ratio(), 1),
            numbers::decimal(focal_ratio * camera.focal_factor, 1)
        ),
        "2 p / λ at 550 nm",
        "two pixels to the finest period that the aperture passes",
    )
}

fn number(what: &str, value: String, name: &'static str, source: &'static str) -> NumberBehind {
    NumberBehind { what: what.to_owned(), value, formula: Formula { name, source } }
}

#[cfg(test)]
mod tests {
    use super::optics_numbers;
    use crate::catalogue::Target;
    use crate::sheet::demo::Demo;

    #[test]
    fn each_port_tells_what_its_optics_allow() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let at = prepared.doors.start().plus_minutes(90.0);
        demo.with_names(&prepared, |names| {
            let told = |is_it: &dyn Fn(&Target) -> bool, port: &str| -> Vec<(String, String)> {
                let index =
                    names.materials.catalogue.targets.iter().position(is_it).expect("the demo has one");
                let port = names.materials.rig.ports.iter().find(|own| own.id.0 == port).expect("a port");
                let numbers = optics_numbers(names, index, &port.id, at);
                numbers.into_iter().map(|number| (number.what, number.value)).collect()
            };
            // 600 mm: 116 / 600 and 1.22 * 550 nm / 600 mm are 0.193 and 0.231 arcseconds, over 7 mm it is 86 times; pixels of
            // 2.4 micrometres ask for 2 * 2.4 / 0.55, f/8.7: computed apart from this code.
            let pair = told(&|target| target.double.is_some(), "eyepiece");
            assert!(pair[0].0 == "Dawes limit" && pair[0].1.starts_with("0.19″ for a pair "), "{pair:?}");
            assert!(pair[1].1.starts_with("0.23″"), "{pair:?}");
            assert_eq!(pair[2], ("Lowest useful magnification".to_owned(), "86×".to_owned()));
            let mars = told(&|target| target.id.0 == "mars", "planetary");
            assert!(mars[0].0 == "Pixels across the blur" && mars[0].1.contains(" of seeing"), "{mars:?}");
            assert!(mars[1].1.starts_with("f/8.7, here f/"), "{mars:?}");
            assert!(told(&|target| target.id.0 == "mars", "spectrograph").is_empty());
        });
    }
}
