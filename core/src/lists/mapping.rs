//! What each column of a list means, as a file that the astronomer sees, corrects and keeps.

use std::fmt::Write as _;

use serde::Deserialize;

use super::columns::{Meaning, Unit};
use super::kinds::KIND_WORDS;
use crate::catalogue::Kind;
use crate::reading::{Faults, Fields, read_whole};

/// The first line of a mapping file says this.
pub const MAPPING_FORMAT: &str = "evenfall-mapping/1";

/// The longest name of a column, and of a word for a kind, in characters.
pub(super) const LONGEST_COLUMN: usize = 200;

/// What stands between the columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Delimiter {
    Comma,
    Semicolon,
    Tab,
    Pipe,
}

impl Delimiter {
    /// All of them; where a list could be cut by several, the first holds: a comma may also stand in numbers.
    pub const ALL: [Self; 4] = [Self::Tab, Self::Semicolon, Self::Pipe, Self::Comma];

    pub(super) const fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
            Self::Pipe => b'|',
        }
    }
}

/// What one column means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MappedColumn {
    /// Its name in the header, or `1`, `2`, ... where there is none.
    pub column: String,
    /// What it holds.
    pub is: Meaning,
    /// The unit of its values, where they don't say it themselves.
    pub unit: Option<Unit>,
}

/// How a list is read. What is not said is guessed, and the guess is told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mapping {
    /// What stands between the columns.
    pub delimiter: Option<Delimiter>,
    /// Whether the first line names the columns.
    pub header: Option<bool>,
    /// Whether the line below it tells the units.
    pub units_row: Option<bool>,
    /// Whether numbers have a decimal comma.
    pub decimal_comma: Option<bool>,
    /// The equinox of coordinates that don't say it themselves, such as `J2000`.
    pub equinox: Option<String>,
    /// The kind of rows that don't say it.
    pub usual_kind: Option<Kind>,
    /// What the columns mean.
    pub columns: Vec<MappedColumn>,
    /// Words for kinds beyond those that are known.
    pub kinds: Vec<(String, Kind)>,
    /// Values that mean "not known".
    pub unknown: Vec<String>,
}

/// Reads a mapping.
///
/// # Errors
/// All faults found.
pub fn read_mapping(file: &str, text: &str) -> Result<Mapping, Faults> {
    read_whole(file, text, MAPPING_FORMAT, |fields| Some(mapping(fields)))
}

fn mapping(fields: &Fields<'_>) -> Mapping {
    let column = |entry: &Fields<'_>| {
        Some(MappedColumn {
            column: entry.text("column", LONGEST_COLUMN),
            is: entry.word("is")?,
            unit: entry.read_optional("unit", "a unit without quotation marks"),
        })
    };
    let columns = if fields.has("columns") { fields.entries("columns", column) } else { Vec::new() };
    let kind = |entry: &Fields<'_>| Some((entry.text("word", LONGEST_COLUMN), entry.word("kind")?));
    let kinds = if fields.has("kinds") { fields.entries("kinds", kind) } else { Vec::new() };
    Mapping {
        delimiter: fields.read_optional("delimiter", "Comma, Semicolon, Tab or Pipe"),
        header: fields.read_optional("header", "true or false"),
        units_row: fields.read_optional("units_row", "true or false"),
        decimal_comma: fields.read_optional("decimal_comma", "true or false"),
        equinox: fields.optional_text("equinox", LONGEST_COLUMN),
        usual_kind: fields.read_optional("usual_kind", "a kind of target without quotation marks"),
        columns: columns.into_iter().map(|(_, column)| column).collect(),
        kinds: kinds.into_iter().map(|(_, kind)| kind).collect(),
        unknown: fields.texts("unknown", LONGEST_COLUMN),
    }
}

/// The words of a kind as a comment; nothing for one that lists can't hold.
fn kind_line(kind: Kind) -> String {
    let words = KIND_WORDS.iter().filter(|(_, known)| *known == kind).map(|(word, _)| *word);
    let words: Vec<&str> = words.collect();
    if words.is_empty() { String::new() } else { format!("//   {kind:?}: {}\n", words.join(", ")) }
}

/// A mapping as text: [`read_mapping`] reads the same from it.
pub fn write_mapping(mapping: &Mapping) -> String {
    let mut text = format!(
        "// How a list of targets is read. Correct what was guessed wrongly, and give it with --mapping.\n\
         // Meanings of a column: {}.\n\
         // Units: {}.\n\
         // Words for kinds that are known, whatever their case, spaces and hyphens:\n\
         {}\
         (\n  format: \"{MAPPING_FORMAT}\",\n",
        Meaning::ALL.map(|meaning| format!("{meaning:?}")).join(", "),
        Unit::ALL.map(|unit| format!("{unit:?}")).join(", "),
        Kind::ALL.into_iter().map(kind_line).collect::<String>(),
    );
    let mut line = |key: &str, value: Option<String>| {
        if let Some(value) = value {
            // Writing to a text can't fail.
            let _ = writeln!(text, "  {key}: {value},");
        }
    };
    line("delimiter", mapping.delimiter.map(|delimiter| format!("{delimiter:?}")));
    line("header", mapping.header.map(|header| header.to_string()));
    line("units_row", mapping.units_row.map(|units| units.to_string()));
    line("decimal_comma", mapping.decimal_comma.map(|comma| comma.to_string()));
    line("equinox", mapping.equinox.as_ref().map(|equinox| format!("{equinox:?}")));
    line("usual_kind", mapping.usual_kind.map(|kind| format!("{kind:?}")));
    let column = |column: &MappedColumn| {
        let unit = column.unit.map(|unit| format!(", unit: {unit:?}")).unwrap_or_default();
        format!("    (column: {:?}, is: {:?}{unit}),\n", column.column, column.is)
    };
    line("columns", Some(format!("[\n{}  ]", mapping.columns.iter().map(column).collect::<String>())));
    let kind = |(word, kind): &(String, Kind)| format!("    (word: {word:?}, kind: {kind:?}),\n");
    let kinds: String = mapping.kinds.iter().map(kind).collect();
    line("kinds", (!kinds.is_empty()).then(|| format!("[\n{kinds}  ]")));
    line("unknown", (!mapping.unknown.is_empty()).then(|| format!("{:?}", mapping.unknown)));
    text + ")\n"
}

#[cfg(test)]
mod tests {
    use super::{Delimiter, MappedColumn, Mapping, read_mapping, write_mapping};
    use crate::catalogue::Kind;
    use crate::lists::{Meaning, Unit};

    #[test]
    fn a_mapping_reads_as_it_was_written() {
        let column = |column: &str, is, unit| MappedColumn { column: column.into(), is, unit };
        let full = Mapping {
            delimiter: Some(Delimiter::Semicolon),
            header: Some(true),
            units_row: Some(false),
            decimal_comma: Some(true),
            equinox: Some("B1950".into()),
            usual_kind: Some(Kind::Galaxy),
            columns: vec![
                column("RA \"h\"", Meaning::RightAscension, Some(Unit::Hours)),
                column("Größe", Meaning::Size, None),
            ],
            kinds: vec![("Haufen".into(), Kind::OpenCluster)],
            unknown: vec!["99.9".into(), "k.A.".into()],
        };
        for mapping in [full, Mapping::default()] {
            assert_eq!(read_mapping("m.ron", &write_mapping(&mapping)), Ok(mapping));
        }
    }

    #[test]
    fn a_misspelt_meaning_is_told_with_the_nearest() {
        let text = "(format: \"evenfall-mapping/1\", columns: [(column: \"RA\", is: RightAscention)])";
        let faults = read_mapping("m.ron", text).unwrap_err();
        assert!(faults[0].to_string().contains("Did you mean `RightAscension`?"), "{faults:?}");
    }
}
