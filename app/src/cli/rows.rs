//! Rows of JSON in, rows out: one bad row does not keep the others from their answer.

use std::io::{self, ErrorKind, Read};
use std::ops::RangeInclusive;

use evenfall_core::earth::GeodeticPlace;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::place::StarPlace;
use evenfall_core::reading::slip_of;
use evenfall_core::sheet::wording::doubt_sentence;
use evenfall_core::time::TimeDoubt;
use evenfall_core::units::Angle;
use serde_json::{Map, Value, json};

use super::Outcome;
use super::outcome::{give, tell};
use crate::shell::assets;

/// The answer to one row: rows out, and what was wrong.
#[derive(Debug, Default)]
pub struct Answer {
    /// Rows out.
    pub rows: Vec<Value>,
    /// What was wrong, in words; the rows hold it too, as `error`.
    pub errors: Vec<String>,
    /// What is doubtful about its clock times, if anything.
    pub doubt: Option<TimeDoubt>,
}

impl Answer {
    /// Adds a row that only says what is wrong, with the keys in `known` telling which row it is.
    pub fn refuse(&mut self, known: Map<String, Value>, errors: &[String]) {
        let error = errors.join("; ");
        let mut row = known;
        row.insert("error".to_owned(), json!(error));
        self.rows.push(Value::Object(row));
        self.errors.push(error);
    }
}

/// The whole of standard input, or how the command ends after it was told that it can't be read; `expected` says what
/// to give.
pub fn read_input(expected: &str) -> Result<String, Outcome> {
    let mut text = String::new();
    io::stdin().lock().read_to_string(&mut text).map_err(|error| {
        tell(&format!("can't read standard input: {error}. Give {expected} in UTF-8"));
        let no_text = error.kind() == ErrorKind::InvalidData;
        if no_text { Outcome::InputErrors } else { Outcome::MachineFailed }
    })?;
    Ok(text)
}

/// Answers an array of rows from standard input on standard output.
pub fn answer_all(answer: impl Fn(&Value, &Ephemeris) -> Answer) -> Outcome {
    let text = match read_input("a JSON array") {
        Ok(text) => text,
        Err(outcome) => return outcome,
    };
    let ephemeris = match assets::ephemeris() {
        Ok(ephemeris) => ephemeris,
        Err(error) => {
            tell(&format!("the embedded ephemeris can't be used: {error}. Install Evenfall anew"));
            return Outcome::MachineFailed;
        }
    };
    match answer_text(&text, |row| answer(row, &ephemeris)) {
        Ok((output, errors, doubts)) => {
            for message in errors.iter().chain(&doubts) {
                tell(message);
            }
            let done = if errors.is_empty() { Outcome::Done } else { Outcome::InputErrors };
            done.max(give(&output))
        }
        Err(error) => {
            tell(&error);
            Outcome::InputErrors
        }
    }
}

/// The rows out, one a line; what was wrong with which row; which clock times are doubtful.
type Answered = (String, Vec<String>, Vec<String>);

fn answer_text(text: &str, answer: impl Fn(&Value) -> Answer) -> Result<Answered, String> {
    let rows: Vec<Value> = serde_json::from_str(text).map_err(|error| {
        let (line, column, told) = (error.line(), error.column(), error.to_string());
        // The place stands in front, as in every other message.
        let message = told.split(" at line ").next().unwrap_or_default();
        let remedy = if no_number_at(text, line, column) {
            "JSON has no NaN and no Infinity: leave the key out or give null"
        } else {
            "Give a JSON array of objects"
        };
        format!("standard input:{line}:{column}: {message}. {remedy}")
    })?;
    let (mut lines, mut errors) = (Vec::new(), Vec::new());
    let mut doubts: [(TimeDoubt, usize); 2] =
        [(TimeDoubt::BeforeLeapSeconds, 0), (TimeDoubt::AfterAnnouncement, 0)];
    for (index, row) in rows.iter().enumerate() {
        let answered = answer(row);
        for (_, count) in doubts.iter_mut().filter(|(doubt, _)| Some(*doubt) == answered.doubt) {
            *count += 1;
        }
        lines.extend(answered.rows.iter().map(Value::to_string));
        errors.extend(
            answered.errors.iter().map(|error| format!("standard input: row {}: {error}", index + 1)),
        );
    }
    let doubts = doubts.into_iter().filter(|(_, count)| *count > 0);
    let doubts = doubts.map(|(doubt, count)| {
        format!("standard input: {count} of {} rows: {}", rows.len(), doubt_sentence(doubt))
    });
    Ok((format!("[\n{}\n]\n", lines.join(",\n")), errors, doubts.collect()))
}

/// Whether the text reads `NaN` or `Infinity` about a place (line and column from 1) where JSON broke off.
fn no_number_at(text: &str, line: usize, column: usize) -> bool {
    let row = text.lines().nth(line.saturating_sub(1)).unwrap_or_default();
    let read = row.char_indices().map(|(at, _)| at).filter(|at| at + 2 >= column && *at <= column);
    read.filter_map(|at| row.get(at..))
        .any(|rest| ["NaN", "nan", "Infinity"].iter().any(|word| rest.starts_with(word)))
}

/// One row in, asked for its values; what is wrong is collected.
pub struct RowIn<'v> {
    row: &'v Map<String, Value>,
    /// What is wrong so far, in words.
    pub errors: Vec<String>,
}

impl<'v> RowIn<'v> {
    /// The row, if it is an object. A key that is a slip of the pen for one of `keys` is an error; other keys are left
    /// alone, so that answers and tables with more in them can be given back.
    pub fn new(row: &'v Value, keys: &[&str]) -> Option<Self> {
        let row = row.as_object()?;
        let absent: Vec<&str> = keys.iter().copied().filter(|key| !row.contains_key(*key)).collect();
        let unknown = row.keys().filter(|key| !keys.contains(&key.as_str()));
        let slips = unknown.filter_map(|key| slip_of(key, &absent).map(|meant| (key, meant)));
        let errors =
            slips.map(|(key, meant)| format!("there is no key `{key}`; did you mean `{meant}`?")).collect();
        Some(Self { row, errors })
    }

    /// A copy of the values of some keys, as they were given.
    pub fn copied(&self, keys: &[&str]) -> Map<String, Value> {
        let given =
            keys.iter().filter_map(|key| self.row.get(*key).map(|value| ((*key).to_owned(), value.clone())));
        given.collect()
    }

    /// Whether the row gives a value.
    pub fn has(&self, key: &str) -> bool {
        self.row.get(key).is_some_and(|value| !value.is_null())
    }

    /// A value that must be there.
    pub fn value(&mut self, key: &str) -> Option<&'v Value> {
        let value = self.row.get(key).filter(|value| !value.is_null());
        if value.is_none() {
            self.errors.push(format!("`{key}` is missing"));
        }
        value
    }

    /// A text that must be there.
    pub fn text(&mut self, key: &str) -> Option<&'v str> {
        let value = self.value(key)?;
        if value.as_str().is_none() {
            self.errors.push(format!("`{key}` must be a text, found {value}"));
        }
        value.as_str()
    }

    /// A number within a range that must be there.
    pub fn number(&mut self, key: &str, range: RangeInclusive<f64>) -> Option<f64> {
        let value = self.value(key)?;
        let number = value.as_f64().filter(|number| range.contains(number));
        if number.is_none() {
            let (from, to) = (range.start(), range.end());
            self.errors.push(format!("`{key}` must be a number from {from} to {to}, found {value}"));
        }
        number
    }

    /// A number within a range, or `usual` where the row gives none.
    pub fn number_or(&mut self, key: &str, range: RangeInclusive<f64>, usual: f64) -> Option<f64> {
        if self.has(key) { self.number(key, range) } else { Some(usual) }
    }

    /// Where on the ground, by the three keys that all rows share.
    pub fn place(&mut self) -> Option<GeodeticPlace> {
        let latitude = self.number("latitude_deg", -90.0..=90.0);
        let longitude = self.number("longitude_deg", -180.0..=360.0);
        let height_m = self.number("elevation_m", -500.0..=10_000.0);
        Some(GeodeticPlace {
            latitude: Angle::from_degrees(latitude?),
            longitude: Angle::from_degrees(longitude?),
            height_m: height_m?,
        })
    }

    /// A star by the four keys that all rows share; proper motion is 0 where it is not given.
    pub fn star(&mut self) -> Option<StarPlace> {
        let right_ascension = self.number("ra_icrs_j2000_deg", 0.0..=360.0);
        let declination = self.number("dec_icrs_j2000_deg", -90.0..=90.0);
        let motion = -20_000.0..=20_000.0;
        let pm_ra = self.number_or("pm_ra_cosdec_mas_per_yr", motion.clone(), 0.0);
        let pm_dec = self.number_or("pm_dec_mas_per_yr", motion, 0.0);
        Some(StarPlace {
            right_ascension: Angle::from_degrees(right_ascension?),
            declination: Angle::from_degrees(declination?),
            pm_ra_cosdec_mas_per_yr: pm_ra?,
            pm_dec_mas_per_yr: pm_dec?,
        })
    }
}

/// The keys of a star.
pub const STAR_KEYS: [&str; 4] =
    ["ra_icrs_j2000_deg", "dec_icrs_j2000_deg", "pm_ra_cosdec_mas_per_yr", "pm_dec_mas_per_yr"];

/// A number rounded to some decimals, so that output does not carry noise; `null` where there is none.
pub fn rounded(number: impl Into<Option<f64>>, decimals: i32) -> Value {
    let scale = 10_f64.powi(decimals);
    // Adding 0 turns a negative zero into a plain one.
    number.into().map_or(Value::Null, |number| json!((number * scale).round() / scale + 0.0))
}

/// An angle in degrees, rounded to 4 microarcseconds.
pub fn degrees(angle: impl Into<Option<Angle>>) -> Value {
    rounded(angle.into().map(Angle::degrees), 9)
}

#[cfg(test)]
mod tests {
    use super::{Answer, answer_text};

    #[test]
    fn a_number_that_json_does_not_have_is_named() {
        let told = |text: &str| answer_text(text, |_| Answer::default()).unwrap_err();
        let row = "[\n{\"id\": 1, \"elevation_m\": NaN}\n]";
        assert_eq!(
            told(row),
            "standard input:2:26: expected value. JSON has no NaN and no Infinity: leave the key out or give null"
        );
        assert!(told("[\n{\"a\": -Infinity}]").contains("no Infinity"));
        assert!(told("[{\"name\": \"NaN\"} ;]").contains("Give a JSON array of objects"));
    }
}
