//! Bytes to text: UTF-8, UTF-16 by its byte order mark, else Windows-1252.

use std::borrow::Cow;

/// Bytes 0x80 to 0x9F in Windows-1252; those that it leaves open stay control characters.
///
/// Source: WHATWG, *Encoding Standard*, index windows-1252; from memory.
const WINDOWS_1252: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}', '\u{90}',
    '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

/// A text and the name of the encoding it was read in.
pub(super) struct Decoded<'b> {
    pub(super) text: Cow<'b, str>,
    pub(super) encoding: &'static str,
}

/// The text of some bytes. Every sequence of bytes has one.
pub(super) fn decode(bytes: &[u8]) -> Decoded<'_> {
    match bytes {
        [0xEF, 0xBB, 0xBF, rest @ ..] => eight_bit(rest),
        [0xFF, 0xFE, rest @ ..] => utf_16(rest, u16::from_le_bytes, "UTF-16, little end first"),
        [0xFE, 0xFF, rest @ ..] => utf_16(rest, u16::from_be_bytes, "UTF-16, big end first"),
        _ => eight_bit(bytes),
    }
}

fn eight_bit(bytes: &[u8]) -> Decoded<'_> {
    if let Ok(text) = str::from_utf8(bytes) {
        return Decoded { text: Cow::Borrowed(text), encoding: "UTF-8" };
    }
    let letter = |byte: &u8| match byte {
        0x80..=0x9F => WINDOWS_1252[usize::from(byte - 0x80)],
        other => char::from(*other),
    };
    Decoded { text: bytes.iter().map(letter).collect(), encoding: "Windows-1252" }
}

fn utf_16(bytes: &[u8], unit: fn([u8; 2]) -> u16, encoding: &'static str) -> Decoded<'static> {
    let units = bytes.chunks_exact(2).map(|pair| unit([pair[0], pair[1]]));
    let letters = char::decode_utf16(units).map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER));
    Decoded { text: letters.collect(), encoding }
}

#[cfg(test)]
mod tests {
    use super::decode;

    #[test]
    fn each_encoding_gives_the_same_text() {
        let text = "Brúnn – 5′ €";
        let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        for bytes in [
            text.as_bytes().to_vec(),
            [&[0xEF, 0xBB, 0xBF], text.as_bytes()].concat(),
            [&[0xFF, 0xFE], little.as_slice()].concat(),
            [&[0xFE, 0xFF], big.as_slice()].concat(),
        ] {
            assert_eq!(decode(&bytes).text, text);
        }
        assert_eq!(decode(b"Br\xfann \x96 5\xb0 \x80").text, "Brúnn – 5° €");
        assert_eq!(decode(b"\xff\xfe\x41").text, "", "half a letter is none");
    }
}
