//! What the handbill, its large print and its easy words tell alike: times, what is shown, the sky tonight, what to see at
//! home.

use super::at_home::{AtHome, at_home};
use super::in_the_sky::{NAKED_EYE, body_phrase, brief_place, looks, sky_of};
use super::{called_off, clock};
use crate::catalogue::Kind;
use crate::ephemeris::Body;
use crate::events::{Crossings, Direction};
use crate::place::Source;
use crate::plan::{Stop, What};
use crate::rig::{Instrument, Port, who_reaches};
use crate::sheet::head::clock_change_notice;
use crate::sheet::phrases::upper_first;
use crate::sheet::satellite_words::satellites_for_visitors;
use crate::sheet::wording::phase_phrase;
use crate::sheet::{Names, Notice, numbers};

/// One thing of the evening, for visitors.
pub(super) struct Shown {
    /// When, on the clock.
    pub(super) start: String,
    /// What it is called.
    pub(super) name: String,
    /// What sort of thing; `None` for a talk or an interval.
    pub(super) kind: Option<Kind>,
    /// Whether it is a place on the Moon.
    pub(super) on_the_moon: bool,
    /// Whether it takes patience at the eyepiece: a faint glow.
    pub(super) faint_to_the_eye: bool,
    /// What it is, in one sentence.
    pub(super) line: String,
    /// What to look for; may be empty.
    pub(super) look_for: String,
    /// Where it stands, such as `south-west, three fists`; empty for a talk or an interval.
    pub(super) place: String,
}

/// What somebody seated is promised tonight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Seats {
    /// Every eyepiece of the evening stays at a height for them.
    AtEyepiece,
    /// A camera shows something tonight.
    AtScreen,
    /// Neither: they ask.
    Ask,
}

/// Everything a visitor is told of the evening.
pub(super) struct Facts {
    /// Doors, first look, sunset, dark, last look, gate, a change of clocks: labels with clock times. Doors, gate and clocks
    /// alone where the evening was called off.
    pub(super) times: Vec<Notice>,
    /// What is shown, in order of time.
    pub(super) shown: Vec<Shown>,
    /// The phase of the Moon, and Moon and planets that are up but that no stop shows: each with where and when.
    pub(super) up_tonight: Vec<Notice>,
    /// Those that are not and that no stop shows, by their names in a sentence.
    pub(super) not_up: Vec<String>,
    /// What to look at later, from home.
    pub(super) at_home: AtHome,
    /// Whether visitors look through an eyepiece tonight.
    pub(super) by_eyepiece: bool,
    /// What somebody seated is promised.
    pub(super) seats: Seats,
    /// Whether it was called off.
    pub(super) called_off: bool,
}

pub(super) fn facts(names: &Names<'_>) -> Facts {
    let (up_tonight, not_up) = tonight(names);
    Facts {
        times: times(names),
        shown: names.evening.order.stops().iter().map(|stop| shown(names, stop)).collect(),
        up_tonight,
        not_up,
        at_home: at_home(names),
        by_eyepiece: by_eyepiece(names),
        seats: seats(names),
        called_off: called_off(names),
    }
}

fn times(names: &Names<'_>) -> Vec<Notice> {
    let (night, doors) = (&names.prepared.night, names.prepared.doors);
    let clock = |instant| clock(names, instant);
    let called_off = called_off(names);
    let shows = || names.evening.order.stops().iter().filter(|stop| stop.show().is_some());
    let mut times = vec![Notice::new("Doors open", clock(doors.start()))];
    if !called_off {
        times.extend(shows().map(Stop::start).min().map(|first| Notice::new("First look", clock(first))));
        times.push(Notice::new(
            "Sunset",
            match (&night.sun, night.sun.going(Direction::Down).first()) {
                (Crossings::AlwaysBelow, _) => "the Sun stays down today".to_owned(),
                (Crossings::At(_), Some(set)) => clock(*set),
                _ => "the Sun does not set tonight".to_owned(),
            },
        ));
        times.push(Notice::new(
            "Fully dark",
            match (&night.astronomical, night.astronomical.going(Direction::Down).first()) {
                (Crossings::AlwaysBelow, _) => "all evening".to_owned(),
                (Crossings::At(_), Some(dusk)) => format!("from {}", clock(*dusk)),
                _ => "not tonight: a glow stays in the sky".to_owned(),
            },
        ));
        let last = shows().map(Stop::end).max();
        times.extend(last.map(|last| Notice::new("Last look", format!("until {}", clock(last)))));
    }
    times.push(Notice::new("Doors close", clock(doors.end())));
    if let Some(gate) = names.materials.site.park_closes {
        // A gate that closes first, which is a Caution on the run sheet, is told first.
        let is_first = night.local.at(gate).is_ok_and(|at| at < doors.end());
        let place = times.len() - usize::from(is_first);
        times.insert(place, Notice::new("Gate closes", numbers::given_clock(gate)));
    }
    times.extend(clock_change_notice(names));
    times
}

fn shown(names: &Names<'_>, stop: &Stop) -> Shown {
    let start = clock(names, stop.start());
    let name = names.stop_title(stop);
    let target = match &stop.what {
        What::Show(show) => names.target(&show.target),
        What::Entry { .. } => None,
    };
    let Some((index, target)) = target else {
        return Shown {
            start,
            name,
            kind: None,
            on_the_moon: false,
            faint_to_the_eye: false,
            line: String::new(),
            look_for: String::new(),
            place: String::new(),
        };
    };
    let sample = names.prepared.sample(index, stop.start());
    let port = stop.show().and_then(|show| names.materials.rig.port(&show.port));
    let by_eye = port.is_some_and(Port::is_eyepiece);
    Shown {
        start,
        name,
        kind: Some(target.kind),
        on_the_moon: target.feature.is_some(),
        faint_to_the_eye: by_eye && is_faint_glow(target.kind),
        line: target.words.line.clone(),
        look_for: target.words.look_for.clone(),
        place: sample.map(|sample| brief_place(sample.azimuth, sample.altitude)).unwrap_or_default(),
    }
}

/// Kinds that an eye sees as a faint glow at best.
const fn is_faint_glow(kind: Kind) -> bool {
    matches!(kind, Kind::Galaxy | Kind::Nebula | Kind::SupernovaRemnant | Kind::DarkNebula | Kind::Comet)
}

/// The body that a stop shows, or on which it shows a place.
fn shown_body(names: &Names<'_>, stop: &Stop) -> Option<Body> {
    let (_, target) = names.target(&stop.show()?.target)?;
    match target.source {
        Source::Body(body) => Some(body),
        Source::Star(_) | Source::Comet(_) => None,
    }
}

/// Moon and planets through the evening, each where it stands highest but for those that are shown, which the stops tell; the
/// satellites that pass over; and the planets that are not up.
fn tonight(names: &Names<'_>) -> (Vec<Notice>, Vec<String>) {
    let Some(sky) = sky_of(names) else { return (Vec::new(), Vec::new()) };
    let (mut up, mut not_up) = (Vec::new(), Vec::new());
    let shown: Vec<Body> =
        names.evening.order.stops().iter().filter_map(|stop| shown_body(names, stop)).collect();
    for body in NAKED_EYE {
        let looks = looks(names, &sky, body, names.prepared.doors);
        let best =
            looks.into_iter().reduce(|best, own| if own.altitude > best.altitude { own } else { best });
        let Some(best) = best else {
            not_up.extend((!shown.contains(&body)).then(|| body_phrase(body)));
            continue;
        };
        let phase = (body == Body::Moon).then(|| phase_phrase(names.prepared.night.moon_phase));
        let place = brief_place(best.azimuth, best.altitude);
        let place = (!shown.contains(&body)).then(|| format!("{place} at {}", clock(names, best.at)));
        let told: Vec<String> = phase.into_iter().chain(place).collect();
        if !told.is_empty() {
            up.push(Notice::new(upper_first(&body_phrase(body)), told.join(", ")));
        }
    }
    up.extend(satellites_for_visitors(names));
    (up, not_up)
}

/// The ports of the evening's stops, a port for each stop.
fn ports<'n>(names: &Names<'n>) -> impl Iterator<Item = (&'n Stop, &'n Port)> {
    let rig = names.materials.rig;
    names.evening.order.stops().iter().filter_map(|stop| Some((stop, rig.port(&stop.show()?.port)?)))
}

/// Whether a stop is at an eyepiece; while nothing is laid out, whether there is one.
fn by_eyepiece(names: &Names<'_>) -> bool {
    if ports(names).next().is_none() {
        return names.materials.rig.ports.iter().any(Port::is_eyepiece);
    }
    ports(names).any(|(_, port)| port.is_eyepiece())
}

/// Judged by the eyepieces and cameras of tonight's stops, not by what the rig could do.
fn seats(names: &Names<'_>) -> Seats {
    let seated = |(stop, port): (&Stop, &Port)| {
        let (index, _) = names.target(&stop.show()?.target)?;
        let prepared = names.prepared;
        let (first, last) = (prepared.moment_index(stop.start()), prepared.moment_index(stop.end()));
        let samples = prepared.samples(index, first..=last);
        let heights_mm = port.access?.height.over_mm(samples.iter().map(|sample| sample.altitude))?;
        Some(who_reaches(heights_mm).seated)
    };
    let at_eyepieces = || ports(names).filter(|(_, port)| port.is_eyepiece());
    let at_camera = ports(names).any(|(_, port)| matches!(port.instrument, Instrument::Camera(_)));
    if at_eyepieces().next().is_some() && at_eyepieces().all(|own| seated(own) == Some(true)) {
        Seats::AtEyepiece
    } else if at_camera {
        Seats::AtScreen
    } else {
        Seats::Ask
    }
}
