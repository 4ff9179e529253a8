//! The embedded typeface in two weights: what it can write, how wide, and where lines break.

use std::fmt;

use krilla::Data;
use krilla::text::{Font, Tag};
use skrifa::charmap::Charmap;
use skrifa::instance::{Location, Size};
use skrifa::outline::DrawSettings;
pub(in crate::output) use skrifa::outline::OutlinePen;
use skrifa::{FontRef, MetadataProvider};

use super::PdfError;
use super::bound::{NO_BREAK, bound};
use crate::chart::Weight;

/// What stands for a character that the typeface does not have: an empty box.
const REPLACEMENT: char = '\u{25a1}';

/// A variable typeface at the two weights of the pages.
pub(in crate::output) struct Typeface<'f> {
    regular_font: Font,
    semibold_font: Font,
    face: FontRef<'f>,
    regular: Advances,
    semibold: Advances,
}

/// How wide characters are at a weight: the common ones noted, the others looked up.
struct Advances {
    location: Location,
    common: Vec<f32>,
}

/// The first character that is looked up: Latin letters come before it.
const UNCOMMON: u32 = 0x180;

impl Advances {
    fn new(face: &FontRef<'_>, weight: f32) -> Self {
        let location = face.axes().location([("wght", weight)]);
        let (charmap, metrics) = (face.charmap(), face.glyph_metrics(Size::new(1.0), &location));
        let advance = |code: u32| metrics.advance_width(charmap.map(code)?);
        let common = (0..UNCOMMON).map(|code| advance(code).unwrap_or(0.0)).collect();
        Self { location, common }
    }

    /// The advance of a character in sizes of the text.
    fn of(&self, face: &FontRef<'_>, character: char) -> f32 {
        if let Some(advance) = self.common.get(character as usize) {
            return *advance;
        }
        let glyph = face.charmap().map(character);
        let metrics = face.glyph_metrics(Size::new(1.0), &self.location);
        glyph.and_then(|glyph| metrics.advance_width(glyph)).unwrap_or(0.0)
    }
}

impl fmt::Debug for Typeface<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Typeface")
    }
}

impl<'f> Typeface<'f> {
    /// Reads a variable TrueType font with a weight axis.
    pub fn new(bytes: &'f [u8]) -> Result<Self, PdfError> {
        let unreadable =
            || PdfError("its typeface can't be read: a variable TrueType font is expected".to_owned());
        let face = FontRef::new(bytes).map_err(|_| unreadable())?;
        let data = Data::from(bytes.to_vec());
        let font = |weight: f32| {
            Font::new_variable(data.clone(), 0, &[(Tag::new(b"wght"), weight)]).ok_or_else(unreadable)
        };
        Ok(Self {
            regular_font: font(400.0)?,
            semibold_font: font(600.0)?,
            regular: Advances::new(&face, 400.0),
            semibold: Advances::new(&face, 600.0),
            face,
        })
    }

    /// The font of a weight, for the pen.
    pub fn font(&self, weight: Weight) -> Font {
        match weight {
            Weight::Regular => self.regular_font.clone(),
            Weight::Semibold => self.semibold_font.clone(),
        }
    }

    /// The width of a text in points: the sum of its advances, without kerning (which makes it a little narrower).
    pub fn width(&self, text: &str, size: f32, weight: Weight) -> f32 {
        let advances = self.advances(weight);
        text.chars().map(|character| advances.of(&self.face, character)).sum::<f32>() * size
    }

    /// Draws a character, one point large and y up, and gives how far the next one stands from it.
    pub fn outline(&self, character: char, weight: Weight, pen: &mut impl OutlinePen) -> f32 {
        let advances = self.advances(weight);
        let glyph = self.face.charmap().map(character);
        if let Some(outline) = glyph.and_then(|glyph| self.face.outline_glyphs().get(glyph)) {
            let settings = DrawSettings::unhinted(Size::new(1.0), &advances.location);
            // What can't be drawn, in a damaged typeface, leaves its place empty.
            drop(outline.draw(settings, pen));
        }
        advances.of(&self.face, character)
    }

    const fn advances(&self, weight: Weight) -> &Advances {
        match weight {
            Weight::Regular => &self.regular,
            Weight::Semibold => &self.semibold,
        }
    }

    /// The text as it can be written: white space becomes spaces, but for those at which no line breaks; what the typeface or the archive standard can't hold
    /// becomes an empty box.
    ///
    /// Source: ISO 14289-1:2014, 7.21 (no missing glyphs); ISO 19005-2:2011, 6.2.11.7 (no private characters).
    pub fn writable(&self, text: &str) -> String {
        if text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
            return text.to_owned();
        }
        let charmap = self.face.charmap();
        text.chars()
            .filter(|character| !is_unseen(*character))
            .map(|character| match character {
                NO_BREAK if has(&charmap, NO_BREAK) => NO_BREAK,
                _ if character.is_whitespace() || character.is_control() => ' ',
                _ if has(&charmap, character) => character,
                _ => REPLACEMENT,
            })
            .collect()
    }

    /// The same, with spaces at which no line breaks between what belongs together.
    pub fn unbroken(&self, text: &str) -> String {
        bound(&self.writable(text)).into_owned()
    }

    /// Of some texts those that can't be written whole, each with what is written in its place.
    pub fn unwritable<'t>(&self, texts: impl IntoIterator<Item = &'t str>) -> Vec<(&'t str, String)> {
        let cut = texts.into_iter().filter(|text| !self.can_write(text));
        cut.map(|text| (text, self.writable(text))).collect()
    }

    /// Whether [`Self::writable`] replaces nothing in a text.
    fn can_write(&self, text: &str) -> bool {
        let charmap = self.face.charmap();
        text.chars().all(|character| {
            is_unseen(character)
                || character.is_whitespace()
                || character.is_control()
                || has(&charmap, character)
        })
    }

    /// The text broken at spaces into lines no wider than `width`; what belongs together stays together where a line has room
    /// for it; a word wider than that is cut. All lines but the last end with a space, so that the words stay apart for a reader
    /// of the text. Never empty. What no line broke is written with plain spaces.
    pub fn lines(&self, text: &str, size: f32, weight: Weight, width: f32) -> Vec<String> {
        let text = self.unbroken(text);
        let space = self.width(" ", size, weight);
        let mut lines: Vec<String> = vec![String::new()];
        let mut used = 0.0;
        // What is bound but wider than a line parts where it is bound, before it is cut.
        let bound_words = text.split(' ');
        let words = bound_words.flat_map(|word| {
            let fits = self.width(word, size, weight) <= width;
            word.split(move |character| character == NO_BREAK && !fits)
        });
        for word in words.filter(|word| !word.is_empty()) {
            for (index, piece) in self.pieces(word, size, weight, width).into_iter().enumerate() {
                let Some(line) = lines.last_mut() else {
                    continue;
                };
                let wide = self.width(&piece, size, weight);
                let joins = index == 0 && !line.is_empty();
                if index == 0 && (line.is_empty() || used + space + wide <= width) {
                    if joins {
                        line.push(' ');
                        used += space;
                    }
                    line.push_str(&piece);
                    used += wide;
                } else {
                    if index == 0 {
                        line.push(' ');
                    }
                    lines.push(piece);
                    used = wide;
                }
            }
        }
        lines.into_iter().map(|line| line.replace(NO_BREAK, " ")).collect()
    }

    /// As [`Self::lines`], but for the first of them, which begins `after` points from the left edge. It is empty where
    /// no word fits beside what stands there.
    pub fn lines_after(
        &self,
        text: &str,
        size: f32,
        weight: Weight,
        (after, width): (f32, f32),
    ) -> Vec<String> {
        let text = self.unbroken(text);
        let mut first = String::new();
        let mut rest = text.split(' ').filter(|word| !word.is_empty()).peekable();
        while let Some(word) = rest.peek() {
            let longer = if first.is_empty() { (*word).to_owned() } else { format!("{first} {word}") };
            if self.width(&longer, size, weight) > width - after {
                break;
            }
            first = longer;
            rest.next();
        }
        let rest: Vec<&str> = rest.collect();
        let first = first.replace(NO_BREAK, " ");
        if rest.is_empty() {
            return vec![first];
        }
        let mut lines = vec![first + " "];
        lines.extend(self.lines(&rest.join(" "), size, weight, width));
        lines
    }

    /// A word cut into pieces that fit; most words are one piece.
    fn pieces(&self, word: &str, size: f32, weight: Weight, width: f32) -> Vec<String> {
        if self.width(word, size, weight) <= width {
            return vec![word.to_owned()];
        }
        let mut pieces = vec![String::new()];
        let mut used = 0.0;
        for character in word.chars() {
            let advance = self.width(character.encode_utf8(&mut [0; 4]), size, weight);
            if used + advance > width && used > 0.0 {
                pieces.push(String::new());
                used = 0.0;
            }
            used += advance;
            if let Some(piece) = pieces.last_mut() {
                piece.push(character);
            }
        }
        pieces
    }
}

/// Marks for breaking and direction, which are left out.
const fn is_unseen(character: char) -> bool {
    matches!(character, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Whether the typeface has a character that the archive standard allows.
fn has(charmap: &Charmap<'_>, character: char) -> bool {
    !matches!(character, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'.. | '\u{feff}' | '\u{fffe}')
        && charmap.map(character).is_some_and(|glyph| glyph.to_u32() != 0)
}

#[cfg(test)]
mod tests {
    use super::Typeface;
    use crate::chart::{Weight, text_width};

    const FONT: &[u8] = include_bytes!("../../../../assets/fonts/SourceSans3VF-Upright.ttf");

    #[test]
    fn digits_are_tabular_and_semibold_is_wider() {
        let face = Typeface::new(FONT).unwrap();
        for weight in [Weight::Regular, Weight::Semibold] {
            let widths: Vec<f32> = ('0'..='9').map(|d| face.width(&d.to_string(), 1000.0, weight)).collect();
            assert!(
                widths.iter().all(|width| (width - widths[0]).abs() < 0.01),
                "digits of one width: {widths:?}"
            );
        }
        let (regular, semibold) = (
            face.width("Heron Fell", 10.0, Weight::Regular),
            face.width("Heron Fell", 10.0, Weight::Semibold),
        );
        assert!(regular < semibold, "{regular} {semibold}");
    }

    #[test]
    fn lines_keep_every_word_and_the_width() {
        let face = Typeface::new(FONT).unwrap();
        let text = "Never step back from the eyepiece of the Sternwartenteleskopkuppelsteuerung, Ærø";
        let lines = face.lines(text, 10.0, Weight::Regular, 90.0);
        assert!(
            lines.iter().all(|line| face.width(line.trim_end(), 10.0, Weight::Regular) <= 90.0),
            "{lines:?}"
        );
        assert_eq!(lines.concat(), text);
        assert_eq!(face.lines("", 10.0, Weight::Regular, 90.0), [""]);
        // Nor is a line broken at a space that says so.
        let unit = face.lines("of date (h\u{a0}m\u{a0}s)", 10.0, Weight::Regular, 50.0);
        assert_eq!(unit, ["of date ", "(h m s)"]);
    }

    #[test]
    fn what_cannot_be_written_is_replaced() {
        let face = Typeface::new(FONT).unwrap();
        assert_eq!(face.writable("Ærø → −5° ″\t\u{1f319}\u{e000}\u{200b}."), "Ærø → −5° ″ □□.");
    }

    #[test]
    fn the_drawing_estimates_on_the_wide_side() {
        let face = Typeface::new(FONT).unwrap();
        for text in
            ["3 Lantern Drift", "Astronomical dusk 20:05", "Wide colour camera", "MAMMOTH WWW", "Time, GMT"]
        {
            let real = face.width(text, 9.0, Weight::Semibold);
            let estimate = text_width(text, 9.0);
            assert!(real <= estimate && estimate <= 1.35 * real, "{text}: {real} and {estimate}");
        }
    }
}
