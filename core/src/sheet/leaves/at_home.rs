//! What visitors can look at from home after the evening, with the naked eye or binoculars: when and in which direction.

use super::clock;
use super::in_the_sky::{
    DARK_FOR_STARS, Look, NAKED_EYE, STEP_MINUTES, body_phrase, brief_place, looks, sky_of,
};
use crate::catalogue::{Kind, Target};
use crate::ephemeris::Body;
use crate::events::Direction;
use crate::place::EveningSky;
use crate::sheet::phrases::upper_first;
use crate::sheet::{Names, Notice};
use crate::time::{Instant, Interval};
use crate::units::{Angle, Fraction};

/// When people are at home, in minutes after doors close. Common practice, no source.
const HOME_AFTER_MINUTES: f64 = 30.0;
/// How long after that people still look out, in minutes. Common practice, no source.
const LOOK_OUT_MINUTES: f64 = 120.0;
/// The lowest altitude at which somebody finds stars and clusters from home. Common practice, no source.
const HIGH_ENOUGH: Angle = Angle::from_degrees(20.0);
/// The lit share up to which the Moon leaves clusters of faint stars and nebulae to binoculars. Common practice, no source.
const THIN_MOON: f64 = 0.25;
/// The most that is told beside Moon and planets.
const MOST_BEYOND: usize = 3;

/// What to look at from home.
pub(super) struct AtHome {
    /// Around when, on the clock.
    pub(super) around: String,
    /// Names with where, when and with what; empty where nothing easy is up.
    pub(super) sights: Vec<Notice>,
    /// Whether some of that takes binoculars.
    pub(super) takes_binoculars: bool,
    /// What comes up after most people have gone to bed: names with where and when.
    pub(super) later: Vec<Notice>,
    /// Whether all of that is after midnight.
    pub(super) later_is_tomorrow: bool,
}

pub(super) fn at_home(names: &Names<'_>) -> AtHome {
    let night = &names.prepared.night.local;
    let at = names.prepared.doors.end().plus_minutes(HOME_AFTER_MINUTES).min(night.window().end());
    let mut home = AtHome {
        around: clock(names, at),
        sights: Vec::new(),
        takes_binoculars: false,
        later: Vec::new(),
        later_is_tomorrow: true,
    };
    if let Some(sky) = sky_of(names) {
        bodies(names, &sky, at, &mut home);
        for (aid, sight) in beyond(names, &sky, at) {
            home.takes_binoculars |= aid == Aid::Binoculars;
            home.sights.push(sight);
        }
    }
    home
}

/// Moon and planets, those of the next hours apart from those of the rest of the night.
fn bodies(names: &Names<'_>, sky: &EveningSky<'_>, at: Instant, home: &mut AtHome) {
    // Until the Sun rises: what is up by day is for nobody who goes to bed now.
    let night = &names.prepared.night;
    let sunrise = night.sun.going(Direction::Up).last().copied().unwrap_or(night.local.window().end());
    if let Some(rest) = Interval::new(at, sunrise) {
        for body in NAKED_EYE {
            let looks = looks(names, sky, body, rest);
            let Some((first, told)) = looks.first().zip(told(names, &looks, at)) else { continue };
            let notice = Notice::new(upper_first(&body_phrase(body)), told);
            if first.at.minutes_since(at) <= LOOK_OUT_MINUTES {
                home.sights.push(notice);
            } else {
                let evening = names.evening.date;
                home.later_is_tomorrow &= night.local.local(first.at).date_naive() > evening;
                home.later.push(notice);
            }
        }
    }
}

/// The best of what stands still on the sky.
fn beyond(names: &Names<'_>, sky: &EveningSky<'_>, at: Instant) -> Vec<(Aid, Notice)> {
    let mut sights = Vec::new();
    let observer = sky.at(at);
    if observer.sun().altitude < DARK_FOR_STARS {
        let lit = observer.appearance(Body::Moon).illuminated.unwrap_or(Fraction::ZERO);
        let moonlit = observer.moon().altitude > Angle::ZERO && lit.value() > THIN_MOON;
        let fixed = names.materials.catalogue.targets.iter().filter_map(|target| {
            let with = seen_with(target, moonlit)?;
            let seen = observer.observe(&target.source);
            (seen.altitude >= HIGH_ENOUGH).then(|| {
                let place = brief_place(seen.azimuth, seen.apparent_altitude(names.materials.site.air));
                (target.appeal.value(), with, target.name.clone(), place)
            })
        });
        let mut fixed: Vec<_> = fixed.collect();
        fixed.sort_by(|one, other| (one.1 as u8).cmp(&(other.1 as u8)).then(other.0.total_cmp(&one.0)));
        let fixed = fixed.into_iter().take(MOST_BEYOND);
        sights.extend(
            fixed.map(|(_, aid, name, place)| (aid, Notice::new(name, format!("{place}{}", aid.words())))),
        );
    }
    sights
}

/// Where and until when a body is found: from when, if it comes up later.
fn told(names: &Names<'_>, looks: &[Look], at: Instant) -> Option<String> {
    let first = looks.first()?;
    // As long as it is found without a break: the Moon may come up again before noon.
    let unbroken =
        looks.windows(2).take_while(|pair| pair[1].at.minutes_since(pair[0].at) < 1.5 * STEP_MINUTES);
    let last = unbroken.last().map_or(first, |pair| &pair[1]);
    let place = brief_place(first.azimuth, first.altitude);
    Some(if first.at == last.at {
        format!("{place}, at about {}", clock(names, first.at))
    } else if first.at > at {
        format!("{place}, from about {}", clock(names, first.at))
    } else {
        format!("{place}, until about {}", clock(names, last.at))
    })
}

/// What somebody needs to see a target from home.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Aid {
    Eye,
    Binoculars,
}

impl Aid {
    /// What is added to where it stands.
    const fn words(self) -> &'static str {
        match self {
            Self::Eye => "",
            Self::Binoculars => ", in binoculars",
        }
    }
}

/// With what a fixed target is seen from a garden; `None` where that takes a telescope. By its light all in one point, and
/// what is spread out not while the Moon is up. Common practice, no source.
fn seen_with(target: &Target, moonlit: bool) -> Option<Aid> {
    let magnitude = target.magnitude?.0;
    let (eye, binoculars) = match target.kind {
        Kind::Star | Kind::DoubleStar => (3.0, 4.5),
        Kind::OpenCluster => (4.5, 7.0),
        Kind::GlobularCluster if !moonlit => (4.5, 6.5),
        Kind::Nebula | Kind::Galaxy if !moonlit => (4.5, 5.5),
        _ => return None,
    };
    match magnitude {
        magnitude if magnitude <= eye => Some(Aid::Eye),
        magnitude if magnitude <= binoculars => Some(Aid::Binoculars),
        _ => None,
    }
}
