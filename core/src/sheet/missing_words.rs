//! What a catalogue does not tell of a target, as a phrase.

use super::phrases::listed;
use crate::catalogue::Missing;

/// `its size and its brightness are not known; and it has only the words usual for its kind`.
pub(super) fn missing_phrase(missing: &[Missing]) -> String {
    let (facts, words): (Vec<_>, Vec<_>) = missing.iter().copied().partition(|missing| !is_words(*missing));
    let named = |missing: &[Missing]| -> String {
        let names: Vec<String> = missing.iter().map(|missing| name(*missing).to_owned()).collect();
        match &names[..] {
            [one, other] => format!("{one} and {other}"),
            names => listed(names, ','),
        }
    };
    let single = |list: &[Missing]| matches!(list, [one] if *one != Missing::Colours);
    let mut phrases = Vec::new();
    if !facts.is_empty() {
        let are = if single(&facts) { "is" } else { "are" };
        phrases.push(format!("{} {are} not known", named(&facts)));
    }
    match &words[..] {
        [] => {}
        [_, _, _, ..] => phrases.push("it has only the words usual for its kind".to_owned()),
        [_] => phrases.push(format!("{} is none of its own", named(&words))),
        _ => phrases.push(format!("{} are none of its own", named(&words))),
    }
    listed(&phrases, ';')
}

const fn is_words(missing: Missing) -> bool {
    matches!(missing, Missing::Line | Missing::Comparison | Missing::LookFor)
}

const fn name(missing: Missing) -> &'static str {
    match missing {
        Missing::Size => "its size",
        Missing::Brightness => "its brightness",
        Missing::Colours => "its colours",
        Missing::Line => "its line",
        Missing::Comparison => "its comparison",
        Missing::LookFor => "its word on what to look for",
    }
}

#[cfg(test)]
mod tests {
    use super::missing_phrase;
    use crate::catalogue::Missing;

    #[test]
    fn what_is_missing_is_told_in_one_phrase() {
        use Missing::{Brightness, Colours, Comparison, Line, LookFor, Size};
        for (missing, phrase) in [
            (&[Size][..], "its size is not known"),
            (&[Colours], "its colours are not known"),
            (
                &[Size, Brightness, Line, Comparison, LookFor],
                "its size and its brightness are not known; and it has only the words usual for its kind",
            ),
            (
                &[Brightness, LookFor],
                "its brightness is not known; and its word on what to look for is none of its own",
            ),
            (&[Line, Comparison], "its line and its comparison are none of its own"),
            (&[Line, Comparison, LookFor], "it has only the words usual for its kind"),
        ] {
            assert_eq!(missing_phrase(missing), phrase);
        }
    }
}
