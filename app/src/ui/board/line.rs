//! The line before the eyepiece as the Board tells it: its course, where it is longest, and in words.

use std::borrow::Cow;

use evenfall_core::plan::{QueueMinute, StopId, Trickle, everybody_looks, humane_wait_minutes};
use evenfall_core::rig::Port;
use evenfall_core::sheet::{Names, numbers};
use evenfall_core::time::{Instant, Interval};

use crate::state::OpenEvening;
use crate::ui::text;

/// The line of one eyepiece stop where it is longest.
pub struct Peak {
    pub at: Instant,
    pub stop: StopId,
    pub people: f64,
    pub at_screen: f64,
    pub wait_minutes: f64,
    /// Whether somebody stands for longer than a house bears with nothing else to see.
    pub too_long: bool,
}

/// The line along the part of the evening that is shown.
pub struct LineBand<'a> {
    pub minutes: Cow<'a, [QueueMinute]>,
    /// The longest of each eyepiece stop, in order of time.
    pub peaks: Vec<Peak>,
    humane_minutes: f64,
}

impl<'a> LineBand<'a> {
    /// The line as it is, or as it would be on `trial`; `None` on a rig without an eyepiece.
    pub fn new(open: &'a OpenEvening, trial: Option<&'a [QueueMinute]>, span: Interval) -> Option<Self> {
        let stock = &open.document.stock;
        if !stock.rig.ports.iter().any(Port::is_eyepiece) {
            return None;
        }
        let all = trial.unwrap_or(&open.derived.line);
        let minutes = if all.iter().all(|minute| span.contains(minute.instant)) {
            Cow::Borrowed(all)
        } else {
            Cow::Owned(all.iter().copied().filter(|minute| span.contains(minute.instant)).collect())
        };
        let humane_minutes = humane_wait_minutes(&open.document.evening.house);
        let peaks = minutes.chunk_by(|one, other| one.stop == other.stop).filter_map(|own| {
            let longer = |one: &'_ QueueMinute, other: &'_ QueueMinute| other.wait_minutes > one.wait_minutes;
            let peak = own.iter().reduce(|one, other| if longer(one, other) { other } else { one })?;
            Some(Peak {
                at: peak.instant,
                stop: peak.stop?,
                people: peak.people,
                at_screen: peak.at_screen,
                wait_minutes: peak.wait_minutes,
                too_long: own.iter().any(|minute| minute.standing_minutes > humane_minutes),
            })
        });
        let peaks = peaks.filter(|peak| peak.people > 0.0).collect();
        Some(Self { minutes, peaks, humane_minutes })
    }

    /// The most people that are in line at once.
    pub fn most_people(&self) -> f64 {
        self.minutes.iter().map(|minute| minute.people).fold(0.0, f64::max)
    }

    /// Whether whoever joins then stands for longer than a house bears with nothing else to see.
    pub fn is_too_long(&self, minute: &QueueMinute) -> bool {
        minute.standing_minutes > self.humane_minutes
    }

    /// The line at an instant, in words; nothing between eyepiece stops.
    pub fn words_at(&self, at: Instant) -> Option<String> {
        let minute = self.minutes.iter().rev().find(|minute| minute.instant <= at)?;
        minute.stop?;
        if minute.people >= 0.5 {
            return Some(text::line_and_wait(minute.people, minute.at_screen, minute.wait_minutes));
        }
        let by_chance = match minute.trickle {
            Some(Trickle::Steady { even, .. }) => even.wait_minutes,
            _ => minute.wait_minutes,
        };
        Some(text::no_line(by_chance))
    }

    /// All of it in words: of each eyepiece stop its longest line, and what everybody's look takes.
    pub fn words(&self, open: &OpenEvening) -> String {
        let materials = open.document.stock.materials();
        let evening = &open.document.evening;
        let names = Names::new(evening, &open.derived.prepared, &materials);
        let told = self.peaks.iter().map(|peak| {
            let line = text::line_and_wait(peak.people, peak.at_screen, peak.wait_minutes);
            let stop = names.stop_phrase(peak.stop);
            let mut words = format!("{stop}: {line} at {}", names.clock(peak.at));
            if peak.too_long {
                words.push_str(&text::longer_than(self.humane_minutes));
            }
            let stop = evening.order.get(peak.stop);
            if let (Some((_, target)), Some(timing)) =
                (stop.and_then(|stop| open.target(stop)), open.derived.timing(peak.stop))
            {
                let overhead_minutes = (timing.parts.total_s() + timing.lead_s) / 60.0;
                let all = everybody_looks(&evening.house, target.kind, overhead_minutes);
                words.push_str(&text::everybody_takes(
                    &numbers::minutes(all.total_minutes),
                    &numbers::minutes(all.mean_wait_minutes),
                ));
            }
            words
        });
        let told: Vec<String> = told.collect();
        if told.is_empty() { text::NO_LINE.to_owned() } else { told.join("; ") }
    }
}
