//! An evening to RON: stable order, comments that teach, instants with offset.

use chrono_tz::Tz;

use crate::plan::Evening;

/// The evening as text; reading it gives the same evening. Instants are written on the local clock of `zone` with
/// their offset.
pub fn write_evening(evening: &Evening, zone: Tz) -> String {
    todo!()
}
