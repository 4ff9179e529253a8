//! Reads the embedded ephemeris pack: uniform B-splines of the places of Sun, Moon and planets.
//!
//! Everything is little-endian, without padding:
//!
//! | part | fields |
//! |---|---|
//! | header | magic `EVENFEPH`, version u32, length of the whole file u32 |
//! | | first and last TDB second f64, number of series u32 |
//! | each series | body i32, centre i32 (NAIF codes), degree u32, rows u32 |
//! | | start f64 (s), knot step f64 (s), quantum f64 (km), then the rows of three i32: x, y, z |
//! | end | CRC-32 of all before it, u32 |
//!
//! Against DE440 every body stands within 0.001 arcsec as seen from the Earth, 1950 to 2100:
//! `assets/ephemeris/README.md` has the table, the maker of the pack and how to measure again;
//! `tests/reference/ephemeris.rs` compares with the kernel's own vectors.

use std::error::Error;
use std::fmt::{Display, Formatter, Result as FmtResult};

use super::series::Series;
use super::spline::{DEGREE, Spline};

/// Mass of the Earth over mass of the Moon.
///
/// Source: constant EMRAT of JPL DE440 (Park et al. 2021, AJ 161, 105), as in its kernel.
pub const EARTH_MOON_MASS_RATIO: f64 = 81.300_568_221_497_22;

const MAGIC: [u8; 8] = *b"EVENFEPH";
const VERSION: u32 = 1;

/// Why bytes could not be read as an ephemeris pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PackError {
    /// The bytes do not begin as a pack does.
    NotAPack,
    /// The pack has a layout this reader does not know.
    Version {
        /// The version the pack states.
        found: u32,
    },
    /// Bytes are missing at the end.
    Truncated {
        /// Bytes the pack should have.
        expected_bytes: usize,
        /// Bytes there are.
        found_bytes: usize,
    },
    /// The check sum does not fit the bytes.
    Damaged,
    /// The bytes are as they were written, but the maker of the pack wrote something wrong.
    Malformed {
        /// What is wrong, as the end of "the ephemeris pack ...".
        what: &'static str,
    },
}

impl Display for PackError {
    fn fmt(&self, f: &mut Formatter<'_>) -> FmtResult {
        match self {
            Self::NotAPack => {
                write!(f, "reading the ephemeris: this is not an ephemeris pack; give planets.pack")
            }
            Self::Version { found } => write!(
                f,
                "reading the ephemeris pack: its version is {found}, expected {VERSION}; make it \
                 again with the make_pack.py of this release"
            ),
            Self::Truncated { expected_bytes, found_bytes } => write!(
                f,
                "reading the ephemeris pack: it has {found_bytes} of {expected_bytes} bytes; copy \
                 it again whole"
            ),
            Self::Damaged => write!(
                f,
                "reading the ephemeris pack: its check sum does not fit its bytes; copy it again \
                 or make it again with make_pack.py"
            ),
            Self::Malformed { what } => {
                write!(f, "reading the ephemeris pack: it {what}; make it again with make_pack.py")
            }
        }
    }
}

impl Error for PackError {}

/// The places of Sun, Moon and planets over the span of a pack.
///
/// Instants are TDB seconds since J2000.0 (JD 2451545.0 TDB). Within the span neighbouring f64
/// stand at most 5e-7 s apart; that and the arithmetic of knots move Mercury, the fastest, by
/// less than 0.1 m, far below the 140 m of the fit.
#[derive(Debug, Clone)]
pub struct Ephemeris {
    first_tdb_s: f64,
    last_tdb_s: f64,
    /// One for each of [`Series::ALL`], in its order.
    splines: Vec<Spline>,
}

impl Ephemeris {
    /// Parses a pack and checks it whole, so that every later answer is sound.
    ///
    /// # Errors
    ///
    /// [`PackError`] tells what is wrong and what to do.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, PackError> {
        let mut rest = bytes;
        if take(&mut rest) != Ok(MAGIC) {
            return Err(PackError::NotAPack);
        }
        let version = u32::from_le_bytes(take(&mut rest)?);
        if version != VERSION {
            return Err(PackError::Version { found: version });
        }
        let expected_bytes = take_count(&mut rest)?;
        if bytes.len() < expected_bytes {
            return Err(PackError::Truncated { expected_bytes, found_bytes: bytes.len() });
        }
        let (checked, crc) = bytes.split_last_chunk().ok_or(PackError::Damaged)?;
        if crc32(checked) != u32::from_le_bytes(*crc) {
            return Err(PackError::Damaged);
        }

        let first_tdb_s = f64::from_le_bytes(take(&mut rest)?);
        let last_tdb_s = f64::from_le_bytes(take(&mut rest)?);
        if take_count(&mut rest)? != Series::ALL.len() {
            return Err(malformed("does not hold ten series"));
        }
        let splines = Series::ALL
            .iter()
            .map(|series| take_spline(&mut rest, series.naif_codes()))
            .collect::<Result<Vec<_>, _>>()?;
        if rest.len() != crc.len() {
            return Err(malformed("holds more or less than its series"));
        }
        let covered =
            |spline: &Spline| spline.start_tdb_s() <= first_tdb_s && last_tdb_s <= spline.end_tdb_s();
        if !(first_tdb_s < last_tdb_s && splines.iter().all(covered)) {
            return Err(malformed("holds a series shorter than its span"));
        }
        Ok(Self { first_tdb_s, last_tdb_s, splines })
    }

    /// First and last instant it can answer, both included, TDB seconds since J2000.0.
    pub fn span_tdb_s(&self) -> (f64, f64) {
        (self.first_tdb_s, self.last_tdb_s)
    }

    /// Place in km, ICRF; `None` outside the span.
    pub fn place(&self, series: Series, tdb_s: f64) -> Option<[f64; 3]> {
        self.spline_at(series, tdb_s)?.place(tdb_s)
    }

    /// Place in km and velocity in km/s of TDB, ICRF; `None` outside the span.
    pub fn place_and_velocity(&self, series: Series, tdb_s: f64) -> Option<([f64; 3], [f64; 3])> {
        self.spline_at(series, tdb_s)?.place_and_velocity(tdb_s)
    }

    fn spline_at(&self, series: Series, tdb_s: f64) -> Option<&Spline> {
        let inside = (self.first_tdb_s..=self.last_tdb_s).contains(&tdb_s);
        self.splines.get(series as usize).filter(|_| inside)
    }
}

/// The next series, which must be the one with these codes.
fn take_spline(rest: &mut &[u8], naif_codes: (i32, i32)) -> Result<Spline, PackError> {
    let body = i32::from_le_bytes(take(rest)?);
    let centre = i32::from_le_bytes(take(rest)?);
    if (body, centre) != naif_codes {
        return Err(malformed("holds a series out of its order"));
    }
    if take_count(rest)? != DEGREE {
        return Err(malformed("holds splines of another degree than 9"));
    }
    let row_count = take_count(rest)?;
    let [start_tdb_s, step_s, quantum_km] = [take(rest)?, take(rest)?, take(rest)?].map(f64::from_le_bytes);
    let (row_bytes, after) =
        row_count.checked_mul(12).and_then(|length| rest.split_at_checked(length)).ok_or(ENDS_EARLY)?;
    *rest = after;
    let (numbers, _) = row_bytes.as_chunks::<4>();
    let (rows, _) = numbers.as_chunks::<3>();
    let rows = rows.iter().map(|xyz| xyz.map(i32::from_le_bytes)).collect();
    Spline::new(start_tdb_s, step_s, quantum_km, rows).ok_or(malformed("holds a series that is no spline"))
}

const ENDS_EARLY: PackError = malformed("ends before its last series does");

const fn malformed(what: &'static str) -> PackError {
    PackError::Malformed { what }
}

fn take<const N: usize>(rest: &mut &[u8]) -> Result<[u8; N], PackError> {
    let (taken, after) = rest.split_first_chunk().ok_or(ENDS_EARLY)?;
    *rest = after;
    Ok(*taken)
}

fn take_count(rest: &mut &[u8]) -> Result<usize, PackError> {
    let count = u32::from_le_bytes(take(rest)?);
    usize::try_from(count).map_err(|_| malformed("counts more than this computer can"))
}

/// CRC-32 of ISO 3309, as in PNG (ISO/IEC 15948, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    bytes.iter().fold(u32::MAX, |crc, byte| CRC_TABLE[usize::from(crc as u8 ^ byte)] ^ (crc >> 8)) ^ u32::MAX
}

const CRC_TABLE: [u32; 256] = {
    let mut table = [0; 256];
    let mut byte = 0;
    while byte < 256 {
        let mut crc = byte;
        let mut bit = 0;
        while bit < 8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0xEDB8_8320 } else { crc >> 1 };
            bit += 1;
        }
        table[byte as usize] = crc;
        byte += 1;
    }
    table
};

#[cfg(test)]
mod tests {
    use super::*;

    const STEP_S: f64 = 100.0;
    const ROWS: u32 = 40;

    /// A pack of ten series whose x, y, z are three given functions of the row.
    fn pack(x_y_z: impl Fn(i32) -> [i32; 3]) -> Vec<u8> {
        let mut bytes = MAGIC.to_vec();
        bytes.extend(VERSION.to_le_bytes());
        let length = 8 + 4 + 4 + 8 + 8 + 4 + 10 * (40 + 12 * ROWS) + 4;
        bytes.extend(length.to_le_bytes());
        bytes.extend(0.0_f64.to_le_bytes());
        bytes.extend((f64::from(ROWS - 9) * STEP_S).to_le_bytes());
        bytes.extend(10_u32.to_le_bytes());
        for series in Series::ALL {
            let (body, centre) = series.naif_codes();
            bytes.extend(body.to_le_bytes());
            bytes.extend(centre.to_le_bytes());
            bytes.extend(9_u32.to_le_bytes());
            bytes.extend(ROWS.to_le_bytes());
            for number in [0.0, STEP_S, 0.5] {
                bytes.extend(f64::to_le_bytes(number));
            }
            for row in (0..).take(ROWS as usize) {
                bytes.extend(x_y_z(row).map(i32::to_le_bytes).as_flattened());
            }
        }
        seal(bytes)
    }

    fn seal(mut bytes: Vec<u8>) -> Vec<u8> {
        let crc = crc32(&bytes);
        bytes.extend(crc.to_le_bytes());
        bytes
    }

    fn rough(row: i32) -> [i32; 3] {
        [row * 7_919 % 1_000, row * row * 31 % 997, -row]
    }

    fn assert_near(got: f64, want: f64, allowed: f64) {
        assert!((got - want).abs() <= allowed, "got {got}, want {want}, allowed {allowed}");
    }

    #[test]
    fn crc_has_the_published_check_value() {
        // The check value of CRC-32 (ISO 3309): the CRC of the nine digits.
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
    }

    #[test]
    fn straight_lines_and_constants_come_back() {
        // Marsden's identity: rows at the mean of their inner knots give a straight line, so
        // rows 0, 1, 2 ... give interval + fraction + 4, in quanta of half a km.
        let ephemeris = Ephemeris::from_bytes(&pack(|row| [row, -2 * row, 7])).expect("sound");
        for tdb_s in [0.0, 33.0, 1_234.5, 3_100.0] {
            let (place, velocity) =
                ephemeris.place_and_velocity(Series::Mars, tdb_s).expect("inside the span");
            let line_km = 0.5 * (tdb_s / STEP_S + 4.0);
            assert_near(place[0], line_km, 1e-12);
            assert_near(place[1], -2.0 * line_km, 1e-12);
            assert_near(place[2], 3.5, 1e-12);
            assert_near(velocity[0], 0.005, 1e-14);
            assert_near(velocity[1], -0.01, 1e-14);
            assert_near(velocity[2], 0.0, 1e-14);
        }
    }

    #[test]
    fn velocity_is_the_slope_of_place() {
        let ephemeris = Ephemeris::from_bytes(&pack(rough)).expect("sound");
        let half_s = 0.01;
        // Within an interval and across a knot.
        for tdb_s in [250.0, 1_200.0, 1_777.7] {
            let (place, velocity) =
                ephemeris.place_and_velocity(Series::Venus, tdb_s).expect("inside the span");
            assert_eq!(ephemeris.place(Series::Venus, tdb_s), Some(place));
            let [before, after] = [-half_s, half_s]
                .map(|step_s| ephemeris.place(Series::Venus, tdb_s + step_s).expect("inside"));
            for axis in 0..3 {
                // Rows within 1000 quanta bound the third derivative by 4000 quanta over
                // step cubed, 2e-3 km/s^3; half_s^2 / 6 of it is 3.3e-8 km/s.
                let slope = (after[axis] - before[axis]) / (2.0 * half_s);
                assert_near(velocity[axis], slope, 3.4e-8);
            }
        }
    }

    #[test]
    fn it_answers_on_its_span_and_not_beyond() {
        let ephemeris = Ephemeris::from_bytes(&pack(rough)).expect("sound");
        let (first, last) = ephemeris.span_tdb_s();
        assert_eq!((first, last), (0.0, 3_100.0));
        for series in Series::ALL {
            assert!(ephemeris.place(series, first).is_some());
            assert!(ephemeris.place(series, last).is_some());
            for outside in [-1e-6, last + 1e-6, f64::NAN, f64::INFINITY] {
                assert_eq!(ephemeris.place(series, outside), None);
                assert_eq!(ephemeris.place_and_velocity(series, outside), None);
            }
        }
    }

    #[test]
    fn it_refuses_what_is_not_a_pack() {
        let not_a_pack = |bytes: &[u8]| Ephemeris::from_bytes(bytes).err() == Some(PackError::NotAPack);
        assert!(not_a_pack(b""));
        assert!(not_a_pack(b"EVEN"));
        let mut bytes = pack(rough);
        bytes[0] ^= 1;
        assert!(not_a_pack(&bytes));
    }

    #[test]
    fn it_refuses_another_version() {
        let mut bytes = pack(rough);
        bytes[8] = 2;
        let error = Ephemeris::from_bytes(&bytes).expect_err("version 2");
        assert_eq!(error, PackError::Version { found: 2 });
        assert!(error.to_string().contains("version is 2, expected 1"));
    }

    #[test]
    fn it_refuses_every_shorter_pack() {
        let bytes = pack(rough);
        for length in 0..bytes.len() {
            let error = Ephemeris::from_bytes(&bytes[..length]).expect_err("short");
            if length >= 16 {
                let (expected_bytes, found_bytes) = (bytes.len(), length);
                assert_eq!(error, PackError::Truncated { expected_bytes, found_bytes });
            }
        }
    }

    #[test]
    fn it_refuses_a_damaged_pack() {
        let sound = pack(rough);
        for place in [16, 40, 100, sound.len() / 2, sound.len() - 1] {
            let mut bytes = sound.clone();
            bytes[place] ^= 0x10;
            assert_eq!(Ephemeris::from_bytes(&bytes).err(), Some(PackError::Damaged));
        }
        let mut longer = sound;
        longer.push(0);
        assert_eq!(Ephemeris::from_bytes(&longer).err(), Some(PackError::Damaged));
    }

    #[test]
    fn it_refuses_a_pack_that_was_made_wrong() {
        let sound = pack(rough);
        // The check sum is made anew, so only the contents are wrong.
        let made_wrong = |place: usize, byte: u8| {
            let mut bytes = sound[..sound.len() - 4].to_vec();
            bytes[place] = byte;
            Ephemeris::from_bytes(&seal(bytes)).expect_err("made wrong").to_string()
        };
        // 0xB8 for 0xA8 doubles the last second.
        assert!(made_wrong(30, 0xB8).contains("shorter than its span"));
        assert!(made_wrong(32, 9).contains("ten series"));
        assert!(made_wrong(36, 5).contains("order"));
        assert!(made_wrong(44, 3).contains("degree"));
        assert!(made_wrong(48, 5).contains("no spline"));
        assert!(made_wrong(51, 0xFF).contains("ends before"));
    }
}
