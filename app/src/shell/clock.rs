//! The machine's clock.

use chrono::{DateTime, Utc};

/// Now.
pub fn now() -> DateTime<Utc> {
    Utc::now()
}
