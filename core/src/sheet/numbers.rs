//! The only rounding rules: how a time, an angle, a brightness or a length of time is written for people.

use chrono::DateTime;
use chrono_tz::Tz;

/// A local time to the minute, rounded to the nearest: `20:40`.
pub fn clock(local: DateTime<Tz>) -> String {
    todo!()
}
