//! (placeholder until the pack lands)
#[derive(Clone, Debug)]
pub struct Ephemeris;
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PackError {
    NotAPack,
}
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Series {
    SunFromBarycentre,
    Mercury,
    Venus,
    EarthMoonBarycentre,
    Mars,
    Jupiter,
    Saturn,
    Uranus,
    Neptune,
    MoonFromEarth,
}
pub const EARTH_MOON_MASS_RATIO: f64 = 81.3;
impl Ephemeris {
    pub fn from_bytes(_bytes: &[u8]) -> Result<Self, PackError> {
        todo!()
    }
    pub fn span_tdb_s(&self) -> (f64, f64) {
        todo!()
    }
    pub fn place(&self, _series: Series, _tdb_s: f64) -> Option<[f64; 3]> {
        todo!()
    }
    pub fn place_and_velocity(&self, _series: Series, _tdb_s: f64) -> Option<([f64; 3], [f64; 3])> {
        todo!()
    }
}
