//! An angle as people write it: sexagesimal or decimal, with or without marks.

/// What an angle says about its own unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Marked {
    Degrees,
    Hours,
    Not,
}

/// An angle as written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct WrittenAngle {
    /// In the unit of its first part, with its sign.
    pub(super) value: f64,
    pub(super) marked: Marked,
    /// Whether minutes follow.
    pub(super) sexagesimal: bool,
}

/// Marks after the first, second and third part; longer ones first.
const MARKS: [&[&str]; 3] = [
    &["degrees", "degree", "deg", "hours", "hour", "hrs", "hr", "d", "h", "ʰ", "°", "º", "˚"],
    &["arcmin", "min", "m", "ᵐ", "′", "’", "'"],
    &["arcsec", "sec", "s", "ˢ", "″", "”", "\"", "''", "′′", "’’"],
];

/// Reads an angle such as `08 34 31.9`, `8h34m31.9s`, `+12°00′52″`, `-0 30 00` or `128.63`. A comma before a digit is a decimal
/// comma.
///
/// # Errors
/// What is wrong, in words.
pub(super) fn read_angle(text: &str) -> Result<WrittenAngle, String> {
    let (negative, mut rest) = match text.trim() {
        text if text.starts_with(['-', '−', '–']) => (true, text.trim_start_matches(['-', '−', '–'])),
        text => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    rest = rest.trim_start();
    if let Some(value) = plain_number(rest) {
        let value = if negative { -value } else { value };
        return Ok(WrittenAngle { value, marked: Marked::Not, sexagesimal: false });
    }
    let mut parts = Vec::new();
    let mut marked = Marked::Not;
    while !rest.is_empty() {
        if parts.len() == 3 {
            return Err("more than three parts".to_owned());
        }
        let length = number_length(rest);
        let number: f64 = rest[..length]
            .replace(',', ".")
            .parse()
            .map_err(|_| format!("expected a number at `{}`", rest.chars().take(12).collect::<String>()))?;
        rest = rest[length..].trim_start();
        let mark =
            MARKS[parts.len()].iter().filter(|mark| starts_with(rest, mark)).max_by_key(|mark| mark.len());
        if let Some(mark) = mark {
            if parts.is_empty() {
                marked = if mark.starts_with(['h', 'ʰ']) { Marked::Hours } else { Marked::Degrees };
            }
            rest = &rest[mark.len()..];
        }
        parts.push(number);
        rest = rest.trim_start_matches(|c: char| c.is_whitespace() || c == ':');
    }
    let (&last, before) = parts.split_last().ok_or("it is empty")?;
    if before.iter().any(|part| part.fract() != 0.0) {
        return Err("only the last part may have decimals".to_owned());
    }
    // A rounded 60 is how some tables write the next minute.
    if before.iter().skip(1).any(|part| *part >= 60.0) || (parts.len() > 1 && last > 60.0) {
        return Err("minutes and seconds go from 0 to 60".to_owned());
    }
    let value = parts.iter().rev().fold(0.0, |sum, part| sum / 60.0 + part);
    Ok(WrittenAngle { value: if negative { -value } else { value }, marked, sexagesimal: parts.len() > 1 })
}

/// A right ascension and a declination in one text: split before the sign, at a comma, or in the middle.
pub(super) fn split_pair(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let sign = text.char_indices().skip(1).find(|(_, c)| matches!(c, '+' | '-' | '−' | '–'));
    if let Some((at, _)) = sign {
        return Some((text[..at].trim_end_matches([' ', ',', '\t']), &text[at..]));
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    if words.len() < 2 || !words.len().is_multiple_of(2) {
        return text.split_once(',');
    }
    let middle = words[words.len() / 2];
    let at = middle.as_ptr().addr() - text.as_ptr().addr();
    Some((text[..at].trim_end_matches([' ', ',', '\t']), &text[at..]))
}

fn plain_number(text: &str) -> Option<f64> {
    let plain = text.starts_with(|c: char| c.is_ascii_digit() || c == '.')
        && text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | 'e' | 'E' | '-' | '+'));
    if !plain {
        return None;
    }
    text.parse().ok().filter(|number: &f64| number.is_finite())
}

/// How many bytes at the start are a number without sign.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut length = 0;
    let mut decimals = false;
    while let Some(byte) = bytes.get(length) {
        let follows = bytes.get(length + 1).is_some_and(u8::is_ascii_digit);
        match byte {
            b'0'..=b'9' => {}
            b'.' if !decimals => decimals = true,
            b',' if !decimals && follows => decimals = true,
            _ => break,
        }
        length += 1;
    }
    length
}

fn starts_with(text: &str, mark: &str) -> bool {
    text.get(..mark.len()).is_some_and(|start| start.eq_ignore_ascii_case(mark))
}

#[cfg(test)]
mod tests {
    use super::{Marked, read_angle, split_pair};

    #[test]
    fn every_way_to_write_an_angle_is_the_same() {
        // 8 h 34 min 31.9 s: (31.9 / 60 + 34) / 60 + 8.
        let expected = 8.575_527_777_777_778;
        for (text, marked) in [
            ("08 34 31.9", Marked::Not),
            ("8:34:31.9", Marked::Not),
            ("8h34m31.9s", Marked::Hours),
            ("8h 34m 31,9s", Marked::Hours),
            ("08ʰ34ᵐ31.9ˢ", Marked::Hours),
            ("+8°34′31.9″", Marked::Degrees),
            ("8d34'31.9''", Marked::Degrees),
            ("8 deg 34' 31.9\"", Marked::Degrees),
        ] {
            let read = read_angle(text).unwrap();
            assert!((read.value - expected).abs() < 1e-12 && read.sexagesimal, "{text}: {read:?}");
            assert_eq!(read.marked, marked, "{text}");
        }
    }

    #[test]
    fn worked_examples_of_a_handbook() {
        // Meeus, Astronomical Algorithms, 2nd ed., from memory. Example 1.a, p. 8: 9h14m55.8s is 138.73250 degrees.
        let hours = read_angle("9h14m55.8s").unwrap();
        assert!((hours.value * 15.0 - 138.732_50).abs() < 5e-6);
        // Page 10: -13 degrees 47 minutes 22 seconds is -(13 + 47/60 + 22/3600), and so -13.789444.
        assert!((read_angle("-13°47′22″").unwrap().value + 13.789_444).abs() < 5e-7);
    }

    #[test]
    fn the_sign_of_nothing_is_kept() {
        assert_eq!(read_angle("-0 30 00").unwrap().value, -0.5);
        assert_eq!(read_angle("−00:00:36").unwrap().value, -0.01);
        assert_eq!(read_angle("-0.5").unwrap().value, -0.5);
    }

    #[test]
    fn decimals_stay_decimals() {
        for (text, value) in [("128.63", 128.63), ("128,63", 128.63), ("1.2863e2", 128.63), ("+.5", 0.5)] {
            let read = read_angle(text).unwrap();
            assert!(read.value == value && !read.sexagesimal, "{text}: {read:?}");
        }
        assert_eq!(read_angle("128.63°").unwrap().marked, Marked::Degrees);
    }

    #[test]
    fn what_is_no_angle_is_told() {
        for text in
            ["", "north", "5 61 00", "5 30 61", "5.5 30 00", "1 2 3 4", "inf", "NaN", "8h34m31.9s x", "1e999"]
        {
            assert!(read_angle(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_pair_in_one_text_is_split() {
        for (text, pair) in [
            ("08 34 31.9 +12 00 52", ("08 34 31.9", "+12 00 52")),
            ("8h34m31.9s-0°30′", ("8h34m31.9s", "-0°30′")),
            ("08 34 31.9 12 00 52", ("08 34 31.9", "12 00 52")),
            ("128.63, 12.01", ("128.63", "12.01")),
            ("128.63,12.01", ("128.63", "12.01")),
        ] {
            assert_eq!(split_pair(text), Some(pair), "{text}");
        }
        assert_eq!(split_pair("alone"), None);
    }
}
