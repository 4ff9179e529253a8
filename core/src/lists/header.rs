//! What a column holds, told from its name in the header.

use strsim::damerau_levenshtein;

use super::columns::{Meaning, Unit};

/// Names of columns in their folded form: small letters and digits only.
const NAMES: [(Meaning, &[&str]); 30] = [
    (
        Meaning::Name,
        &[
            "name",
            "object",
            "objectname",
            "target",
            "targetname",
            "id",
            "identifier",
            "designation",
            "main",
            "mainid",
            "title",
        ],
    ),
    (
        Meaning::OtherNames,
        &[
            "othernames",
            "othername",
            "aliases",
            "alias",
            "commonname",
            "commonnames",
            "othernumbers",
            "altname",
            "identifiers",
            "nickname",
            "popularname",
        ],
    ),
    (Meaning::Kind, &["kind", "type", "objtype", "objecttype", "otype", "class", "objectclass"]),
    (Meaning::RightAscension, &["ra", "rightascension", "rightasc", "alpha", "raj", "α"]),
    (Meaning::Declination, &["dec", "de", "decl", "declination", "delta", "dej", "decj", "δ"]),
    // The labels RAh, RAm, RAs, DE-, DEd, DEm and DEs are those of the astronomical data centres' machine-readable tables
    // (CDS, *Standards for Astronomical Catalogues*, version 2.0; from memory).
    (Meaning::RaHours, &["rah", "rahour", "rahours", "rahr"]),
    (Meaning::RaMinutes, &["ram", "ramin", "raminute", "raminutes"]),
    (Meaning::RaSeconds, &["ras", "rasec", "rasecond", "raseconds"]),
    (Meaning::DecDegrees, &["ded", "decd", "dedeg", "decdeg", "decdegrees"]),
    (Meaning::DecMinutes, &["dem", "decm", "demin", "decmin", "decminutes", "decarcmin"]),
    (Meaning::DecSeconds, &["des", "decs", "desec", "decsec", "decseconds", "decarcsec"]),
    (Meaning::Coordinates, &["coordinates", "coords", "coord", "position", "radec", "radecl"]),
    (Meaning::Equinox, &["equinox", "eq", "frame", "system", "coordinatesystem", "refsystem", "equinoxof"]),
    (Meaning::Epoch, &["epoch", "ep", "refepoch", "epochyear"]),
    (
        Meaning::ProperMotionRa,
        &["pmra", "propermotionra", "pmrightascension", "pmracosdec", "pmracosde", "mura", "pma"],
    ),
    (Meaning::ProperMotionDec, &["pmdec", "pmde", "propermotiondec", "pmdeclination", "mudec", "pmd"]),
    (
        Meaning::Size,
        &[
            "size",
            "angularsize",
            "diameter",
            "diam",
            "dim",
            "dimensions",
            "majax",
            "majoraxis",
            "longaxis",
            "axismajor",
            "width",
            "maj",
            "length",
            "a",
        ],
    ),
    (
        Meaning::ShortAxis,
        &["shortaxis", "minax", "minoraxis", "axisminor", "height", "minordiameter", "sizemin", "b"],
    ),
    (Meaning::PositionAngle, &["positionangle", "pa", "posang", "posangle", "orientation"]),
    (
        Meaning::Magnitude,
        &[
            "magnitude",
            "mag",
            "vmag",
            "v",
            "magv",
            "visualmagnitude",
            "vmagnitude",
            "visualmag",
            "vtmag",
            "magnitudev",
            "mag1",
            "magnitude1",
            "m1",
        ],
    ),
    (Meaning::SecondMagnitude, &["secondmagnitude", "mag2", "magnitude2", "m2", "companionmagnitude"]),
    (Meaning::Separation, &["separation", "sep", "rho", "dist"]),
    (Meaning::Colours, &["colours", "colors", "colour", "color"]),
    (
        Meaning::SurfaceBrightness,
        &[
            "surfacebrightness",
            "surfbr",
            "sb",
            "subr",
            "surfbrightness",
            "brightness",
            "meansurfacebrightness",
        ],
    ),
    (Meaning::SpectralType, &["spectraltype", "sptype", "spectrum", "sp", "spect", "spectralclass"]),
    (Meaning::Appeal, &["appeal", "rating", "publicrating"]),
    (Meaning::Line, &["line", "description", "summary"]),
    (Meaning::Comparison, &["comparison"]),
    (Meaning::LookFor, &["lookfor", "whattolookfor"]),
    (Meaning::Cue, &["cue"]),
];

/// Units as they stand in headers, folded; longer ones first where one ends another.
const UNITS: [(&str, Unit); 33] = [
    ("magarcsec2", Unit::MagnitudesPerSquareArcsecond),
    ("magarcsec", Unit::MagnitudesPerSquareArcsecond),
    ("magsqarcsec", Unit::MagnitudesPerSquareArcsecond),
    ("magpersquarearcsecond", Unit::MagnitudesPerSquareArcsecond),
    ("mpsas", Unit::MagnitudesPerSquareArcsecond),
    ("magarcmin2", Unit::MagnitudesPerSquareArcminute),
    ("magarcmin", Unit::MagnitudesPerSquareArcminute),
    ("magsqarcmin", Unit::MagnitudesPerSquareArcminute),
    ("magpersquarearcminute", Unit::MagnitudesPerSquareArcminute),
    ("maspersyear", Unit::MilliarcsecondsPerYear),
    ("masperyr", Unit::MilliarcsecondsPerYear),
    ("masyr1", Unit::MilliarcsecondsPerYear),
    ("masyr", Unit::MilliarcsecondsPerYear),
    ("masa", Unit::MilliarcsecondsPerYear),
    ("mas", Unit::MilliarcsecondsPerYear),
    ("arcsecperyr", Unit::ArcsecondsPerYear),
    ("arcsecyr", Unit::ArcsecondsPerYear),
    ("asyr", Unit::ArcsecondsPerYear),
    ("arcminutes", Unit::Arcminutes),
    ("arcminute", Unit::Arcminutes),
    ("arcmin", Unit::Arcminutes),
    ("amin", Unit::Arcminutes),
    ("arcseconds", Unit::Arcseconds),
    ("arcsecond", Unit::Arcseconds),
    ("arcsec", Unit::Arcseconds),
    ("asec", Unit::Arcseconds),
    ("degrees", Unit::Degrees),
    ("degree", Unit::Degrees),
    ("deg", Unit::Degrees),
    ("hours", Unit::Hours),
    ("hrs", Unit::Hours),
    ("hr", Unit::Hours),
    ("h", Unit::Hours),
];

/// Equinoxes as they stand at the end or start of a column's name.
const EQUINOXES: [(&str, &str); 14] = [
    ("j20000", "J2000"),
    ("j2000", "J2000"),
    ("icrs", "ICRS"),
    ("fk5", "J2000"),
    ("b19500", "B1950"),
    ("b1950", "B1950"),
    ("fk4", "B1950"),
    ("j20160", "J2016"),
    ("j2016", "J2016"),
    ("j20155", "J2015.5"),
    ("20000", "J2000"),
    ("2000", "J2000"),
    ("19500", "B1950"),
    ("1950", "B1950"),
];

/// What a header says of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Named {
    pub(super) meaning: Meaning,
    pub(super) unit: Option<Unit>,
    pub(super) equinox: Option<&'static str>,
    /// Whether the name is one of those known, and not just like one.
    pub(super) sure: bool,
}

/// The meaning of a column by its name; `None` where the name is like none that is known.
pub(super) fn named(header: &str) -> Option<Named> {
    // The unit may stand in brackets, or after a comma.
    let (bare, bracket) =
        header.split_once(['(', '[']).map_or((header, ""), |(bare, bracket)| (bare, bracket));
    let (mut unit, mut equinox) = (unit_of(&folded(bracket)), equinox_of(&folded(bracket)));
    if bracket.contains(['°', 'º']) {
        unit = Some(Unit::Degrees);
    } else if bracket.contains(['"', '″', '”']) || bracket.contains("''") {
        unit = Some(Unit::Arcseconds);
    } else if bracket.contains(['\'', '′', '’']) {
        unit = Some(Unit::Arcminutes);
    }
    let mut name = folded(bare);
    // The sign of a declination in a column of its own: its name would fold into that of the whole.
    let is_sign = matches!(name.as_str(), "de" | "dec") && bare.trim_end().ends_with(['-', '−', '±']);
    if is_sign || matches!(name.as_str(), "design" | "decsign") {
        return Some(Named { meaning: Meaning::DecSign, unit: None, equinox, sure: true });
    }
    let whole = name.clone();
    for _ in 0..2 {
        if let Some(meaning) = exact(&name) {
            return Some(Named {
                meaning,
                unit: unit.filter(|unit| unit.fits(meaning)),
                equinox,
                sure: true,
            });
        }
        if let Some((rest, found)) = EQUINOXES.iter().find_map(|(word, found)| {
            Some((name.strip_suffix(word).or_else(|| name.strip_prefix(word))?, *found))
        }) {
            (name, equinox) = (rest.to_owned(), equinox.or(Some(found)));
        } else if let Some((rest, found)) =
            UNITS.iter().find_map(|(word, found)| Some((name.strip_suffix(word)?, *found)))
        {
            (name, unit) = (rest.to_owned(), unit.or(Some(found)));
        }
    }
    if let Some(meaning) = exact(&name) {
        return Some(Named { meaning, unit: unit.filter(|unit| unit.fits(meaning)), equinox, sure: true });
    }
    let meaning = nearest(&whole)?;
    Some(Named { meaning, unit: unit.filter(|unit| unit.fits(meaning)), equinox, sure: false })
}

/// Small letters and digits only.
pub(super) fn folded(name: &str) -> String {
    let name = name.chars().map(|c| if c == '²' { '2' } else { c });
    name.filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

fn exact(name: &str) -> Option<Meaning> {
    NAMES.iter().find(|(_, names)| names.contains(&name)).map(|(meaning, _)| *meaning)
}

/// The nearest name, for one that is long enough to be a slip of the pen rather than another word: one letter wrong, missing,
/// surplus or swapped, two in a long one, and never the first, which tells magnitudes of different bands apart.
fn nearest(name: &str) -> Option<Meaning> {
    const SLIPS_FROM: (usize, usize) = (5, 8);
    let length = name.chars().count();
    let most = usize::from(length >= SLIPS_FROM.0) + usize::from(length >= SLIPS_FROM.1);
    let known = NAMES.iter().flat_map(|(meaning, names)| names.iter().map(move |known| (*meaning, *known)));
    let likely =
        known.filter(|(_, known)| known.len() >= SLIPS_FROM.0 && known.chars().next() == name.chars().next());
    let slips = likely.map(|(meaning, known)| (damerau_levenshtein(name, known), meaning));
    let (slips, meaning) = slips.min_by_key(|(slips, _)| *slips)?;
    (slips <= most).then_some(meaning)
}

/// Words that stand in a row of units beside those units that values can have here.
const OTHER_UNITS: [&str; 34] = [
    "mag",
    "magnitude",
    "magnitudes",
    "d",
    "m",
    "min",
    "s",
    "sec",
    "hms",
    "dms",
    "hhmmss",
    "ddmmss",
    "sexagesimal",
    "yr",
    "year",
    "a",
    "ly",
    "pc",
    "kpc",
    "mpc",
    "kms",
    "kms1",
    "none",
    "unitless",
    "text",
    "string",
    "char",
    "word",
    "number",
    "int",
    "float",
    "double",
    "date",
    "j2000",
];

/// The unit that a cell of a row of units tells.
pub(super) fn unit_of_cell(cell: &str) -> Option<Unit> {
    match cell.trim_matches(['(', ')', '[', ']', ' ']) {
        "°" | "º" | "˚" => Some(Unit::Degrees),
        "'" | "′" | "’" => Some(Unit::Arcminutes),
        "\"" | "″" | "”" | "''" => Some(Unit::Arcseconds),
        word => unit_of(&folded(word)),
    }
}

/// Whether a cell is a unit or a word that stands for one in a row of units.
pub(super) fn is_unit_word(cell: &str) -> bool {
    unit_of_cell(cell).is_some() || OTHER_UNITS.contains(&folded(cell).as_str())
}

/// The unit that a header has in brackets.
pub(super) fn unit_in(header: &str) -> Option<Unit> {
    unit_of(&folded(header.split_once(['(', '['])?.1))
}

fn unit_of(folded: &str) -> Option<Unit> {
    UNITS.iter().find(|(word, _)| *word == folded).map(|(_, unit)| *unit)
}

fn equinox_of(folded: &str) -> Option<&'static str> {
    EQUINOXES.iter().find(|(word, _)| *word == folded).map(|(_, equinox)| *equinox)
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::{NAMES, folded, named};
    use crate::lists::{Meaning, Unit};

    #[test]
    fn every_name_stands_once_and_folded() {
        let all: Vec<&str> = NAMES.iter().flat_map(|(_, names)| names.iter().copied()).collect();
        assert_eq!(all.iter().collect::<HashSet<_>>().len(), all.len());
        assert!(all.iter().all(|name| folded(name) == *name));
    }

    #[test]
    fn headers_are_read_whatever_their_form() {
        use Meaning::{
            Declination, Magnitude, Name, ProperMotionRa, RightAscension, Size, SurfaceBrightness,
        };
        for (header, meaning, unit, equinox) in [
            ("RA", RightAscension, None, None),
            ("  Right Ascension ", RightAscension, None, None),
            ("RA (deg)", RightAscension, Some(Unit::Degrees), None),
            ("ra_deg", RightAscension, Some(Unit::Degrees), None),
            ("RA [h]", RightAscension, Some(Unit::Hours), None),
            ("RAJ2000", RightAscension, None, Some("J2000")),
            ("_RAJ2000", RightAscension, None, Some("J2000")),
            ("RA_ICRS", RightAscension, None, Some("ICRS")),
            ("DEB1950", Declination, None, Some("B1950")),
            ("Dec (J2000)", Declination, None, Some("J2000")),
            ("dec_j2000_deg", Declination, Some(Unit::Degrees), Some("J2000")),
            ("V-Mag", Magnitude, None, None),
            ("Size (′)", Size, Some(Unit::Arcminutes), None),
            ("size_arcmin", Size, Some(Unit::Arcminutes), None),
            ("MajAx", Size, None, None),
            ("SB (mag/arcmin²)", SurfaceBrightness, Some(Unit::MagnitudesPerSquareArcminute), None),
            ("SurfBr", SurfaceBrightness, None, None),
            ("pmRA [mas/yr]", ProperMotionRa, Some(Unit::MilliarcsecondsPerYear), None),
            ("Object Name", Name, None, None),
        ] {
            let read = named(header).unwrap_or_else(|| panic!("{header}"));
            assert_eq!(
                (read.meaning, read.unit, read.equinox, read.sure),
                (meaning, unit, equinox, true),
                "{header}"
            );
        }
    }

    #[test]
    fn a_slip_of_the_pen_is_a_guess_and_another_word_is_none() {
        let slip = named("Declinaton").unwrap();
        assert!(slip.meaning == Meaning::Declination && !slip.sure);
        for other in
            ["B-Mag", "B-Magnitude", "K-Mag", "Redshift", "RadVel", "Const", "Hubble", "M", "", "Season"]
        {
            assert_eq!(named(other), None, "{other}");
        }
    }
}
