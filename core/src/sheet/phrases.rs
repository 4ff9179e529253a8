//! Phrases put together: first letters, and several in a row.

/// A sentence that goes on after a colon.
pub fn lower_first(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// A phrase that begins a sentence.
pub fn upper_first(phrase: &str) -> String {
    let mut letters = phrase.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Phrases in a row, parted by a mark: with a semicolon `one`, `one; and another`, `one; another; and a third`.
pub(super) fn listed(phrases: &[String], mark: char) -> String {
    match phrases {
        [] => String::new(),
        [only] => only.clone(),
        [all @ .., last] => format!("{}{mark} and {last}", all.join(&format!("{mark} "))),
    }
}

#[cfg(test)]
mod tests {
    use super::{listed, lower_first, upper_first};

    #[test]
    fn phrases_are_listed_as_many_as_there_are() {
        let words = ["one, held", "another", "a third"].map(str::to_owned);
        assert_eq!(listed(&words[..0], ';'), "");
        assert_eq!(listed(&words[..1], ';'), "one, held");
        assert_eq!(listed(&words[..2], ';'), "one, held; and another");
        assert_eq!(listed(&words, ','), "one, held, another, and a third");
    }

    #[test]
    fn only_the_first_letter_changes() {
        assert_eq!(lower_first("Übung im Park"), "übung im Park");
        assert_eq!(upper_first("from 21:10 on"), "From 21:10 on");
        assert_eq!(upper_first("élan"), "Élan");
    }
}
