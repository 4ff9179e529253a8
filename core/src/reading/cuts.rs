//! Sound RON cut into values that are still text, so that each can be read by itself and knows its place.
//!
//! Whether a text is RON is for [`judge`](super::ron_values::judge), once; here only brackets, commas and what hides them
//! are looked at. A text that is no RON is cut somewhere, without a panic.

/// Keys with their values, in the order of the file.
pub(super) type KeyedValues<'t> = Vec<(&'t str, &'t str)>;

/// The keys and values of a group such as `(name: "x", size: 3)`, its own name before it or not; `None` where it is none.
pub(super) fn group_values(text: &str) -> Option<KeyedValues<'_>> {
    let mut values = Vec::new();
    let open = skip(text, past_word(text, skip(text, 0)));
    let mut at = past(text, open, b'(')?;
    loop {
        at = skip(text, at);
        if past(text, at, b')').is_some() {
            return Some(values);
        }
        let key_end = past_key(text, at);
        let key = text.get(at..key_end).filter(|key| !key.is_empty())?;
        at = skip(text, past(text, skip(text, key_end), b':')?);
        let value = value(text, at)?;
        values.push((key.strip_prefix("r#").unwrap_or(key), value));
        at = skip(text, at + value.len());
        at = past(text, at, b',').or_else(|| past(text, at, b')').map(|_| at))?;
    }
}

/// The entries of a list such as `[1, 2]`; `None` where it is none.
pub(super) fn list_values(text: &str) -> Option<Vec<&str>> {
    let mut values = Vec::new();
    let mut at = past(text, skip(text, 0), b'[')?;
    loop {
        at = skip(text, at);
        if past(text, at, b']').is_some() {
            return Some(values);
        }
        let value = value(text, at)?;
        values.push(value);
        at = skip(text, at + value.len());
        at = past(text, at, b',').or_else(|| past(text, at, b']').map(|_| at))?;
    }
}

/// Where the one value of a file begins: behind a byte order mark, comments and attributes, whose `#` and `!` may stand apart.
pub(super) fn value_start(text: &str) -> usize {
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut at = skip(text, text.len() - bare.len());
    while let Some(attribute) = text.get(at..).filter(|rest| rest.starts_with('#')) {
        at = skip(text, attribute.find(']').map_or(text.len(), |end| at + end + 1));
    }
    at
}

/// Past white space and comments.
pub(super) fn skip(text: &str, mut at: usize) -> usize {
    loop {
        match hidden_length(text, at) {
            0 => return at,
            length => at += length,
        }
    }
}

/// Past a byte, if it stands there.
fn past(text: &str, at: usize, byte: u8) -> Option<usize> {
    (text.as_bytes().get(at) == Some(&byte)).then_some(at + 1)
}

/// The value that begins at a place, without what stands behind it; `None` where there is none.
fn value(text: &str, start: usize) -> Option<&str> {
    let (mut at, mut end, mut depth) = (start, start, 0_usize);
    while let Some(byte) = text.as_bytes().get(at) {
        let hidden = hidden_length(text, at);
        if hidden > 0 {
            at += hidden;
            continue;
        }
        match byte {
            b',' | b')' | b']' | b'}' if depth == 0 => break,
            b'(' | b'[' | b'{' => {
                depth += 1;
                at += 1;
            }
            b')' | b']' | b'}' => {
                depth -= 1;
                at += 1;
            }
            b'"' => at = past_text(text, at),
            b'\'' => at = past_letter(text, at),
            byte if is_of_word(*byte) => at = past_raw_text(text, at).unwrap_or_else(|| past_word(text, at)),
            _ => at += 1,
        }
        end = at;
    }
    text.get(start..end.min(text.len())).filter(|value| !value.is_empty())
}

/// How long the white space or the comment is that begins at a place.
fn hidden_length(text: &str, at: usize) -> usize {
    match white_length(text, at) {
        0 => comment_length(text, at),
        length => length,
    }
}

/// How long the white space is that begins at a place; the characters are those of the ron crate.
fn white_length(text: &str, at: usize) -> usize {
    match text.as_bytes().get(at) {
        Some(b' ' | b'\t' | b'\n' | b'\r' | 0x0b | 0x0c) => 1,
        Some(0xc2 | 0xe2) => {
            let first = text.get(at..).and_then(|rest| rest.chars().next());
            let white = |letter: &char| {
                matches!(letter, '\u{85}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}')
            };
            first.filter(white).map_or(0, char::len_utf8)
        }
        _ => 0,
    }
}

/// How long the comment is that begins at a place: to the end of its line, or between `/*` and `*/` with those within it.
fn comment_length(text: &str, at: usize) -> usize {
    let bytes = text.as_bytes().get(at..).unwrap_or_default();
    if bytes.starts_with(b"//") {
        return bytes.iter().position(|byte| *byte == b'\n').unwrap_or(bytes.len());
    }
    if !bytes.starts_with(b"/*") {
        return 0;
    }
    let (mut depth, mut length) = (0_usize, 0);
    while let Some(rest) = bytes.get(length..).filter(|rest| !rest.is_empty()) {
        if rest.starts_with(b"/*") {
            depth += 1;
            length += 2;
        } else if rest.starts_with(b"*/") {
            depth -= 1;
            length += 2;
            if depth == 0 {
                return length;
            }
        } else {
            length += 1;
        }
    }
    bytes.len()
}

/// Past a text between quotation marks.
fn past_text(text: &str, at: usize) -> usize {
    let bytes = text.as_bytes();
    let mut at = at + 1;
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'"' => return at + 1,
            b'\\' => at += 2,
            _ => at += 1,
        }
    }
    bytes.len()
}

/// Past a letter such as `'x'`, `'\''` or `'''`.
fn past_letter(text: &str, at: usize) -> usize {
    let bytes = text.as_bytes();
    let inner = if bytes.get(at + 1) == Some(&b'\\') { 3 } else { 2 };
    let closing = bytes.get(at + inner..).and_then(|rest| rest.iter().position(|byte| *byte == b'\''));
    closing.map_or(bytes.len(), |closing| at + inner + closing + 1)
}

/// Past a raw text such as `r#"x"#` or `br"x"`; `None` where none begins.
fn past_raw_text(text: &str, at: usize) -> Option<usize> {
    let rest = text.get(at..)?;
    let raw = rest.strip_prefix("br").or_else(|| rest.strip_prefix('r'))?;
    let inner = raw.trim_start_matches('#');
    let hashes = &raw[..raw.len() - inner.len()];
    let inner = inner.strip_prefix('"')?;
    let closing = format!("\"{hashes}");
    let end = inner.find(&closing).map_or(inner.len(), |end| end + closing.len());
    Some(text.len() - inner.len() + end)
}

/// Past the letters and digits of a word or number.
fn past_word(text: &str, at: usize) -> usize {
    let bytes = text.as_bytes();
    let mut end = at;
    while bytes.get(end).is_some_and(|byte| is_of_word(*byte)) && white_length(text, end) == 0 {
        end += 1;
    }
    end
}

/// Past a key, which may be a raw one such as `r#if`.
fn past_key(text: &str, at: usize) -> usize {
    let raw = text.get(at..).is_some_and(|rest| rest.starts_with("r#"));
    past_word(text, if raw { at + 2 } else { at })
}

/// Whether a byte is one of a word: a letter, a digit, what stands in numbers, or part of a letter beyond ASCII.
fn is_of_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'.' | b'+' | b'-') || byte >= 0x80
}

#[cfg(test)]
mod tests {
    use std::fmt;

    use ron::value::RawValue;
    use serde::de::{Deserialize, DeserializeSeed, Deserializer, MapAccess, Visitor};

    use super::{group_values, list_values, value_start};
    use crate::reading::ron_values::{judge, options};

    /// The same cut by the ron crate's own raw values.
    struct ByRon;

    impl<'de> DeserializeSeed<'de> for ByRon {
        type Value = Vec<(String, &'de RawValue)>;

        fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Self::Value, D::Error> {
            deserializer.deserialize_any(self)
        }
    }

    impl<'de> Visitor<'de> for ByRon {
        type Value = Vec<(String, &'de RawValue)>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a group")
        }

        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
            std::iter::from_fn(|| map.next_entry().transpose()).collect()
        }

        fn visit_unit<E>(self) -> Result<Self::Value, E> {
            Ok(Vec::new())
        }
    }

    /// Values in which brackets and commas hide.
    const VALUES: [&str; 30] = [
        "1",
        "-12.5e+3",
        "\"\"",
        "\"a, (b) ]\"",
        "\"a \\\" , \\\\\"",
        "r\"a\\\"",
        "r#\"a \", b\"#",
        "r##\"a \"# ) b\"##",
        "b\"x,\\\"\"",
        "br#\"x\",)\"#",
        "','",
        "'\\''",
        "'\"'",
        "'''",
        "'\\u{e9}'",
        "'é'",
        "b'('",
        "Kind",
        "r#type",
        "Some(3)",
        "None",
        "()",
        "(1, 2)",
        "(a: 1, b: [2, 3],)",
        "Named(a: \"x\")",
        "[(1), [2, \"]\"], /* ] */ 3]",
        "{ \"a\": 1, \"b\": (2) }",
        "\"\\\n   continued\"",
        "\"Skáld – \u{2028} ☂\"",
        "inf",
    ];

    /// What may stand before and behind a value.
    const GAPS: [&str; 9] = [
        "",
        " ",
        "\r\n\t",
        " // a comment, with ) and \"\n",
        "/* , ) \" */",
        "/* a /* b */ , */ ",
        "\u{85}",
        "\u{200e}\u{2029}",
        "//\n//,\n",
    ];

    fn numbers(count: usize) -> impl FnMut() -> usize {
        // Steele, Lea & Flood 2014: a small generator, so that all runs are the same.
        let mut state = 7_u64;
        move || {
            state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mixed = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            ((mixed ^ (mixed >> 27)) >> 33) as usize % count
        }
    }

    #[test]
    fn what_is_sound_is_cut_as_the_ron_crate_cuts_it() {
        let mut draw = numbers(1 << 20);
        for _ in 0..4000 {
            let mut gap = || GAPS[draw() % GAPS.len()];
            let (before, behind) = (gap(), gap());
            let gaps: Vec<&str> = (0..24).map(|_| gap()).collect();
            let count = draw() % 5;
            let values: Vec<&str> = (0..count).map(|_| VALUES[draw() % VALUES.len()]).collect();
            let keys = ["name", "r#if", "r#with-hyphen", "größe_mm", "b"];
            let (mut group, mut list) = (format!("{before}("), format!("{before}["));
            for (index, value) in values.iter().enumerate() {
                let around = |at: usize| gaps[index * 4 + at];
                let comma = if index + 1 < values.len() || draw().is_multiple_of(2) { "," } else { "" };
                let valued = format!("{}{value}{}{comma}", around(2), around(3));
                group.extend([around(0), keys[index], around(1), ":", &valued]);
                list += &valued;
            }
            group.extend([if count > 0 { behind } else { "" }, ")"]);
            list.extend([behind, "]"]);

            judge(&group).expect("the test writes sound groups");
            let by_ron = options().from_str_seed(&group, ByRon).expect("ron cuts what it finds sound");
            let by_ron: Vec<(&str, &str)> =
                by_ron.iter().map(|(key, value)| (key.as_str(), value.trim().get_ron())).collect();
            assert_eq!(group_values(&group).as_ref(), Some(&by_ron), "{group}");
            assert!(by_ron.iter().map(|(_, value)| value).eq(&values), "{group}");

            judge(&list).expect("the test writes sound lists");
            let by_ron = options().from_str::<Vec<&RawValue>>(&list).expect("ron cuts what it finds sound");
            let by_ron: Vec<&str> = by_ron.iter().map(|value| value.trim().get_ron()).collect();
            assert_eq!(list_values(&list), Some(by_ron), "{list}");
        }
    }

    #[test]
    fn other_values_are_no_groups_and_no_lists() {
        for value in VALUES {
            let mut by_ron = ron::Deserializer::from_str(value).expect("a value");
            let is_group =
                ByRon.deserialize(&mut by_ron).is_ok() && value.contains('(') && !value.starts_with('{');
            assert_eq!(group_values(value).is_some(), is_group, "{value}");
            let mut by_ron = ron::Deserializer::from_str(value).expect("a value");
            assert_eq!(
                list_values(value).is_some(),
                <Vec<&RawValue>>::deserialize(&mut by_ron).is_ok(),
                "{value}"
            );
        }
    }

    #[test]
    fn what_is_not_sound_ends_the_cutting_without_a_panic() {
        let pieces =
            ["(", ")", "[", "]", ",", ":", "\"", "'", "\\", "r#\"", "/*", "*/", "//", "\n", "a", "é", "1"];
        let mut draw = numbers(1 << 20);
        for _ in 0..20_000 {
            let text: String = (0..draw() % 16).map(|_| pieces[draw() % pieces.len()]).collect();
            let (_, _) = (group_values(&text), list_values(&text));
            assert!(text.is_char_boundary(value_start(&text)), "{text}");
        }
    }

    #[test]
    fn a_file_begins_behind_comments_and_attributes() {
        for attribute in ["#![enable(implicit_some)]", "# ! [enable(unwrap_newtypes)]"] {
            let text = format!("// ( no\n{attribute} /* ( */\n(a: 1)");
            judge(&text).expect("the ron crate takes it");
            assert_eq!(&text[value_start(&text)..], "(a: 1)");
            let marked = format!("\u{feff}{text}");
            assert_eq!(&marked[value_start(&marked)..], "(a: 1)");
        }
    }
}
