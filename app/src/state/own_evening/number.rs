//! Numbers as people type them: with a decimal comma, a true minus, degrees in parts, a compass letter.

/// A number: `55.1`, `55,1`, `−2.5`. Not `1,200`, which is a thousand and more to some and little more than one to others.
pub(in crate::state) fn number(typed: &str) -> Option<f64> {
    if has_thousands_comma(typed) {
        return None;
    }
    plain(&typed.replace(',', "."))
}

/// Whether exactly three digits follow a comma.
fn has_thousands_comma(typed: &str) -> bool {
    let digits = |part: &str| part.chars().take_while(char::is_ascii_digit).count();
    typed.split(',').skip(1).any(|part| digits(part) == 3)
}

/// What to write in place of a comma that can be read in two ways.
pub(in crate::state) fn two_ways(typed: &str) -> Option<String> {
    if !has_thousands_comma(typed) {
        return None;
    }
    let readings = [plain(&typed.replace(',', "")), plain(&typed.replace(',', "."))];
    let readings: Vec<String> = readings.into_iter().flatten().map(|number| number.to_string()).collect();
    Some(if readings.is_empty() {
        "The comma can be read in two ways: write the number with a point, or with none.".to_owned()
    } else {
        format!("The comma can be read in two ways: write {}.", readings.join(" or "))
    })
}

/// Whether a number can be meant otherwise than it is read: `55,1`, `1.200`, `1e3`.
pub(in crate::state) fn is_doubtful(typed: &str) -> bool {
    let decimals = typed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    decimals == 3 || typed.contains(|letter: char| letter == ',' || letter.is_alphabetic())
}

fn plain(typed: &str) -> Option<f64> {
    let plain = typed.trim().replace('\u{2212}', "-");
    plain.parse().ok().filter(|number: &f64| number.is_finite())
}

/// Numbers with anything but digits between them: `35, 24, 10`. A comma parts them here, so decimals take a point.
pub(in crate::state) fn numbers(typed: &str) -> Option<Vec<f64>> {
    let parts = typed.split([',', ';', ' ']).filter(|part| !part.trim().is_empty());
    let numbers: Option<Vec<f64>> = parts.map(number).collect();
    numbers.filter(|numbers| !numbers.is_empty())
}

/// An angle in degrees, in one number or in degrees, minutes and seconds, with the letter of its side if there is one:
/// `-2.5`, `2.5 W`, `55° 6′ 12″ N`.
pub(in crate::state) fn degrees(typed: &str, positive: char, negative: char) -> Option<f64> {
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
    use super::{degrees, is_doubtful, number, numbers, two_ways};

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
    fn a_comma_before_three_digits_is_asked_about() {
        assert_eq!([number("1,200"), number("-1,000"), number("500,000"), number("1,200.5")], [None; 4]);
        assert_eq!(
            [number("1,2"), number("1,20"), number("1,2000"), number("1200")],
            [Some(1.2), Some(1.2), Some(1.2), Some(1200.0)]
        );
        assert_eq!(degrees("55,123 N", 'N', 'S'), None);
        let asked = |typed| two_ways(typed).expect("it can be read in two ways");
        assert!(asked("1,200").ends_with("write 1200 or 1.2."), "{}", asked("1,200"));
        assert!(asked("1,200,000").ends_with("write 1200000."), "{}", asked("1,200,000"));
        assert!(asked("55,123 N").contains("with a point"), "{}", asked("55,123 N"));
        assert_eq!(two_ways("1,2"), None);
        assert_eq!(["1,2", "1.200", "1e3", "1200", "5.0"].map(is_doubtful), [true, true, true, false, false]);
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
