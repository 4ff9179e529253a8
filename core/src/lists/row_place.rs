//! Where a row says that its target stands, brought to ICRS at J2000.0.

use std::borrow::Cow;

use super::account::Effect;
use super::angle_text::{Marked, WrittenAngle, read_angle};
use super::columns::{Meaning, Unit};
use super::frame::Frame;
use super::guess::coordinates_in;
use super::numbers::{is_unknown, read_number};
use super::rows::{Reading, rounded};
use crate::place::StarPlace;
use crate::units::Angle;

/// Positions are kept to 0.00004 arcseconds, proper motions to a microarcsecond a year.
pub(super) const PLACE_STEPS: f64 = 1e8;
const MOTION_STEPS: f64 = 1e3;

/// The parts of an angle as one text; a part that is not known, and those behind it, are left out.
fn in_parts<'t>(sign: &str, parts: [&str; 3]) -> Cow<'t, str> {
    let known = parts.into_iter().take_while(|part| !is_unknown(part)).collect::<Vec<_>>().join(" ");
    // A sign that stands before the degrees already is not put there again.
    let signed = known.starts_with(['-', '−', '–', '+']);
    Cow::Owned(if signed || known.is_empty() { known } else { format!("{sign}{known}") })
}

impl Reading<'_> {
    /// The place on ICRS at J2000.0, and a name that stands before it in the same cell.
    pub(super) fn place(&mut self) -> (String, Option<StarPlace>) {
        let reader = self.reader;
        let row = self.row;
        if reader.layout.column(Meaning::RightAscension).is_none()
            && let Some(column) = reader.layout.column(Meaning::Coordinates)
        {
            let Some((prefix, ra, dec)) = coordinates_in(row.cell(column)) else {
                let remedy = "Write both, such as `19 12 31.9 -12 34 56` or `288.13 -12.58`";
                self.remark(
                    Meaning::Coordinates,
                    Effect::RowLeftOut,
                    "there are no coordinates in it",
                    remedy,
                );
                return (String::new(), None);
            };
            let place = self.star_place(ra, dec, Meaning::Coordinates, Meaning::Coordinates);
            return (prefix.to_owned(), place);
        }
        let text = |meaning| reader.layout.column(meaning).map_or("", |column| row.cell(column));
        let (ra, ra_in) = match reader.layout.column(Meaning::RightAscension) {
            None => (
                in_parts("", [Meaning::RaHours, Meaning::RaMinutes, Meaning::RaSeconds].map(text)),
                Meaning::RaHours,
            ),
            Some(column) => (Cow::Borrowed(row.cell(column)), Meaning::RightAscension),
        };
        let (dec, dec_in) = match reader.layout.column(Meaning::Declination) {
            None => {
                let parts = [Meaning::DecDegrees, Meaning::DecMinutes, Meaning::DecSeconds].map(text);
                (in_parts(text(Meaning::DecSign), parts), Meaning::DecDegrees)
            }
            Some(column) => (Cow::Borrowed(row.cell(column)), Meaning::Declination),
        };
        (String::new(), self.star_place(&ra, &dec, ra_in, dec_in))
    }

    fn star_place(&mut self, ra: &str, dec: &str, ra_in: Meaning, dec_in: Meaning) -> Option<StarPlace> {
        let right_ascension = self.angle(ra, ra_in, "right ascension");
        let declination = self.angle(dec, dec_in, "declination");
        let (right_ascension, declination) = (right_ascension?, declination?);
        let degrees = self.right_ascension_deg(right_ascension, ra_in);
        if !(0.0..=360.0).contains(&degrees) {
            let remedy = "Give 0 to 24 hours, or 0 to 360 degrees";
            self.remark(ra_in, Effect::RowLeftOut, "the right ascension is out of range", remedy);
            return None;
        }
        if declination.marked == Marked::Hours || declination.value.abs() > 90.0 {
            self.remark(
                dec_in,
                Effect::RowLeftOut,
                "the declination is out of range",
                "Give -90 to +90 degrees. Perhaps this is the column of the right ascension, or it is in hours or arcminutes",
            );
            return None;
        }
        let place = StarPlace {
            right_ascension: Angle::from_degrees(degrees),
            declination: Angle::from_degrees(declination.value),
            pm_ra_cosdec_mas_per_yr: self.proper_motion(Meaning::ProperMotionRa),
            pm_dec_mas_per_yr: self.proper_motion(Meaning::ProperMotionDec),
        };
        let frame = self.frame()?;
        let Some(icrs) = frame.to_icrs(place) else {
            let remedy = "Check the unit of the proper motion";
            self.remark(Meaning::ProperMotionRa, Effect::RowLeftOut, "no star moves so fast", remedy);
            return None;
        };
        let kept = |angle: Angle| rounded(angle.degrees(), PLACE_STEPS);
        let turned = kept(icrs.right_ascension.wrapped());
        Some(StarPlace {
            right_ascension: Angle::from_degrees(if turned >= 360.0 { 0.0 } else { turned }),
            declination: Angle::from_degrees(kept(icrs.declination)),
            pm_ra_cosdec_mas_per_yr: rounded(icrs.pm_ra_cosdec_mas_per_yr, MOTION_STEPS),
            pm_dec_mas_per_yr: rounded(icrs.pm_dec_mas_per_yr, MOTION_STEPS),
        })
    }

    fn angle(&mut self, text: &str, meaning: Meaning, called: &str) -> Option<WrittenAngle> {
        if self.reader.layout.column(meaning).is_none() || is_unknown(text) {
            let reason = format!("the row has no {called}");
            let remedy = format!("Write it, such as {}", example(meaning));
            self.remark(meaning, Effect::RowLeftOut, &reason, &remedy);
            return None;
        }
        match read_angle(text) {
            Ok(angle) => Some(angle),
            Err(wrong) => {
                let reason = format!("the {called} can't be read: {wrong}");
                let remedy = format!("Write it such as {}", example(meaning));
                self.remark(meaning, Effect::RowLeftOut, &reason, &remedy);
                None
            }
        }
    }

    fn right_ascension_deg(&self, written: WrittenAngle, meaning: Meaning) -> f64 {
        let layout = self.reader.layout;
        let column_unit = layout.column(meaning).and_then(|column| layout.columns[column].unit);
        let unit = match written.marked {
            Marked::Hours => Unit::Hours,
            Marked::Degrees => Unit::Degrees,
            Marked::Not if meaning == Meaning::RaHours => Unit::Hours,
            Marked::Not if written.sexagesimal => layout.sexagesimal,
            Marked::Not => column_unit.unwrap_or(Unit::Hours),
        };
        if unit == Unit::Hours { written.value * 15.0 } else { written.value }
    }

    /// In milliarcseconds a year; what is not known is taken as none, as a catalogue does.
    fn proper_motion(&mut self, meaning: Meaning) -> f64 {
        const MOST: f64 = 20_000.0;
        let layout = self.reader.layout;
        let unit = layout.column(meaning).and_then(|column| layout.columns[column].unit);
        let mas = if unit == Some(Unit::ArcsecondsPerYear) { 1000.0 } else { 1.0 };
        self.number(meaning, -MOST / mas, MOST / mas).unwrap_or(0.0) * mas
    }

    fn frame(&mut self) -> Option<Frame> {
        let has_motion = self.reader.layout.column(Meaning::ProperMotionRa).is_some();
        let words = self.cell(Meaning::Equinox).map(ToOwned::to_owned);
        let epoch = self.cell(Meaning::Epoch).map(ToOwned::to_owned);
        let named = words.as_deref().map(|words| (Meaning::Equinox, Frame::of_words(words, has_motion)));
        // A column of epochs without one of equinoxes holds equinoxes, unless the stars move.
        let alone = self.reader.layout.column(Meaning::Equinox).is_none() && !has_motion;
        let by_epoch = || {
            epoch.as_deref().filter(|_| alone).map(|words| (Meaning::Epoch, Frame::of_words(words, false)))
        };
        let frame = match named.or_else(by_epoch) {
            None => self.reader.frame,
            Some((_, Some(frame))) => frame,
            Some((meaning, None)) => {
                let remedy = "Write J2000, ICRS, B1950 or a year from 1984 on";
                self.remark(meaning, Effect::RowLeftOut, "the equinox can't be read", remedy);
                return None;
            }
        };
        let year = epoch.as_deref().filter(|_| !alone);
        let year = year.and_then(|year| read_number(year.trim_start_matches(['J', 'j', 'B', 'b']), true));
        Some(year.filter(|year| (1800.0..=2200.0).contains(year)).map_or(frame, |year| frame.at_epoch(year)))
    }
}

/// How an angle is written.
fn example(meaning: Meaning) -> &'static str {
    if meaning == Meaning::Declination { "`-12 34 56` or `-12.58`" } else { "`19 12 31.9` or `288.13`" }
}
