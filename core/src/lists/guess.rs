//! What a list leaves open, guessed from its values: header or none, which columns are coordinates, their units.

use super::angle_text::{Marked, read_angle, split_pair};
use super::cells::{Row, Rows, Span};
use super::columns::{Meaning, Unit};
use super::header::{folded, is_unit_word, named, unit_in, unit_of_cell};
use super::kinds::{KindWord, kind_word};
use super::mapping::{LONGEST_COLUMN, Mapping};
use super::numbers::{is_unknown, read_number, sentinel_of};
use super::table::plain_text;

/// How many rows are looked at to tell columns without a header.
const ROWS_LOOKED_AT: usize = 50;
/// Means below this are magnitudes per square arcminute: galaxies have about 13 of those and 22 of the others.
const FAINTEST_PER_ARCMIN2: f64 = 18.0;

/// What a column is taken for, and why.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) name: String,
    pub(super) meaning: Meaning,
    pub(super) unit: Option<Unit>,
    /// Why, in words.
    pub(super) why: String,
    /// Whether it was guessed.
    pub(super) guessed: bool,
    /// The value that stands for "not known".
    pub(super) sentinel: Option<f64>,
}

/// How a list is laid out.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub(super) columns: Vec<Column>,
    /// Whether the first row names the columns.
    pub(super) header: bool,
    /// Whether the row below it tells their units.
    pub(super) units_row: bool,
    pub(super) decimal_comma: bool,
    /// The equinox that the header names.
    pub(super) equinox: Option<&'static str>,
    /// The unit of right ascensions with minutes and without a mark.
    pub(super) sexagesimal: Unit,
    /// The first column of each meaning, by its position in [`Meaning::ALL`]: it is asked for many times a row.
    by_meaning: [Option<usize>; Meaning::ALL.len()],
}

impl Layout {
    /// The column of a meaning.
    pub(super) const fn column(&self, meaning: Meaning) -> Option<usize> {
        self.by_meaning[meaning as usize]
    }

    /// Whether a column tells the right ascension, or its hours.
    pub(super) const fn has_right_ascension(&self) -> bool {
        self.column(Meaning::RightAscension).is_some() || self.column(Meaning::RaHours).is_some()
    }

    /// Whether a column tells the declination, or its degrees.
    pub(super) const fn has_declination(&self) -> bool {
        self.column(Meaning::Declination).is_some() || self.column(Meaning::DecDegrees).is_some()
    }

    /// How many rows stand above the targets.
    pub(super) fn rows_above(&self) -> usize {
        usize::from(self.header) + usize::from(self.units_row)
    }
}

/// Lays a list out by its header, its values and a mapping; `said` is what a column holds by the list's own word, if it says.
pub(super) fn layout(rows: &Rows, mapping: &Mapping, said: &[Option<Meaning>]) -> Layout {
    let width = rows.from(0).iter().map(|row| row.width()).max().unwrap_or(0);
    let first = rows.get(0);
    let header = mapping.header.unwrap_or_else(|| first.is_some_and(is_header));
    let second = rows.get(1).filter(|_| header);
    let units_row = second.is_some() && mapping.units_row.unwrap_or_else(|| second.is_some_and(is_units_row));
    let names: Vec<String> = (0..width)
        .map(|at| {
            let written = first.filter(|_| header).map(|row| plain_text(row.cell(at)));
            let written =
                written.map(|name| name.chars().take(LONGEST_COLUMN).collect::<String>().trim().to_owned());
            written.filter(|name| !name.is_empty()).unwrap_or_else(|| (at + 1).to_string())
        })
        .collect();
    let data = rows.from(usize::from(header) + usize::from(units_row));
    let blank = |name| Column {
        name,
        meaning: Meaning::Ignored,
        unit: None,
        why: "its name is not known".to_owned(),
        guessed: false,
        sentinel: None,
    };
    let mut columns: Vec<Column> = names.into_iter().map(blank).collect();
    let mut settled = vec![false; width];
    for (column, settled) in columns.iter_mut().zip(&mut settled) {
        let given = mapping.columns.iter().find(|given| {
            let (one, other) = (folded(&given.column), folded(&column.name));
            given.column.trim() == column.name || (one == other && !one.is_empty())
        });
        if let Some(given) = given {
            (column.meaning, column.unit, *settled) = (given.is, given.unit, true);
            "as the mapping says".clone_into(&mut column.why);
        }
    }
    let mut equinox = None;
    if header {
        by_name(&mut columns, &mut settled, true, &mut equinox);
        by_word(&mut columns, &mut settled, said);
        by_name(&mut columns, &mut settled, false, &mut equinox);
        parts_or_whole(&mut columns);
        if let Some(units) = second.filter(|_| units_row) {
            by_units(&mut columns, units);
        }
    } else {
        by_values(&mut columns, &settled, data, mapping);
    }
    let decimal_comma = mapping.decimal_comma.unwrap_or_else(|| has_decimal_commas(&columns, data));
    for (at, column) in columns.iter_mut().enumerate().filter(|(_, column)| column.meaning.is_number()) {
        let numbers: Vec<f64> =
            data.iter().filter_map(|row| read_number(row.cell(at), decimal_comma)).collect();
        column.sentinel = sentinel_of(numbers.iter().copied());
        usual_unit(column, numbers);
    }
    let sexagesimal = right_ascension_unit(&mut columns, data);
    let by_meaning = Meaning::ALL.map(|meaning| columns.iter().position(|column| column.meaning == meaning));
    Layout { columns, header, units_row, decimal_comma, equinox, sexagesimal, by_meaning }
}

/// Whether a row names columns: at least one name is known, and no cell is a number; or nothing in it has a digit in front.
fn is_header(row: Row<'_>) -> bool {
    let known = row.cells().filter(|cell| named(cell).is_some_and(|named| named.sure)).count();
    let numbers = row.cells().filter(|cell| read_angle(cell).is_ok()).count();
    let pairs = row.cells().any(|cell| coordinates_in(cell).is_some());
    known >= 2 || (known == 1 && numbers == 0 && !pairs) || (numbers == 0 && !pairs && row.width() > 1)
}

/// Whether a row below the header tells units: every cell is empty, a line or a unit, and at least two are units.
fn is_units_row(row: Row<'_>) -> bool {
    let is_blank = |cell: &str| cell.bytes().all(|byte| byte == b'-');
    let mut written = row.cells().filter(|cell| !is_blank(cell));
    written.clone().count() > 1 && written.all(is_unit_word)
}

/// Takes the units that a row below the header tells, where the name of the column tells none.
fn by_units(columns: &mut [Column], units: Row<'_>) {
    for (at, column) in columns.iter_mut().enumerate().filter(|(_, column)| column.unit.is_none()) {
        column.unit = unit_of_cell(units.cell(at)).filter(|unit| unit.fits(column.meaning));
        if column.unit.is_some() {
            column.why.push_str(", its unit by the row of units");
        }
    }
}

/// Where a column holds the whole right ascension or declination, its parts in other columns are not used. Hours without a
/// column of minutes are the whole right ascension, and degrees without one the whole declination.
fn parts_or_whole(columns: &mut [Column]) {
    use Meaning::{
        DecDegrees, DecMinutes, DecSeconds, DecSign, Declination, RaHours, RaMinutes, RaSeconds,
        RightAscension,
    };
    for (whole, first, minutes, parts, unit) in [
        (RightAscension, RaHours, RaMinutes, [RaHours, RaMinutes, RaSeconds].as_slice(), Unit::Hours),
        (Declination, DecDegrees, DecMinutes, &[DecSign, DecDegrees, DecMinutes, DecSeconds], Unit::Degrees),
    ] {
        let has = |meaning: Meaning| columns.iter().any(|column| column.meaning == meaning);
        let (has_whole, has_minutes) = (has(whole), has(minutes));
        for column in columns.iter_mut() {
            if has_whole && parts.contains(&column.meaning) {
                column.meaning = Meaning::Ignored;
                "another column holds the whole".clone_into(&mut column.why);
            } else if column.meaning == first && !has_minutes {
                (column.meaning, column.unit) = (whole, Some(unit));
            }
        }
    }
}

fn by_name(columns: &mut [Column], settled: &mut [bool], sure: bool, equinox: &mut Option<&'static str>) {
    for at in 0..columns.len() {
        let Some(found) = named(&columns[at].name).filter(|found| found.sure == sure && !settled[at]) else {
            continue;
        };
        settled[at] = true;
        let taken = columns.iter().any(|column| column.meaning == found.meaning);
        let column = &mut columns[at];
        let again = matches!(found.meaning, Meaning::Name | Meaning::OtherNames);
        if taken && !again {
            "another column is taken for the same".clone_into(&mut column.why);
            continue;
        }
        column.meaning = if taken { Meaning::OtherNames } else { found.meaning };
        (column.unit, column.guessed) = (found.unit, !sure);
        let why = if sure { "by its name" } else { "its name is like one that is known" };
        why.clone_into(&mut column.why);
        *equinox = equinox.or(found.equinox);
    }
}

/// What the list itself says a column holds, where its name is not known.
fn by_word(columns: &mut [Column], settled: &mut [bool], said: &[Option<Meaning>]) {
    for (at, meaning) in said.iter().enumerate().filter_map(|(at, said)| Some((at, (*said)?))) {
        let taken = columns.iter().any(|column| column.meaning == meaning);
        let again = matches!(meaning, Meaning::Name | Meaning::OtherNames);
        if at >= columns.len() || settled[at] || (taken && !again) {
            continue;
        }
        settled[at] = true;
        let unit = unit_in(&columns[at].name).filter(|unit| unit.fits(meaning));
        let column = &mut columns[at];
        (column.meaning, column.unit) = (if taken { Meaning::OtherNames } else { meaning }, unit);
        "as the table says of it".clone_into(&mut column.why);
    }
}

/// Columns without names: two angles side by side are coordinates, the first words the name.
fn by_values(columns: &mut [Column], settled: &[bool], data: Span<'_>, mapping: &Mapping) {
    let some = data.first(ROWS_LOOKED_AT);
    let most = |at: usize, holds: &dyn Fn(&str) -> bool| {
        let cells = || some.iter().map(|row| row.cell(at)).filter(|cell| !cell.is_empty());
        let good = cells().filter(|cell| holds(cell)).count();
        good > 0 && 5 * good >= 4 * cells().count()
    };
    let free = |at: usize| at < columns.len() && !settled[at];
    let is_angle = |at: usize| free(at) && most(at, &|cell| read_angle(cell).is_ok());
    let has = |meaning: Meaning| columns.iter().any(|column| column.meaning == meaning);
    let mut found: Vec<(usize, Meaning)> = Vec::new();
    if !has(Meaning::RightAscension) && !has(Meaning::Coordinates) {
        let pair = (0..columns.len()).find(|at| is_angle(*at) && is_angle(at + 1));
        // A list of one column can hold nothing else.
        let alone = columns.len() == 1;
        let single = || {
            (0..columns.len())
                .find(|at| free(*at) && (alone || most(*at, &|cell| coordinates_in(cell).is_some())))
        };
        if let Some(at) = pair {
            found.extend([(at, Meaning::RightAscension), (at + 1, Meaning::Declination)]);
        } else if let Some(at) = single() {
            found.push((at, Meaning::Coordinates));
        }
    }
    let is_kind = |cell: &str| matches!(kind_word(cell, &mapping.kinds), KindWord::Known(_));
    let taken = |found: &[(usize, Meaning)], at: usize| found.iter().any(|(other, _)| *other == at);
    let kind = (0..columns.len()).find(|at| free(*at) && !taken(&found, *at) && most(*at, &is_kind));
    if let Some(at) = kind.filter(|_| !has(Meaning::Kind)) {
        found.push((at, Meaning::Kind));
    }
    let is_word = |cell: &str| read_angle(cell).is_err() && !is_unknown(cell);
    let name = (0..columns.len()).find(|at| free(*at) && !taken(&found, *at) && most(*at, &is_word));
    if let Some(at) = name.filter(|_| !has(Meaning::Name)) {
        found.push((at, Meaning::Name));
    }
    for (column, _) in columns.iter_mut().zip(settled).filter(|(_, settled)| !**settled) {
        "there is no header".clone_into(&mut column.why);
    }
    for (at, meaning) in found {
        (columns[at].meaning, columns[at].guessed) = (meaning, true);
        "by its values, as there is no header".clone_into(&mut columns[at].why);
    }
}

/// A name, which may be empty, and the right ascension and declination behind it.
pub(super) fn coordinates_in(text: &str) -> Option<(&str, &str, &str)> {
    let starts = std::iter::once(0).chain(text.match_indices(char::is_whitespace).map(|(at, _)| at + 1));
    starts.take(ROWS_LOOKED_AT).find_map(|at| {
        let rest = text.get(at..)?.trim_start();
        if !rest.starts_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
        let (ra, dec) = split_pair(rest)?;
        (read_angle(ra).is_ok() && read_angle(dec).is_ok()).then(|| (text[..at].trim(), ra, dec))
    })
}

fn has_decimal_commas(columns: &[Column], data: Span<'_>) -> bool {
    let (mut commas, mut points) = (0_usize, 0_usize);
    for (at, _) in columns.iter().enumerate().filter(|(_, column)| column.meaning.is_number()) {
        for cell in data.iter().map(|row| row.cell(at)) {
            let digits = |c: char| c.is_ascii_digit();
            let parted = |mark: char| {
                cell.split_once(mark).is_some_and(|(a, b)| a.ends_with(digits) && b.starts_with(digits))
            };
            commas += usize::from(parted(','));
            points += usize::from(parted('.'));
        }
    }
    commas > points
}

/// The unit of a column of numbers whose name does not say it.
fn usual_unit(column: &mut Column, mut numbers: Vec<f64>) {
    if column.unit.is_some() {
        return;
    }
    let (unit, why) = match column.meaning {
        Meaning::Size | Meaning::ShortAxis => {
            (Unit::Arcminutes, "arcminutes, where a value has no mark of its own")
        }
        Meaning::Separation => (Unit::Arcseconds, "arcseconds, as usual for double stars"),
        Meaning::ProperMotionRa | Meaning::ProperMotionDec => {
            (Unit::MilliarcsecondsPerYear, "milliarcseconds a year, as usual")
        }
        Meaning::SurfaceBrightness => {
            numbers.retain(|number| *number != 0.0);
            numbers.sort_by(f64::total_cmp);
            let middle = numbers.get(numbers.len() / 2).copied().unwrap_or(FAINTEST_PER_ARCMIN2);
            if middle < FAINTEST_PER_ARCMIN2 {
                (Unit::MagnitudesPerSquareArcminute, "per square arcminute, as its middle value is below 18")
            } else {
                (
                    Unit::MagnitudesPerSquareArcsecond,
                    "per square arcsecond, as its middle value is not below 18",
                )
            }
        }
        _ => return,
    };
    column.unit = Some(unit);
    column.guessed = true;
    column.why = format!("{}; {why}", column.why);
}

/// Settles degrees or hours of the right ascension; gives back the unit of those with minutes and without a mark.
fn right_ascension_unit(columns: &mut [Column], data: Span<'_>) -> Unit {
    let position = |meaning| columns.iter().position(|column: &Column| column.meaning == meaning);
    let pair = position(Meaning::Coordinates);
    let Some(at) = position(Meaning::RightAscension).or(pair) else { return Unit::Hours };
    let text = |row: Row<'_>| {
        let cell = row.cell(at);
        if Some(at) == pair {
            coordinates_in(cell).and_then(|(_, ra, _)| read_angle(ra).ok())
        } else {
            read_angle(cell).ok()
        }
    };
    // How many there are, and how many of them are no hour.
    let (mut decimals, mut parted) = ((0_usize, 0_usize), (0_usize, 0_usize));
    for angle in data.iter().filter_map(text).filter(|angle| angle.marked == Marked::Not) {
        let counted = if angle.sexagesimal { &mut parted } else { &mut decimals };
        counted.0 += 1;
        counted.1 += usize::from(angle.value >= 24.0);
    }
    // One slip in a list of hours is that row's fault, not the unit of all. Round the sky 14 of 15 degrees are no hours; with
    // minutes behind, degrees are rare.
    let decimals = (decimals.0, decimals.1 > 0 && 4 * decimals.1 >= decimals.0, decimals.1 > 0);
    let parted = (parted.0, 2 * parted.1 > parted.0, parted.1 > 0);
    let column = &mut columns[at];
    let given = column.unit;
    let degrees_given = given == Some(Unit::Degrees) && decimals.0 == 0;
    let sexagesimal = if parted.1 || degrees_given { Unit::Degrees } else { Unit::Hours };
    if given.is_none() {
        let (unit, why) = match (decimals, parted) {
            ((1.., true, _), _) | ((0, ..), (1.., true, _)) => {
                (Unit::Degrees, "degrees, as there are values from 24 on")
            }
            ((1.., false, true), _) | ((0, ..), (1.., false, true)) => {
                (Unit::Hours, "hours, as most values are below 24: those that are not can't be used")
            }
            ((1.., ..), _) => (Unit::Hours, "hours, as every value is below 24"),
            ((0, ..), (1.., ..)) => (Unit::Hours, "hours, as they are written with minutes and are below 24"),
            _ => (Unit::Hours, "hours or degrees, as each value says"),
        };
        column.unit = Some(unit);
        column.guessed |= decimals.0 > 0 || parted.2;
        column.why = format!("{}; {why}", column.why);
    }
    sexagesimal
}

#[cfg(test)]
mod tests {
    use super::{coordinates_in, layout};
    use crate::lists::cells::Limits;
    use crate::lists::table::{cut, delimiter_of};
    use crate::lists::{Mapping, Meaning, Unit};

    fn meanings(text: &str) -> Vec<(Meaning, Option<Unit>)> {
        let rows = cut(text, delimiter_of(text), Limits::USUAL).rows;
        layout(&rows, &Mapping::default(), &[])
            .columns
            .iter()
            .map(|column| (column.meaning, column.unit))
            .collect()
    }

    #[test]
    fn degrees_and_hours_are_told_apart() {
        let unit = |text: &str| meanings(text)[0].1;
        assert_eq!(unit("ra,dec\n5.5,22\n23.9,-5\n"), Some(Unit::Hours));
        assert_eq!(unit("ra,dec\n5.5,22\n24.0,-5\n"), Some(Unit::Degrees));
        assert_eq!(unit("ra_deg,dec\n5.5,22\n"), Some(Unit::Degrees));
        assert_eq!(unit("ra,dec\n08 34 31,12 00 52\n"), Some(Unit::Hours));
        assert_eq!(unit("ra,dec\n128 37 45,12 00 52\n"), Some(Unit::Degrees));
    }

    #[test]
    fn parts_of_an_angle_are_used_where_no_column_has_the_whole() {
        use Meaning::{
            DecDegrees, DecMinutes, DecSeconds, DecSign, Declination, Ignored, RaHours, RaMinutes, RaSeconds,
            RightAscension,
        };
        let all = |text: &str| meanings(text).into_iter().map(|(meaning, _)| meaning).collect::<Vec<_>>();
        assert_eq!(
            all("RAh,RAm,RAs,DE-,DEd,DEm,DEs\n5,34,31.9,+,22,0,52\n"),
            [RaHours, RaMinutes, RaSeconds, DecSign, DecDegrees, DecMinutes, DecSeconds]
        );
        assert_eq!(
            all("RA,RAh,RAm,DE,DEd,DEm\n5,5,34,22,22,0\n"),
            [RightAscension, Ignored, Ignored, Declination, Ignored, Ignored]
        );
        assert_eq!(
            meanings("ra_h,dec_deg\n5.5,22.1\n"),
            [(RightAscension, Some(Unit::Hours)), (Declination, Some(Unit::Degrees))]
        );
    }

    #[test]
    fn a_row_of_units_below_the_header_is_no_target() {
        let of = |text: &str| {
            let rows = cut(text, delimiter_of(text), Limits::USUAL).rows;
            let layout = layout(&rows, &Mapping::default(), &[]);
            (layout.units_row, layout.columns.iter().map(|column| column.unit).collect::<Vec<_>>())
        };
        let (units_row, units) = of("name,ra,dec,size,mag\n,deg,deg,arcsec,mag\nLamp,5.5,22,90,8\n");
        assert!(units_row);
        assert_eq!(units, [None, Some(Unit::Degrees), Some(Unit::Degrees), Some(Unit::Arcseconds), None]);
        assert!(of("name,ra,dec\n---,(h),[°]\nLamp,5.5,22\n").0);
        for none in ["name,ra,dec\nLamp,5.5,22\n", "name,ra,dec\nm,no,no\n", "name,ra,dec\n"] {
            assert!(!of(none).0, "{none}");
        }
    }

    #[test]
    fn columns_without_a_header_are_told_by_their_values() {
        let [name, kind, ra, dec] = meanings("Lamp,Gx,8 34 31,+12 00 52\nTorch,PN,6 34 31,-2 00 52\n")[..]
        else {
            panic!("four columns")
        };
        assert_eq!(
            [name.0, kind.0, ra.0, dec.0],
            [Meaning::Name, Meaning::Kind, Meaning::RightAscension, Meaning::Declination]
        );
        assert_eq!(meanings("08 34 31.9 +12 00 52\n")[0].0, Meaning::Coordinates);
        assert_eq!(meanings("EV 1 08 34 31.9 +12 00 52\n")[0].0, Meaning::Coordinates);
    }

    #[test]
    fn a_name_may_stand_before_coordinates() {
        assert_eq!(coordinates_in("EV 1 08 34 31.9 +12 00 52"), Some(("EV 1", "08 34 31.9", "+12 00 52")));
        assert_eq!(coordinates_in("128.63 12.01"), Some(("", "128.63", "12.01")));
        assert_eq!(coordinates_in("no place"), None);
    }

    #[test]
    fn surface_brightness_is_told_by_its_middle() {
        assert_eq!(meanings("sb,ra\n13.1,1\n13.9,2\n")[0].1, Some(Unit::MagnitudesPerSquareArcminute));
        assert_eq!(meanings("sb,ra\n22.1,1\n23.9,2\n")[0].1, Some(Unit::MagnitudesPerSquareArcsecond));
    }
}
