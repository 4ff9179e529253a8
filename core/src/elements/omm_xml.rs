//! Mean-elements messages as XML: every element that holds a text and lies within `omm` is a value.
//!
//! Source: CCSDS 502.0-B-3, section 8; CCSDS 505.0-B-3, the schema of navigation messages.

use std::borrow::Cow;

use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

use super::record::{Found, Given, Lines, Record};

/// The records of a text. What breaks off is read up to there.
pub(super) fn records(text: &str, found: &mut Found<'_>) -> Vec<Record> {
    let lines = Lines::new(text);
    let mut reader = Reader::from_str(text);
    reader.config_mut().expand_empty_elements = true;
    let mut records: Vec<Record> = Vec::new();
    let mut within = false;
    // The element that was opened last: its text becomes a value if it closes without another one inside.
    let mut open: Option<Given> = None;
    loop {
        let at = reader.buffer_position() as usize;
        match reader.read_event() {
            Ok(Event::Eof) => return records,
            Ok(Event::Start(element)) => {
                let key = String::from_utf8_lossy(element.local_name().as_ref()).to_ascii_uppercase();
                if key == "OMM" {
                    within = true;
                    records.push(Record { values: Vec::new(), spot: lines.spot(at) });
                    open = None;
                } else {
                    open =
                        Some(Given { key, text: String::new(), unit: unit(&element), spot: lines.spot(at) });
                }
            }
            Ok(Event::End(element)) => {
                if element.local_name().as_ref().eq_ignore_ascii_case(b"omm") {
                    within = false;
                }
                if let (Some(given), Some(record), true) = (open.take(), records.last_mut(), within) {
                    record.values.push(given);
                }
            }
            Ok(Event::Text(piece)) => letters(&mut open, &piece.xml10_content().unwrap_or_default()),
            Ok(Event::CData(piece)) => letters(&mut open, &piece.decode().unwrap_or_default()),
            Ok(Event::GeneralRef(reference)) => letters(&mut open, &resolved(&reference)),
            Ok(_) => {}
            Err(error) => {
                let spot = lines.spot(reader.error_position() as usize);
                let message = format!("the XML can't be read on from here: {error}");
                found.fault(spot, "", message, "Fetch the file again; what stands before was read");
                return records;
            }
        }
    }
}

fn letters(open: &mut Option<Given>, text: &str) {
    if let Some(given) = open {
        given.text.push_str(text);
    }
}

fn unit(element: &BytesStart<'_>) -> Option<String> {
    let attribute =
        element.attributes().flatten().find(|found| found.key.local_name().as_ref() == b"units")?;
    attribute.normalized_value(XmlVersion::Implicit1_0).ok().map(Cow::into_owned)
}

fn resolved(reference: &BytesRef<'_>) -> String {
    if let Ok(Some(letter)) = reference.resolve_char_ref() {
        return letter.to_string();
    }
    let name = reference.decode().unwrap_or_default();
    // Entities of the file's own are not resolved, as they can be made to fill the memory.
    resolve_xml_entity(&name).map_or_else(|| format!("&{name};"), ToOwned::to_owned)
}
