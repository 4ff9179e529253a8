//! A list to targets: everything that can be used, and a remark for everything that can't.

use std::fmt;

use super::columns::{Meaning, Unit};
use super::encoding::decode;
use super::frame::Frame;
use super::guess::{Column, Layout, layout};
use super::ids::Ids;
use super::mapping::{Delimiter, MappedColumn, Mapping};
use super::rows::{Reader, Tally, USUAL_APPEAL, USUAL_KIND};
use super::table::{Row, Table, cut, delimiter_of};
use super::twins::{Same, Twins};
use super::votable::{CoordinateSystem, VoTable, is_votable, read_votable};
use super::votable_binary::Form;
use crate::catalogue::{Kind, Target};
use crate::units::Angle;

/// The largest list that is read, in bytes: 512 MB.
pub const MOST_BYTES: usize = 512 * 1024 * 1024;

/// What a remark means for its row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// The list is not read at all, or not as it stands.
    List,
    /// The row is not used.
    RowLeftOut,
    /// The row is used without this value.
    ValueLeftOut,
}

/// Something in a list that could not be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// Line from 1; 0 for the whole list.
    pub line: usize,
    /// The column's name in the header; empty for the whole row.
    pub column: String,
    /// The value as it stands there.
    pub value: String,
    /// What is wrong.
    pub reason: String,
    /// What to do about it.
    pub remedy: String,
    /// What became of the row.
    pub effect: Effect,
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line > 0 {
            write!(f, "{}: ", self.line)?;
        }
        if !self.column.is_empty() {
            write!(f, "{}: ", self.column)?;
        }
        if !self.value.is_empty() {
            write!(f, "\"{}\": ", self.value.escape_debug())?;
        }
        let became = match self.effect {
            Effect::List => "",
            Effect::RowLeftOut => "row not used: ",
            Effect::ValueLeftOut => "value not used: ",
        };
        write!(f, "{became}{}. {}", self.reason, self.remedy)
    }
}

/// What a column was used as.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnUse {
    /// Its name in the header, or its number.
    pub column: String,
    /// What it was taken for.
    pub is: Meaning,
    /// The unit of values that don't say theirs.
    pub unit: Option<Unit>,
    /// Whether that is a guess.
    pub guessed: bool,
    /// Why, in words.
    pub why: String,
}

/// What a list gave.
#[derive(Clone, Debug, Default)]
pub struct ListRead {
    /// The targets, in the order of the list, with identifiers of their own.
    pub targets: Vec<Target>,
    /// How it was read: given again with the list, it gives the same.
    pub mapping: Mapping,
    /// What each column was used as.
    pub columns: Vec<ColumnUse>,
    /// What was taken for granted or counted, in words.
    pub notes: Vec<String>,
    /// What could not be used.
    pub remarks: Vec<Remark>,
    /// How many rows there are below the header.
    pub row_count: usize,
}

impl ListRead {
    /// How many rows were not used.
    pub fn rows_left_out(&self) -> usize {
        self.row_count - self.targets.len()
    }
}

/// Reads a list of targets in CSV, of plain coordinates or in `VOTable`. What a mapping says holds; the rest is guessed and told.
/// Never fails: what can't be read is among the remarks.
pub fn read_list(bytes: &[u8], mapping: Option<&Mapping>) -> ListRead {
    let usual = Mapping::default();
    let mapping = mapping.unwrap_or(&usual);
    if bytes.len() > MOST_BYTES {
        let reason = format!("it is larger than {} MB", MOST_BYTES / (1024 * 1024));
        return refused(mapping, &reason, "Split the list, or take what you need out of it");
    }
    let decoded = decode(bytes);
    if decoded.text.contains('\0') {
        let remedy = "Export it as CSV in UTF-8, or in UTF-16 with a byte order mark";
        return refused(mapping, "it holds NUL bytes, so it is no text", remedy);
    }
    let given = if is_votable(&decoded.text) {
        of_votable(read_votable(&decoded.text))
    } else {
        let delimiter = mapping.delimiter.or_else(|| delimiter_of(&decoded.text));
        let Table { rows, unclosed } = cut(&decoded.text, delimiter);
        let remarks = unclosed.map(|line| {
            remark(line, "a quotation mark is never closed", "Close it; the list was read as if it had none")
        });
        let read_as = format!("read as {}", decoded.encoding);
        Given { rows, delimiter, remarks: remarks.into_iter().collect(), read_as, ..Given::default() }
    };
    read_rows(&given, mapping)
}

/// Rows of cells, and what the list says about them beside.
#[derive(Default)]
struct Given {
    rows: Vec<Row>,
    delimiter: Option<Delimiter>,
    /// What each column holds by the list's own word.
    said: Vec<Option<Meaning>>,
    /// The coordinate system that each column belongs to, by its name, and the systems.
    references: Vec<String>,
    systems: Vec<CoordinateSystem>,
    /// What is wrong with the list as a whole.
    remarks: Vec<Remark>,
    read_as: String,
}

impl Given {
    /// The coordinate system that the column of the right ascensions names.
    fn named_system(&self, layout: &Layout) -> Option<&CoordinateSystem> {
        let reference = self.reference(layout).filter(|reference| !reference.is_empty())?;
        self.systems.iter().find(|system| system.id == *reference)
    }

    /// The only system there is, where that column names none.
    fn only_system(&self, layout: &Layout) -> Option<&CoordinateSystem> {
        let names_none = self.reference(layout).is_some_and(String::is_empty);
        self.systems.first().filter(|_| self.systems.len() == 1 && names_none)
    }

    fn reference(&self, layout: &Layout) -> Option<&String> {
        let column = layout.column(Meaning::RightAscension).or_else(|| layout.column(Meaning::Coordinates));
        self.references.get(column?)
    }
}

fn of_votable(table: VoTable) -> Given {
    let remarks =
        table.broken.iter().map(|broken| remark(broken.line, &broken.reason, broken.remedy)).collect();
    let others = match table.others {
        0 => String::new(),
        1 => "; another table in it is not read".to_owned(),
        others => format!("; {others} other tables in it are not read"),
    };
    let lines = if table.form == Form::TableData { "" } else { ", lines counted as rows of the table" };
    let read_as = format!("read as VOTable, {}{lines}{others}", table.form.name());
    Given {
        rows: table.rows,
        delimiter: None,
        said: table.meanings,
        references: table.references,
        systems: table.systems,
        remarks,
        read_as,
    }
}

fn read_rows(given: &Given, mapping: &Mapping) -> ListRead {
    let rows = &given.rows;
    // A table tells its columns, whatever their names are like.
    let is_table = !given.said.is_empty();
    let with_header = Mapping { header: Some(true), ..mapping.clone() };
    let layout = layout(rows, if is_table { &with_header } else { mapping }, &given.said);
    let data = &rows[usize::from(layout.header).min(rows.len())..];
    if data.is_empty() {
        if !given.remarks.is_empty() {
            return ListRead {
                mapping: mapping.clone(),
                remarks: given.remarks.clone(),
                ..ListRead::default()
            };
        }
        let remedy = "Give a list with one target a line, such as `name,kind,ra,dec` and the rows below";
        return refused(mapping, "it holds no row", remedy);
    }
    let (frame, frame_note) = match frame(&layout, mapping, given) {
        Ok(found) => found,
        Err(words) => {
            let reason = format!("the equinox \"{words}\" can't be read");
            return refused(
                mapping,
                &reason,
                "Write J2000, ICRS, B1950 or a year from 1984 on in the mapping",
            );
        }
    };
    let mut read = ListRead {
        mapping: used(&layout, mapping, given),
        columns: layout.columns.iter().map(column_use).collect(),
        row_count: data.len(),
        ..ListRead::default()
    };
    read.remarks.extend(given.remarks.iter().cloned());
    read.remarks.extend(epoch_remark(&layout, given));
    let has_place = layout.column(Meaning::Coordinates).is_some()
        || (layout.column(Meaning::RightAscension).is_some()
            && layout.column(Meaning::Declination).is_some());
    if !has_place {
        let remedy = "Name the columns `ra` and `dec`, or say in a mapping which they are";
        let reason = "no columns of right ascension and declination were found";
        read.remarks.push(whole_list(reason, remedy));
        return read;
    }
    let mut tally = Tally::default();
    let reader = Reader { layout: &layout, mapping, frame };
    let (mut twins, mut ids, mut kept_lines) = (Twins::default(), Ids::default(), Vec::new());
    for row in data {
        let Some(mut target) = reader.target(row, &mut read.remarks, &mut tally) else { continue };
        if let Some((earlier, same)) = twins.earlier(&target) {
            read.remarks.push(twin_remark(row.line, &target, kept_lines[earlier], same));
            continue;
        }
        target.id = ids.next(&target.name);
        kept_lines.push(row.line);
        read.targets.push(target);
    }
    read.notes = notes(&read, &layout, mapping, tally);
    read.notes.insert(0, format!("{}, {frame_note}", given.read_as));
    read
}

/// The frame of rows that don't name theirs, and how it was told.
fn frame(layout: &Layout, mapping: &Mapping, given: &Given) -> Result<(Frame, String), String> {
    let has_motion = layout.column(Meaning::ProperMotionRa).is_some();
    let system = given.named_system(layout).or_else(|| {
        let only = given.only_system(layout);
        only.filter(|_| layout.equinox.is_none())
    });
    let told = system.map(CoordinateSystem::frame);
    let (words, why) = match (&mapping.equinox, &told, layout.equinox) {
        (Some(words), ..) => (words.as_str(), "as the mapping says"),
        (None, Some(words), _) => (words.as_str(), "as its coordinate system says"),
        (None, None, Some(words)) => (words, "as the header says"),
        (None, None, None) => {
            let rows_say =
                layout.column(Meaning::Equinox).is_some() || layout.column(Meaning::Epoch).is_some();
            let why = if rows_say { "where the row does not say it" } else { "as nothing else is said" };
            return Ok((Frame::USUAL, format!("coordinates for {} {why}", Frame::USUAL.words())));
        }
    };
    let frame = Frame::of_words(words, has_motion).ok_or_else(|| words.to_owned())?;
    let system = system.filter(|_| mapping.equinox.is_none());
    let epoch = system.and_then(|system| system.epoch().ok().flatten());
    let frame = epoch.map_or(frame, |epoch| frame.at_epoch(epoch));
    Ok((frame, format!("coordinates for {}, {why}", frame.words())))
}

/// What to know where the epoch of the coordinate system can't be read.
fn epoch_remark(layout: &Layout, given: &Given) -> Option<Remark> {
    let system = given.named_system(layout).or_else(|| given.only_system(layout))?;
    let words = system.epoch().err()?;
    let reason = format!("the epoch \"{words}\" of its coordinate system is no year from 1800 to 2200");
    Some(remark(
        0,
        &reason,
        "Places are taken for the epoch of the equinox; put it right, or move them yourself",
    ))
}

/// The mapping that was used, so that it can be kept.
fn used(layout: &Layout, mapping: &Mapping, given: &Given) -> Mapping {
    let column =
        |column: &Column| MappedColumn { column: column.name.clone(), is: column.meaning, unit: column.unit };
    let by_kind = layout.column(Meaning::Kind).is_some();
    Mapping {
        delimiter: given.delimiter,
        header: Some(layout.header),
        decimal_comma: Some(layout.decimal_comma),
        // What a table says about its coordinates holds again when it is read again, with its epoch.
        equinox: mapping.equinox.clone().or_else(|| {
            let header = layout.equinox.map(ToOwned::to_owned);
            header.filter(|_| given.named_system(layout).is_none())
        }),
        usual_kind: mapping.usual_kind.or_else(|| (!by_kind).then_some(USUAL_KIND)),
        columns: layout.columns.iter().map(column).collect(),
        kinds: mapping.kinds.clone(),
        unknown: mapping.unknown.clone(),
    }
}

fn column_use(column: &Column) -> ColumnUse {
    ColumnUse {
        column: column.name.clone(),
        is: column.meaning,
        unit: column.unit,
        guessed: column.guessed,
        why: column.why.clone(),
    }
}

fn notes(read: &ListRead, layout: &Layout, mapping: &Mapping, tally: Tally) -> Vec<String> {
    let mut notes = Vec::new();
    if layout.decimal_comma && mapping.decimal_comma.is_none() {
        notes.push("guessed: numbers have a decimal comma".to_owned());
    }
    if mapping.usual_kind.is_none() && layout.column(Meaning::Kind).is_none() {
        notes.push(format!(
            "guessed: no column tells the kind, so every row is a {USUAL_KIND:?}. Another one: `usual_kind` in a mapping"
        ));
    }
    if layout.column(Meaning::Appeal).is_none() {
        notes.push(format!("no column rates the targets, so each has the appeal {USUAL_APPEAL}"));
    }
    if layout.column(Meaning::Line).is_none() {
        notes.push(
            "no column has words for the public, so each target has those usual for its kind".to_owned(),
        );
    }
    for column in &layout.columns {
        if let Some(sentinel) = column.sentinel {
            notes.push(format!("guessed: {sentinel} in the column \"{}\" means \"not known\"", column.name));
        }
    }
    let mut counted = |what: &str, count: usize| {
        if count > 0 {
            notes.push(format!("{what}: {count}"));
        }
    };
    let doubles =
        "double stars that came in as stars, as separation, position angle or a magnitude is not known";
    counted(doubles, tally.doubles_as_stars);
    counted("sizes of 0, taken as not known", tally.zero_sizes);
    counted("sizes of stars, which are points, not used", tally.star_sizes);
    counted("targets without a name, named after their place", tally.unnamed);
    counted("other names left out, as they are longer than 60 characters", tally.names_left_out);
    counted("values that stand for \"not known\"", tally.sentinels);
    let is_extended = |target: &&Target| !matches!(target.kind, Kind::Star | Kind::DoubleStar);
    let without_size = read.targets.iter().filter(is_extended).filter(|target| target.size.is_none());
    counted("targets other than stars without a known size", without_size.count());
    let without_magnitude = read.targets.iter().filter(|target| target.magnitude.is_none());
    counted("targets without a known magnitude", without_magnitude.count());
    notes
}

fn twin_remark(line: usize, target: &Target, earlier: usize, same: Same) -> Remark {
    let (reason, remedy) = match same {
        Same::Place(arcsec) => {
            let apart = Angle::from_arcseconds(arcsec).arcseconds();
            (
                format!("it stands {apart:.0}″ from the target of line {earlier}, which is of the same kind"),
                "",
            )
        }
        Same::Name => (format!("line {earlier} has this name"), "If they are two, name them apart; "),
        Same::OtherName => {
            (format!("line {earlier} has one of these names and stands in the same field"), "")
        }
    };
    Remark {
        line,
        column: String::new(),
        value: target.name.clone(),
        reason,
        remedy: format!("{remedy}The first is kept"),
        effect: Effect::RowLeftOut,
    }
}

fn whole_list(reason: &str, remedy: &str) -> Remark {
    remark(0, reason, remedy)
}

/// A remark on the list as a whole that a line brings about.
fn remark(line: usize, reason: &str, remedy: &str) -> Remark {
    Remark {
        line,
        column: String::new(),
        value: String::new(),
        reason: reason.to_owned(),
        remedy: remedy.to_owned(),
        effect: Effect::List,
    }
}

fn refused(mapping: &Mapping, reason: &str, remedy: &str) -> ListRead {
    ListRead { mapping: mapping.clone(), remarks: vec![whole_list(reason, remedy)], ..ListRead::default() }
}
