//! Fields of a `VOTable`, and the rows of its binary forms.
//!
//! Source: IVOA, *`VOTable` Format Definition*, version 1.4 (2019), sections 5.3, 5.4 and 6: numbers have the big end first; arrays
//! of a length of their own begin with their count in four bytes; in BINARY2 each row begins with a bit for every field that
//! has no value.

use std::f64::consts::PI;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use super::cells::Rows;

/// How the data of a table are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Form {
    #[default]
    TableData,
    Binary,
    Binary2,
}

impl Form {
    /// Its name in the standard.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::TableData => "TABLEDATA",
            Self::Binary => "BINARY",
            Self::Binary2 => "BINARY2",
        }
    }
}

/// What a cell is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Datatype {
    Boolean,
    Bit,
    UnsignedByte,
    Short,
    Int,
    Long,
    Char,
    UnicodeChar,
    Float,
    Double,
    FloatComplex,
    DoubleComplex,
}

impl Datatype {
    fn named(name: &str) -> Option<Self> {
        Some(match name {
            "boolean" => Self::Boolean,
            "bit" => Self::Bit,
            "unsignedByte" => Self::UnsignedByte,
            "short" => Self::Short,
            "int" => Self::Int,
            "long" => Self::Long,
            "char" => Self::Char,
            "unicodeChar" => Self::UnicodeChar,
            "float" => Self::Float,
            "double" => Self::Double,
            "floatComplex" => Self::FloatComplex,
            "doubleComplex" => Self::DoubleComplex,
            _ => return None,
        })
    }

    /// Bytes of so many of them; `None` where no memory could hold them.
    fn bytes(self, count: usize) -> Option<usize> {
        let each = match self {
            Self::Bit => return count.checked_add(7).map(|bits| bits / 8),
            Self::Boolean | Self::UnsignedByte | Self::Char => 1,
            Self::Short | Self::UnicodeChar => 2,
            Self::Int | Self::Float => 4,
            Self::Long | Self::Double | Self::FloatComplex => 8,
            Self::DoubleComplex => 16,
        };
        count.checked_mul(each)
    }
}

/// How many there are in a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Count {
    /// As many in each.
    Fixed(usize),
    /// The cell says it.
    Own,
}

/// A column of a table.
#[derive(Clone, Debug)]
pub(super) struct Field {
    pub(super) name: String,
    datatype: Datatype,
    count: Count,
    unit: String,
    pub(super) ucd: String,
    /// The coordinate system it belongs to.
    pub(super) reference: String,
    /// The value that stands for "not known".
    pub(super) null: Option<String>,
    in_radians: bool,
}

impl Field {
    /// A field by its attributes.
    ///
    /// # Errors
    /// In words, with a remedy, when there is no such type or no such size.
    pub(super) fn new(
        name: &str,
        datatype: &str,
        size: &str,
        unit: String,
        ucd: String,
        reference: String,
    ) -> Result<Self, (String, &'static str)> {
        let Some(datatype) = Datatype::named(datatype) else {
            let reason = format!("the field \"{name}\" has the type \"{datatype}\", which there is none of");
            return Err((reason, "Export the table anew, or as CSV"));
        };
        let Some(count) = count(size) else {
            let reason = format!("the field \"{name}\" has the size \"{size}\", which can't be read");
            return Err((reason, "Export the table anew, or as CSV"));
        };
        let in_radians = unit == "rad";
        let unit = if in_radians { "deg".to_owned() } else { unit };
        Ok(Self { name: name.to_owned(), datatype, count, unit, ucd, reference, null: None, in_radians })
    }

    /// What heads its column: the name, and the unit in brackets. Sexagesimal text says its unit itself.
    pub(super) fn heading(&self) -> String {
        let is_text = matches!(self.datatype, Datatype::Char | Datatype::UnicodeChar);
        if self.unit.is_empty() || is_text {
            self.name.clone()
        } else {
            format!("{} ({})", self.name, self.unit)
        }
    }

    /// A cell's text; empty where it stands for "not known".
    pub(super) fn written(&self, text: &str) -> String {
        let text = text.trim();
        let is_null = self.null.as_deref() == Some(text);
        let is_number = matches!(self.datatype, Datatype::Float | Datatype::Double);
        if is_null || (is_number && text.eq_ignore_ascii_case("nan")) {
            return String::new();
        }
        match text.parse::<f64>() {
            Ok(radians) if self.in_radians => number(radians * 180.0 / PI),
            _ => text.to_owned(),
        }
    }
}

/// How many there are in a cell by an `arraysize` such as `8`, `2x3`, `*`, `32*`.
fn count(size: &str) -> Option<Count> {
    if size.is_empty() {
        return Some(Count::Fixed(1));
    }
    if size.ends_with('*') {
        return Some(Count::Own);
    }
    // A cell of nothing would make rows of nothing, without end.
    size.split('x')
        .try_fold(1_usize, |product, part| product.checked_mul(part.trim().parse().ok()?))
        .filter(|count| *count > 0)
        .map(Count::Fixed)
}

/// Adds the rows of a stream in base64, as far as there is room for them.
///
/// # Errors
/// What ended them before the end, with a remedy.
pub(super) fn rows_of(
    stream: &str,
    fields: &[Field],
    form: Form,
    rows: &mut Rows,
) -> Result<(), (String, &'static str)> {
    let bytes = STANDARD.decode(stream).map_err(|error| {
        (format!("the data are no base64: {error}"), "Export the table anew, or as TABLEDATA")
    })?;
    let mut rest = bytes.as_slice();
    if fields.is_empty() {
        return Ok(());
    }
    for line in 1.. {
        if rest.is_empty() {
            break;
        }
        let Some(cells) = cells_of(&mut rest, fields, form) else {
            let reason = format!("the data break off within row {line}");
            return Err((reason, "Export the table anew; the rows before were read"));
        };
        if !rows.begin(line) {
            break;
        }
        for cell in &cells {
            rows.push(cell);
        }
    }
    Ok(())
}

fn cells_of(rest: &mut &[u8], fields: &[Field], form: Form) -> Option<Vec<String>> {
    let mask = if form == Form::Binary2 { take(rest, fields.len().div_ceil(8))? } else { &[] };
    let mut cells = Vec::with_capacity(fields.len());
    for (at, field) in fields.iter().enumerate() {
        let count = match field.count {
            Count::Fixed(count) => count,
            Count::Own => u32::from_be_bytes(take(rest, 4)?.try_into().ok()?) as usize,
        };
        let bytes = take(rest, field.datatype.bytes(count)?)?;
        let is_null = mask.get(at / 8).is_some_and(|byte| byte & (0x80 >> (at % 8)) != 0);
        cells.push(if is_null { String::new() } else { field.written(&text(field.datatype, bytes)) });
    }
    Some(cells)
}

fn take<'b>(rest: &mut &'b [u8], count: usize) -> Option<&'b [u8]> {
    let (taken, after) = rest.split_at_checked(count)?;
    *rest = after;
    Some(taken)
}

/// The text of a cell: several numbers with spaces between.
fn text(datatype: Datatype, bytes: &[u8]) -> String {
    fn each<const N: usize>(bytes: &[u8], words: impl Fn([u8; N]) -> String) -> String {
        /// No value of a target is an array, and one of gigabytes would fill the memory as text.
        const MOST: usize = 1000;
        let (chunks, _) = bytes.as_chunks::<N>();
        chunks.iter().take(MOST).map(|chunk| words(*chunk)).collect::<Vec<_>>().join(" ")
    }
    match datatype {
        Datatype::Char => {
            let text = String::from_utf8_lossy(bytes);
            text.split('\0').next().unwrap_or_default().to_owned()
        }
        Datatype::UnicodeChar => {
            let units = bytes.as_chunks::<2>().0.iter().map(|unit| u16::from_be_bytes(*unit));
            let letters = char::decode_utf16(units.take_while(|unit| *unit != 0));
            letters.map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)).collect()
        }
        Datatype::Boolean => each(bytes, |[byte]| {
            match byte {
                b'T' | b't' | b'1' => "true",
                b'F' | b'f' | b'0' => "false",
                _ => "",
            }
            .to_owned()
        }),
        Datatype::Bit => each(bytes, |[byte]| format!("{byte:08b}")),
        Datatype::UnsignedByte => each(bytes, |[byte]| byte.to_string()),
        Datatype::Short => each(bytes, |short| i16::from_be_bytes(short).to_string()),
        Datatype::Int => each(bytes, |int| i32::from_be_bytes(int).to_string()),
        Datatype::Long => each(bytes, |long| i64::from_be_bytes(long).to_string()),
        // A float is told with its own digits, not with those of the double nearest to it.
        Datatype::Float | Datatype::FloatComplex => each(bytes, |float| {
            let float = f32::from_be_bytes(float);
            if float.is_finite() { float.to_string() } else { String::new() }
        }),
        Datatype::Double | Datatype::DoubleComplex => {
            each(bytes, |double| number(f64::from_be_bytes(double)))
        }
    }
}

/// A number with all its digits; empty for what is none.
fn number(value: f64) -> String {
    if !value.is_finite() {
        String::new()
    } else if value != 0.0 && !(1e-7..1e15).contains(&value.abs()) {
        format!("{value:e}")
    } else {
        value.to_string()
    }
}
