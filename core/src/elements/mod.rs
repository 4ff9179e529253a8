//! Satellites and comets by orbital elements that the user has.
//!
//! [`read_elements`] tells the form of a file and reads it: OMM of the CCSDS in its four spellings (`omm_*`), two-line
//! elements (`tle`), comets as fixed columns (`comet_lines`) or as a table with a header (`comet_table`). A faulty record
//! is told by file, line, column and key; the others still come in. [`SatelliteElements`] go through SGP4 to the place
//! of a [`Satellite`], [`CometElements`] by two-body motion (`two_body`) to that of a comet.

mod calendar;
mod comet;
mod comet_lines;
mod comet_table;
mod omm;
mod omm_csv;
mod omm_json;
mod omm_kvn;
mod omm_xml;
mod read;
mod record;
mod satellite;
mod tle;
mod two_body;

pub use calendar::{read_tt_day, read_utc, write_tt_day, write_utc};
pub use comet::{COMET_STALE_DAYS, CometElements, CometFault};
pub use read::{ElementsRead, NamedComet, looks_like_elements, read_elements};
pub use satellite::{
    MOST_CATALOGUE_NUMBER, SATELLITE_STALE_DAYS, SATELLITE_USELESS_DAYS, Satellite, SatelliteElements,
    SatelliteFault,
};
