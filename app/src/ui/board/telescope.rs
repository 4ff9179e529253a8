//! What the telescope does through the evening: moves in their parts, targets followed, time kept free.

use evenfall_core::plan::{Prepared, RunningOrder, StopTiming, free_minutes, free_stretches};
use evenfall_core::sheet::numbers;
use evenfall_core::time::{Instant, Interval};

use super::words;
use crate::ui::text;

/// Below this a part is not told, in seconds.
const TOLD_S: f64 = 0.5;

/// A part of a move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    Slew,
    Dome,
    Selector,
    Rotator,
    Settle,
    Focus,
    Framing,
}

impl Part {
    /// What it is called.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Slew => "slew",
            Self::Dome => "dome",
            Self::Selector => "port change",
            Self::Rotator => "rotator",
            Self::Settle => "settle",
            Self::Focus => "focus",
            Self::Framing => "framing",
        }
    }

    /// Whether it runs while others do, at the beginning of a move.
    pub const fn runs_together(self) -> bool {
        matches!(self, Self::Slew | Self::Dome | Self::Selector | Self::Rotator)
    }
}

/// A part with its time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MovePart {
    pub part: Part,
    pub interval: Interval,
}

/// The move to a stop, begun as late as it may be.
#[derive(Clone, Debug, PartialEq)]
pub struct Travel {
    /// From leaving to the stop's start.
    pub interval: Interval,
    pub parts: Vec<MovePart>,
}

impl Travel {
    /// Of a stop's timing; `None` where nothing moves.
    pub fn new(timing: &StopTiming) -> Option<Self> {
        let parts = timing.parts;
        let arrive = timing.leave.plus_seconds(parts.together_s());
        let settled = arrive.plus_seconds(parts.settle_s);
        let focused = settled.plus_seconds(parts.focus_s);
        let own = [
            (Part::Slew, timing.leave, parts.slew_s),
            (Part::Dome, timing.leave, parts.dome_s),
            (Part::Selector, timing.leave, parts.selector_s),
            (Part::Rotator, timing.leave, parts.rotator_s),
            (Part::Settle, arrive, parts.settle_s),
            (Part::Focus, settled, parts.focus_s),
            (Part::Framing, focused, timing.lead_s),
        ];
        let told = own.into_iter().filter(|(_, _, seconds)| *seconds >= TOLD_S);
        let parts: Vec<MovePart> = told
            .filter_map(|(part, from, seconds)| {
                Some(MovePart { part, interval: Interval::new(from, from.plus_seconds(seconds))? })
            })
            .collect();
        let end = focused.plus_seconds(timing.lead_s);
        let interval = Interval::new(timing.leave, end)?;
        (!parts.is_empty()).then_some(Self { interval, parts })
    }

    /// When the telescope must leave at the latest.
    pub const fn leave(&self) -> Instant {
        self.interval.start()
    }

    /// How long all of it takes.
    pub fn total_words(&self) -> String {
        numbers::duration(self.interval.seconds())
    }

    /// A part and its length.
    pub fn part_words(own: &MovePart) -> String {
        format!("{} {}", own.part.word(), numbers::duration(own.interval.seconds()))
    }

    /// All of it in a sentence.
    pub fn words(&self, title: &str, ready: &str) -> String {
        let parts: Vec<String> = self.parts.iter().map(Self::part_words).collect();
        words::move_to(title, &self.total_words(), &parts.join(", "), ready)
    }

    /// The same without what it goes to, where there is little room.
    pub fn short_words(&self, ready: &str) -> String {
        let parts: Vec<String> = self.parts.iter().map(Self::part_words).collect();
        words::move_of(&self.total_words(), &parts.join(", "), ready)
    }

    /// How long it takes, and when the telescope is ready.
    pub fn shortest_words(&self, ready: &str) -> String {
        words::move_until(&self.total_words(), ready)
    }
}

/// What is kept free, and where.
pub struct Slack {
    pub free: Vec<Interval>,
    pub minutes: f64,
    pub share_percent: f64,
}

impl Slack {
    pub fn new(order: &RunningOrder, timings: &[StopTiming], prepared: &Prepared) -> Self {
        let doors = prepared.doors;
        let minutes = free_minutes(order, timings, doors);
        Self {
            free: free_stretches(order, timings, doors),
            minutes,
            share_percent: 100.0 * minutes / doors.minutes().max(1.0),
        }
    }

    /// Of the whole evening, in words.
    pub fn words(&self) -> String {
        words::slack(self.minutes, self.share_percent)
    }

    /// Each stretch with its times, in words.
    pub fn stretches(&self, clock: impl Fn(Instant) -> String) -> Vec<String> {
        let told = self.free.iter().filter(|stretch| stretch.minutes() >= 1.0);
        told.map(|stretch| {
            let from = clock(stretch.start());
            format!("{} {} {}", from, text::TO, clock(stretch.end()))
        })
        .collect()
    }
}

#[cfg(test)]
mod tests {
    use evenfall_core::plan::{StopId, StopTiming};
    use evenfall_core::rig::MoveParts;
    use evenfall_core::time::Instant;
    use evenfall_core::units::Angle;

    use super::{Part, Travel};

    #[test]
    fn the_parts_of_a_move_fill_it_from_leaving_to_the_first_look() {
        let parts =
            MoveParts { slew_s: 30.0, dome_s: 50.0, settle_s: 8.0, focus_s: 20.0, ..MoveParts::default() };
        let leave = Instant::J2000;
        let timing = StopTiming {
            stop: StopId(1),
            parts,
            lead_s: 60.0,
            leave,
            azimuth_turn: Angle::ZERO,
            free_minutes: 0.0,
        };
        let travel = Travel::new(&timing).expect("it moves");
        let told: Vec<_> = travel
            .parts
            .iter()
            .map(|own| (own.part, own.interval.start().seconds_since(leave), own.interval.seconds()))
            .collect();
        // What turns together begins together; the rest follows.
        assert_eq!(
            told,
            [
                (Part::Slew, 0.0, 30.0),
                (Part::Dome, 0.0, 50.0),
                (Part::Settle, 50.0, 8.0),
                (Part::Focus, 58.0, 20.0),
                (Part::Framing, 78.0, 60.0)
            ]
        );
        assert_eq!(travel.interval.seconds(), 138.0);
        let still = StopTiming { parts: MoveParts::default(), lead_s: 0.0, ..timing };
        assert_eq!(Travel::new(&still), None);
    }
}
