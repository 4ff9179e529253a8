//! Degrees and hours to and from sexagesimal text, with the rounding carried and the sign kept.

use std::fmt;

use super::Angle;

/// An angle ready to be written in sexagesimal form: sign, whole units, minutes, seconds.
///
/// Rounding is done once, on the smallest unit shown, so `59.96` seconds never prints as `60.0`.
///
/// ```
/// use evenfall_core::units::{Angle, Sexagesimal};
/// let declination = Angle::from_degrees(-0.5125);
/// assert_eq!(Sexagesimal::degrees(declination, 0).to_string(), "−0° 30′ 45″");
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sexagesimal {
    value: f64,
    decimals: usize,
    hours: bool,
}

impl Sexagesimal {
    /// Degrees, arcminutes and arcseconds with `decimals` decimals.
    pub fn degrees(angle: Angle, decimals: usize) -> Self {
        Self { value: angle.degrees(), decimals, hours: false }
    }

    /// Hours, minutes and seconds with `decimals` decimals, wrapped to 0..24 h.
    pub fn hours(angle: Angle, decimals: usize) -> Self {
        Self { value: angle.wrapped().hours(), decimals, hours: true }
    }
}

impl fmt::Display for Sexagesimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let scale = 10_i64.pow(self.decimals.min(9) as u32);
        let mut units = (self.value.abs() * 3600.0 * scale as f64).round() as i64;
        if self.hours {
            units %= 24 * 3600 * scale;
        }
        let seconds = units % (60 * scale);
        let minutes = units / (60 * scale) % 60;
        let whole = units / (3600 * scale);
        let sign = if self.value < 0.0 && units != 0 { "\u{2212}" } else { "" };
        let marks = if self.hours { ["h", "m", "s"] } else { ["°", "′", "″"] };
        write!(f, "{sign}{whole}{} {minutes:02}{} {:02}", marks[0], marks[1], seconds / scale)?;
        if self.decimals > 0 {
            write!(f, ".{:0width$}", seconds % scale, width = self.decimals.min(9))?;
        }
        f.write_str(marks[2])
    }
}

/// Reads `12 34 56.7`, `12:34:56.7`, `12h34m56.7s`, `-0° 30′` or a plain number, in its own unit
/// (degrees or hours, as the caller knows). A sign before a zero counts.
///
/// Returns `None` for anything else, and where minutes or seconds are not from 0 to below 60.
pub fn parse_sexagesimal(text: &str) -> Option<f64> {
    let text = text.trim();
    let (negative, rest) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let parts: Vec<&str> = rest
        .split(|c: char| c.is_whitespace() || ":hdms°'′\"″".contains(c))
        .filter(|part| !part.is_empty())
        .collect();
    if parts.is_empty() || parts.len() > 3 {
        return None;
    }
    let mut value = 0.0;
    let mut parts_in_whole = 1.0;
    for (place, part) in parts.iter().enumerate() {
        if !part.chars().all(|c| c.is_ascii_digit() || c == '.') {
            return None;
        }
        let number: f64 = part.parse().ok()?;
        if place > 0 && number >= 60.0 {
            return None;
        }
        value += number / parts_in_whole;
        parts_in_whole *= 60.0;
    }
    Some(if negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::{Sexagesimal, parse_sexagesimal};
    use crate::units::Angle;

    #[test]
    fn rounding_is_carried() {
        let almost = Angle::from_degrees(59.0 / 60.0 + 59.96 / 3600.0);
        assert_eq!(Sexagesimal::degrees(almost, 1).to_string(), "1° 00′ 00.0″");
        let midnight = Angle::from_hours(23.999_999_9);
        assert_eq!(Sexagesimal::hours(midnight, 0).to_string(), "0h 00m 00s");
    }

    #[test]
    fn sign_before_a_zero_is_kept() {
        assert_eq!(parse_sexagesimal("-0 30 0"), Some(-0.5));
        assert_eq!(parse_sexagesimal("\u{2212}0°30′"), Some(-0.5));
        assert_eq!(parse_sexagesimal("12h34m"), Some(12.0 + 34.0 / 60.0));
        assert_eq!(parse_sexagesimal("12 60 0"), None);
        assert_eq!(parse_sexagesimal("north"), None);
    }
}
