//! The answer to a visitor's request.

use super::not_shown::{not_shown_sentence, way_phrase};
use super::shares::port;
use crate::plan::{RequestAnswer, RequestWhen, WayIn, WhyNot};
use crate::sheet::phrases::lower_first;
use crate::sheet::why::{about, why_not_phrase};
use crate::sheet::wording::view_phrase;
use crate::sheet::{Names, numbers};
use crate::time::Instant;

/// The answer to a visitor's request at an instant: yes, from when, or no and why.
pub fn request_sentences(names: &Names<'_>, answer: &RequestAnswer, now: Instant) -> Vec<String> {
    let mut all = vec![request_sentence(names, &answer.when, now)];
    let place = |way: &WayIn| format!("A place for it: {}.", way_phrase(names, way));
    all.extend(answer.way.as_ref().map(place));
    all
}

fn request_sentence(names: &Names<'_>, when: &RequestWhen, now: Instant) -> String {
    let because = |now: &Option<WhyNot>| {
        now.as_ref()
            .map_or_else(String::new, |why| format!(" Now: {}.", lower_first(&why_not_phrase(names, why))))
    };
    match when {
        RequestWhen::InOrder { stop, at } if *at <= now => format!("Yes, now: {}.", names.stop_phrase(*stop)),
        RequestWhen::InOrder { stop, at } => {
            format!("Yes, at {}: {}.", names.clock(*at), names.stop_phrase(*stop))
        }
        RequestWhen::Now { port: best, view, altitude, azimuth, until } => {
            let until = if *until >= names.prepared.doors.end() {
                "until doors close".to_owned()
            } else {
                format!("until {}", names.clock(*until))
            };
            format!(
                "Yes, now and {until}: {} up in the {}; {} {}.",
                numbers::degrees(*altitude),
                numbers::compass_word(*azimuth),
                port(names, best),
                view_phrase(*view)
            )
        }
        RequestWhen::From { now, better, azimuth, within_doors } => {
            let from = names.clock(about(names, better.from));
            let after = if *within_doors { "" } else { ", when doors are closed" };
            let up = numbers::degrees(better.altitude);
            let wind = numbers::compass_word(*azimuth);
            let shows = format!("{} {}", port(names, &better.port), view_phrase(better.view));
            format!("From about {from}{after}: {up} up in the {wind}; {shows}.{}", because(now))
        }
        RequestWhen::Gone { last, now } => {
            format!("Not any more: it could be shown until {}.{}", names.clock(*last), because(now))
        }
        RequestWhen::No(why) => format!("No. {}", not_shown_sentence(names, why)),
    }
}
