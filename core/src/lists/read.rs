//! A list to targets: everything that can be used, and a remark for everything that can't.

use std::ops::ControlFlow;

use super::account::{ColumnUse, Effect, Keeping, ListAccount, ListProgress, ListRead, Remark, TakesList};
use super::cells::{Limits, Rows};
use super::columns::Meaning;
use super::encoding::decode;
use super::frame::Frame;
use super::guess::{Column, Layout, layout};
use super::ids::Ids;
use super::mapping::{Delimiter, MappedColumn, Mapping};
use super::rows::{Reader, Tally, USUAL_APPEAL, USUAL_KIND};
use super::table::{Table, cut, delimiter_of};
use super::twins::{Same, Twins};
use super::votable::{CoordinateSystem, VoTable, is_votable, read_votable};
use super::votable_binary::Form;
use crate::catalogue::{Target, folded_name};
use crate::units::Angle;

/// The largest list that is read, in bytes: 512 MB.
pub const MOST_BYTES: usize = 512 * 1024 * 1024;

/// After so many rows it is told how far the reading is.
const ROWS_A_STEP: usize = 1000;

/// Reads a list of targets in CSV, of plain coordinates or in `VOTable`, and keeps all of it. What a mapping says holds; the
/// rest is guessed and told. Never fails: what can't be read is among the remarks.
pub fn read_list(bytes: &[u8], mapping: Option<&Mapping>) -> ListRead {
    let mut kept = Keeping::default();
    let account = read_list_into(bytes, mapping, &mut kept);
    ListRead {
        targets: kept.targets,
        mapping: account.mapping,
        columns: account.columns,
        notes: account.notes,
        remarks: kept.remarks,
        remarks_beyond: kept.beyond,
        row_count: account.row_count,
    }
}

/// As [`read_list`], but each target and each remark is handed on as it comes, and nothing of it kept: a million rows need
/// some six times the memory of their text, `convert` and all.
pub fn read_list_into(bytes: &[u8], mapping: Option<&Mapping>, taking: &mut dyn TakesList) -> ListAccount {
    read_within(bytes, mapping, taking, Limits::USUAL)
}

fn read_within(
    bytes: &[u8],
    mapping: Option<&Mapping>,
    taking: &mut dyn TakesList,
    limits: Limits,
) -> ListAccount {
    let usual = Mapping::default();
    let mapping = mapping.unwrap_or(&usual);
    if bytes.len() > MOST_BYTES {
        let reason = format!("it is larger than {} MB", MOST_BYTES / (1024 * 1024));
        return refused(mapping, &reason, "Split the list, or take what you need out of it", taking);
    }
    let decoded = decode(bytes);
    if decoded.text.contains('\0') {
        let remedy = "Save it as CSV in UTF-8 where it was made";
        return refused(
            mapping,
            "it holds NUL bytes, so it is no text, but another program's own file",
            remedy,
            taking,
        );
    }
    let given = if is_votable(&decoded.text) {
        of_votable(read_votable(&decoded.text, limits))
    } else {
        let delimiter = mapping.delimiter.or_else(|| delimiter_of(&decoded.text));
        let Table { rows, unclosed } = cut(&decoded.text, delimiter, limits);
        let remarks = unclosed.map(|line| {
            remark(line, "a quotation mark is never closed", "Close it; the list was read as if it had none")
        });
        let read_as = format!("read as {}", decoded.encoding);
        let remarks = remarks.into_iter().collect();
        Given { delimiter, remarks, read_as, ..Given::of(rows) }
    };
    if let Some(too_many) = given.rows.too_many() {
        let (line, reason) = too_many.words();
        taking.remark(remark(line, &reason, "Split the list, or take what you need out of it"));
        return ListAccount { mapping: mapping.clone(), ..ListAccount::default() };
    }
    // What was made of the text holds all that is needed of it.
    drop(decoded);
    read_rows(&given, mapping, taking)
}

/// Rows of cells, and what the list says about them beside.
struct Given {
    rows: Rows,
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
    /// Rows of which the list says nothing beside.
    const fn of(rows: Rows) -> Self {
        Self {
            rows,
            delimiter: None,
            said: Vec::new(),
            references: Vec::new(),
            systems: Vec::new(),
            remarks: Vec::new(),
            read_as: String::new(),
        }
    }

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
        let whole = layout.column(Meaning::RightAscension).or_else(|| layout.column(Meaning::Coordinates));
        let column = whole.or_else(|| layout.column(Meaning::RaHours));
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
    let read_as = format!("read as VOTable with its data as {}{lines}{others}", table.form.name());
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

fn read_rows(given: &Given, mapping: &Mapping, taking: &mut dyn TakesList) -> ListAccount {
    // A table tells its columns and their units, whatever their names are like.
    let is_table = !given.said.is_empty();
    let with_header = Mapping { header: Some(true), units_row: Some(false), ..mapping.clone() };
    let layout = layout(&given.rows, if is_table { &with_header } else { mapping }, &given.said);
    let data = given.rows.from(layout.rows_above());
    if data.count() == 0 {
        if !given.remarks.is_empty() {
            given.remarks.iter().for_each(|remark| taking.remark(remark.clone()));
            return ListAccount { mapping: mapping.clone(), ..ListAccount::default() };
        }
        let remedy = "Give a list with one target a line, such as `name,kind,ra,dec` and the rows below";
        return refused(mapping, "it holds no row", remedy, taking);
    }
    let (frame, frame_note) = match frame(&layout, mapping, given) {
        Ok(found) => found,
        Err(words) => {
            let reason = format!("the equinox \"{words}\" can't be read");
            let remedy = "Write J2000, ICRS, B1950 or a year from 1984 on in the mapping";
            return refused(mapping, &reason, remedy, taking);
        }
    };
    let mut account = ListAccount {
        mapping: used(&layout, mapping, given),
        columns: layout.columns.iter().map(column_use).collect(),
        row_count: data.count(),
        ..ListAccount::default()
    };
    given
        .remarks
        .iter()
        .cloned()
        .chain(epoch_remark(&layout, given))
        .for_each(|remark| taking.remark(remark));
    let has_place = layout.column(Meaning::Coordinates).is_some()
        || (layout.has_right_ascension() && layout.has_declination());
    if !has_place {
        let remedy = "Name the columns `ra` and `dec`, or say in a mapping which they are";
        let reason = "no columns of right ascension and declination were found";
        taking.remark(whole_list(reason, remedy));
        return account;
    }
    let mut tally = Tally::default();
    let reader = Reader { layout: &layout, mapping, frame };
    let (mut twins, mut ids) = (Twins::default(), Ids::default());
    let mut kept_lines: Vec<u32> = Vec::new();
    let mut remarks = Vec::new();
    for (position, row) in data.iter().enumerate() {
        let progress = ListProgress { rows_done: position, row_count: data.count() };
        if position.is_multiple_of(ROWS_A_STEP) && taking.goes_on(progress) == ControlFlow::Break(()) {
            account.called_off = true;
            break;
        }
        let target = reader.target(row, &mut remarks, &mut tally);
        remarks.drain(..).for_each(|remark| taking.remark(remark));
        let Some(mut target) = target else { continue };
        let name = folded_name(&target.name);
        if let Some((earlier, same)) = twins.earlier_by_name(&target, &name) {
            taking.remark(twin_remark(row.line, &target, kept_lines[earlier] as usize, same));
            continue;
        }
        target.id = ids.next(&name);
        kept_lines.push(u32::try_from(row.line).unwrap_or(u32::MAX));
        tally.count(&target);
        account.used_count += 1;
        taking.target(target);
    }
    account.notes = notes(&layout, mapping, tally);
    account.notes.insert(0, format!("{}, {frame_note}", given.read_as));
    account
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
        units_row: layout.units_row.then_some(true).or(mapping.units_row),
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

fn notes(layout: &Layout, mapping: &Mapping, tally: Tally) -> Vec<String> {
    let mut notes = Vec::new();
    if layout.decimal_comma && mapping.decimal_comma.is_none() {
        notes.push("guessed: numbers have a decimal comma".to_owned());
    }
    if mapping.usual_kind.is_none() && layout.column(Meaning::Kind).is_none() {
        notes.push(format!(
            "guessed: no column tells the kind, so every row is taken for a {USUAL_KIND:?}. Another can be chosen for all (`usual_kind` in a mapping)"
        ));
    }
    if layout.column(Meaning::Appeal).is_none() {
        notes.push(format!(
            "no column says how much a target pleases the public, so each is rated {:.0}%, the middle",
            USUAL_APPEAL * 100.0
        ));
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
    counted("targets other than stars without a known size", tally.without_size);
    counted("targets without a known magnitude", tally.without_magnitude);
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

fn refused(mapping: &Mapping, reason: &str, remedy: &str, taking: &mut dyn TakesList) -> ListAccount {
    taking.remark(whole_list(reason, remedy));
    ListAccount { mapping: mapping.clone(), ..ListAccount::default() }
}
