//! Comets as lines of fixed columns, in the form in which the minor-planet centre exports orbits for programs.
//!
//! Source: the columns as that centre publishes them (from memory, and the same as in the open library skyfield 1.55):
//! number 1-4, kind 5, packed designation 6-12, perihelion 15-29 (year, month, day of TT), q 31-39, e 42-49, argument
//! of perihelion 52-59, node 62-69, inclination 72-79, epoch 82-89, H 92-95, slope 97-100, name 103-158.

use std::ops::RangeInclusive;

use super::calendar::tt_day;
use super::comet::CometElements;
use super::omm::kept_name;
use super::read::NamedComet;
use super::record::{Found, Spot, shown};
use crate::time::Instant;

/// Whether a line has the shape: digits and points where they must be.
pub(super) fn is_line(line: &str) -> bool {
    let number = |from: usize, to: usize| {
        line.get(from - 1..to).is_some_and(|text| text.trim().parse::<f64>().is_ok_and(f64::is_finite))
    };
    line.is_ascii()
        && [(15, 18), (20, 21), (23, 29), (31, 39), (42, 49), (52, 59), (62, 69), (72, 79)]
            .iter()
            .all(|(from, to)| number(*from, *to))
}

/// All comets of a text; a line that begins with `#` is a comment.
pub(super) fn comets(text: &str, found: &mut Found<'_>) -> Vec<NamedComet> {
    let lines = text.lines().enumerate();
    let lines = lines.filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'));
    lines.filter_map(|(index, line)| comet(line, index + 1, found)).collect()
}

fn comet(line: &str, number: usize, found: &mut Found<'_>) -> Option<NamedComet> {
    let before = found.faults.len();
    let mut columns = Columns { line, number, found };
    let perihelion = columns.day([15..=18, 20..=21, 23..=29], "perihelion");
    let perihelion_distance_au = columns.number(31..=39, "perihelion distance");
    let eccentricity = columns.number(42..=49, "eccentricity");
    let perihelion_argument_deg = columns.number(52..=59, "argument of perihelion");
    let ascending_node_deg = columns.number(62..=69, "ascending node");
    let inclination_deg = columns.number(72..=79, "inclination");
    let has = |from: usize, to: usize| line.get(from - 1..to).is_some_and(|text| !text.trim().is_empty());
    let epoch = has(82, 89).then(|| columns.day([82..=85, 86..=87, 88..=89], "epoch")).flatten();
    let magnitude_h = has(92, 95).then(|| columns.number(92..=95, "absolute magnitude")).flatten();
    let slope_n = has(97, 100).then(|| columns.number(97..=100, "slope")).flatten();
    let name = line.get(102..line.len().min(158)).unwrap_or_default();
    if found.faults.len() > before {
        return None;
    }
    let elements = CometElements {
        perihelion: perihelion?,
        perihelion_distance_au: perihelion_distance_au?,
        eccentricity: eccentricity?,
        inclination_deg: inclination_deg?,
        ascending_node_deg: ascending_node_deg?,
        perihelion_argument_deg: perihelion_argument_deg?,
        epoch,
        magnitude_h,
        slope_n: slope_n.unwrap_or(CometElements::USUAL_SLOPE_N),
    };
    if let Some(fault) = elements.fault() {
        found.fault(Spot { line: number, column: 1 }, fault.key, fault.to_string(), "Take it out or mend it");
        return None;
    }
    let name = kept_name(name).unwrap_or_else(|| format!("Comet of line {number}"));
    Some(NamedComet { name, elements })
}

struct Columns<'l, 'f, 'x> {
    line: &'l str,
    number: usize,
    found: &'x mut Found<'f>,
}

type Range = RangeInclusive<usize>;

impl Columns<'_, '_, '_> {
    fn text(&self, columns: &Range) -> &str {
        self.line.get(columns.start() - 1..*columns.end()).unwrap_or_default().trim()
    }

    fn number(&mut self, columns: Range, key: &str) -> Option<f64> {
        let text = self.text(&columns).to_owned();
        let number = text.parse::<f64>().ok().filter(|number| number.is_finite());
        if number.is_none() {
            self.fault(&columns, key, format!("expected a number, found {}", shown(&text)));
        }
        number
    }

    fn day(&mut self, [year, month, day]: [Range; 3], key: &str) -> Option<Instant> {
        let at = self.text(&year).parse().ok().zip(self.text(&month).parse().ok());
        let at = at.zip(self.text(&day).parse().ok());
        let at = at.and_then(|((year, month), day)| tt_day(year, month, day));
        if at.is_none() {
            let whole = year.start() - 1..*day.end();
            let text = shown(self.line.get(whole).unwrap_or_default());
            self.fault(&year, key, format!("expected year, month and day, found {text}"));
        }
        at
    }

    fn fault(&mut self, columns: &Range, key: &str, message: String) {
        let spot = Spot { line: self.number, column: *columns.start() };
        self.found.fault(spot, key, message, "Check that every value stands in its own columns");
    }
}
