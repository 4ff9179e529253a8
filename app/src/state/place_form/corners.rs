//! The corners of the horizon profile as they are looked at, moved, inserted and taken away.

use evenfall_core::reading::edit::{value_at, with_entry, with_value, without};
use evenfall_core::site::HorizonText;

use super::PlaceForm;
use super::writing::pair_at;

/// A corner: its position in the file, azimuth and altitude in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// In the file, which may be in any order.
    pub position: usize,
    /// From north through east, from 0 to less than 360.
    pub azimuth_deg: f64,
    /// Of the lowest sky that can be used there.
    pub altitude_deg: f64,
}

/// The list of corners.
const HORIZON: &str = "horizon";
/// Corners are moved in tenths of a degree.
const TENTHS: f64 = 10.0;

impl PlaceForm {
    /// The corners by azimuth.
    pub fn corners(&self) -> Vec<Corner> {
        let of_file = (0..self.entries(HORIZON)).filter_map(|position| {
            let (azimuth, altitude_deg) = pair_at(&self.text, &format!("{HORIZON}[{position}]"))?;
            let azimuth_deg = azimuth.rem_euclid(360.0) % 360.0;
            (azimuth.is_finite() && altitude_deg.is_finite()).then_some(Corner {
                position,
                azimuth_deg,
                altitude_deg,
            })
        });
        let mut corners: Vec<Corner> = of_file.collect();
        corners.sort_by(|one, other| one.azimuth_deg.total_cmp(&other.azimuth_deg));
        corners
    }

    /// Puts a corner somewhere else; it never stands on another's azimuth.
    pub(in crate::state) fn move_corner(&mut self, position: usize, azimuth_deg: f64, altitude_deg: f64) {
        let tenths = |degrees: f64| (degrees * TENTHS).round() / TENTHS;
        let others: Vec<f64> = self
            .corners()
            .iter()
            .filter(|corner| corner.position != position)
            .map(|corner| corner.azimuth_deg)
            .collect();
        let mut azimuth = tenths(azimuth_deg.rem_euclid(360.0)) % 360.0;
        for _ in 0..=others.len() {
            if others.iter().any(|other| (other - azimuth).abs() < 0.5 / TENTHS) {
                azimuth = tenths(azimuth + 1.0 / TENTHS) % 360.0;
            }
        }
        let altitude = tenths(altitude_deg.clamp(-10.0, 90.0));
        let name = format!("{HORIZON}[{position}]");
        self.typed.retain(|typed, _| !typed.starts_with(&name));
        let changed = with_value(&self.text, &name, &format!("({azimuth:?}, {altitude:?})"), &[]);
        self.take(changed);
        (self.corner, self.trouble) = (position, None);
        self.follow();
    }

    /// One more corner halfway between one and the next, on the line between them.
    pub(in crate::state) fn insert_corner(&mut self, position: usize) {
        let corners = self.corners();
        let at = corners.iter().position(|corner| corner.position == position);
        let (azimuth, altitude, behind) = match at {
            None => (0.0, 0.0, corners.len()),
            Some(at) => {
                let (one, next) = (corners[at], corners[(at + 1) % corners.len()]);
                let turn = (next.azimuth_deg - one.azimuth_deg).rem_euclid(360.0);
                // A corner that stands alone is its own next one.
                let turn = if corners.len() == 1 { 360.0 } else { turn };
                let middle = (one.azimuth_deg + turn / 2.0).rem_euclid(360.0);
                (middle, f64::midpoint(one.altitude_deg, next.altitude_deg), one.position + 1)
            }
        };
        self.change_list(HORIZON, with_entry(&self.text, HORIZON, behind, "(0.0, 0.0)"));
        self.move_corner(behind, azimuth, altitude);
    }

    /// A corner goes; the one before it is looked at then.
    pub(in crate::state) fn remove_corner(&mut self, position: usize) {
        let corners = self.corners();
        let at = corners.iter().position(|corner| corner.position == position).unwrap_or(0);
        let before = corners.get(at.checked_sub(1).unwrap_or(corners.len().saturating_sub(1)));
        let before = before.map_or(0, |corner| corner.position);
        self.change_list(HORIZON, without(&self.text, &format!("{HORIZON}[{position}]")));
        self.corner = if before > position { before - 1 } else { before };
    }

    /// Puts the corners of a text in place of those there are, and tells what was read.
    pub(super) fn take_horizon(&mut self, read: &HorizonText, file: &str) {
        if read.corners.is_empty() {
            self.trouble =
                Some(format!("{file} holds no corner: give two numbers a line, azimuth and altitude."));
            return;
        }
        self.told = vec![format!("{} corners were read from {file}.", read.corners.len())];
        self.told.extend(read.unused.iter().map(|unused| format!("Not used: {unused}.")));
        let former = value_at(&self.text, HORIZON).map(str::to_owned);
        let corners =
            read.corners.iter().map(|(azimuth, altitude)| format!("    ({azimuth:?}, {altitude:?}),\n"));
        let lines = corners.collect::<Vec<_>>().concat();
        self.put_horizon(&format!("[\n{lines}  ]"));
        self.former_horizon = former;
    }

    /// Puts the horizon of a site to begin with in place of the one there is.
    pub(super) fn begin_horizon(&mut self, words: &str, site: &str) {
        let Some(list) = value_at(site, HORIZON) else { return };
        let former = value_at(&self.text, HORIZON).map(str::to_owned);
        self.told =
            vec![format!("The horizon is that of the invented site \"{words}\": drag it into your own.")];
        self.put_horizon(list);
        self.former_horizon = former;
    }

    /// Whether there is a horizon to go back to.
    pub const fn has_former_horizon(&self) -> bool {
        self.former_horizon.is_some()
    }

    /// The horizon that stood before a text was read.
    pub(super) fn bring_former_horizon_back(&mut self) {
        if let Some(former) = self.former_horizon.take() {
            self.told.clear();
            self.put_horizon(&former);
        }
    }

    fn put_horizon(&mut self, list: &str) {
        self.change_list(HORIZON, with_value(&self.text, HORIZON, list, &[]));
        self.corner = 0;
    }
}

#[cfg(test)]
mod tests {
    use evenfall_core::site::read_horizon_text;

    use crate::shell::assets::DEMO_PARTS;
    use crate::state::{Part, PartFile, PlaceForm};

    fn form() -> PlaceForm {
        PlaceForm::new(Part::Site, &PartFile::read(None, DEMO_PARTS[0].text.to_owned()))
    }

    fn at(form: &PlaceForm, position: usize) -> (f64, f64) {
        let corners = form.corners();
        let corner = corners.iter().find(|corner| corner.position == position).unwrap();
        (corner.azimuth_deg, corner.altitude_deg)
    }

    #[test]
    fn corners_are_moved_inserted_and_taken_away() {
        let mut form = form();
        form.move_corner(3, 63.04, 18.26);
        assert_eq!(at(&form, 3), (63.0, 18.3));
        form.move_corner(3, -1.0, 95.0);
        assert_eq!(at(&form, 3), (359.0, 90.0));
        form.move_corner(3, 45.0, 11.0);
        assert_eq!(at(&form, 3), (45.1, 11.0), "never on another's azimuth");
        assert!(form.is_sound());
        form.insert_corner(15);
        assert_eq!(at(&form, 16), (347.5, 9.5), "across north");
        assert_eq!(form.corner, 16);
        form.remove_corner(16);
        assert_eq!((form.corners().len(), form.corner), (16, 15));
        for _ in 0..16 {
            form.remove_corner(form.corner);
        }
        assert!(form.is_sound() && form.corners().is_empty());
        form.insert_corner(0);
        form.insert_corner(0);
        assert_eq!((at(&form, 0), at(&form, 1)), ((0.0, 0.0), (180.0, 0.0)));
    }

    #[test]
    fn a_text_takes_the_place_of_the_horizon_and_the_former_comes_back() {
        let mut form = form();
        form.take_horizon(&read_horizon_text("350 8\n10 4\nhere\n"), "walk.txt");
        assert_eq!(form.corners().len(), 2);
        assert_eq!(form.told.len(), 2);
        form.bring_former_horizon_back();
        assert!(!form.is_changed());
        form.take_horizon(&read_horizon_text("nothing"), "walk.txt");
        assert!(form.trouble.is_some() && !form.is_changed());
    }
}
