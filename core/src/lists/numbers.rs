//! Numbers, sizes and the many ways to say that a value is not known.

/// A length on the sky in arcminutes, by the mark or word behind it.
const SIZE_UNITS: [(&str, f64); 15] = [
    ("degrees", 60.0),
    ("degree", 60.0),
    ("deg", 60.0),
    ("°", 60.0),
    ("arcminutes", 1.0),
    ("arcmin", 1.0),
    ("′", 1.0),
    ("’", 1.0),
    ("arcseconds", 1.0 / 60.0),
    ("arcsec", 1.0 / 60.0),
    ("″", 1.0 / 60.0),
    ("”", 1.0 / 60.0),
    ("\"", 1.0 / 60.0),
    ("''", 1.0 / 60.0),
    ("'", 1.0),
];

/// Values that stand for "not known" in one table or another, as far as the rest of the column lies well below them.
const SENTINELS: [f64; 10] = [99.0, 99.9, 99.99, 99.999, 999.0, 999.9, 999.99, 9999.0, 9999.9, 99_999.0];

/// Whether a cell says that nothing is known.
pub(super) fn is_unknown(text: &str) -> bool {
    const WORDS: [&str; 10] = ["n/a", "na", "nan", "null", "none", "unknown", "?", "...", "…", "n.a."];
    let text = text.trim();
    text.chars().all(|c| matches!(c, '-' | '–' | '—' | '−' | '~'))
        || WORDS.iter().any(|word| text.eq_ignore_ascii_case(word))
}

/// A finite number; with decimal commas, a point that may part thousands is no number.
pub(super) fn read_number(text: &str, decimal_comma: bool) -> Option<f64> {
    let text = text.trim().replace('−', "-");
    if !text.chars().all(|c| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | ',' | 'e' | 'E')) {
        return None;
    }
    let number = if text.contains(',') {
        let once = text.matches(',').count() == 1 && !text.contains('.');
        (decimal_comma && once).then(|| text.replace(',', "."))?
    } else {
        let thousands = text.split_once('.').is_some_and(|(_, decimals)| decimals.len() == 3);
        (!(decimal_comma && thousands)).then_some(text)?
    };
    number.parse().ok().filter(|number: &f64| number.is_finite())
}

/// The axes of a size such as `12`, `12x8`, `12′ × 8′`, `1.5°` or `40"`, in arcminutes as written; a number without a mark is
/// `usual_arcmin` arcminutes times itself.
pub(super) fn read_axes(text: &str, usual_arcmin: f64, decimal_comma: bool) -> Option<Vec<f64>> {
    let parts: Vec<&str> = text.split(['x', 'X', '×', '*', '/']).collect();
    if parts.len() > 2 {
        return None;
    }
    let cut = |part: &str| {
        let part = part.trim();
        let lower = part.to_lowercase();
        let unit = SIZE_UNITS.iter().find(|(mark, _)| lower.ends_with(mark));
        let number = unit.map_or(part, |(mark, _)| part.get(..part.len() - mark.len()).unwrap_or_default());
        Some((read_number(number, decimal_comma)?, unit.map(|(_, arcmin)| *arcmin)))
    };
    let parts: Vec<(f64, Option<f64>)> = parts.into_iter().map(cut).collect::<Option<_>>()?;
    // `12 x 8'`: the mark of the last holds for both.
    let usual = parts.last().and_then(|(_, unit)| *unit).unwrap_or(usual_arcmin);
    Some(parts.into_iter().map(|(number, unit)| number * unit.unwrap_or(usual)).collect())
}

/// The value of a column that stands for "not known": it looks like one, and everything else lies below its half.
pub(super) fn sentinel_of(numbers: impl Iterator<Item = f64> + Clone) -> Option<f64> {
    let found = numbers.clone().find(|number| SENTINELS.contains(&number.abs()))?;
    let mut others = numbers.filter(|number| *number != found).peekable();
    others.peek()?;
    others.all(|number| number.abs() < 0.5 * found.abs()).then_some(found)
}

#[cfg(test)]
mod tests {
    use super::{is_unknown, read_axes, read_number, sentinel_of};

    #[test]
    fn unknown_is_not_zero() {
        for text in ["", "-", "--", "nan", "N/A", " … ", "null"] {
            assert!(is_unknown(text), "{text}");
        }
        assert!(!is_unknown("0") && !is_unknown("-1"));
    }

    #[test]
    fn a_number_is_read_in_the_list_s_own_way() {
        assert_eq!(read_number("1.5", false), Some(1.5));
        assert_eq!(read_number("−1,5", true), Some(-1.5));
        for (text, comma) in [
            ("1,234", false),
            ("1.234", true),
            ("1,2,3", true),
            ("nan", false),
            ("1e999", false),
            ("5 m", false),
        ] {
            assert_eq!(read_number(text, comma), None, "{text}");
        }
    }

    #[test]
    fn sizes_in_every_unit() {
        let near = |text: &str, expected: &[f64]| {
            let axes = read_axes(text, 1.0, false).unwrap();
            assert!(axes.len() == expected.len(), "{text}");
            assert!(
                axes.iter().zip(expected).all(|(got, want)| (got - want).abs() < 1e-12),
                "{text}: {axes:?}"
            );
        };
        near("12x8", &[12.0, 8.0]);
        near("12 x 8'", &[12.0, 8.0]);
        near("12′ × 8′", &[12.0, 8.0]);
        near("1.5°", &[90.0]);
        near("90\"", &[1.5]);
        near("1 deg x 30 arcmin", &[60.0, 30.0]);
        near("30'' x 15''", &[0.5, 0.25]);
        assert_eq!(read_axes("1x2x3", 1.0, false), None);
        assert_eq!(read_axes("wide", 1.0, false), None);
    }

    #[test]
    fn a_sentinel_stands_alone_above_the_rest() {
        assert_eq!(sentinel_of([8.0, 99.9, 11.2].into_iter()), Some(99.9));
        assert_eq!(sentinel_of([80.0, 99.9, 120.0].into_iter()), None);
        assert_eq!(sentinel_of([99.9].into_iter()), None, "nothing to compare with");
    }
}
