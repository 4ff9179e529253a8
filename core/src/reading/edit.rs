//! One value of a file put in another's place: everything else stays byte for byte, comments too.
//!
//! Values are named as faults name them: `latitude_deg`, `horizon[4]`, `ports[2].camera.pixel_um`.

use std::ops::Range;

use super::cuts::{group_values, list_values, skip, value_start};
use super::ron_values::{judge, value};

/// A step towards a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step<'p> {
    Key(&'p str),
    Entry(usize),
}

/// A key with its value, or an entry of a list.
struct Part {
    key: Option<String>,
    whole: Range<usize>,
    value: Range<usize>,
}

/// What stands between two brackets.
struct Brackets {
    /// Behind the opening bracket.
    inside: usize,
    is_list: bool,
    parts: Vec<Part>,
}

/// The value of a name as it stands in the text; `None` where there is none.
pub fn value_at<'t>(text: &'t str, name: &str) -> Option<&'t str> {
    text.get(place_of(text, &steps(name)?)?)
}

/// The words of a name, without their quotation marks; `None` where there are none.
pub fn words_at(text: &str, name: &str) -> Option<String> {
    value(value_at(text, name)?).ok()
}

/// How many entries the list of a name has; `None` where there is no list.
pub fn entries_at(text: &str, name: &str) -> Option<usize> {
    let list = brackets(text, &steps(name)?)?;
    list.is_list.then_some(list.parts.len())
}

/// The entries of the list of a name, each as it stands in the text; `None` where there is no list.
pub fn list_at<'t>(text: &'t str, name: &str) -> Option<Vec<&'t str>> {
    let list = brackets(text, &steps(name)?).filter(|list| list.is_list)?;
    list.parts.into_iter().map(|part| text.get(part.value)).collect()
}

/// The keys of a whole file, or of an entry, with their values as they stand in the text; `None` where it is none.
pub fn keys_at(text: &str) -> Option<Vec<(String, &str)>> {
    let group = brackets(text, &[])?;
    group.parts.into_iter().map(|part| Some((part.key?, text.get(part.value)?))).collect()
}

/// The text with another value under a name. A key that is not there yet is added to its group: behind the last of those
/// that `order`, the keys of the group as they usually follow one another, has before it. `None` where the group is not
/// there, or the value is no RON.
pub fn with_value(text: &str, name: &str, value: &str, order: &[&str]) -> Option<String> {
    let steps = steps(name)?;
    let changed = if let Some(place) = place_of(text, &steps) {
        spliced(text, place, value)
    } else {
        let (Step::Key(key), around) = steps.split_last()? else { return None };
        let group = brackets(text, around).filter(|group| !group.is_list)?;
        let before = &order[..order.iter().position(|other| other == key).unwrap_or(order.len())];
        let is_before = |part: &Part| part.key.as_deref().is_some_and(|key| before.contains(&key));
        let position = group.parts.iter().rposition(is_before).map_or(0, |last| last + 1);
        inserted(text, &group, position, &format!("{key}: {value}"))
    };
    (place_of(&changed, &steps).and_then(|place| changed.get(place)) == Some(value)).then_some(changed)
}

/// The text with one more entry in the list of a name, before the entry that has this position now; `None` where there is
/// no list, or it is shorter.
pub fn with_entry(text: &str, name: &str, position: usize, value: &str) -> Option<String> {
    let list = brackets(text, &steps(name)?).filter(|list| list.is_list && position <= list.parts.len())?;
    let changed = inserted(text, &list, position, value);
    (value_at(&changed, &format!("{name}[{position}]")) == Some(value)).then_some(changed)
}

/// The text without a key and its value, or without an entry of a list. A comment behind it on a line of its own line goes
/// with it, those above stay. `None` where there is no such value.
pub fn without(text: &str, name: &str) -> Option<String> {
    let steps = steps(name)?;
    let (last, around) = steps.split_last()?;
    let brackets = brackets(text, around)?;
    let index = brackets.parts.iter().position(|part| part.is(*last)).or(match last {
        Step::Entry(index) if brackets.is_list && *index < brackets.parts.len() => Some(*index),
        _ => None,
    })?;
    Some(removed(text, &brackets.parts, index))
}

/// Words as a file holds them.
pub fn quoted(words: &str) -> String {
    format!("{words:?}")
}

impl Part {
    fn is(&self, step: Step<'_>) -> bool {
        matches!(step, Step::Key(key) if self.key.as_deref() == Some(key))
    }
}

fn steps(name: &str) -> Option<Vec<Step<'_>>> {
    let mut steps = Vec::new();
    for part in name.split('.').filter(|part| !part.is_empty()) {
        let (key, positions) = part.split_at(part.find('[').unwrap_or(part.len()));
        steps.push(Step::Key(key));
        if !positions.is_empty() && !positions.ends_with(']') {
            return None;
        }
        for position in positions.split_terminator(']') {
            steps.push(Step::Entry(position.strip_prefix('[')?.parse().ok()?));
        }
    }
    Some(steps)
}

/// Where a value stands.
fn place_of(text: &str, steps: &[Step<'_>]) -> Option<Range<usize>> {
    let (last, around) = steps.split_last()?;
    let mut brackets = brackets(text, around)?;
    let index = match last {
        Step::Entry(index) if brackets.is_list => *index,
        Step::Entry(_) => return None,
        Step::Key(_) => brackets.parts.iter().position(|part| part.is(*last))?,
    };
    (index < brackets.parts.len()).then(|| brackets.parts.swap_remove(index).value)
}

/// What stands between the brackets of a value; of the whole file for no steps.
fn brackets(text: &str, steps: &[Step<'_>]) -> Option<Brackets> {
    let (raw, inside, is_list) = if steps.is_empty() {
        judge(text.strip_prefix('\u{feff}').unwrap_or(text)).ok()?;
        let start = value_start(text);
        let bare = text.get(start..)?;
        (bare, start + bare.find('(')? + 1, false)
    } else {
        let place = place_of(text, steps)?;
        let raw = text.get(place.clone())?;
        (raw, place.start + 1, raw.starts_with('['))
    };
    let offset = |slice: &str| slice.as_ptr().addr() - text.as_ptr().addr();
    let values: Vec<(Option<&str>, &str)> = if is_list {
        list_values(raw)?.into_iter().map(|value| (None, value)).collect()
    } else {
        group_values(raw)?.into_iter().map(|(key, value)| (Some(key), value)).collect()
    };
    let mut parts: Vec<Part> = Vec::with_capacity(values.len());
    let mut at = inside;
    for (key, value) in values {
        let start = skip(text, at);
        let value = offset(value)..offset(value) + value.len();
        at = past_comma(text, value.end).unwrap_or(value.end);
        parts.push(Part { key: key.map(ToOwned::to_owned), whole: start..value.end, value });
    }
    Some(Brackets { inside, is_list, parts })
}

fn past_comma(text: &str, at: usize) -> Option<usize> {
    let comma = skip(text, at);
    text.get(comma..)?.starts_with(',').then_some(comma + 1)
}

fn spliced(text: &str, place: Range<usize>, value: &str) -> String {
    let mut changed = text.to_owned();
    changed.replace_range(place, value);
    changed
}

/// Where the line of a place begins.
fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |newline| newline + 1)
}

/// Where the line of a place ends, before what breaks it.
fn line_end(text: &str, at: usize) -> usize {
    let rest = &text[at..];
    let line = &rest[..rest.find('\n').unwrap_or(rest.len())];
    at + line.trim_end_matches('\r').len()
}

/// The white space at the beginning of the line of a place.
fn indent(text: &str, at: usize) -> &str {
    let line = &text[line_start(text, at)..];
    &line[..line.len() - line.trim_start_matches([' ', '\t']).len()]
}

fn begins_its_line(text: &str, at: usize) -> bool {
    line_start(text, at) + indent(text, at).len() == at
}

/// Whether nothing but a comment follows on the line.
fn ends_its_line(text: &str, at: usize) -> bool {
    let rest = text[at..line_end(text, at)].trim_start();
    line_end(text, at) < text.len() && (rest.is_empty() || rest.starts_with("//"))
}

/// The text with a part at a position: on a line of its own where its neighbours have lines of their own.
fn inserted(text: &str, brackets: &Brackets, position: usize, part: &str) -> String {
    let (at, added) = match (position.checked_sub(1), brackets.parts.first()) {
        (Some(before), _) => {
            let before = &brackets.parts[before];
            let margin = indent(text, before.whole.start);
            match past_comma(text, before.value.end) {
                Some(past) if ends_its_line(text, past) => {
                    (line_end(text, past), format!("\n{margin}{part},"))
                }
                Some(past) => (past, format!(" {part},")),
                None if begins_its_line(text, before.whole.start) => {
                    (before.value.end, format!(",\n{margin}{part}"))
                }
                None => (before.value.end, format!(", {part}")),
            }
        }
        (None, Some(first)) if begins_its_line(text, first.whole.start) => {
            (first.whole.start, format!("{part},\n{}", indent(text, first.whole.start)))
        }
        (None, Some(first)) => (first.whole.start, format!("{part}, ")),
        (None, None) => (brackets.inside, part.to_owned()),
    };
    spliced(text, at..at, &added)
}

fn removed(text: &str, parts: &[Part], index: usize) -> String {
    let part = &parts[index];
    let comma = past_comma(text, part.value.end);
    let past = comma.unwrap_or(part.value.end);
    let (start, end) = (part.whole.start, line_end(text, past));
    let place = if begins_its_line(text, start) && ends_its_line(text, past) {
        let newline = text[end..].find('\n').map_or(0, |newline| newline + 1);
        line_start(text, start)..end + newline
    } else if comma.is_none() && index > 0 && text[parts[index - 1].value.end..start].trim() == "," {
        parts[index - 1].value.end..past
    } else {
        let space = usize::from(text[past..].starts_with(' '));
        start..past + space
    };
    spliced(text, place, "")
}

#[cfg(test)]
mod tests {
    use super::{entries_at, quoted, value_at, with_entry, with_value, without, words_at};

    const TEXT: &str = "\u{feff}// ( a comment )\n#![enable(implicit_some)]\n(\n  // the name\n  name: \"A \\\"b\\\"\", size: 3, /* odd ( */\n  \
                        list: [\n    (0.0, 9.0), (20.0, 8.0),   // two\n    (45.0, 11.0), // one\n  ],\n  group: (a: 1, b: [2, 3]),\n)\n";

    #[test]
    fn values_are_found_by_the_names_that_faults_give_them() {
        let found = |name| value_at(TEXT, name);
        assert_eq!(found("size"), Some("3"));
        assert_eq!(found("list[1]"), Some("(20.0, 8.0)"));
        assert_eq!(found("group.b[1]"), Some("3"));
        assert_eq!(words_at(TEXT, "name").as_deref(), Some("A \"b\""));
        assert_eq!((entries_at(TEXT, "list"), entries_at(TEXT, "group")), (Some(3), None));
        for nowhere in
            ["sizes", "list[3]", "list[x]", "list.a", "group[0]", "size.a", "name[0]", "", "list[0"]
        {
            assert_eq!(found(nowhere), None, "{nowhere}");
        }
    }

    #[test]
    fn a_value_is_replaced_and_nothing_else() {
        for (name, old, new) in [
            ("size", "size: 3", "size: 4.5"),
            ("list[2]", "(45.0, 11.0)", "(46.0, 11.0)"),
            ("group.a", "a: 1", "a: 7"),
        ] {
            let value = new.rsplit(": ").next().unwrap();
            assert_eq!(with_value(TEXT, name, value, &[]).unwrap(), TEXT.replacen(old, new, 1), "{name}");
        }
        assert_eq!(with_value(TEXT, "size", "3, other: 4", &[]), None, "that would be two values");
        assert_eq!(with_value(TEXT, "size", "\"open", &[]), None);
    }

    #[test]
    fn a_key_is_added_where_it_usually_stands() {
        let order = ["name", "size", "more", "list", "group"];
        let with = |name, value| with_value(TEXT, name, value, &order).unwrap();
        assert_eq!(with("more", "5"), TEXT.replacen("size: 3,", "size: 3, more: 5,", 1));
        assert_eq!(with("last", "5"), TEXT.replacen("3]),\n", "3]),\n  last: 5,\n", 1));
        assert_eq!(with("group.c", "5"), TEXT.replacen("(a: 1", "(c: 5, a: 1", 1));
        assert_eq!(
            with_value(TEXT, "group.c", "5", &["a", "c"]).unwrap(),
            TEXT.replacen("a: 1,", "a: 1, c: 5,", 1)
        );
        assert_eq!(with_value("()", "a", "1", &[]).as_deref(), Some("(a: 1)"));
        assert_eq!(with_value(TEXT, "nowhere.a", "1", &[]), None);
    }

    #[test]
    fn entries_come_and_go_with_their_lines() {
        let with = |position| with_entry(TEXT, "list", position, "(1.0, 2.0)").unwrap();
        assert_eq!(with(0), TEXT.replacen("(0.0, 9.0)", "(1.0, 2.0),\n    (0.0, 9.0)", 1));
        assert_eq!(with(1), TEXT.replacen("(0.0, 9.0),", "(0.0, 9.0), (1.0, 2.0),", 1));
        assert_eq!(with(2), TEXT.replacen("// two", "// two\n    (1.0, 2.0),", 1));
        assert_eq!(with(3), TEXT.replacen("// one", "// one\n    (1.0, 2.0),", 1));
        assert_eq!(with_entry(TEXT, "list", 4, "(1.0, 2.0)"), None);
        let last = TEXT.replacen("    (45.0, 11.0), // one\n", "", 1);
        assert_eq!(without(TEXT, "list[2]").unwrap(), last);
        assert_eq!(without(TEXT, "list[0]").unwrap(), TEXT.replacen("(0.0, 9.0), ", "", 1));
        assert_eq!(without(TEXT, "group.b[1]").unwrap(), TEXT.replacen("[2, 3]", "[2]", 1));
        assert_eq!(without(TEXT, "size").unwrap(), TEXT.replacen("size: 3, ", "", 1));
        assert_eq!(without(TEXT, "sizes"), None);
        assert_eq!(with_entry("(a: [])", "a", 0, &quoted("x\"y")).as_deref(), Some("(a: [\"x\\\"y\"])"));
        let all = without("(a: [1])", "a[0]").unwrap();
        assert_eq!(all, "(a: [])");
    }
}
