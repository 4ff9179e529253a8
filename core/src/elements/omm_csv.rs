//! Mean-elements messages as a table whose header has the keys of the standard.

use csv::{ReaderBuilder, StringRecord};

use super::record::{Found, Given, Record, Spot};

/// The records of a text, one for each row below the header; keys in capitals as they stand there.
pub(super) fn records(text: &str, found: &mut Found<'_>) -> Vec<Record> {
    let first = text.trim_start().lines().next().unwrap_or_default();
    let delimiter = [b',', b';', b'\t', b'|']
        .into_iter()
        .max_by_key(|delimiter| first.bytes().filter(|byte| byte == delimiter).count())
        .unwrap_or(b',');
    let mut reader = ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(true)
        .from_reader(text.as_bytes());
    let keys: Vec<String> = match reader.headers() {
        Ok(header) => header.iter().map(|key| key.trim().to_ascii_uppercase()).collect(),
        Err(error) => {
            found.fault(Spot { line: 1, column: 1 }, "", format!("no header can be read: {error}"), "");
            return Vec::new();
        }
    };
    let mut records = Vec::new();
    let mut row = StringRecord::new();
    loop {
        match reader.read_record(&mut row) {
            Ok(false) => return records,
            Ok(true) => records.extend(record(&row, &keys)),
            Err(error) => {
                let line = error.position().map_or(0, |position| position.line() as usize);
                found.fault(Spot { line, column: 1 }, "", format!("the row can't be read: {error}"), "");
                // What is not a table is not read on for ever.
                if error.is_io_error() {
                    return records;
                }
            }
        }
    }
}

/// The row with its cells; its columns are counted in characters, as if nothing stood between quotation marks.
fn record(row: &StringRecord, keys: &[String]) -> Option<Record> {
    let line = row.position().map_or(0, |position| position.line() as usize);
    let mut column = 1;
    let values: Vec<Given> = row
        .iter()
        .enumerate()
        .map(|(index, text)| {
            let spot = Spot { line, column };
            column += text.chars().count() + 1;
            let key = keys.get(index).cloned().unwrap_or_default();
            Given { key, text: text.trim().to_owned(), unit: None, spot }
        })
        .collect();
    let has_value = values.iter().any(|given| !given.text.is_empty());
    has_value.then_some(Record { values, spot: Spot { line, column: 1 } })
}
