//! Why this, why now, why not, when better: one plain sentence each.

use chrono::Timelike;

use super::holds_back::speaks_against;
use super::wording::{reason_sentence, shows_all, view_phrase, weakest_link_sentence};
use super::{Names, numbers};
use crate::assign::{PortChoice, Reason};
use crate::catalogue::TargetId;
use crate::ephemeris::Body;
use crate::plan::{
    AppealChange, Better, Limit, OrderDifference, Stop, WeakestLink, WhyNot, moon_feature_to_frame, ports_at,
    sky_behind, stop_minutes, when_better, why_not_now,
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
        let looking = f64::from(house.visitors) * house.share_taking_part();
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
        "{} stands {} up in the {}, against a sky that is {}; the {} {}; {people}.",
        target.name,
        numbers::degrees(sample.altitude),
        numbers::compass_word(sample.azimuth),
        sky_word(light.total),
        port.name.to_lowercase(),
        view_phrase(choice.view),
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
    let why = why_not_phrase(names, &why_not_now(prepared, materials, target_index, instant)?);
    Some(match when_better(prepared, materials, target_index, instant) {
        Some(better) => format!("{why}; {}", better_phrase(names, &better)),
        None => format!("{why}; no better time comes tonight"),
    })
}

/// Why not, without the time.
pub fn why_not_phrase(names: &Names<'_>, why: &WhyNot) -> String {
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
        WhyNot::Limit { limit: Limit::ClosedSky, opens, .. } => {
            let until = opens.map_or_else(String::new, |opens| format!(", until {}", names.clock(opens)));
            format!("That part of the sky is closed tonight{until}")
        }
        WhyNot::Limit { sun_altitude, .. } => {
            let height = numbers::degrees(sun_altitude.abs());
            let side = if *sun_altitude > Angle::ZERO { "above" } else { "below" };
            format!("The sky is too bright: the Sun is {height} {side} the horizon")
        }
        // What a port can do is no complaint; that it is little is one.
        WhyNot::View { view, link: WeakestLink::Port(reason), .. } if !speaks_against(reason) => {
            format!("No port shows more than {} of it", numbers::percent(*view))
        }
        WhyNot::View { link, .. } => weakest_link_sentence(link),
    }
}

/// From when it is better: `30° up from about 23:30 MDT`.
pub fn better_phrase(names: &Names<'_>, better: &Better) -> String {
    let up = numbers::degrees(better.altitude);
    let from = names.clock(about(names, better.from));
    if better.well_up {
        format!("{up} up from about {from}")
    } else {
        format!(
            "better from about {from}: the {} {}, {up} up",
            names.port_name(&better.port).to_lowercase(),
            view_phrase(better.view)
        )
    }
}

/// "About" is to five minutes of the local clock.
pub(super) fn about(names: &Names<'_>, instant: Instant) -> Instant {
    let local = names.prepared.night.local.local(instant);
    let minutes = f64::from(local.minute()) + f64::from(local.second()) / 60.0;
    instant.plus_minutes((minutes / 5.0).round() * 5.0 - minutes)
}

/// The place on the Moon to frame where a port shows only part of the whole Moon, in one sentence. `None` where the Moon
/// fits, for any other target, and where no place of the catalogue is well lit.
pub fn moon_framing_sentence(
    names: &Names<'_>,
    target_index: usize,
    choice: &PortChoice,
    instant: Instant,
) -> Option<String> {
    let whole = names.materials.catalogue.targets.get(target_index)?;
    if whole.body() != Some(Body::Moon) || whole.feature.is_some() {
        return None;
    }
    let too_big = choice.reasons().any(|reason| matches!(reason, Reason::TooBig { .. }));
    if !too_big || shows_all(&choice.fit) {
        return None;
    }
    let (prepared, materials) = (names.prepared, names.materials);
    let (index, _) = moon_feature_to_frame(prepared, materials, instant)?;
    let target = materials.catalogue.targets.get(index)?;
    let feature = target.feature?;
    let moment = prepared.moments.get(prepared.moment_index(instant))?;
    let moon = prepared.tracks.get(index)?.appearance?;
    Some(format!(
        "Frame {} instead: {} across, the Sun {} high there",
        target.name,
        numbers::size(feature.apparent_size(moon.diameter)),
        numbers::degrees(feature.sun_altitude(&moment.moon_face))
    ))
}

/// What another appeal did to the order, in one sentence.
pub fn appeal_sentence(names: &Names<'_>, change: &AppealChange) -> String {
    let percent = numbers::percent;
    let begin = format!(
        "Appeal of {} from {} to {}",
        names.target_name(&change.target),
        percent(change.from),
        percent(change.to)
    );
    if change.difference.is_nothing() {
        return format!("{begin}: the running order stays as it is.");
    }
    format!("{begin} changes the running order: {}.", difference_phrase(names, &change.difference))
}

/// So many targets that moved are named; more are counted.
const MOVED_NAMED: usize = 3;

/// What differs between two orders: `in: Mars; out: Lantern Drift, Saturn; at another time or port: The Moon`. Empty where
/// nothing does.
pub fn difference_phrase(names: &Names<'_>, difference: &OrderDifference) -> String {
    let list = |ids: &[TargetId]| ids.iter().map(|id| names.target_name(id)).collect::<Vec<_>>().join(", ");
    let moved = match difference.moved.len() {
        more if more > MOVED_NAMED => format!("{more} targets"),
        _ => list(&difference.moved),
    };
    let parts =
        [("in", list(&difference.came)), ("out", list(&difference.went)), ("at another time or port", moved)];
    let told = parts.into_iter().filter(|(_, told)| !told.is_empty());
    told.map(|(what, told)| format!("{what}: {told}")).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::{
        appeal_sentence, moon_framing_sentence, sky_sentence, why_not_now_sentence, why_not_port,
        why_this_why_now,
    };
    use crate::catalogue::TargetId;
    use crate::plan::{AppealChange, RunningOrder, ports_at};
    use crate::rig::PortId;
    use crate::sheet::demo::Demo;
    use crate::sky::SkyLight;
    use crate::units::{Fraction, SurfaceBrightness};

    #[test]
    fn every_stop_says_why_in_one_sentence() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        demo.with_names(&prepared, |names| {
            for stop in names.evening.order.stops() {
                let Some(show) = stop.show() else {
                    assert_eq!(why_this_why_now(names, stop), None);
                    continue;
                };
                let sentence = why_this_why_now(names, stop).expect("a reason");
                let port = names.port_name(&show.port).to_lowercase();
                for part in ["° up in the ", "against a sky that is ", &port, "visitor"] {
                    assert!(sentence.contains(part), "{part}: {sentence}");
                }
                assert!(sentence.ends_with('.') && sentence.matches(". ").count() == 0, "{sentence}");
            }
        });
    }

    #[test]
    fn every_target_says_why_not_and_every_other_port_why_not_that() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let at = prepared.doors.start().plus_minutes(90.0);
        demo.with_names(&prepared, |names| {
            let mut told = 0;
            for (index, target) in names.materials.catalogue.targets.iter().enumerate() {
                let ports = ports_at(&prepared, names.materials, index, at);
                let why_not = why_not_now_sentence(names, index, at);
                assert!(why_not.is_some() || ports[0].view.value() >= 0.3, "{}", target.id);
                told += usize::from(why_not.is_some());
                for choice in ports.iter().filter(|choice| choice.view.value() < 0.3) {
                    assert!(why_not_port(choice).is_some(), "{}: {choice:?}", target.id);
                }
            }
            assert!(told > 50, "{told}");
        });
    }

    #[test]
    fn a_moon_too_big_for_a_field_offers_a_place_in_its_morning() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let at = prepared.doors.start().plus_minutes(90.0);
        demo.with_names(&prepared, |names| {
            let (moon, _) = names.target(&TargetId("moon".into())).expect("the demo has the Moon");
            let ports = ports_at(&prepared, names.materials, moon, at);
            let planetary =
                ports.iter().find(|choice| choice.port == PortId("planetary".into())).expect("a port");
            let sentence = moon_framing_sentence(names, moon, planetary, at).expect("a place to frame");
            assert!(sentence.starts_with("Frame The Shepherd's Wall instead: 1."), "{sentence}");
            // Mars is not too big; a nebula of three degrees is, and no Moon.
            for other in ["mars", "tenter-field"] {
                let (index, _) = names.target(&TargetId(other.into())).expect("the demo has it");
                for choice in ports_at(&prepared, names.materials, index, at) {
                    assert_eq!(moon_framing_sentence(names, index, &choice, at), None, "{other}");
                }
            }
        });
    }

    #[test]
    fn the_sky_in_plain_words_names_what_brightens_it() {
        let light = |dark_nl: f64, moon_nl: f64, twilight_nl: f64| {
            let total = SurfaceBrightness::from_nanolamberts(dark_nl + moon_nl + twilight_nl);
            sky_sentence(&SkyLight { total, dark_nl, moon_nl, twilight_nl })
        };
        // 79 nanolamberts are 21.587 (Krisciunas & Schaefer 1991); a hundred more are 2.5 log10(179 / 79) = 0.89.
        assert_eq!(light(79.0, 0.0, 0.0), "The sky behind is truly dark (21.6 mag per square arcsecond)");
        let moonlit = light(79.0, 100.0, 0.0);
        assert!(moonlit.ends_with("; moonlight brightens it by 0.9 mag"), "{moonlit}");
        let dusk = light(79.0, 100.0, 50_000.0);
        assert!(
            dusk.starts_with("The sky behind is bright as at dusk") && dusk.contains("twilight"),
            "{dusk}"
        );
    }

    #[test]
    fn an_appeal_without_effect_says_so_too() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        demo.with_names(&prepared, |names| {
            let (target, order) = (TargetId("mars".into()), RunningOrder::default());
            let appeals = (Fraction::clamped(0.78), Fraction::ONE);
            let change = AppealChange::between(target, appeals, &order, &order);
            let want = "Appeal of Mars from 78% to 100%: the running order stays as it is.";
            assert_eq!(appeal_sentence(names, &change), want);
        });
    }
}
