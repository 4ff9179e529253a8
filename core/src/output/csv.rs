//! The running order as CSV (RFC 4180), units in the headings, cells safe in a spreadsheet.

use std::borrow::Cow;

use csv::{Terminator, WriterBuilder};

use crate::sheet::{Row, RunSheet};

/// A heading with how its cell is found.
type Column = (&'static str, fn(&Row) -> &str);

const COLUMNS: [Column; 24] = [
    ("Stop", |row| &row.number),
    ("Date", |row| &row.date),
    ("Start (local time)", |row| &row.start),
    ("End (local time)", |row| &row.end),
    ("Zone", |row| &row.zone),
    ("Target", |row| &row.title),
    ("Kind", |row| &row.kind),
    ("Port", |row| &row.port),
    ("On the port", |row| &row.port_detail),
    ("Altitude at start (degrees)", |row| &row.altitude_start_deg),
    ("Altitude at end (degrees)", |row| &row.altitude_end_deg),
    ("Azimuth at start (degrees from north through east)", |row| &row.azimuth_start_deg),
    ("Azimuth at end (degrees from north through east)", |row| &row.azimuth_end_deg),
    ("Move begins (local time)", |row| &row.move_start),
    ("Azimuth turn of the move", |row| &row.move_turn),
    ("Move (seconds)", |row| &row.move_s),
    ("Framing (seconds)", |row| &row.lead_s),
    ("People's time (minutes)", |row| &row.people_min),
    ("Focus offset (steps)", |row| &row.focus_steps),
    ("Dome slit (start to end)", |row| &row.slit_faces),
    ("Where the line forms", |row| &row.line_side),
    ("What to say", |row| &row.cue),
    ("Understudy", |row| &row.understudy),
    ("Held", |row| &row.held),
];

/// The rows as CSV.
///
/// Source: RFC 4180: lines end with CR LF, quotes are doubled. UTF-8 without a byte order mark.
pub fn order_csv(sheet: &RunSheet) -> String {
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    let heads =
        COLUMNS.iter().map(|column| Cow::Borrowed(column.0)).chain([Cow::Borrowed("Stoppers and Cautions")]);
    writer.write_record(heads.map(Cow::into_owned)).expect("writing to memory can't fail");
    for row in &sheet.rows {
        let cautions = row.cautions.join(" ");
        let cells = COLUMNS.iter().map(|column| safe((column.1)(row))).chain([safe(&cautions)]);
        writer.write_record(cells.map(Cow::into_owned)).expect("all records have the same columns");
    }
    let bytes = writer.into_inner().expect("flushing to memory can't fail");
    String::from_utf8(bytes).expect("every cell was text")
}

/// A cell that no spreadsheet takes for a formula: an apostrophe goes before a leading `=`, `+`, `-` or `@`, a tab or a
/// carriage return. A negative number stays a number.
///
/// Source: OWASP, CSV Injection.
fn safe(cell: &str) -> Cow<'_, str> {
    let plain_number = cell.replace('\u{2212}', "-");
    if plain_number.parse::<f64>().is_ok_and(f64::is_finite) {
        return Cow::Owned(plain_number);
    }
    if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        Cow::Owned(format!("'{cell}"))
    } else {
        Cow::Borrowed(cell)
    }
}

#[cfg(test)]
mod tests {
    use csv::ReaderBuilder;

    use super::{COLUMNS, order_csv, safe};
    use crate::sheet::{Row, RunSheet};

    #[test]
    fn formulas_become_text_and_numbers_stay() {
        assert_eq!(safe("=1+1"), "'=1+1");
        assert_eq!(safe("@home"), "'@home");
        assert_eq!(safe("\u{2212}5"), "-5");
        assert_eq!(safe("Lantern Drift"), "Lantern Drift");
    }

    #[test]
    fn what_is_written_reads_back() {
        let title = "Fox, \"the\" Hen\nand Ærø".to_owned();
        let row = Row { number: "1".into(), title: title.clone(), ..Row::default() };
        let csv = order_csv(&RunSheet { rows: vec![row], ..RunSheet::default() });
        assert!(csv.ends_with("\r\n"));
        let mut reader = ReaderBuilder::new().from_reader(csv.as_bytes());
        let record = reader.records().next().unwrap().unwrap();
        assert_eq!(record.len(), COLUMNS.len() + 1);
        assert_eq!(record.get(5), Some(title.as_str()));
    }
}
