//! An instant as text: date and time with the offset from UTC and the zone whose clock shows it, by RFC 9557 (2024), *Date and
//! Time on the Internet: Timestamps with Additional Information*: RFC 3339, and in square brackets the IANA name.

use std::cell::Cell;
use std::str::FromStr;

use chrono::{DateTime, FixedOffset, Offset, SecondsFormat, TimeZone};
use chrono_tz::Tz;

use crate::reading::Fields;
use crate::site::nearest_zone;
use crate::time::Instant;

/// What a time of a stop looks like, for whoever wrote another one.
pub(super) const EXPECTED: &str = "a date and time with its offset from UTC and its zone, such as \"2027-03-13T20:40:00+00:00[Europe/London]\"";

/// The instant on the clock of a zone: `2027-03-13T20:40:00+00:00[Europe/London]`.
pub(super) fn zoned_text(instant: Instant, zone: Tz) -> String {
    let local = instant.to_utc().with_timezone(&zone);
    format!("{}[{}]", local.to_rfc3339_opts(SecondsFormat::AutoSi, false), zone.name())
}

/// A time as it was read.
pub(super) struct Zoned {
    /// The time: what its offset says it is.
    pub time: DateTime<FixedOffset>,
    /// The zone that is named, if one is.
    zone: Option<Tz>,
    /// Whether the offset is that of a clock: `Z` says nothing of any (RFC 9557, section 2).
    has_clock: bool,
}

impl Zoned {
    /// The offset that the clock of a zone has then.
    fn offset_in(&self, zone: Tz) -> FixedOffset {
        zone.offset_from_utc_datetime(&self.time.naive_utc()).fix()
    }

    /// The offset that the clock of the named zone has then, where the time gives another one.
    fn true_offset(&self) -> Option<FixedOffset> {
        let offset = self.offset_in(self.zone?);
        Some(offset).filter(|offset| self.has_clock && offset != self.time.offset())
    }
}

/// Reads a time with or without its zone.
///
/// # Errors
/// What is wrong, and what would mend it.
pub(super) fn read_zoned(text: &str) -> Result<Zoned, (String, String)> {
    let (time_text, mut suffix) = text.split_at(text.find('[').unwrap_or(text.len()));
    let no_time = || (format!("\"{text}\" is no date and time"), format!("Write {EXPECTED}"));
    let time = DateTime::parse_from_rfc3339(time_text).map_err(|_| no_time())?;
    let has_clock = !time_text.ends_with(['Z', 'z']) && !time_text.ends_with("-00:00");
    let mut zone = None;
    for position in 0.. {
        let Some(opened) = suffix.strip_prefix('[') else { break };
        let (tag, rest) = opened.split_once(']').ok_or_else(no_time)?;
        suffix = rest;
        // Section 3.1: `!` marks what must be understood; tags of a key that must not be may be passed over.
        let (is_critical, tag) = tag.strip_prefix('!').map_or((false, tag), |tag| (true, tag));
        if tag.contains('=') {
            if is_critical {
                let message = format!("\"[!{tag}]\" asks for something that is not known here");
                return Err((message, "Take it out".to_owned()));
            }
        } else if position == 0 && tag.starts_with(['+', '-']) {
            // Section 4.1: in place of a name an offset, which says no more than the one before it.
            DateTime::parse_from_rfc3339(&format!("2000-01-01T00:00:00{tag}")).map_err(|_| no_time())?;
        } else if position == 0 {
            let named = Tz::from_str(tag).map_err(|_| {
                let remedy = format!("Did you mean \"{}\"? Use an IANA name", nearest_zone(tag));
                (format!("there is no time zone \"{tag}\""), remedy)
            })?;
            zone = Some(named);
        } else {
            return Err(no_time());
        }
    }
    if suffix.is_empty() { Ok(Zoned { time, zone, has_clock }) } else { Err(no_time()) }
}

/// Notes the first time of any stop that names a zone whose clock is not the site's then, and the first whose offset is not that of
/// its zone: the instant by the offset holds, but somebody meant another one.
pub(super) fn note_zones(evening: &Fields<'_>, site: Tz) {
    let (foreign_told, offset_told) = (Cell::new(false), Cell::new(false));
    let orders = |fields: &Fields<'_>| {
        fields.entries("order", |stop| {
            let _: Option<()> = stop.pass_over();
            for key in ["start", "end"] {
                let text: String = stop.read_required(key, EXPECTED)?;
                let Ok(read) = read_zoned(&text) else { continue };
                // By their clocks, not their names: some have several.
                let named = read.zone.filter(|zone| read.offset_in(*zone) != read.offset_in(site));
                if let Some(named) = named.filter(|_| !foreign_told.replace(true)) {
                    let message = format!(
                        "\"{text}\" is on the clock of {}, and the site's is {}",
                        named.name(),
                        site.name()
                    );
                    let remedy =
                        "The offset holds. Name the site it was written for, or write the times of this one";
                    stop.fault(key, message, remedy);
                }
                if let Some(offset) = read.true_offset().filter(|_| !offset_told.replace(true)) {
                    let message = format!("\"{text}\" has another offset than the clock of its zone then");
                    stop.fault(
                        key,
                        message,
                        format!("The offset holds. Write {offset}, or leave the zone out"),
                    );
                }
            }
            Some(())
        });
    };
    orders(evening);
    if evening.has("versions") {
        evening.entries("versions", |version| {
            version.has("name");
            orders(version);
            Some(())
        });
    }
}

#[cfg(test)]
mod tests {
    use chrono_tz::America::Denver;
    use chrono_tz::{Australia, Europe};

    use super::{read_zoned, zoned_text};
    use crate::time::Instant;

    fn at(text: &str) -> Instant {
        let zoned = read_zoned(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
        Instant::from_utc(zoned.time.to_utc())
    }

    fn true_offset(text: &str) -> Option<String> {
        read_zoned(text).ok().and_then(|zoned| zoned.true_offset()).map(|offset| offset.to_string())
    }

    #[test]
    fn the_examples_of_the_standard_read() {
        // RFC 9557, section 1.1 and figure 1; sections 3.4 and 4.1.
        let plain = at("1996-12-19T16:39:57-08:00");
        for same in [
            "1996-12-19T16:39:57-08:00[America/Los_Angeles]",
            "1996-12-19T16:39:57-08:00[America/Los_Angeles][u-ca=hebrew]",
            "1996-12-19T16:39:57-08:00[_foo=bar][_baz=bat]",
            "1996-12-19T16:39:57-08:00[!America/Los_Angeles]",
            "1996-12-20T00:39:57Z",
            "1996-12-19T16:39:57-08:00[-08:00]",
        ] {
            assert_eq!(at(same), plain, "{same}");
        }
        for refused in [
            "1996-12-19T16:39:57-08:00[!_foo=bar][_baz=bat]",
            "1996-12-19T16:39:57-08:00[America/Los_Angeles",
            "1996-12-19T16:39:57-08:00[America/Los_Angeles] ",
            "1996-12-19T16:39:57-08:00[America/Los_Angeles][Europe/Paris]",
            "1996-12-19T16:39:57-08:00[America/Los_Angelos]",
            "1996-12-19T16:39:57[America/Los_Angeles]",
            "1996-12-19T16:39:57-08:00[-8]",
        ] {
            assert!(read_zoned(refused).is_err(), "{refused}");
        }
        // Section 3.4: the first is inconsistent, and `Z` claims no clock, so that the other is not.
        assert_eq!(true_offset("2022-07-08T00:14:07+01:00[Europe/Paris]").as_deref(), Some("+02:00"));
        assert_eq!(true_offset("2022-07-08T00:14:07Z[Europe/Paris]"), None);
        assert_eq!(true_offset("2022-07-08T02:14:07+02:00[Europe/Paris]"), None);
    }

    #[test]
    fn what_is_written_names_the_zone_and_reads_back() {
        for (zone, text) in [
            (Europe::London, "2027-03-28T00:59:59+00:00[Europe/London]"),
            (Europe::London, "2027-03-28T02:00:00+01:00[Europe/London]"),
            (Australia::Lord_Howe, "2027-04-04T01:30:00.000000001+11:00[Australia/Lord_Howe]"),
            (Denver, "2027-08-07T20:15:00-06:00[America/Denver]"),
        ] {
            assert_eq!(zoned_text(at(text), zone), text);
            assert_eq!(true_offset(text), None);
        }
    }
}
