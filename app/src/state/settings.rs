//! What the window remembers from one start to the next. It belongs to the window alone: no evening depends on it.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use ron::value::RawValue;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize};

use super::{BoardSpan, CardSection, PagesChoice, Palette, Side};

/// Most evenings that are remembered.
pub const MOST_RECENT: usize = 8;
/// Most commands that are remembered as used lately.
const MOST_FOUND: usize = 8;
/// Smallest text, in percent of the usual size.
pub const SMALLEST_TEXT_PERCENT: u16 = 80;
/// Largest text, in percent of the usual size (WCAG 2.2, success criterion 1.4.4, asks for 200).
pub const LARGEST_TEXT_PERCENT: u16 = 200;
/// The sizes of text between them, in percent.
const TEXT_SIZES_PERCENT: [u16; 9] = [80, 90, 100, 110, 125, 140, 160, 180, 200];
/// Sides of a window that can be meant, in points.
const WINDOW_SIDES: std::ops::RangeInclusive<f32> = 320.0..=16_000.0;

/// How the text is to become.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextStep {
    /// One size up.
    Larger,
    /// One size down.
    Smaller,
    /// The usual size.
    Usual,
}

/// Size of the window, in points at the usual size of text. Its place is left to the desktop, which knows the screens that
/// are there now.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct WindowPlace {
    /// Width and height of what is inside its frame.
    pub size: (f32, f32),
    /// Whether it fills the screen.
    pub maximised: bool,
}

/// All that is remembered.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Settings {
    /// Size and place of the window.
    pub window: Option<WindowPlace>,
    /// The evening that was open last; `None` for the demonstration.
    pub last_evening: Option<PathBuf>,
    /// Evenings opened or saved, the last one first.
    pub recent: Vec<PathBuf>,
    /// Colours.
    pub palette: Palette,
    /// Size of the text, in percent of the usual.
    pub text_percent: u16,
    /// Time axis of the Board.
    pub span: BoardSpan,
    /// What stands beside the Board of a narrow window.
    pub side: Side,
    /// Whether targets that can't be shown stay on the Shelf.
    pub show_all: bool,
    /// The parts of the Card that are folded away.
    pub folded: BTreeSet<CardSection>,
    /// Names of commands used from the finder, the last one first.
    pub found: Vec<String>,
    /// What is written and printed.
    pub pages: PagesChoice,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            window: None,
            last_evening: None,
            recent: Vec::new(),
            palette: Palette::default(),
            text_percent: 100,
            span: BoardSpan::default(),
            side: Side::default(),
            show_all: true,
            folded: BTreeSet::from([CardSection::Sources]),
            found: Vec::new(),
            pages: PagesChoice::default(),
        }
    }
}

/// Settings as they were read.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadSettings {
    /// What could be read, with the usual values for the rest.
    pub settings: Settings,
    /// The fields of which nothing could be made, by their names in the file.
    pub left_out: Vec<&'static str>,
}

/// A field by itself: missing, or its text, whatever that means.
type Field<'t> = Option<&'t RawValue>;

/// The settings field by field, so that one bad word costs no more than its own field.
#[derive(Default, Deserialize)]
#[serde(default)]
struct Fields<'t> {
    #[serde(borrow, deserialize_with = "there")]
    window: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    last_evening: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    recent: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    palette: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    text_percent: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    span: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    side: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    show_all: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    folded: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    found: Field<'t>,
    #[serde(borrow, deserialize_with = "there")]
    pages: Field<'t>,
}

fn there<'t, D: Deserializer<'t>>(field: D) -> Result<Field<'t>, D::Error> {
    <&RawValue>::deserialize(field).map(Some)
}

/// Puts a field in its place, or notes its name.
fn take<T: DeserializeOwned>(
    field: Field<'_>,
    name: &'static str,
    place: &mut T,
    left_out: &mut Vec<&'static str>,
) {
    match field.map(RawValue::into_rust) {
        None => {}
        Some(Ok(value)) => *place = value,
        Some(Err(_)) => left_out.push(name),
    }
}

impl Settings {
    /// Settings from their text; a key that is missing or unknown does no harm, a number out of range is brought back, and
    /// of a field with a bad value the usual one holds.
    ///
    /// # Errors
    /// When the text as a whole is damaged: where, in the parser's words.
    pub fn read(text: &str) -> Result<ReadSettings, String> {
        let fields: Fields<'_> = ron::from_str(text).map_err(|error| error.to_string())?;
        let (mut read, mut left_out) = (Self::default(), Vec::new());
        take(fields.window, "window", &mut read.window, &mut left_out);
        take(fields.last_evening, "last_evening", &mut read.last_evening, &mut left_out);
        take(fields.recent, "recent", &mut read.recent, &mut left_out);
        take(fields.palette, "palette", &mut read.palette, &mut left_out);
        take(fields.text_percent, "text_percent", &mut read.text_percent, &mut left_out);
        take(fields.span, "span", &mut read.span, &mut left_out);
        take(fields.side, "side", &mut read.side, &mut left_out);
        take(fields.show_all, "show_all", &mut read.show_all, &mut left_out);
        take(fields.folded, "folded", &mut read.folded, &mut left_out);
        take(fields.found, "found", &mut read.found, &mut left_out);
        take(fields.pages, "pages", &mut read.pages, &mut left_out);
        read.text_percent = read.text_percent.clamp(SMALLEST_TEXT_PERCENT, LARGEST_TEXT_PERCENT);
        read.recent.truncate(MOST_RECENT);
        read.found.truncate(MOST_FOUND);
        read.window = read.window.filter(|window| {
            let (width, height) = window.size;
            WINDOW_SIDES.contains(&width) && WINDOW_SIDES.contains(&height)
        });
        Ok(ReadSettings { settings: read, left_out })
    }

    /// Settings as text; `None` where a path in them is no text.
    pub fn write(&self) -> Option<String> {
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default()).ok()?;
        Some(format!(
            "// What Evenfall's window remembers. It may be deleted: the usual settings then hold.\n{text}\n"
        ))
    }

    /// Notes the evening that is open.
    pub(super) fn note_open(&mut self, path: Option<&Path>) {
        self.last_evening = path.map(Path::to_owned);
        if let Some(path) = path {
            to_front(&mut self.recent, path.to_owned(), MOST_RECENT);
        }
    }

    /// Notes a command that was found by typing.
    pub(super) fn note_found(&mut self, name: &str) {
        to_front(&mut self.found, name.to_owned(), MOST_FOUND);
    }

    /// The size of the text after a step, in percent; `None` where there is none.
    pub fn stepped_text(&self, step: TextStep) -> Option<u16> {
        let now = self.text_percent;
        match step {
            TextStep::Larger => TEXT_SIZES_PERCENT.into_iter().find(|percent| *percent > now),
            TextStep::Smaller => TEXT_SIZES_PERCENT.into_iter().rev().find(|percent| *percent < now),
            TextStep::Usual => (now != 100).then_some(100),
        }
    }
}

fn to_front<T: PartialEq>(list: &mut Vec<T>, item: T, most: usize) {
    list.retain(|other| *other != item);
    list.insert(0, item);
    list.truncate(most);
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::{MOST_RECENT, ReadSettings, Settings, TextStep, WindowPlace};
    use crate::state::Palette;

    #[test]
    fn what_is_written_is_read_back() {
        let window = WindowPlace { size: (1366.0, 700.5), maximised: false };
        let mut settings =
            Settings { window: Some(window), palette: Palette::RedLamp, ..Settings::default() };
        settings.note_open(Some(&PathBuf::from("/parks/hérons/a \"b\".evening.ron")));
        settings.text_percent = 180;
        settings.pages.us_letter = true;
        assert_eq!(Settings::read(&settings.write().unwrap()), Ok(whole(settings)));
    }

    const fn whole(settings: Settings) -> ReadSettings {
        ReadSettings { settings, left_out: Vec::new() }
    }

    #[test]
    fn reading_is_tolerant_of_all_but_damage() {
        assert_eq!(Settings::read("()"), Ok(whole(Settings::default())));
        let read = Settings::read(
            "(text_percent: 900, of_a_later_version: [1, 2], window: Some((size: (3, 4), maximised: true)))",
        );
        assert_eq!(read, Ok(whole(Settings { text_percent: 200, ..Settings::default() })));
        for damaged in ["", "(palette: Da", "\0\0\0", "(text_percent: )"] {
            assert!(Settings::read(damaged).is_err(), "{damaged:?}");
        }
    }

    #[test]
    fn one_bad_word_costs_its_own_field_only() {
        let text = "(text_percent: \"large\", palette: RedLamp, side: Left, folded: [Why, Weather], recent: [\"a.evening.ron\"])";
        let ReadSettings { settings, left_out } = Settings::read(text).unwrap();
        assert_eq!(left_out, ["text_percent", "side", "folded"]);
        let recent = vec![PathBuf::from("a.evening.ron")];
        assert_eq!(settings, Settings { palette: Palette::RedLamp, recent, ..Settings::default() });
    }

    #[test]
    fn the_last_evening_stands_first_and_only_once() {
        let mut settings = Settings::default();
        for name in 0..12 {
            settings.note_open(Some(&PathBuf::from(format!("{name}.evening.ron"))));
        }
        settings.note_open(Some(&PathBuf::from("9.evening.ron")));
        assert_eq!(settings.recent.len(), MOST_RECENT);
        assert_eq!(settings.recent[0], PathBuf::from("9.evening.ron"));
        assert_eq!(settings.recent[1], PathBuf::from("11.evening.ron"));
        settings.note_open(None);
        assert_eq!((settings.last_evening, settings.recent.len()), (None, MOST_RECENT));
    }

    #[test]
    fn text_goes_from_80_to_200_percent_in_steps() {
        let mut settings = Settings::default();
        while let Some(percent) = settings.stepped_text(TextStep::Larger) {
            settings.text_percent = percent;
        }
        assert_eq!((settings.text_percent, settings.stepped_text(TextStep::Usual)), (200, Some(100)));
        while let Some(percent) = settings.stepped_text(TextStep::Smaller) {
            settings.text_percent = percent;
        }
        assert_eq!(settings.text_percent, 80);
    }
}
