//! Mean-elements messages as lines of `KEY = value [unit]`, one message after the other.
//!
//! Source: CCSDS 502.0-B-3, section 7: key-value notation.

use super::record::{Found, Given, Record, Spot, shown};

/// The records of a text; each begins with its version.
pub(super) fn records(text: &str, found: &mut Found<'_>) -> Vec<Record> {
    let mut records: Vec<Record> = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let trimmed = line.trim();
        if trimmed.is_empty() || trimmed.starts_with("COMMENT") {
            continue;
        }
        let column = line.chars().take_while(|c| c.is_whitespace()).count() + 1;
        let spot = Spot { line: index + 1, column };
        let Some((key, value)) = trimmed.split_once('=') else {
            let message = format!("expected `KEY = value`, found {}", shown(trimmed));
            found.fault(spot, "", message, "Put COMMENT before what is none");
            continue;
        };
        let key = key.trim().to_ascii_uppercase();
        if key == "CCSDS_OMM_VERS" || records.is_empty() {
            records.push(Record { values: Vec::new(), spot });
        }
        let before_value = line.chars().take_while(|c| *c != '=').count() + 1;
        let blanks = value.chars().take_while(|c| c.is_whitespace()).count();
        let (text, unit) = match value.trim().strip_suffix(']').and_then(|value| value.split_once('[')) {
            Some((text, unit)) => (text.trim().to_owned(), Some(unit.trim().to_owned())),
            None => (value.trim().to_owned(), None),
        };
        let spot = Spot { line: index + 1, column: before_value + blanks + 1 };
        if let Some(record) = records.last_mut() {
            record.values.push(Given { key, text, unit, spot });
        }
    }
    records
}
