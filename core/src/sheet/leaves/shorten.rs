//! Breaking and shortening what others wrote: at sentences and clauses first, never inside a word that fits.

/// Words of a text.
pub(super) fn word_count(text: &str) -> usize {
    text.split_whitespace().count()
}

/// Characters of a text.
fn length(text: &str) -> usize {
    text.chars().count()
}

/// The sentences of a text, each with its mark.
pub(super) fn sentences(text: &str) -> Vec<&str> {
    cut_after(text, |mark| matches!(mark, '.' | '!' | '?' | '。' | '！' | '？'))
}

/// Pieces of a text, each ending with a mark that a gap or the end follows.
fn cut_after(text: &str, is_mark: impl Fn(char) -> bool) -> Vec<&str> {
    let mut pieces = Vec::new();
    let mut start = 0;
    let mut letters = text.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        let end = at + letter.len_utf8();
        let gap = letters.peek().is_none_or(|(_, next)| next.is_whitespace());
        if is_mark(letter) && gap {
            pieces.push(text[start..end].trim());
            start = end;
        }
    }
    pieces.push(text[start..].trim());
    pieces.retain(|piece| !piece.is_empty());
    pieces
}

/// A text that ends like a sentence.
pub(super) fn as_sentence(text: &str) -> String {
    let text = text.trim();
    let ended = text.ends_with(['.', '!', '?', '…', '。', '！', '？']);
    if ended || text.is_empty() {
        text.to_owned()
    } else {
        format!("{}.", text.trim_end_matches([',', ';', ':', '–', ' ']))
    }
}

/// A text in sentences of at most `most` words where its marks allow that; nothing of it is lost.
pub(super) fn short_sentences(text: &str, most: usize) -> Vec<String> {
    let mut short = Vec::new();
    for sentence in sentences(text) {
        if word_count(sentence) <= most {
            short.push(as_sentence(sentence));
            continue;
        }
        let mut together = String::new();
        for piece in cut_after(sentence, |mark| matches!(mark, ',' | ';' | ':' | '–')) {
            if !together.is_empty() && word_count(&together) + word_count(piece) > most {
                short.push(as_sentence(&together));
                together.clear();
            }
            if !together.is_empty() {
                together.push(' ');
            }
            together.push_str(piece);
        }
        short.push(as_sentence(&together));
    }
    short.iter().map(|sentence| super::super::phrases::upper_first(sentence)).collect()
}

/// The leading sentences of a text that together have at most `most` words; of one that is longer, its first words.
pub(super) fn within_words(text: &str, most: usize) -> String {
    let mut kept: Vec<&str> = Vec::new();
    let mut words = 0;
    for sentence in sentences(text) {
        words += word_count(sentence);
        if words > most {
            break;
        }
        kept.push(sentence);
    }
    if kept.is_empty() {
        let first: Vec<&str> = text.split_whitespace().take(most).collect();
        let cut = word_count(text) > most;
        return format!("{}{}", first.join(" "), if cut { "…" } else { "" });
    }
    kept.join(" ")
}

/// A text on at most two lines of at most `most` characters, broken after a mark if that can be, else where the longer line
/// is shortest. What is too long
/// ends at a clause if that leaves half of it, else at a word with an ellipsis.
pub(super) fn two_lines(text: &str, most: usize) -> Vec<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    if words.is_empty() {
        return Vec::new();
    }
    if let Some(lines) = broken(&words, most) {
        return lines;
    }
    let clause_end = (words.len().div_ceil(2)..words.len()).rev().find(|end| {
        words[end - 1].ends_with(['.', ',', ';', ':', '!', '?']) && broken(&words[..*end], most).is_some()
    });
    if let Some(end) = clause_end {
        let whole = as_sentence(&words[..end].join(" "));
        let whole: Vec<&str> = whole.split(' ').collect();
        if let Some(lines) = broken(&whole, most) {
            return lines;
        }
    }
    for end in (1..words.len()).rev() {
        let cut = format!("{}…", words[..end].join(" ").trim_end_matches([',', ';', ':', '.']));
        let cut: Vec<&str> = cut.split(' ').collect();
        if let Some(lines) = broken(&cut, most) {
            return lines;
        }
    }
    // One word that no line holds, such as a name in a script without gaps: cut by characters.
    let letters: Vec<char> = words[0].chars().collect();
    let (first, rest) = letters.split_at(most.min(letters.len()));
    let more = rest.len() > most || words.len() > 1;
    let second = rest.iter().take(if more { most - 1 } else { most }).chain(more.then_some(&'…'));
    [first.iter().collect(), second.collect::<String>()].into_iter().filter(|line| !line.is_empty()).collect()
}

/// Words on one line if they fit, else on two, parted after a mark or as even as can be; `None` if they do not fit.
fn broken(words: &[&str], most: usize) -> Option<Vec<String>> {
    let whole = words.join(" ");
    if length(&whole) <= most {
        return Some(vec![whole]);
    }
    (1..words.len())
        .map(|at| (words[..at].join(" "), words[at..].join(" ")))
        .filter(|(first, second)| length(first) <= most && length(second) <= most)
        .min_by_key(|(first, second)| {
            (!first.ends_with(['.', ',', ';', ':', '!', '?']), length(first).max(length(second)))
        })
        .map(|(first, second)| vec![first, second])
}

#[cfg(test)]
mod tests {
    use super::{as_sentence, sentences, short_sentences, two_lines, within_words, word_count};

    #[test]
    fn lines_are_even_and_end_at_clauses() {
        assert_eq!(two_lines("Jupiter: the giant of the planets.", 42).len(), 1);
        let giant = two_lines("Jupiter: The giant of the planets: eleven Earths would fit across it.", 42);
        assert_eq!(giant, ["Jupiter: The giant of the planets:", "eleven Earths would fit across it."]);
        let long = "Lantern Drift: A cloud of glowing gas where new stars are being born, wide as the full Moon and as \
                    old as the hills around us.";
        assert_eq!(
            two_lines(long, 42),
            ["Lantern Drift: A cloud of glowing", "gas where new stars are being born."]
        );
        let no_clause = "word ".repeat(40);
        let lines = two_lines(&no_clause, 42);
        assert!(lines.len() == 2 && lines[1].ends_with("word…"), "{lines:?}");
        let glued = two_lines(&"星".repeat(200), 42);
        assert_eq!(glued.iter().map(|line| line.chars().count()).collect::<Vec<_>>(), [42, 42]);
        assert!(glued[1].ends_with('…') && two_lines("", 42).is_empty());
    }

    #[test]
    fn words_are_counted_and_cut_at_sentences() {
        assert_eq!(within_words("One two. Three four five. Six.", 5), "One two. Three four five.");
        assert_eq!(within_words("One two three four", 3), "One two three…");
        assert_eq!(within_words("", 7), "");
        assert_eq!(sentences("It is 3.5 m wide. Really!"), ["It is 3.5 m wide.", "Really!"]);
    }

    #[test]
    fn a_sentence_ends_with_its_full_stop_alone() {
        for (text, sentence) in [
            ("A ring –", "A ring."),
            ("A ring,", "A ring."),
            ("A ring!", "A ring!"),
            ("A 3–4 m ring", "A 3–4 m ring."),
        ] {
            assert_eq!(as_sentence(text), sentence);
        }
        let parted = short_sentences("One star is blue – and its neighbour, seen since, is gold.", 7);
        assert_eq!(parted, ["One star is blue.", "And its neighbour, seen since, is gold."]);
    }

    #[test]
    fn short_sentences_lose_nothing() {
        let text =
            "Toilets are in the visitor centre, one of them is step-free, and the door is never locked.";
        let short = short_sentences(text, 12);
        assert_eq!(
            short,
            ["Toilets are in the visitor centre, one of them is step-free.", "And the door is never locked."]
        );
        let unbroken = "a ".repeat(20);
        assert_eq!(word_count(&short_sentences(&unbroken, 12).join(" ")), 20);
    }
}
