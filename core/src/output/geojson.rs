//! The grounds as `GeoJSON` (RFC 7946): the telescope and the places that the site's plan names.

use serde_json::{Value, json};

use crate::site::Site;
use crate::units::Angle;

/// The telescope and the places of the plan, a point each. Coordinates are WGS 84 degrees, longitude first (RFC 7946,
/// section 4); seven decimals are a centimetre. The telescope's height stands among its properties: there it may be told as
/// the site tells it, while a third coordinate would have to be above the ellipsoid.
pub fn site_plan(site: &Site) -> String {
    let place = &site.place;
    let mut telescope = point([place.longitude, place.latitude], "Telescope", &site.name);
    telescope["properties"]["height_m"] = place.height_m.into();
    let others =
        site.plan.iter().map(|place| point([place.longitude, place.latitude], &place.name, &place.note));
    let features: Vec<Value> = [telescope].into_iter().chain(others).collect();
    let plan = json!({ "type": "FeatureCollection", "features": features });
    let mut text = serde_json::to_string_pretty(&plan).expect("numbers and text always make JSON");
    text.push('\n');
    text
}

fn point(at: [Angle; 2], name: &str, note: &str) -> Value {
    let coordinates = at.map(|angle| (angle.degrees() * 1e7).round() / 1e7 + 0.0);
    let mut properties = json!({ "name": name });
    if !note.is_empty() {
        properties["note"] = note.into();
    }
    json!({
        "type": "Feature",
        "geometry": { "type": "Point", "coordinates": coordinates },
        "properties": properties,
    })
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::site_plan;
    use crate::sheet::demo::Demo;

    #[test]
    fn every_place_is_a_point_with_longitude_first() {
        let demo = Demo::on("2027-03-13");
        let site = demo.materials().site;
        let plan: Value = serde_json::from_str(&site_plan(site)).unwrap();
        assert_eq!(plan["type"], "FeatureCollection");
        let features = plan["features"].as_array().unwrap();
        assert_eq!(features.len(), 1 + site.plan.len());
        assert!(!site.plan.is_empty());
        // RFC 7946, 3.1.1: longitude, then latitude.
        assert_eq!(features[0]["geometry"]["coordinates"], json!([-2.5, 55.1]));
        assert_eq!(features[0]["properties"]["height_m"], 260.0);
        for feature in features {
            assert_eq!(
                (&feature["type"], &feature["geometry"]["type"]),
                (&"Feature".into(), &"Point".into())
            );
            assert!(feature["properties"]["name"].is_string());
        }
    }
}
