//! Mean-elements messages as JSON: one object or a list of them, numbers as numbers or as texts.

use std::collections::BTreeMap;

use serde_json::value::RawValue;

use super::record::{Found, Given, Lines, Record, Spot, shown};

/// The records of a text. JSON that breaks off can't be read past that point, which is told by line and column.
pub(super) fn records(text: &str, found: &mut Found<'_>) -> Vec<Record> {
    let lines = Lines::new(text);
    let objects: Result<Vec<&RawValue>, _> = if text.trim_start().starts_with('[') {
        serde_json::from_str(text)
    } else {
        serde_json::from_str::<&RawValue>(text).map(|one| vec![one])
    };
    let objects = match objects {
        Ok(objects) => objects,
        Err(error) => {
            let spot = Spot { line: error.line(), column: error.column() };
            let message = format!("this is no JSON from here on: {error}");
            found.fault(spot, "", message, "Fetch the file again: it may have been cut short");
            return Vec::new();
        }
    };
    objects.into_iter().filter_map(|object| record(object, &lines, found)).collect()
}

fn record(object: &RawValue, lines: &Lines<'_>, found: &mut Found<'_>) -> Option<Record> {
    let spot = lines.spot_of(object.get());
    let Ok(values) = serde_json::from_str::<BTreeMap<String, &RawValue>>(object.get()) else {
        let message = format!("expected an object between curly brackets, found {}", shown(object.get()));
        found.fault(spot, "", message, "Write `{\"OBJECT_NAME\": ..., \"EPOCH\": ...}`");
        return None;
    };
    let values = values.into_iter().filter_map(|(key, raw)| {
        let text = match serde_json::from_str::<String>(raw.get()) {
            Ok(text) => text,
            Err(_) if raw.get() == "null" => return None,
            Err(_) => raw.get().to_owned(),
        };
        Some(Given { key: key.to_ascii_uppercase(), text, unit: None, spot: lines.spot_of(raw.get()) })
    });
    Some(Record { values: values.collect(), spot })
}
