//! Why this, why now, why not, when better: one plain sentence each.

use chrono::Timelike;

use super::wording::{reason_sentence, view_word, weakest_link_sentence};
use super::{Names, numbers};
use crate::assign::{PortChoice, Reason};
use crate::catalogue::TargetId;
use crate::plan::{
    AppealChange, Better, Limit, Stop, WhyNot, ports_at, sky_behind, stop_minutes, when_better, why_not_now,
};
use crate::sky::SkyLight;
use crate::time::Instant;
use crate::units::{Angle, SurfaceBrightness};

/// How bright a sky is, in plain words. Common practice, no source: magnitudes of a square arcsecond as they go with
/// town, Moon and twilight.
pub fn sky_word(sky: SurfaceBrightness) -> &'static str {
    match sky.0 {
        v if v >= 21.2 => "truly dark",
        v if v >= 20.3 => "dark",
        v if v >= 19.3 => "a little bright",
        v if v >= 18.0 => "bright, as under a full Moon",
        v if v >= 15.0 => "bright, stars just coming out",
        v if v >= 11.0 => "bright as at dusk",
        v if v >= 0.0 => "nearly as bright as by day",
        _ => "too bright to look at",
    }
}

/// The sky behind a target in plain words, with what brightens it most: `The sky behind is dark (20.6 mag per square
/// arcsecond); moonlight brightens it by 0.4 mag`.
pub fn sky_sentence(light: &SkyLight) -> String {
    let (word, value) = (sky_word(light.total), numbers::surface_brightness(light.total));
    let without = |nl: f64| SurfaceBrightness::from_nanolamberts(nl).0 - light.total.0;
    let by_moon = without(light.dark_nl + light.twilight_nl);
    let by_twilight = without(light.dark_nl + light.moon_nl);
    let (name, mag) = if by_moon > by_twilight { ("moonlight", by_moon) } else { ("twilight", by_twilight) };
    let cause = if mag >= 0.1 {
        format!("; {name} brightens it by {} mag", numbers::decimal(mag, 1))
    } else {
        String::new()
    };
    format!("The sky behind is {word} ({value}){cause}")
}

/// Why a stop stands where it does, in one sentence: altitude, light, port and people. `None` for an entry without the
/// telescope, and for what the catalogue or the rig does not have.
pub fn why_this_why_now(names: &Names<'_>, stop: &Stop) -> Option<String> {
    let (prepared, materials) = (names.prepared, names.materials);
    let show = stop.show()?;
    let (index, target) = names.target(&show.target)?;
    let port = materials.rig.port(&show.port)?;
    let middle = stop.start().plus_minutes(stop.interval.minutes() / 2.0);
    let sample = prepared.sample(index, middle)?;
    let light = sky_behind(prepared, materials, index, middle)?;
    let choices = ports_at(prepared, materials, index, middle);
    let choice = choices.iter().find(|choice| choice.port == show.port)?;
    let house = &names.evening.house;
    let people = if port.is_eyepiece() {
        let needed = stop_minutes(house, port, target.kind);
        let share = (stop.interval.minutes() / needed).min(1.0);
        let looking = f64::from(house.visitors) * (1.0 - house.skip_percent / 100.0).clamp(0.0, 1.0);
        let served = (looking * share).round() as usize;
        format!(
            "{} give {} a look",
            numbers::minutes(stop.interval.minutes()),
            numbers::count(served, "visitor", "visitors")
        )
    } else {
        let all = numbers::count(house.visitors as usize, "visitor sees", "visitors see");
        format!("{all} it together for {}", numbers::minutes(stop.interval.minutes()))
    };
    Some(format!(
        "{} stands {} up in the {}, against a sky that is {}; the {} {} it; {people}.",
        target.name,
        numbers::degrees(sample.altitude),
        numbers::compass_word(sample.azimuth),
        sky_word(light.total),
        port.name.to_lowercase(),
        view_word(choice.view),
    ))
}

/// Why not a port, in one sentence: its weakest factor. `None` where nothing holds it back.
pub fn why_not_port(choice: &PortChoice) -> Option<String> {
    let (reason, factor) = choice.chain.first()?;
    (factor.value() < 1.0 || *reason == Reason::OutOfService).then(|| reason_sentence(reason))
}

/// Why a target is not for an instant and when it is better, in one sentence:
/// `Only 7° up; 30° up from about 23:30 MDT`. `None` where nothing speaks against it.
pub fn why_not_now_sentence(names: &Names<'_>, target_index: usize, instant: Instant) -> Option<String> {
    let (prepared, materials) = (names.prepared, names.materials);
    let why = why_not_phrase(&why_not_now(prepared, materials, target_index, instant)?);
    Some(match when_better(prepared, materials, target_index, instant) {
        Some(better) => format!("{why}; {}", better_phrase(names, &better)),
        None => format!("{why}; no better time comes tonight"),
    })
}

/// Why not, without the time.
pub fn why_not_phrase(why: &WhyNot) -> String {
    match why {
        WhyNot::Limit { limit: Limit::Horizon | Limit::MountLow, altitude, lowest, .. } => {
            if *altitude < Angle::ZERO {
                "Below the horizon".to_owned()
            } else {
                let (up, lowest) = (numbers::degrees(*altitude), numbers::degrees(*lowest));
                if up == lowest {
                    format!("Only just below the {lowest} that can be seen there")
                } else {
                    format!("Only {up} up")
                }
            }
        }
        WhyNot::Limit { limit: Limit::Keyhole, altitude, .. } => {
            format!("{} up: too near the zenith for the mount", numbers::degrees(*altitude))
        }
        WhyNot::Limit { limit: Limit::Sun, sun_separation, .. } => {
            format!("Only {} from the Sun", numbers::degrees(*sun_separation))
        }
        WhyNot::Limit { sun_altitude, .. } => {
            let height = numbers::degrees(sun_altitude.abs());
            let side = if *sun_altitude > Angle::ZERO { "above" } else { "below" };
            format!("The sky is too bright: the Sun is {height} {side} the horizon")
        }
        WhyNot::View { link, .. } => weakest_link_sentence(link),
    }
}

/// From when it is better: `30° up from about 23:30 MDT`.
pub fn better_phrase(names: &Names<'_>, better: &Better) -> String {
    let up = numbers::degrees(better.altitude);
    let from = names.clock(nearest_five_minutes(names, better.from));
    if better.well_up {
        format!("{up} up from about {from}")
    } else {
        format!(
            "better from about {from}: the {} {} it, {up} up",
            names.port_name(&better.port).to_lowercase(),
            view_word(better.view)
        )
    }
}

/// "About" is to five minutes of the local clock.
fn nearest_five_minutes(names: &Names<'_>, instant: Instant) -> Instant {
    let local = names.prepared.night.local.local(instant);
    let minutes = f64::from(local.minute()) + f64::from(local.second()) / 60.0;
    instant.plus_minutes((minutes / 5.0).round() * 5.0 - minutes)
}

/// What another appeal did to the order, in one sentence.
pub fn appeal_sentence(names: &Names<'_>, change: &AppealChange) -> String {
    let list = |ids: &[TargetId]| ids.iter().map(|id| names.target_name(id)).collect::<Vec<_>>().join(", ");
    let percent = numbers::percent;
    let begin = format!(
        "Appeal of {} from {} to {}",
        names.target_name(&change.target),
        percent(change.from),
        percent(change.to)
    );
    if change.is_nothing() {
        return format!("{begin}: the running order stays as it is.");
    }
    let parts = [("in", &change.came), ("out", &change.went), ("at another time or port", &change.moved)];
    let told: Vec<String> = parts
        .into_iter()
        .filter(|(_, ids)| !ids.is_empty())
        .map(|(what, ids)| format!("{what}: {}", list(ids)))
        .collect();
    format!("{begin} changes the running order: {}.", told.join("; "))
}
