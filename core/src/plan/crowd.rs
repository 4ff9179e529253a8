//! Who is in the house: when visitors come and when they go.

use chrono::NaiveTime;

use super::{Evening, House, Prepared};
use crate::events::Direction;

/// A part of the visitors, and when it comes or goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VisitorPart {
    /// Minutes from doors open to the first of them.
    pub from_minutes: f64,
    /// Minutes from doors open to the last of them; the same for a group that comes or goes all at once, as after a talk.
    pub until_minutes: f64,
    /// Its share of all visitors, in percent.
    pub percent: f64,
}

/// How visitors come to open doors where an evening does not say. Common practice, no source: a tenth and more stand
/// before the doors, half and more come in the first three quarters of an hour, the rest tapers off.
const USUAL_ARRIVALS: [VisitorPart; 4] = [
    VisitorPart { from_minutes: 0.0, until_minutes: 0.0, percent: 12.0 },
    VisitorPart { from_minutes: 0.0, until_minutes: 45.0, percent: 55.0 },
    VisitorPart { from_minutes: 45.0, until_minutes: 90.0, percent: 23.0 },
    VisitorPart { from_minutes: 90.0, until_minutes: 150.0, percent: 10.0 },
];

/// The hour in which children of primary age go to bed begins at this clock time. Common practice, no source.
const BEDTIME: NaiveTime = NaiveTime::from_hms_opt(20, 0, 0).expect("a clock time");
/// How long families take to leave, one after the other, in minutes. Common practice, no source.
const FAMILIES_LEAVE_MINUTES: f64 = 60.0;
/// Minutes of doors open and dusk after which families go at the earliest, and the others. Common practice, no source.
const STAY_MINUTES: (f64, f64) = (75.0, 120.0);
/// Share of the visitors that stays until doors close, in percent; common practice, no source: 10 to 20.
const TO_THE_END_PERCENT: f64 = 15.0;
/// By how much the shares of those who leave may exceed the whole, in percent: rounding.
const ROUNDING_PERCENT: f64 = 0.05;

/// The visitors of an evening over time, as shares of all who are expected.
#[derive(Clone, Debug)]
pub(super) struct Crowd {
    arrivals: Vec<VisitorPart>,
    leaving: Vec<VisitorPart>,
}

impl Crowd {
    pub(super) fn new(evening: &Evening, prepared: &Prepared) -> Self {
        let house = &evening.house;
        let leaving = house.leaving.clone().unwrap_or_else(|| usual_leaving(house, &Hours::of(prepared)));
        Self { arrivals: arrivals(house), leaving }
    }

    /// The share that has come by a minute after doors open.
    pub(super) fn come(&self, minute: f64) -> f64 {
        come(&self.arrivals, minute)
    }

    /// The share that is in the house at a minute after doors open: nobody goes before coming.
    pub(super) fn present(&self, minute: f64) -> f64 {
        let come = self.come(minute);
        come - left(&self.leaving, minute).min(come)
    }
}

/// What the usual way of leaving follows, in minutes from doors open.
#[derive(Clone, Copy, Debug)]
struct Hours {
    /// The end of civil twilight, where it comes after doors open; else 0.
    dusk: f64,
    bedtime: f64,
    close: f64,
}

impl Hours {
    fn of(prepared: &Prepared) -> Self {
        let (night, open) = (&prepared.night, prepared.doors.start());
        let dusk = night.civil.going(Direction::Down).first().map(|dusk| dusk.minutes_since(open));
        let bedtime = night.local.at(BEDTIME).map(|bedtime| bedtime.minutes_since(open));
        Self {
            dusk: dusk.unwrap_or(0.0).max(0.0),
            bedtime: bedtime.unwrap_or(0.0),
            close: prepared.doors.minutes(),
        }
    }
}

/// How visitors leave where an evening does not say. Common practice, no source: families (each child with one adult)
/// go within the hour after they have stayed 75 minutes from dusk on, not before the children's bedtime; the others one
/// by one from two hours on; 15 percent of all stay to the end.
fn usual_leaving(house: &House, hours: &Hours) -> Vec<VisitorPart> {
    let everybody = f64::from(house.visitors.max(1));
    let families_percent = 100.0 * (2.0 * f64::from(house.children)).min(everybody) / everybody;
    let others_percent = (100.0 - families_percent - TO_THE_END_PERCENT).max(0.0);
    let families_go = (hours.dusk + STAY_MINUTES.0).max(hours.bedtime);
    let others_go = (hours.dusk + STAY_MINUTES.1).min(hours.close);
    vec![
        VisitorPart {
            from_minutes: families_go,
            until_minutes: families_go + FAMILIES_LEAVE_MINUTES,
            percent: families_percent,
        },
        VisitorPart { from_minutes: others_go, until_minutes: hours.close, percent: others_percent },
    ]
}

/// When visitors come and when they go, in that order, where an evening does not say.
pub fn usual_crowd(evening: &Evening, prepared: &Prepared) -> [Vec<VisitorPart>; 2] {
    [USUAL_ARRIVALS.to_vec(), usual_leaving(&evening.house, &Hours::of(prepared))]
}

fn arrivals(house: &House) -> Vec<VisitorPart> {
    if house.arrivals.is_empty() { USUAL_ARRIVALS.to_vec() } else { house.arrivals.clone() }
}

/// The share that has come; shares of arrivals count against their sum, so that everybody comes.
fn come(arrivals: &[VisitorPart], minute: f64) -> f64 {
    let all: f64 = arrivals.iter().map(|part| part.percent).sum();
    let come: f64 = arrivals.iter().map(|part| part.percent * part.share_by(minute)).sum();
    if all > 0.0 { come / all } else { 1.0 }
}

/// The share that has gone; whoever is in no part stays.
fn left(leaving: &[VisitorPart], minute: f64) -> f64 {
    leaving.iter().map(|part| part.percent / 100.0 * part.share_by(minute)).sum::<f64>().min(1.0)
}

impl VisitorPart {
    /// The share of this part that has come, or gone, by a minute after doors open.
    fn share_by(&self, minute: f64) -> f64 {
        let lasts = self.until_minutes - self.from_minutes;
        if lasts > 0.0 {
            ((minute - self.from_minutes) / lasts).clamp(0.0, 1.0)
        } else if minute >= self.from_minutes {
            1.0
        } else {
            0.0
        }
    }
}

/// What is wrong with the leaving curve of a house.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LeavingFault {
    /// More than all leave.
    MoreThanAll {
        /// How many, in percent.
        percent: f64,
    },
    /// Visitors leave who have not come.
    BeforeComing {
        /// Position of the part that leaves too early.
        part: usize,
        /// Minutes from doors open.
        minute: f64,
        /// How many have left by then, in percent.
        left_percent: f64,
        /// How many have come by then, in percent.
        come_percent: f64,
    },
}

/// The first fault of a house's leaving curve against its arrivals; `None` for the usual way of leaving.
pub fn leaving_fault(house: &House) -> Option<LeavingFault> {
    let leaving = house.leaving.as_ref()?;
    let percent: f64 = leaving.iter().map(|part| part.percent).sum();
    if percent > 100.0 + ROUNDING_PERCENT {
        return Some(LeavingFault::MoreThanAll { percent });
    }
    // Both curves are straight between corners, so that the first corner that breaks the order tells.
    let arrivals = arrivals(house);
    let corners = leaving.iter().chain(&arrivals).flat_map(|part| [part.from_minutes, part.until_minutes]);
    let mut corners: Vec<f64> = corners.collect();
    corners.sort_by(f64::total_cmp);
    corners.into_iter().find_map(|minute| {
        let left_percent = 100.0 * left(leaving, minute);
        let come_percent = 100.0 * come(&arrivals, minute);
        if left_percent <= come_percent + ROUNDING_PERCENT {
            return None;
        }
        // The part that began to leave last.
        let begun = leaving.iter().enumerate().filter(|(_, part)| part.from_minutes <= minute);
        let (part, _) = begun.max_by(|one, other| one.1.from_minutes.total_cmp(&other.1.from_minutes))?;
        Some(LeavingFault::BeforeComing { part, minute, left_percent, come_percent })
    })
}

#[cfg(test)]
mod tests {
    use super::{Hours, LeavingFault, VisitorPart, come, leaving_fault, left, usual_leaving};
    use crate::plan::House;
    use crate::plan::invented::march_evening;

    const fn part(from_minutes: f64, until_minutes: f64, percent: f64) -> VisitorPart {
        VisitorPart { from_minutes, until_minutes, percent }
    }

    fn house(visitors: u32, children: u32) -> House {
        House { visitors, children, ..march_evening().house }
    }

    #[test]
    fn the_usual_evening_brings_everybody_and_a_group_comes_at_once() {
        let usual = super::arrivals(&house(60, 0));
        assert!((come(&usual, 0.0) - 0.12).abs() < 1e-9);
        // Half and more within the first 45 minutes (common practice, no source).
        assert!((come(&usual, 45.0) - 0.67).abs() < 1e-9 && come(&usual, 150.0) >= 1.0);
        let talk = [part(60.0, 60.0, 50.0), part(0.0, 30.0, 50.0)];
        assert!((come(&talk, 59.0) - 0.5).abs() < 1e-9 && (come(&talk, 60.0) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn families_leave_for_bedtime_and_some_stay_to_the_end() {
        // Common practice, no source: families from 75 minutes after dusk on, half the crowd gone after two hours and
        // a little, 10 to 20 percent to the end. Doors open at 18:30, dusk at 18:45, bedtime from 20:00.
        let hours = Hours { dusk: 15.0, bedtime: 90.0, close: 240.0 };
        let leaving = usual_leaving(&house(60, 15), &hours);
        assert_eq!((left(&leaving, 90.0), left(&leaving, 150.0)), (0.0, 0.5 + 0.35 * 15.0 / 105.0));
        assert!((left(&leaving, 240.0) - 0.85).abs() < 1e-9);
        // A winter's dusk long before bedtime: families stay for it. A summer's dusk after it: they stay 75 minutes.
        let from = |dusk, bedtime| {
            usual_leaving(&house(60, 15), &Hours { dusk, bedtime, close: 240.0 })[0].from_minutes
        };
        assert_eq!((from(0.0, 120.0), from(15.0, -60.0)), (120.0, 90.0));
        // Nobody but families, nobody at all, and doors that close at once: shares stay shares.
        for (visitors, children, close) in [(10, 10, 240.0), (0, 0, 240.0), (60, 15, 10.0)] {
            let leaving = usual_leaving(&house(visitors, children), &Hours { close, ..hours });
            let shares: Vec<f64> = (0..300).map(|minute| left(&leaving, f64::from(minute))).collect();
            assert!(shares.is_sorted() && shares.iter().all(|share| (0.0..=1.0).contains(share)));
        }
    }

    #[test]
    fn nobody_leaves_before_coming_and_not_more_than_all() {
        let leaving = |arrivals: &[VisitorPart], leaving: &[VisitorPart]| {
            let (arrivals, leaving) = (arrivals.to_vec(), Some(leaving.to_vec()));
            leaving_fault(&House { arrivals, leaving, ..house(60, 0) })
        };
        let evenly = [part(0.0, 60.0, 100.0)];
        assert_eq!(leaving(&evenly, &[part(60.0, 120.0, 70.0)]), None);
        assert_eq!(leaving(&evenly, &[]), None);
        let thirds = [part(90.0, 90.0, 33.34), part(100.0, 120.0, 33.34), part(120.0, 120.0, 33.34)];
        assert_eq!(leaving(&evenly, &thirds), None);
        let more = leaving(&evenly, &[part(60.0, 60.0, 70.0), part(90.0, 90.0, 50.0)]);
        assert_eq!(more, Some(LeavingFault::MoreThanAll { percent: 120.0 }));
        // At minute 30 half have come, and 60 percent leave at once.
        let early = leaving(&evenly, &[part(10.0, 20.0, 5.0), part(30.0, 30.0, 55.0)]);
        let Some(LeavingFault::BeforeComing { part: 1, minute, left_percent, come_percent }) = early else {
            panic!("got {early:?}");
        };
        assert!(minute == 30.0 && (left_percent - 60.0).abs() < 1e-9 && (come_percent - 50.0).abs() < 1e-9);
    }
}
