//! `VOTable` to rows of cells: the fields with their units and UCDs become a header, each row of the table cells of text.
//!
//! Source: IVOA, *`VOTable` Format Definition*, version 1.4 (2019): elements in section 3 and 4, data in section 5, types and
//! their sizes in section 6; IVOA, *UCD1+ controlled vocabulary*, version 1.5 (2023).

use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

use super::cells::{Limits, Rows};
use super::columns::Meaning;
use super::header::named;
use super::table::{Lines, plain_text};
use super::votable_binary::{Field, Form, rows_of};

/// A table of a `VOTable`.
#[derive(Debug)]
pub(super) struct VoTable {
    /// The first one is a header.
    pub(super) rows: Rows,
    /// What the UCD of each field says it holds.
    pub(super) meanings: Vec<Option<Meaning>>,
    /// The coordinate system that each field belongs to, by its name; empty where none is named.
    pub(super) references: Vec<String>,
    /// The coordinate systems that the file describes.
    pub(super) systems: Vec<CoordinateSystem>,
    /// How its data are written.
    pub(super) form: Form,
    /// How many other tables there are.
    pub(super) others: usize,
    /// What ended the reading before the end: the line, what is wrong, and what to do.
    pub(super) broken: Option<Broken>,
}

/// What ended the reading.
#[derive(Clone, Debug)]
pub(super) struct Broken {
    pub(super) line: usize,
    pub(super) reason: String,
    pub(super) remedy: &'static str,
}

/// Whether some text is a `VOTable`: its root element stands near the beginning.
pub(super) fn is_votable(text: &str) -> bool {
    const LOOKED_AT: usize = 4000;
    let start = text.trim_start_matches('\u{feff}').trim_start();
    let start: String = start.chars().take(LOOKED_AT).flat_map(char::to_lowercase).collect();
    start.starts_with('<') && (start.contains("<votable") || start.contains(":votable"))
}

/// Reads the first table that has right ascensions and declinations, or else the first of all.
/// No more of it is read than the limits let in.
pub(super) fn read_votable(text: &str, limits: Limits) -> VoTable {
    let mut reading = Reading::of(text, limits);
    let mut reader = Reader::from_str(text);
    reader.config_mut().expand_empty_elements = true;
    let broken = loop {
        let at = reader.buffer_position();
        match reader.read_event() {
            Ok(Event::Eof) => break None,
            Ok(event) => {
                if let Err((reason, remedy)) = reading.take(&event, at as usize) {
                    break Some(Broken { line: reading.lines.at(at as usize), reason, remedy });
                }
            }
            Err(error) => {
                let line = reading.lines.at(reader.error_position() as usize);
                let reason = format!("the XML can't be read on from here: {error}");
                break Some(Broken {
                    line,
                    reason,
                    remedy: "Export the table anew; what stands before was read",
                });
            }
        }
    };
    reading.end_table();
    let others = reading.tables.saturating_sub(1);
    let found = reading.found.unwrap_or_else(|| VoTable::of(Rows::within(limits), reading.form));
    VoTable { others, broken, systems: reading.systems, ..found }
}

impl VoTable {
    /// A table of which nothing but its rows is known.
    const fn of(rows: Rows, form: Form) -> Self {
        Self {
            rows,
            meanings: Vec::new(),
            references: Vec::new(),
            systems: Vec::new(),
            form,
            others: 0,
            broken: None,
        }
    }
}

type Trouble = (String, &'static str);

/// A coordinate system that the file describes.
#[derive(Clone, Debug, Default)]
pub(super) struct CoordinateSystem {
    pub(super) id: String,
    system: String,
    equinox: String,
    pub(super) epoch: String,
}

impl CoordinateSystem {
    /// Its frame in words. That a system of other axes can't be read is told by its own name.
    pub(super) fn frame(&self) -> String {
        match self.system.to_lowercase().as_str() {
            "icrs" => "ICRS".to_owned(),
            "eq_fk4" | "fk4" if self.equinox.is_empty() => "B1950".to_owned(),
            "eq_fk5" | "fk5" | "" if self.equinox.is_empty() => "J2000".to_owned(),
            "eq_fk4" | "fk4" | "eq_fk5" | "fk5" | "" => self.equinox.clone(),
            other => other.to_owned(),
        }
    }

    /// The epoch of its places as a year, if it names one.
    ///
    /// # Errors
    /// Its words, where they are no year from 1800 to 2200.
    pub(super) fn epoch(&self) -> Result<Option<f64>, &str> {
        let words = self.epoch.trim();
        if words.is_empty() {
            return Ok(None);
        }
        let year: Option<f64> = words.trim_start_matches(['J', 'B']).parse().ok();
        year.filter(|year| (1800.0..=2200.0).contains(year)).map(Some).ok_or(words)
    }
}

#[derive(Debug)]
struct Reading<'t> {
    lines: Lines<'t>,
    systems: Vec<CoordinateSystem>,
    /// Of the table being read.
    fields: Vec<Field>,
    rows: Rows,
    form: Form,
    limits: Limits,
    /// Whether a row is being read, and the cell of it.
    in_row: bool,
    cell: Option<String>,
    in_field: bool,
    /// The stream of a binary table.
    stream: Option<String>,
    tables: usize,
    found: Option<VoTable>,
    /// Whether the table that was found has right ascensions and declinations.
    has_places: bool,
}

impl<'t> Reading<'t> {
    const fn of(text: &'t str, limits: Limits) -> Self {
        Self {
            lines: Lines::of_text(text),
            systems: Vec::new(),
            fields: Vec::new(),
            rows: Rows::within(limits),
            form: Form::TableData,
            limits,
            in_row: false,
            cell: None,
            in_field: false,
            stream: None,
            tables: 0,
            found: None,
            has_places: false,
        }
    }

    fn take(&mut self, event: &Event<'_>, at: usize) -> Result<(), Trouble> {
        match event {
            Event::Start(element) => self.start(element, at)?,
            Event::End(element) => self.end(element.local_name().as_ref())?,
            Event::Text(text) => self.letters(&text.xml10_content().unwrap_or_default()),
            Event::CData(text) => self.letters(&text.decode().unwrap_or_default()),
            Event::GeneralRef(reference) => self.letters(&resolved(reference)),
            _ => {}
        }
        Ok(())
    }

    fn letters(&mut self, text: &str) {
        if let Some(cell) = &mut self.cell {
            cell.push_str(text);
        } else if let Some(stream) = &mut self.stream {
            stream.extend(text.chars().filter(|c| !c.is_ascii_whitespace()));
        }
    }

    fn start(&mut self, element: &BytesStart<'_>, at: usize) -> Result<(), Trouble> {
        match element.local_name().as_ref() {
            b"COOSYS" => self.systems.push(CoordinateSystem {
                id: attribute(element, "ID"),
                system: attribute(element, "system"),
                equinox: attribute(element, "equinox"),
                epoch: attribute(element, "epoch"),
            }),
            b"TABLE" => {
                self.end_table();
                self.fields.clear();
            }
            b"FIELD" => {
                self.in_field = true;
                self.fields.push(field(element)?);
            }
            b"VALUES" if self.in_field => {
                let null = attribute(element, "null");
                if let Some(field) = self.fields.last_mut().filter(|_| !null.is_empty()) {
                    field.null = Some(null);
                }
            }
            b"TABLEDATA" => self.form = Form::TableData,
            b"BINARY" => self.form = Form::Binary,
            b"BINARY2" => self.form = Form::Binary2,
            b"FITS" => {
                let remedy = "Export it with the data as TABLEDATA or BINARY2, or as CSV";
                return Err(("its data are a FITS file, which is not read".to_owned(), remedy));
            }
            b"TR" => {
                let line = self.lines.at(at);
                self.head(line);
                self.in_row = self.rows.begin(line);
            }
            b"TD" if self.in_row => self.cell = Some(String::new()),
            b"STREAM" => {
                if !attribute(element, "href").is_empty() {
                    let remedy = "Export it with the data within the file";
                    return Err(("its data lie in another file".to_owned(), remedy));
                }
                if attribute(element, "encoding") != "base64" {
                    let remedy = "Export it with the data as TABLEDATA, or as BINARY2 in base64";
                    return Err(("its data are not in base64".to_owned(), remedy));
                }
                self.stream = Some(String::new());
            }
            _ => {}
        }
        Ok(())
    }

    fn end(&mut self, element: &[u8]) -> Result<(), Trouble> {
        match element {
            b"FIELD" => self.in_field = false,
            b"TD" => {
                if let Some(cell) = self.cell.take().filter(|_| self.in_row) {
                    let field = self.fields.get(self.rows.width_of_last());
                    self.rows.push(&field.map_or_else(|| cell.clone(), |field| field.written(&cell)));
                }
            }
            b"TR" => self.in_row = false,
            b"STREAM" => {
                let Some(stream) = self.stream.take() else { return Ok(()) };
                self.head(1);
                rows_of(&stream, &self.fields, self.form, &mut self.rows)?;
            }
            b"TABLE" => self.end_table(),
            _ => {}
        }
        Ok(())
    }

    /// Puts the names of the fields above the first row, if there are any.
    fn head(&mut self, line: usize) {
        if !self.fields.is_empty() && self.rows.count() == 0 && self.rows.begin(line) {
            self.fields.iter().for_each(|field| self.rows.push(&field.heading()));
        }
    }

    /// Keeps the table that has been read, if there is none better.
    fn end_table(&mut self) {
        self.in_row = false;
        let rows = std::mem::replace(&mut self.rows, Rows::within(self.limits));
        let heads = usize::from(!self.fields.is_empty());
        if rows.count() <= heads && rows.too_many().is_none() {
            return;
        }
        self.tables += 1;
        let meanings: Vec<Option<Meaning>> = self.fields.iter().map(|field| of_ucd(&field.ucd)).collect();
        let is = |meaning: Meaning| {
            let by_name = |field: &Field| named(&field.name).is_some_and(|named| named.meaning == meaning);
            let by_ucd = meanings.iter().position(|found| *found == Some(meaning));
            by_ucd.or_else(|| self.fields.iter().position(by_name))
        };
        let ascensions = is(Meaning::RightAscension).filter(|_| is(Meaning::Declination).is_some());
        if self.found.is_some() && (self.has_places || ascensions.is_none()) {
            return;
        }
        self.has_places = ascensions.is_some();
        let references = self.fields.iter().map(|field| field.reference.clone()).collect();
        self.found = Some(VoTable { meanings, references, ..VoTable::of(rows, self.form) });
    }
}

/// An attribute of an element; empty where it has none. Values that can't be read are told by what they should have said.
fn attribute(element: &BytesStart<'_>, name: &str) -> String {
    let found =
        element.attributes().flatten().find(|found| found.key.local_name().as_ref() == name.as_bytes());
    let value = found.and_then(|found| found.normalized_value(XmlVersion::Implicit1_0).ok());
    plain_text(&value.unwrap_or_default())
}

fn field(element: &BytesStart<'_>) -> Result<Field, Trouble> {
    let name =
        [attribute(element, "name"), attribute(element, "ID")].into_iter().find(|name| !name.is_empty());
    let name = name.unwrap_or_default();
    Field::new(
        &name,
        &attribute(element, "datatype"),
        &attribute(element, "arraysize"),
        attribute(element, "unit"),
        attribute(element, "ucd"),
        attribute(element, "ref"),
    )
}

fn resolved(reference: &BytesRef<'_>) -> String {
    if let Ok(Some(letter)) = reference.resolve_char_ref() {
        return letter.to_string();
    }
    let name = reference.decode().unwrap_or_default();
    // Entities of the file's own are not resolved, as they can be made to fill the memory: they stand as they are.
    resolve_xml_entity(&name).map_or_else(|| format!("&{name};"), ToOwned::to_owned)
}

/// What a UCD says a field holds: of the first word, and the second where it tells.
fn of_ucd(ucd: &str) -> Option<Meaning> {
    let ucd = ucd.to_lowercase();
    let words: Vec<&str> = ucd.split(';').map(str::trim).collect();
    let has = |word: &str| words.contains(&word);
    Some(match *words.first()? {
        "pos.eq.ra" | "pos_eq_ra_main" => Meaning::RightAscension,
        "pos.eq.dec" | "pos_eq_dec_main" => Meaning::Declination,
        "pos.pm" if has("pos.eq.ra") => Meaning::ProperMotionRa,
        "pos.pm" if has("pos.eq.dec") => Meaning::ProperMotionDec,
        "meta.id" if has("meta.main") => Meaning::Name,
        "id_main" => Meaning::Name,
        "meta.id" => Meaning::OtherNames,
        "src.class" => Meaning::Kind,
        "phys.angsize" => Meaning::Size,
        "pos.posang" => Meaning::PositionAngle,
        "phot.mag" if has("em.opt.v") => Meaning::Magnitude,
        "phot.mag.sb" if has("em.opt.v") => Meaning::SurfaceBrightness,
        "src.sptype" => Meaning::SpectralType,
        _ => return None,
    })
}
