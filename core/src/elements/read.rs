//! A file of elements: what form it has, and what is in it.

use super::comet::CometElements;
use super::record::{Found, Record, Spot};
use super::satellite::SatelliteElements;
use super::{comet_lines, comet_table, omm, omm_csv, omm_json, omm_kvn, omm_xml, tle};
use crate::reading::Faults;

/// A comet of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedComet {
    /// Its name for people.
    pub name: String,
    /// Its elements.
    pub elements: CometElements,
}

/// What a file of elements gave.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ElementsRead {
    /// The satellites, in the order of the file.
    pub satellites: Vec<SatelliteElements>,
    /// The comets, in the order of the file.
    pub comets: Vec<NamedComet>,
    /// What could not be read, each with its place.
    pub faults: Faults,
}

/// The forms that are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    Json,
    Xml,
    KeyValue,
    MessageTable,
    CometTable,
    TwoLines,
    CometLines,
}

impl Form {
    /// Told by what stands in it, not by its name.
    fn of(text: &str) -> Option<Self> {
        const LOOKED_AT: usize = 4000;
        let start = text.trim_start();
        let head: String = start.chars().take(LOOKED_AT).collect::<String>().to_ascii_uppercase();
        if head.starts_with(['[', '{']) {
            return head.contains("MEAN_MOTION").then_some(Self::Json);
        }
        if head.starts_with('<') {
            return (head.contains("<OMM")
                || head.contains(":OMM")
                || head.contains("<NDM")
                || head.contains(":NDM"))
            .then_some(Self::Xml);
        }
        if head.lines().any(|line| line.trim_start().starts_with("CCSDS_OMM_VERS") && line.contains('=')) {
            return Some(Self::KeyValue);
        }
        let words: Vec<String> = head
            .lines()
            .next()
            .unwrap_or_default()
            .split([',', ';', '\t', '|'])
            .map(|word| word.trim().trim_matches('"').to_owned())
            .collect();
        if words.iter().filter(|word| omm::KEYS.contains(&word.as_str())).count() >= 5 {
            return Some(Self::MessageTable);
        }
        if comet_table::is_header(&words) {
            return Some(Self::CometTable);
        }
        // Columns are counted from the start of each line, blanks and all.
        let lines: Vec<&str> = text.lines().take(200).collect();
        if lines.windows(2).any(|pair| tle::is_line(pair[0], '1') && tle::is_line(pair[1], '2')) {
            return Some(Self::TwoLines);
        }
        lines.iter().any(|line| comet_lines::is_line(line)).then_some(Self::CometLines)
    }
}

/// Whether a file holds elements, by what stands in it.
pub fn looks_like_elements(bytes: &[u8]) -> bool {
    const LOOKED_AT: usize = 65_536;
    Form::of(&text_of(&bytes[..bytes.len().min(LOOKED_AT)])).is_some()
}

/// Reads a file of elements: OMM as JSON, XML, KVN or CSV, two-line elements, comets as a table or as lines of fixed
/// columns. What can't be read is told and left out; everything else comes in. Any bytes give an answer.
pub fn read_elements(file: &str, bytes: &[u8]) -> ElementsRead {
    let text = text_of(bytes);
    let mut found = Found { file, faults: Vec::new() };
    let (satellites, comets) = match Form::of(&text) {
        None => {
            let message = "no elements that can be read here";
            let remedy = "Give an OMM (JSON, XML, KVN or CSV), two-line elements, or a table of comets";
            found.fault(Spot::default(), "", message, remedy);
            (Vec::new(), Vec::new())
        }
        Some(Form::TwoLines) => (tle::elements(&text, &mut found), Vec::new()),
        Some(Form::CometLines) => (Vec::new(), comet_lines::comets(&text, &mut found)),
        Some(Form::CometTable) => {
            let records = omm_csv::records(&text, &mut found);
            (Vec::new(), comet_table::comets(&records, &mut found))
        }
        Some(Form::Json) => of_messages(&omm_json::records(&text, &mut found), &mut found),
        Some(Form::Xml) => of_messages(&omm_xml::records(&text, &mut found), &mut found),
        Some(Form::KeyValue) => of_messages(&omm_kvn::records(&text, &mut found), &mut found),
        Some(Form::MessageTable) => of_messages(&omm_csv::records(&text, &mut found), &mut found),
    };
    ElementsRead { satellites, comets, faults: found.faults }
}

fn of_messages(records: &[Record], found: &mut Found<'_>) -> (Vec<SatelliteElements>, Vec<NamedComet>) {
    (records.iter().filter_map(|record| omm::elements(record, found)).collect(), Vec::new())
}

/// Bytes as a text: what is not UTF-8 is replaced, and then stands out as a fault where it matters.
fn text_of(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned()
}
