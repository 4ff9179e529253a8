//! When a port shows a target best within doors, earlier as well as later, and why not tonight at all.

use super::wording::{limit_phrase, view_word};
use super::{Names, link_word, numbers};
use crate::plan::{Limit, Link, Minute, PortMinute};
use crate::time::{Instant, Interval};
use crate::units::Fraction;

/// Views closer than this to the best one are as good. Common practice, no source.
const AS_GOOD: f64 = 0.05;

/// One target's night through one port.
#[derive(Clone, Copy, Debug)]
pub struct NightOnPort<'n> {
    /// What the names come from.
    pub names: &'n Names<'n>,
    /// The target's position in the catalogue.
    pub target_index: usize,
    /// Every minute of the night, in the order of [`Prepared::moments`](crate::plan::Prepared::moments).
    pub minutes: &'n [Minute],
    /// The port's position on the rig.
    pub port: usize,
}

/// The minutes in which the port shows the target as well as it can tonight.
struct Best {
    from: Instant,
    to: Instant,
    at: Instant,
    view: f64,
}

impl<'n> NightOnPort<'n> {
    /// The port in the minute nearest to an instant, if the target may be shown then.
    fn minute(&self, at: Instant) -> Option<&'n PortMinute> {
        let minute = self.minutes.get(self.names.prepared.moment_index(at))?;
        minute.ports.get(self.port)?.as_ref().filter(|_| minute.limit.is_none())
    }

    fn view(&self, at: Instant) -> f64 {
        self.minute(at).map_or(0.0, |minute| minute.choice.view.value())
    }

    /// The best stretch within doors; `None` if nothing shows.
    fn best(&self) -> Option<Best> {
        let prepared = self.names.prepared;
        let moments = prepared.moments.iter().map(|moment| moment.instant);
        let views: Vec<(Instant, f64)> =
            moments.filter(|at| prepared.doors.contains(*at)).map(|at| (at, self.view(at))).collect();
        let first_best = |one: usize, other: usize| if views[other].1 > views[one].1 { other } else { one };
        let most = (0..views.len()).reduce(first_best)?;
        let (at, view) = views[most];
        if view <= 0.0 {
            return None;
        }
        let as_good = |entry: &&(Instant, f64)| entry.1 >= view - AS_GOOD;
        let from = views[..=most].iter().rev().take_while(as_good).last().map_or(at, |entry| entry.0);
        let to = views[most..].iter().take_while(as_good).last().map_or(at, |entry| entry.0);
        Some(Best { from, to, at, view })
    }

    /// When the port shows it best, in sentences: for a stop, at its worst minute, whether another time is better and what
    /// is better then; without one, the best stretch. Where no minute within doors shows it, why not.
    pub fn best_time(&self, stop: Option<(Interval, Instant)>) -> Vec<String> {
        let Some(best) = self.best() else {
            return vec![not_tonight_sentence(self.names, self.target_index)];
        };
        let night = &self.names.prepared.night.local;
        let span = match Interval::new(best.from, best.to) {
            Some(stretch) if best.from < best.to => {
                format!("from {}", numbers::clock_span(night, stretch))
            }
            _ => format!("at {}", self.names.clock(best.at)),
        };
        let Some((interval, worst)) = stop else {
            return vec![format!("Best {span} ({}).", view_words(best.view))];
        };
        let now = self.view(worst);
        if now >= best.view - AS_GOOD {
            return vec![format!("This is its time: it stays as good {span}.")];
        }
        let word = if best.at < interval.start() { "earlier" } else { "later" };
        let better =
            format!("Better {word}, {span}: {}, instead of {}.", view_words(best.view), view_words(now));
        [better].into_iter().chain(self.difference(worst, best.at)).collect()
    }

    /// What is better at another minute: the link that gains most.
    fn difference(&self, now: Instant, then: Instant) -> Option<String> {
        let sample = |at| self.names.prepared.sample(self.target_index, at);
        let (here, there) = (sample(now)?, sample(then)?);
        let Some(now_minute) = self.minute(now) else {
            let limit = self.minutes.get(self.names.prepared.moment_index(now))?.limit?;
            return Some(format!("Now: {}.", limit_phrase(limit)));
        };
        let then_minute = self.minute(then)?;
        let gain = |link: Link| then_minute.leaves(link).value() / now_minute.leaves(link).value().max(0.01);
        let most = Link::ALL.into_iter().max_by(|one, other| gain(*one).total_cmp(&gain(*other)))?;
        let degrees = numbers::degrees;
        let sentence = match most {
            Link::Height => {
                format!("It stands {} up then, here {}.", degrees(there.altitude), degrees(here.altitude))
            }
            Link::Twilight => "The sky is darker then.".to_owned(),
            Link::Moonlight => "The Moon brightens the sky less then.".to_owned(),
            other => format!("{} is better then.", link_word(other)),
        };
        (gain(most) > 1.0).then_some(sentence)
    }
}

fn view_words(view: f64) -> String {
    let view = Fraction::clamped(view);
    format!("{}, {}", view_word(view), numbers::percent(view))
}

/// Why a target can't be shown tonight at all, and how high it gets within doors:
/// `Not tonight: below the horizon or behind the trees. Highest within doors: 4° at 22:30 GMT.`
pub fn not_tonight_sentence(names: &Names<'_>, target_index: usize) -> String {
    let prepared = names.prepared;
    let limits = prepared.availability.get(target_index).map_or(&[][..], |known| known.limits.as_slice());
    let limit = limits.first().copied().unwrap_or(Limit::NoPort);
    let within = prepared.moments.iter().filter(|moment| prepared.doors.contains(moment.instant));
    let highest = within
        .filter_map(|moment| Some((moment.instant, prepared.sample(target_index, moment.instant)?.altitude)))
        .max_by(|one, other| one.1.radians().total_cmp(&other.1.radians()))
        .map_or_else(String::new, |(at, altitude)| {
            format!(" Highest within doors: {} at {}.", numbers::degrees(altitude), names.clock(at))
        });
    format!("Not tonight: {}.{highest}", limit_phrase(limit))
}

#[cfg(test)]
mod tests {
    use super::{NightOnPort, not_tonight_sentence};
    use crate::catalogue::TargetId;
    use crate::plan::through_night;
    use crate::rig::Port;
    use crate::sheet::demo::Demo;
    use crate::time::Interval;

    #[test]
    fn a_setting_moon_is_better_earlier_and_says_by_how_much() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let eyepiece = demo.materials().rig.ports.iter().position(Port::is_eyepiece).unwrap();
        demo.with_names(&prepared, |names| {
            let (moon, _) = names.target(&TargetId("moon".into())).expect("the demo has the Moon");
            let minutes = through_night(&prepared, names.materials, moon);
            let night = NightOnPort { names, target_index: moon, minutes: &minutes, port: eyepiece };
            let late = Interval::new(prepared.doors.end().plus_minutes(-20.0), prepared.doors.end())
                .expect("an interval");
            let told = night.best_time(Some((late, late.end())));
            assert!(
                told[0].starts_with("Better earlier, from ") && told[0].contains(", instead of "),
                "{told:?}"
            );
            assert!(told[1].starts_with("It stands ") && told[1].contains("° up then, here "), "{told:?}");
            assert!(night.best_time(None)[0].starts_with("Best from "));
            let best = night.best().expect("it shows");
            let early = Interval::new(best.from, best.to).expect("an interval");
            assert!(night.best_time(Some((early, best.at)))[0].starts_with("This is its time"));
        });
    }

    #[test]
    fn what_never_rises_says_how_high_it_gets() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        demo.with_names(&prepared, |names| {
            let (index, _) = names.target(&TargetId("steamers-smoke".into())).expect("the demo has it");
            let sentence = not_tonight_sentence(names, index);
            // Declination -47.4 degrees from latitude 55.1 north culminates 12.5 degrees below the horizon (geometry), in March
            // long after doors close.
            assert!(sentence.starts_with("Not tonight: below the horizon or behind the trees. Highest "));
            assert!(sentence.contains("doors: −") && sentence.contains("° at "), "{sentence}");
        });
    }
}
