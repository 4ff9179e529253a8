//! Numbers as people type them: with a decimal comma, a true minus, degrees in parts, a compass letter.

/// A number: `55.1`, `55,1`, `−2.5`.
pub(super) fn number(typed: &str) -> Option<f64> {
    let plain = typed.trim().replace('\u{2212}', "-").replace(',', ".");
    plain.parse().ok().filter(|number: &f64| number.is_finite())
}

/// Numbers with anything but digits between them: `35, 24, 10`. A comma parts them here, so decimals take a point.
pub(super) fn numbers(typed: &str) -> Option<Vec<f64>> {
    let parts = typed.split([',', ';', ' ']).filter(|part| !part.trim().is_empty());
    let numbers: Option<Vec<f64>> = parts.map(number).collect();
    numbers.filter(|numbers| !numbers.is_empty())
}

/// An angle in degrees, in one number or in degrees, minutes and seconds, with the letter of its side if there is one:
/// `-2.5`, `2.5 W`, `55° 6′ 12″ N`.
pub(super) fn degrees(typed: &str, positive: char, negative: char) -> Option<f64> {
    let typed = typed.trim().to_uppercase();
    let (rest, side) = match typed.chars().last() {
        Some(letter) if letter == positive => (typed.trim_end_matches(positive), Some(1.0)),
        Some(letter) if letter == negative => (typed.trim_end_matches(negative), Some(-1.0)),
        _ => (typed.as_str(), None),
    };
    let marks = ['°', '\'', '"', '′', '″', ':', ' '];
    let parts: Vec<&str> = rest.split(marks).filter(|part| !part.is_empty()).collect();
    let (first, smaller) = parts.split_first()?;
    let whole = number(first)?;
    let sign = if first.starts_with(['-', '\u{2212}']) { -1.0 } else { 1.0 };
    if smaller.len() > 2 || (sign < 0.0 && side.is_some()) {
        return None;
    }
    let mut size = whole.abs();
    for (part, unit) in smaller.iter().zip([60.0, 3600.0]) {
        let part = number(part).filter(|part| (0.0..60.0).contains(part))?;
        size += part / unit;
    }
    Some(side.unwrap_or(sign) * size)
}

#[cfg(test)]
mod tests {
    use super::{degrees, number, numbers};

    #[test]
    fn numbers_are_read_as_people_type_them() {
        assert_eq!(
            [number(" 55,1 "), number("\u{2212}2.5"), number("1e3")],
            [Some(55.1), Some(-2.5), Some(1000.0)]
        );
        assert_eq!([number("nan"), number("inf"), number("5 m"), number("")], [None; 4]);
        assert_eq!(numbers("35, 24 ;10"), Some(vec![35.0, 24.0, 10.0]));
        assert_eq!([numbers(""), numbers("35, long")], [None, None]);
    }

    #[test]
    fn angles_are_read_with_a_letter_or_in_parts() {
        let longitude = |typed| degrees(typed, 'E', 'W');
        assert_eq!(
            [longitude("-2.5"), longitude("2.5 W"), longitude("2.5w"), longitude("2°30'W")],
            [Some(-2.5); 4]
        );
        assert_eq!(longitude("-0 30 0"), Some(-0.5));
        assert_eq!(longitude("10 E"), Some(10.0));
        assert_eq!(
            [longitude("-2 W"), longitude("2 70"), longitude("1 2 3 4"), longitude("W"), longitude("")],
            [None; 5]
        );
    }
}
