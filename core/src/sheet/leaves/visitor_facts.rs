//! What the handbill, its large print and its easy words tell alike: times, what is shown, the sky tonight, what to see at
//! home.

use super::at_home::{AtHome, at_home};
use super::in_the_sky::{NAKED_EYE, body_phrase, looks, place_words, sky_of};
use crate::catalogue::Kind;
use crate::ephemeris::Body;
use crate::events::{Crossings, Direction};
use crate::plan::{Decision, Stop, What};
use crate::rig::{Port, who_reaches};
use crate::sheet::phrases::upper_first;
use crate::sheet::wording::phase_word;
use crate::sheet::{Names, Notice, lower_first, numbers};
use crate::units::Angle;

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
    /// Where it stands, such as `in the south-west, three fists high`; empty for a talk or an interval.
    pub(super) place: String,
}

/// Everything a visitor is told of the evening.
pub(super) struct Facts {
    /// Doors, first look, sunset, dark, last look, gate: labels with clock times.
    pub(super) times: Vec<Notice>,
    /// What is shown, in order of time.
    pub(super) shown: Vec<Shown>,
    /// Moon and planets that are up: each with where and when.
    pub(super) up_tonight: Vec<Notice>,
    /// Those that are not, by their names in a sentence.
    pub(super) not_up: Vec<String>,
    /// What to look at later, from home.
    pub(super) at_home: AtHome,
    /// Whether somebody seated can look through the eyepiece; `None` without an eyepiece.
    pub(super) seated_can_look: Option<bool>,
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
        seated_can_look: seated_can_look(names),
        called_off: names.evening.call.decision == Decision::NoGo,
    }
}

fn times(names: &Names<'_>) -> Vec<Notice> {
    let (night, doors) = (&names.prepared.night, names.prepared.doors);
    let clock = |instant| numbers::clock(night.local.local(instant));
    let shows = || names.evening.order.stops().iter().filter(|stop| stop.show().is_some());
    let mut times = vec![Notice::new("Doors open", clock(doors.start()))];
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
    times.extend(
        shows().map(Stop::end).max().map(|last| Notice::new("Last look", format!("until {}", clock(last)))),
    );
    times.push(Notice::new("Doors close", clock(doors.end())));
    if let Some(gate) = names.materials.site.park_closes {
        times.push(Notice::new("Gate closes", numbers::given_clock(gate)));
    }
    times
}

fn shown(names: &Names<'_>, stop: &Stop) -> Shown {
    let start = numbers::clock(names.prepared.night.local.local(stop.start()));
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
        place: sample.map(|sample| place_words(sample.azimuth, sample.altitude)).unwrap_or_default(),
    }
}

/// Kinds that an eye sees as a faint glow at best.
const fn is_faint_glow(kind: Kind) -> bool {
    matches!(kind, Kind::Galaxy | Kind::Nebula | Kind::SupernovaRemnant | Kind::DarkNebula)
}

/// Moon and planets through the evening, each where it stands highest; and those that are not up.
fn tonight(names: &Names<'_>) -> (Vec<Notice>, Vec<String>) {
    let night = &names.prepared.night;
    let Some(sky) = sky_of(names) else { return (Vec::new(), Vec::new()) };
    let (mut up, mut not_up) = (Vec::new(), Vec::new());
    for body in NAKED_EYE {
        let looks = looks(names, &sky, body, names.prepared.doors);
        let best =
            looks.into_iter().reduce(|best, own| if own.altitude > best.altitude { own } else { best });
        let Some(best) = best else {
            not_up.push(body_phrase(body));
            continue;
        };
        let place = place_words(best.azimuth, best.altitude);
        let clock = numbers::clock(night.local.local(best.at));
        let phase = lower_first(phase_word(night.moon_phase)).replace("moon", "Moon");
        let value = match body {
            Body::Moon => format!("{phase}, {place} at {clock}"),
            _ => format!("{place} at {clock}"),
        };
        up.push(Notice::new(upper_first(&body_phrase(body)), value));
    }
    (up, not_up)
}

/// Whether the eyepieces stay at a height for somebody seated, wherever the telescope points.
fn seated_can_look(names: &Names<'_>) -> Option<bool> {
    let eyepieces = names.materials.rig.ports.iter().filter(|port| port.is_eyepiece());
    let all_altitudes = [0.0, 30.0, 60.0, 90.0].map(Angle::from_degrees);
    let seated = eyepieces.map(|port| {
        let heights_mm = port.access.and_then(|access| access.height.over_mm(all_altitudes));
        heights_mm.is_some_and(|heights_mm| who_reaches(heights_mm).seated)
    });
    seated.reduce(|one, other| one || other)
}
