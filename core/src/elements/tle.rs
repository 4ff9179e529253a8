//! Two-line elements, with or without a line for the name.
//!
//! Source: Hoots & Roehrich 1980, Spacetrack Report No. 3; columns and the two-digit year (57 and later are of the
//! twentieth century) as in Vallado et al. 2006, AIAA 2006-6753; catalogue numbers with a letter (Alpha-5) as the
//! publishers of such elements describe them: `A` is 10 and so on, without I and O.

use std::ops::RangeInclusive;

use chrono::{DateTime, Utc};

use super::calendar::day_of_year;
use super::omm::{followed, kept_name};
use super::record::{Found, Spot, shown};
use super::satellite::SatelliteElements;

/// Characters of a line, the last of them its checksum.
const LENGTH: usize = 69;

/// Whether a line may be the first or the second of a pair.
pub(super) fn is_line(line: &str, number: char) -> bool {
    let line = line.trim_end();
    let mut letters = line.chars();
    letters.next() == Some(number) && letters.next() == Some(' ') && (60..=80).contains(&line.len())
}

/// All elements of a text.
pub(super) fn elements(text: &str, found: &mut Found<'_>) -> Vec<SatelliteElements> {
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    let mut read = Vec::new();
    let mut name: Option<&str> = None;
    let mut index = 0;
    while let Some(line) = lines.get(index) {
        let next = lines.get(index + 1).copied().unwrap_or_default();
        if is_line(line, '1') {
            if is_line(next, '2') {
                read.extend(pair([line, next], index + 1, name.take(), found));
                index += 2;
                continue;
            }
            let message = "its second line does not follow";
            found.fault(Spot { line: index + 1, column: 1 }, "", message, "Keep both lines together");
            name = None;
        } else if is_line(line, '2') {
            let message = "a second line without its first";
            found.fault(Spot { line: index + 1, column: 1 }, "", message, "Keep both lines together");
            name = None;
        } else if !line.trim().is_empty() && !line.starts_with('#') {
            name = Some(line.strip_prefix("0 ").unwrap_or(line));
        }
        index += 1;
    }
    read
}

/// The two lines of one satellite, read column by column.
struct Pair<'l, 'f, 'x> {
    lines: [&'l str; 2],
    first_line: usize,
    found: &'x mut Found<'f>,
}

fn pair(
    lines: [&str; 2],
    first_line: usize,
    name: Option<&str>,
    found: &mut Found<'_>,
) -> Option<SatelliteElements> {
    let before = found.faults.len();
    let mut pair = Pair { lines, first_line, found };
    let whole = [pair.is_whole(0), pair.is_whole(1)];
    if whole.contains(&false) {
        return None;
    }
    pair.is_for_sgp4();
    let number = pair.catalogue_number();
    let epoch = pair.epoch();
    let bstar = pair.bstar();
    let inclination = pair.number(1, 9..=16, "inclination");
    let node = pair.number(1, 18..=25, "right ascension of the node");
    let eccentricity = pair.after_point(1, 27..=33, "eccentricity");
    let perigee = pair.number(1, 35..=42, "argument of perigee");
    let anomaly = pair.number(1, 44..=51, "mean anomaly");
    let motion = pair.number(1, 53..=63, "mean motion");
    if found.faults.len() > before {
        return None;
    }
    let elements = SatelliteElements {
        name: name.and_then(kept_name).unwrap_or_else(|| format!("Satellite {}", number.unwrap_or(0))),
        catalogue_number: number?,
        epoch: epoch?,
        mean_motion_rev_per_day: motion?,
        eccentricity: eccentricity?,
        inclination_deg: inclination?,
        ascending_node_deg: node?,
        perigee_argument_deg: perigee?,
        mean_anomaly_deg: anomaly?,
        bstar: bstar?,
    };
    let spot = Spot { line: first_line, column: 1 };
    followed(elements, found, |key| (spot, key.trim_end_matches("_deg").replace('_', " ")))
}

impl Pair<'_, '_, '_> {
    fn fault(&mut self, line: usize, column: usize, key: &str, message: String, remedy: &str) {
        let spot = Spot { line: self.first_line + line, column };
        self.found.fault(spot, key, message, remedy);
    }

    /// Whether a line has its length, nothing but ASCII, and the checksum that it says.
    fn is_whole(&mut self, line: usize) -> bool {
        const FETCH: &str = "Fetch these elements again: a line was cut or changed";
        let text = self.lines[line];
        if !text.is_ascii() {
            let column = text.chars().take_while(char::is_ascii).count() + 1;
            self.fault(
                line,
                column,
                "",
                "a letter that does not belong into these columns".to_owned(),
                FETCH,
            );
            return false;
        }
        if text.len() != LENGTH {
            let message = format!("the line has {} characters, not {LENGTH}", text.len());
            self.fault(line, 1, "", message, FETCH);
            return false;
        }
        // The sum of all digits, a minus counting 1, modulo 10.
        let sum: u32 =
            text[..LENGTH - 1].chars().map(|c| if c == '-' { 1 } else { c.to_digit(10).unwrap_or(0) }).sum();
        let said = &text[LENGTH - 1..];
        if said != (sum % 10).to_string() {
            let message = format!("the checksum is {}, the line says {}", sum % 10, shown(said));
            self.fault(line, LENGTH, "checksum", message, FETCH);
            return false;
        }
        true
    }

    /// Whether the elements are of the theory that they will be followed by: other types, such as 4, have other quantities
    /// in the columns of the drag term. Types 2 and 3 are the theory's own, 0 and a blank leave it open.
    fn is_for_sgp4(&mut self) {
        let kind = self.columns(0, &(63..=63)).trim().to_owned();
        if !matches!(kind.as_str(), "" | "0" | "2" | "3") {
            let message = format!("elements of type {} are not of SGP4", shown(&kind));
            self.fault(0, 63, "ephemeris type", message, "Ask for elements of SGP4, type 0");
        }
    }

    /// Columns of a line, counted from 1; [`Self::is_whole`] says that they are there.
    fn columns(&self, line: usize, columns: &RangeInclusive<usize>) -> &str {
        self.lines[line].get(columns.start() - 1..*columns.end()).unwrap_or_default()
    }

    fn number(&mut self, line: usize, columns: RangeInclusive<usize>, key: &str) -> Option<f64> {
        let text = self.columns(line, &columns).trim().to_owned();
        self.parsed(line, *columns.start(), key, &text, &text)
    }

    /// A number of which only the digits after the point are written.
    fn after_point(&mut self, line: usize, columns: RangeInclusive<usize>, key: &str) -> Option<f64> {
        let text = self.columns(line, &columns).trim().to_owned();
        self.parsed(line, *columns.start(), key, &format!("0.{text}"), &text)
    }

    fn parsed(&mut self, line: usize, column: usize, key: &str, number: &str, text: &str) -> Option<f64> {
        let plain = number.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | 'e'));
        let read = number.parse::<f64>().ok().filter(|number| plain && number.is_finite());
        if read.is_none() {
            let message = format!("expected a number, found {}", shown(text));
            self.fault(line, column, key, message, "Fetch these elements again");
        }
        read
    }

    /// The same in both lines; five digits, or a letter and four.
    fn catalogue_number(&mut self) -> Option<u64> {
        let [first, second] = [0, 1].map(|line| self.columns(line, &(3..=7)).trim().to_owned());
        if first != second {
            let message =
                format!("the number {} is not that of the first line, {}", shown(&second), shown(&first));
            self.fault(1, 3, "catalogue number", message, "Keep the two lines of one satellite together");
            return None;
        }
        let number = number_of(&first);
        if number.is_none() {
            let message = format!("expected five digits, or a letter and four, found {}", shown(&first));
            self.fault(0, 3, "catalogue number", message, "Fetch these elements again");
        }
        number
    }

    fn epoch(&mut self) -> Option<DateTime<Utc>> {
        let text = self.columns(0, &(19..=32)).to_owned();
        let year: Option<i32> = text.get(..2).and_then(|year| year.trim().parse().ok());
        let day: Option<f64> = text.get(2..).and_then(|day| day.trim().parse().ok());
        let epoch = year.zip(day).and_then(|(year, day)| {
            let century = if year < 57 { 2000 } else { 1900 };
            day_of_year(century + year, day)
        });
        if epoch.is_none() {
            let message = format!("expected a year of two digits and its day, found {}", shown(&text));
            self.fault(0, 19, "epoch", message, "Fetch these elements again");
        }
        epoch
    }

    /// Sign, five digits after the point, and a power of ten: ` 28098-4` is 0.000028098.
    fn bstar(&mut self) -> Option<f64> {
        let text = self.columns(0, &(54..=61)).to_owned();
        let (digits, power) = text.split_at(6);
        let (sign, digits) = match digits.strip_prefix('-') {
            Some(digits) => ("-", digits),
            None => ("", digits.trim_start_matches('+')),
        };
        let power = power.replace(' ', "");
        let power = if power.is_empty() { "0" } else { &power };
        self.parsed(0, 54, "drag term", &format!("{sign}0.{}e{power}", digits.trim()), text.trim())
    }
}

/// A catalogue number of five digits, or with a letter for its first two.
fn number_of(text: &str) -> Option<u64> {
    const LETTERS: &str = "ABCDEFGHJKLMNPQRSTUVWXYZ";
    let first = text.chars().next()?;
    let (tens_of_thousands, rest) = match LETTERS.find(first) {
        Some(at) => (10 + at as u64, &text[1..]),
        None => (0, text),
    };
    let digits = (1..=5).contains(&rest.len()) && rest.bytes().all(|byte| byte.is_ascii_digit());
    (digits && (tens_of_thousands == 0 || rest.len() == 4))
        .then(|| rest.parse::<u64>().ok().map(|rest| tens_of_thousands * 10_000 + rest))
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::{elements, number_of};
    use crate::elements::record::Found;

    /// Invented elements; checksums by the rule above.
    const FIRST: &str = "1 T0001U 27001A   27072.50000000  .00001000  00000-0  12345-4 0  9995";
    const SECOND: &str = "2 T0001  51.6400 120.0000 0004000  30.0000 330.0000 15.50000000 12345";

    fn with_checksum(line: &str) -> String {
        let sum: u32 =
            line[..68].chars().map(|c| if c == '-' { 1 } else { c.to_digit(10).unwrap_or(0) }).sum();
        format!("{}{}", &line[..68], sum % 10)
    }

    #[test]
    fn letters_stand_for_more_numbers() {
        // The ends of the scheme, as its publishers print them: A0000 is 100000, J2931 is 182931, Z9999 is 339999.
        for (text, number) in [
            ("00005", Some(5)),
            ("A0000", Some(100_000)),
            ("J2931", Some(182_931)),
            ("Z9999", Some(339_999)),
            ("I0000", None),
            ("O0000", None),
            ("A000", None),
            ("", None),
            ("é0000", None),
        ] {
            assert_eq!(number_of(text), number, "{text}");
        }
    }

    #[test]
    fn a_pair_is_read_and_a_broken_one_told_where_it_breaks() {
        let (first, second) = (with_checksum(FIRST), with_checksum(SECOND));
        let mut found = Found { file: "f.tle", faults: Vec::new() };
        let read = elements(&format!("0 MILL POND\r\n{first}\r\n{second}\r\n"), &mut found);
        assert!(found.faults.is_empty(), "{:?}", found.faults);
        assert_eq!((read[0].name.as_str(), read[0].catalogue_number), ("MILL POND", 270_001));
        assert_eq!(read[0].epoch.to_rfc3339(), "2027-03-13T12:00:00+00:00");
        assert!((read[0].bstar - 0.12345e-4).abs() < 1e-18 && (read[0].eccentricity - 0.0004).abs() < 1e-15);

        let wrong = first.replace("12345-4", "12346-4");
        let text = format!("A\n{wrong}\n{second}\nB\n{first}\n{second}\n{second}\n{first}");
        let read = elements(&text, &mut found);
        assert_eq!(read.len(), 1, "the good one still comes in");
        let told: Vec<String> = found.faults.iter().map(ToString::to_string).collect();
        assert!(told[0].starts_with("f.tle:2:69: checksum: the checksum is"), "{told:?}");
        assert!(told[1].starts_with("f.tle:7:1: a second line without its first"), "{told:?}");
        assert!(told[2].starts_with("f.tle:8:1: its second line does not follow"), "{told:?}");
    }
}
