//! Spaces at which no line breaks: between a number and its unit, a clock time and its zone, a day and its month, the parts of a
//! coordinate, an arrow and where it leads, a side and how far the mount turns to it.
//!
//! Source: Bureau International des Poids et Mesures, The International System of Units, 9th edition, 5.4.3 (a space parts number
//! and unit, which belong together); the others common practice of typesetting, no source.

use std::borrow::Cow;

/// The space at which no line breaks.
pub(super) const NO_BREAK: char = '\u{a0}';

/// Units as they stand on the pages, apart from those that follow their number without a space.
const UNITS: [&str; 25] = [
    "s", "ms", "min", "minutes", "h", "hours", "mm", "cm", "m", "km", "km/h", "µm", "mW", "nL", "hPa", "°C",
    "mag", "fist", "fists", "step", "steps", "points", "people", "person", "visitors",
];
/// Numbers in words, as heights in fists have them.
const COUNTS: [&str; 10] = ["half", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A text with spaces at which no line breaks where they belong.
pub(super) fn bound(text: &str) -> Cow<'_, str> {
    let may_bind = |byte: u8| byte.is_ascii_digit() || byte == b'f' || byte > 127;
    if !text.bytes().any(may_bind) {
        return Cow::Borrowed(text);
    }
    let mut bound = String::with_capacity(text.len() + 8);
    let (mut before, mut has_begun) = ("", false);
    for word in text.split(' ') {
        if has_begun {
            bound.push(if belong_together(before, word) { NO_BREAK } else { ' ' });
        }
        bound.push_str(word);
        (before, has_begun) = (word, true);
    }
    Cow::Owned(bound)
}

/// Whether two words stay on one line.
fn belong_together(before: &str, word: &str) -> bool {
    let before = before.trim_start_matches(['(', '"', '\'']);
    if before == "→" {
        return true;
    }
    let plain = word.trim_end_matches([',', '.', ';', ':', ')', '?', '!', '"', '\'']);
    let Some(last) = before.chars().next_back() else { return false };
    if last.is_ascii_digit() {
        return UNITS.contains(&plain) || MONTHS.contains(&plain) || (is_clock(before) && is_zone(plain));
    }
    if matches!(before, "left" | "right") {
        return plain.ends_with('°');
    }
    if COUNTS.contains(&before) {
        return matches!(plain, "fist" | "fists");
    }
    let begins_with_digit = plain.bytes().next().is_some_and(|byte| byte.is_ascii_digit());
    begins_with_digit && is_part_of_coordinate(before, last, plain)
}

/// `16h` before `41m`, `36°` before `27′`.
fn is_part_of_coordinate(before: &str, last: char, next: &str) -> bool {
    let is_number = |text: &str| text.bytes().next_back().is_some_and(|byte| byte.is_ascii_digit());
    let ends = |text: &str, unit: char| text.strip_suffix(unit).is_some_and(is_number);
    let follows = match last {
        'h' => 'm',
        'm' => 's',
        '°' => '′',
        '′' => '″',
        _ => return false,
    };
    ends(before, last) && ends(next, follows)
}

/// `20:40`.
fn is_clock(word: &str) -> bool {
    let bytes = word.as_bytes();
    bytes.len() >= 5 && bytes[bytes.len() - 3] == b':'
}

/// `GMT`, `+03`.
fn is_zone(word: &str) -> bool {
    let letters = word.bytes().all(|byte| byte.is_ascii_uppercase());
    let offset = word.strip_prefix(['+', '-']);
    (letters && (2..=5).contains(&word.len()))
        || offset.is_some_and(|hours| !hours.is_empty() && hours.bytes().all(|byte| byte.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::bound;

    #[test]
    fn what_belongs_together_stays_together() {
        for (text, expected) in [
            ("wait 30 min after the last.", "wait 30~min after the last."),
            ("within 30 s, then 1 h 5 min.", "within 30~s, then 1~h 5~min."),
            ("45 km/h sustained; air 1013 hPa, 5 °C", "45~km/h sustained; air 1013~hPa, 5~°C"),
            ("18:30 to 22:30 GMT (Sun)", "18:30 to 22:30~GMT (Sun)"),
            ("sets 01:33 +03", "sets 01:33~+03"),
            ("Saturday 13 March 2027", "Saturday 13~March 2027"),
            ("south-west, three fists, until", "south-west, three~fists, until"),
            ("16h 41m 41.6s", "16h~41m~41.6s"),
            ("+36° 27′ 37″", "+36°~27′~37″"),
            ("1 min 18 s, left 141°", "1~min 18~s, left~141°"),
            ("WSW 246° → 248°", "WSW 246° →~248°"),
            ("(25 mm, 120×)", "(25~mm, 120×)"),
        ] {
            assert_eq!(bound(text), expected.replace('~', "\u{a0}"), "{text}");
        }
    }

    #[test]
    fn other_words_may_part() {
        for text in ["row 12 at", "Stop 3 The Moon", "one person", "from half past", "12 GMT", "", "x", " 5"]
        {
            assert_eq!(bound(text), text);
        }
    }
}
