//! Names as they are compared: small letters without accents, in words and numbers.

use std::borrow::Cow;

/// A piece of a name.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Piece {
    /// Small letters, or digits without zeros before them.
    pub(super) text: String,
    /// Whether it is a number.
    pub(super) number: bool,
}

/// The pieces of a name: runs of letters and runs of digits. Case, accents, apostrophes, zeros before a number and whatever
/// stands between pieces do not count, so that `EV057`, `ev 57` and `Ev-57` are the same. A Greek letter is spelt.
pub(super) fn pieces(name: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    walk(name, |begins, number, letters| match pieces.last_mut() {
        Some(last) if !begins => last.text.push_str(letters),
        _ => pieces.push(Piece { text: letters.to_owned(), number }),
    });
    for piece in pieces.iter_mut().filter(|piece| piece.number) {
        let significant = piece.text.trim_start_matches('0').len().max(1);
        piece.text.drain(..piece.text.len() - significant);
    }
    pieces
}

/// Goes through the letters of a name that count: whether a piece begins with it, whether it is a digit, and what it becomes.
fn walk(name: &str, mut take: impl FnMut(bool, bool, &str)) {
    let (mut apart, mut last) = (true, None);
    for letter in name.chars() {
        let folded = folded(letter);
        if folded.is_empty() {
            // An apostrophe or an accent of its own stands within a word.
            apart |= !matches!(letter, '\'' | '\u{2019}' | '\u{300}'..='\u{36f}');
            continue;
        }
        let number = letter.is_ascii_digit();
        take(apart || last != Some(number), number, &folded);
        (apart, last) = (folded.len() > 2, Some(number));
    }
}

/// A name as names are compared: its words and numbers in small letters without accents, a space between.
///
/// ```
/// use evenfall_core::catalogue::folded_name;
/// assert_eq!(folded_name("Év-057"), folded_name("ev 57"));
/// ```
pub fn folded_name(name: &str) -> String {
    let mut text = String::with_capacity(name.len() + 4);
    walk(name, |begins, number, letters| {
        // The zeros before a number do not count; one alone does.
        let is_zero = |text: &str| text == "0" || text.ends_with(" 0");
        if begins && !text.is_empty() {
            text.push(' ');
        } else if !begins && number && is_zero(&text) {
            text.pop();
        }
        text.push_str(letters);
    });
    text
}

/// A letter or digit as it is compared; nothing for anything else.
fn folded(letter: char) -> Cow<'static, str> {
    const ASCII: &str = "abcdefghijklmnopqrstuvwxyz0123456789";
    const GREEK: [&str; 25] = [
        "alpha", "beta", "gamma", "delta", "epsilon", "zeta", "eta", "theta", "iota", "kappa", "lambda",
        "mu", "nu", "xi", "omicron", "pi", "rho", "sigma", "sigma", "tau", "upsilon", "phi", "chi", "psi",
        "omega",
    ];
    // Latin letters with their accents, by the letter they are written on (Unicode, Latin-1 and Latin Extended-A).
    const ACCENTED: [(&str, &str); 26] = [
        ("àáâãäåāăą", "a"),
        ("çćĉċč", "c"),
        ("ðďđ", "d"),
        ("èéêëēĕėęě", "e"),
        ("ĝğġģ", "g"),
        ("ĥħ", "h"),
        ("ìíîïĩīĭįı", "i"),
        ("ĵ", "j"),
        ("ķĸ", "k"),
        ("ĺļľŀł", "l"),
        ("ñńņňŋ", "n"),
        ("òóôõöøōŏő", "o"),
        ("ŕŗř", "r"),
        ("śŝşšſ", "s"),
        ("ţťŧ", "t"),
        ("ùúûüũūŭůűų", "u"),
        ("ŵ", "w"),
        ("ýÿŷ", "y"),
        ("źżž", "z"),
        ("æ", "ae"),
        ("œ", "oe"),
        ("ß", "ss"),
        ("þ", "th"),
        ("ĳ", "ij"),
        ("ŉ", "n"),
        ("µ", "mu"),
    ];
    // Nearly every letter of a name is one of these, and costs no memory of its own.
    if letter.is_ascii() {
        let at = match letter.to_ascii_lowercase() {
            small @ 'a'..='z' => small as usize - 'a' as usize,
            digit @ '0'..='9' => 26 + digit as usize - '0' as usize,
            _ => return Cow::Borrowed(""),
        };
        return Cow::Borrowed(&ASCII[at..=at]);
    }
    let small: String =
        letter.to_lowercase().filter(|part| !('\u{300}'..='\u{36f}').contains(part)).collect();
    let Some(first) = small.chars().next() else { return Cow::Borrowed("") };
    if first.is_ascii_alphanumeric() {
        return Cow::Owned(small);
    }
    if let Some(position) =
        (first as usize).checked_sub('α' as usize).filter(|position| *position < GREEK.len())
    {
        return Cow::Borrowed(GREEK[position]);
    }
    if let Some((_, plain)) = ACCENTED.iter().find(|(letters, _)| letters.contains(first)) {
        return Cow::Borrowed(plain);
    }
    if first.is_alphabetic() { Cow::Owned(small) } else { Cow::Borrowed("") }
}

#[cfg(test)]
mod tests {
    use super::{folded_name, pieces};

    fn texts(name: &str) -> Vec<String> {
        pieces(name).into_iter().map(|piece| piece.text).collect()
    }

    #[test]
    fn every_way_to_write_a_designation_is_the_same() {
        for name in ["EV 57", "ev57", "Ev-57", "EV057", " e\u{301}v\u{a0}0057 ", "EV_57", "Év.57"] {
            assert_eq!(texts(name), ["ev", "57"], "{name}");
        }
        for name in ["EV 057b", "EV 000", "0", "00 10 01", "Flüßchen", "αβ 7", "", "a-b'c"] {
            assert_eq!(folded_name(name), texts(name).join(" "), "{name}");
        }
        assert_eq!(texts("EV 057b"), ["ev", "57", "b"]);
        assert_eq!(texts("EV 000"), ["ev", "0"]);
    }

    #[test]
    fn accents_and_apostrophes_do_not_count() {
        assert_eq!(texts("Miller's Lantern"), ["millers", "lantern"]);
        assert_eq!(texts("Miller’s"), ["millers"]);
        assert_eq!(texts("Flüßchen Ærø Łódź"), ["flusschen", "aero", "lodz"]);
        assert_eq!(texts("α Heronis, ω²"), ["alpha", "heronis", "omega"]);
        assert!(pieces("– ' …").is_empty());
    }
}
