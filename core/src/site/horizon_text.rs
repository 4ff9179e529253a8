//! A horizon as people note it: one corner a line, azimuth and altitude in degrees, in any order.

use std::fmt;
use std::ops::RangeInclusive;

/// Azimuths that are taken: a whole turn either way of what is usual, so that north may be crossed.
const AZIMUTHS_DEG: RangeInclusive<f64> = -360.0..=720.0;
/// Altitudes that a profile may have.
const ALTITUDES_DEG: RangeInclusive<f64> = -10.0..=90.0;
/// What begins a comment.
const COMMENTS: [&str; 3] = ["#", "//", "%"];

/// A horizon as it was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HorizonText {
    /// Azimuth from 0 to less than 360 and altitude, in degrees, by azimuth; each azimuth once.
    pub corners: Vec<(f64, f64)>,
    /// Lines that were not used.
    pub unused: Vec<UnusedLine>,
}

/// A line that was not used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnusedLine {
    /// Its number, from 1.
    pub line: usize,
    /// What it says.
    pub text: String,
    /// Why.
    pub why: String,
}

impl fmt::Display for UnusedLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, `{}`: {}", self.line, self.text, self.why)
    }
}

/// Reads corners: two numbers a line, parted by comma, semicolon, tab or space; a decimal comma where the comma parts
/// nothing. What follows `#`, `//` or `%` is a comment. Any order, any turn, any gap.
pub fn read_horizon_text(text: &str) -> HorizonText {
    let mut read = HorizonText::default();
    for (index, whole) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let end = COMMENTS.iter().filter_map(|mark| whole.find(mark)).min().unwrap_or(whole.len());
        let text = whole[..end].trim();
        if text.is_empty() {
            continue;
        }
        let taken =
            corner(text).and_then(|corner| match read.corners.iter().find(|other| other.0 == corner.0) {
                Some(other) if other.1 != corner.1 => {
                    Err(format!("azimuth {} stands above already, with altitude {}", corner.0, other.1))
                }
                Some(_) => Ok(()),
                None => {
                    read.corners.push(corner);
                    Ok(())
                }
            });
        if let Err(why) = taken {
            let text = text.chars().take(60).collect();
            read.unused.push(UnusedLine { line: index + 1, text, why });
        }
    }
    read.corners.sort_by(|one, other| one.0.total_cmp(&other.0));
    read
}

fn corner(text: &str) -> Result<(f64, f64), String> {
    let columns = columns(text);
    let [azimuth, altitude] = columns[..] else {
        return Err(format!("expected two numbers, azimuth and altitude, found {}", columns.len()));
    };
    let (azimuth, altitude) = (number(azimuth, "azimuth")?, number(altitude, "altitude")?);
    if !AZIMUTHS_DEG.contains(&azimuth) {
        return Err(format!("azimuth {azimuth} is not from -360 to 720 degrees"));
    }
    if !ALTITUDES_DEG.contains(&altitude) {
        return Err(format!("altitude {altitude} is not from -10 to 90 degrees"));
    }
    // Rounding may make a whole turn of a little less than none.
    Ok((azimuth.rem_euclid(360.0) % 360.0, altitude))
}

/// The columns of a line.
fn columns(text: &str) -> Vec<&str> {
    let parted = |marks: &[char]| -> Vec<&str> {
        text.split(marks).map(str::trim).filter(|column| !column.is_empty()).collect()
    };
    if text.contains([';', '\t']) {
        return parted(&[';', '\t']);
    }
    let by_space: Vec<&str> = text
        .split_whitespace()
        .map(|column| column.trim_matches(','))
        .filter(|column| !column.is_empty())
        .collect();
    if by_space.len() > 1 { by_space } else { parted(&[',']) }
}

fn number(text: &str, what: &str) -> Result<f64, String> {
    let plain = text.trim_end_matches('°').replace(',', ".").replace('\u{2212}', "-");
    let number = plain.parse().ok().filter(|number: &f64| number.is_finite());
    number.ok_or_else(|| format!("`{text}` is no {what} in degrees"))
}

#[cfg(test)]
mod tests {
    use super::read_horizon_text;

    fn unused(text: &str) -> Vec<String> {
        read_horizon_text(text).unused.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn every_delimiter_and_a_decimal_comma_are_read() {
        for line in [
            "62.5 18",
            "62.5,18",
            "62.5, 18",
            "62.5;18",
            "62,5;18,0",
            "62,5\t18",
            "62,5 18,0",
            "62.5° 18°",
            " 62.5 , 18 ",
        ] {
            assert_eq!(read_horizon_text(line).corners, [(62.5, 18.0)], "{line}");
        }
    }

    #[test]
    fn any_order_any_turn_and_comments_are_taken() {
        let text = "\u{feff}# walked round on Sunday\r\n350 8 // roof\n\n10, 4\n560 20\n-10 8\n";
        let read = read_horizon_text(text);
        assert_eq!(read.corners, [(10.0, 4.0), (200.0, 20.0), (350.0, 8.0)]);
        assert_eq!(read.unused, []);
    }

    #[test]
    fn what_is_not_used_is_told_with_line_and_reason() {
        let told = unused("azimuth altitude\n10 4 2\n10 95\n800 4\n10 4\n370 5\n12,5,3,2\n7");
        assert_eq!(
            told,
            [
                "line 1, `azimuth altitude`: `azimuth` is no azimuth in degrees",
                "line 2, `10 4 2`: expected two numbers, azimuth and altitude, found 3",
                "line 3, `10 95`: altitude 95 is not from -10 to 90 degrees",
                "line 4, `800 4`: azimuth 800 is not from -360 to 720 degrees",
                "line 6, `370 5`: azimuth 10 stands above already, with altitude 4",
                "line 7, `12,5,3,2`: expected two numbers, azimuth and altitude, found 4",
                "line 8, `7`: expected two numbers, azimuth and altitude, found 1",
            ]
        );
    }
}
