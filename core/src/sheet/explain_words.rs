//! Why an order is as it is and what would change it, in plain sentences: see [`explain`](crate::plan::explain).

use super::holds_back::lower_first;
use super::why::{about, better_phrase, difference_phrase, why_not_phrase, why_this_why_now};
use super::wording::{limit_phrase, view_percent, view_phrase};
use super::{Names, numbers};
use crate::plan::{
    BestHour, Change, HeldPrice, Limit, NotShown, NotShownWhy, OrderRule, People, RequestAnswer, RequestWhen,
    StopReason, Understudy, WayIn, WhatIf, WhyNot, WhyNow, WhyPort,
};
use crate::rig::PortId;
use crate::time::{Instant, Interval};
use crate::units::{Angle, Fraction};

/// A share of the evening for people: whole percent from ten on, tenths below: `18%`, `2.1%`, `less than 0.1%`.
pub fn share_words(share: f64) -> String {
    let percent = share.abs() * 100.0;
    match percent {
        _ if percent >= 9.95 => numbers::percent_of(percent),
        _ if percent >= 0.05 => format!("{}%", numbers::decimal(percent, 1)),
        _ if percent > 0.0 => "less than 0.1%".to_owned(),
        _ => "nothing".to_owned(),
    }
}

/// What the evening would gain or lose: `the evening would lose 2.1%`.
fn evening_words(share: f64) -> String {
    if share > 0.0 {
        format!("the evening would gain {}", share_words(share))
    } else if share < 0.0 {
        format!("the evening would lose {}", share_words(share))
    } else {
        "the evening would lose nothing".to_owned()
    }
}

/// A share that orders drafted anew come to, which is not known to the tenth: `about 31%`.
fn about_words(share: f64) -> String {
    match share.abs() * 100.0 {
        percent if percent >= 0.5 => format!("about {}", numbers::percent_of(percent)),
        percent if percent > 0.0 => "less than 1%".to_owned(),
        _ => "nothing".to_owned(),
    }
}

fn port(names: &Names<'_>, id: &PortId) -> String {
    format!("the {}", lower_first(&names.port_name(id)))
}

/// Why a stop stands where it does, all in one sentence: altitude, light, port, people, and what speaks for its time.
/// `None` for a stop that is no longer there.
pub fn stop_sentence(names: &Names<'_>, reason: &StopReason) -> Option<String> {
    let stop = names.evening.order.get(reason.stop)?;
    let facts = why_this_why_now(names, stop)?;
    let strongest = reason.now.iter().find_map(|now| now_phrase(names, now));
    let facts = facts.trim_end_matches('.');
    Some(
        strongest
            .map_or_else(|| format!("{facts}."), |now| format!("{facts}; it stands here because {now}.")),
    )
}

/// Everything about a stop: why this, why now, why not at a better time, why through this port, for how many.
pub fn stop_sentences(names: &Names<'_>, reason: &StopReason) -> Vec<String> {
    let now: Vec<String> = reason.now.iter().filter_map(|now| now_phrase(names, now)).collect();
    let mut all = vec![why_this_sentence(names, reason)];
    all.push(if now.is_empty() {
        "No rule ties it to this time.".to_owned()
    } else {
        format!("Now because {}.", listed(&now))
    });
    all.extend(reason.now.iter().find_map(|now| better_time_sentence(names, now)));
    all.push(why_port_sentence(names, &reason.port));
    all.push(people_sentence(&reason.people));
    all
}

/// Why this target: what it adds, against the best that could stand there instead.
pub fn why_this_sentence(names: &Names<'_>, reason: &StopReason) -> String {
    let adds = if reason.adds > 0 {
        format!("Adds {} of the evening", share_words(reason.adds_share))
    } else {
        "Adds nothing to the evening".to_owned()
    };
    let Some(rival) = &reason.rival else {
        return format!("{adds}; nothing else would do there.");
    };
    let best = format!(
        "the best that could stand there instead, {} through {}, would add",
        names.target_name(&rival.target),
        port(names, &rival.port)
    );
    if rival.adds <= 0 {
        return format!("{adds}; {best} nothing.");
    }
    let would = share_words(rival.adds_share);
    match rival.beaten_by {
        more if more > 0.0 => format!("{adds}; {best} {would}: this is worth {} more.", share_words(more)),
        more if more < 0.0 => format!("{adds}; {best} {would}, which is more."),
        _ => format!("{adds}; {best} as much."),
    }
}

/// What speaks for a time; `None` for what speaks against it.
fn now_phrase(names: &Names<'_>, now: &WhyNow) -> Option<String> {
    Some(match now {
        WhyNow::Held => "you hold it there".to_owned(),
        WhyNow::OnlyTime { window } => {
            format!("it shows only from {}", numbers::clock_span(&names.prepared.night.local, *window))
        }
        WhyNow::BeforeItGoes { last, limit } => {
            format!("after {} it is {}", names.clock(*last), limit_phrase(*limit))
        }
        WhyNow::NearBest => "it shows as well as at any time tonight".to_owned(),
        WhyNow::Rule(rule) => rule_phrase(names, *rule),
        WhyNow::BestTaken { .. } => return None,
    })
}

/// What a rule of the trade says for a stop.
fn rule_phrase(names: &Names<'_>, rule: OrderRule) -> String {
    match rule {
        OrderRule::BrightFirst => "what is bright and easy comes early".to_owned(),
        OrderRule::SetsFirst => "it goes before everything that is shown after it".to_owned(),
        OrderRule::ChildrenFirst => {
            let bedtime = names.prepared.night.local.at(names.evening.rules.bedtime);
            let at = bedtime.map_or_else(|_| String::new(), |at| format!(" at {}", names.clock(at)));
            format!("children see it before bedtime{at}")
        }
        OrderRule::FaintApart => "no other faint one stands beside it".to_owned(),
        OrderRule::InTurn => "eyepiece and screen take turns".to_owned(),
        OrderRule::Crescendo => "this is the evening's high point".to_owned(),
        OrderRule::FavouriteLast => "it is a favourite for the last look".to_owned(),
    }
}

/// The better time that another stop takes.
fn better_time_sentence(names: &Names<'_>, now: &WhyNow) -> Option<String> {
    let WhyNow::BestTaken { at, by, more } = now else { return None };
    Some(format!(
        "At {} it would be worth {} more, but that is taken by {}.",
        names.clock(*at),
        share_words(*more),
        names.stop_phrase(*by)
    ))
}

/// Why through its port.
pub fn why_port_sentence(names: &Names<'_>, why: &WhyPort) -> String {
    let own = port(names, &why.port);
    let (shows, view) = (view_phrase(why.view), view_percent(why.view));
    let eyes = if why.own_eye { ", to one's own eyes" } else { "" };
    let begin = if why.held {
        format!("You hold it on {own}, which {shows} ({view}{eyes})")
    } else {
        format!("Through {own}, which {shows} ({view}{eyes})")
    };
    let Some(other) = &why.other else {
        return format!("{begin}; no other port would do for as many then.");
    };
    let share = other.change_share;
    let effect = match share {
        share if share < 0.0 => format!("would cost the evening {}", share_words(share)),
        share if share > 0.0 => format!("would be worth {} of the evening more", share_words(share)),
        _ => "would be worth as much".to_owned(),
    };
    format!("{begin}; {} ({}) {effect}.", port(names, &other.port), view_percent(other.view))
}

/// For how many.
pub fn people_sentence(people: &People) -> String {
    let minutes = numbers::minutes(people.minutes);
    let all = numbers::count(people.of as usize, "visitor", "visitors");
    if people.together {
        format!("{all} {} it together for {minutes}.", if people.of == 1 { "sees" } else { "see" })
    } else if people.looking == people.of {
        format!("{minutes} are enough for all who take part, {all}.")
    } else {
        format!("{minutes} give {} of {all} a look.", people.looking)
    }
}

/// What could stand in for a stop, and what that costs.
pub fn understudy_sentence(names: &Names<'_>, understudy: Option<&Understudy>) -> String {
    let Some(understudy) = understudy else { return "Nothing could stand in for it then.".to_owned() };
    let apart = numbers::degrees(understudy.apart);
    let part = if understudy.elsewhere {
        format!("{apart} away")
    } else {
        format!("in the same part of the sky, {apart} away")
    };
    format!(
        "{} could stand in through {}, {part}: {}.",
        names.target_name(&understudy.target),
        port(names, &understudy.port),
        evening_words(understudy.change_share)
    )
}

/// Why a target is not in the order, in one sentence.
pub fn not_shown_sentence(names: &Names<'_>, why: &NotShownWhy) -> String {
    match why {
        NotShownWhy::LeftOut => "Left out, as you wish.".to_owned(),
        NotShownWhy::NeverUp { highest, at } => format!(
            "Never up while doors are open: {} at most, at {}.",
            numbers::degrees(*highest),
            names.clock(*at)
        ),
        NotShownWhy::TooLow { highest, at, needed, else_limit } => {
            let other = else_limit
                .map_or_else(String::new, |limit| format!("; at other times it is {}", limit_phrase(limit)));
            let at = names.clock(*at);
            if *highest < Angle::ZERO {
                let highest = numbers::degrees(*highest);
                format!("Below the horizon, {highest} at most, at {at}{other}.")
            } else {
                let (up, least) = apart_degrees(*highest, *needed);
                format!("Too low: {up} up at most, at {at}, and {least} is needed there{other}.")
            }
        }
        NotShownWhy::Limit(Limit::NoPort) => "No port in service shows it.".to_owned(),
        NotShownWhy::Limit(limit) => format!("Not tonight: {}.", limit_phrase(*limit)),
        NotShownWhy::OutOfService { port: only, view, at } => format!(
            "Only {} would show it ({} at {}), and that is out of service.",
            port(names, only),
            view_percent(*view),
            names.clock(*at)
        ),
        NotShownWhy::PoorView { why, at } => {
            let because = why.as_ref().map(|why| lower_first(&why_not_phrase(names, why)));
            let because = because.map_or_else(String::new, |because| format!(": {because}"));
            match why {
                Some(WhyNot::View { view, .. }) if *view > Fraction::ZERO => {
                    format!("Hard to show even at its best, at {}{because}.", names.clock(*at))
                }
                _ => format!("No port shows it{because}."),
            }
        }
        NotShownWhy::TooShort { port: nearest, minutes, needed_minutes } => format!(
            "{} shows it for {} at a time, and a stop there needs {}.",
            upper_first(&port(names, nearest)),
            numbers::minutes(*minutes),
            numbers::minutes(needed_minutes.ceil())
        ),
        NotShownWhy::Beaten { by, more, way } => {
            let stop = names.evening.order.get(*by);
            let at = stop.map_or_else(String::new, |stop| format!(" at {}", names.clock(stop.start())));
            let beaten = stop.map_or_else(String::new, |stop| names.stop_title(stop));
            let lose = evening_words(way.change_share);
            if more.is_finite() {
                let more = share_words(*more);
                format!("Beaten by {beaten}{at}: that stop is worth {more} more; in its place {lose}.")
            } else {
                format!("Beaten by {beaten}{at}: in its place this would add nothing, and {lose}.")
            }
        }
        NotShownWhy::Welcome { way } => format!("It could come in: {}.", way_phrase(names, way)),
        NotShownWhy::NoRoom { needed_minutes } => format!(
            "No room: it needs {}, and what is held, fixed and kept free leaves none with its moves.",
            numbers::minutes(*needed_minutes)
        ),
    }
}

/// Why a target is not in the order, and the best hour it could have: one or two sentences.
pub fn not_shown_sentences(names: &Names<'_>, not_shown: &NotShown) -> Vec<String> {
    let mut all = vec![not_shown_sentence(names, &not_shown.why)];
    all.extend(not_shown.best.as_ref().map(|best| best_hour_sentence(names, best)));
    all.extend(not_shown.later.as_ref().map(|later| {
        let phrase = better_phrase(names, later);
        let phrase = upper_first(&phrase);
        let doors = if later.from > names.prepared.doors.end() { ", after doors close" } else { "" };
        format!("{phrase}{doors}.")
    }));
    all
}

/// When a target is at its best: `Best from 21:05 to 22:10 GMT: 47° up in the south-east, the eyepiece shows it well.`
pub fn best_hour_sentence(names: &Names<'_>, best: &BestHour) -> String {
    let when = match Interval::new(best.from, best.to) {
        Some(hour) if hour.minutes() >= 1.0 => {
            format!("from {}", numbers::clock_span(&names.prepared.night.local, hour))
        }
        _ => format!("at {}", names.clock(best.at)),
    };
    format!(
        "Best {when}: {} up in the {} at {}, {} {}.",
        numbers::degrees(best.altitude),
        numbers::compass_word(best.azimuth),
        names.clock(best.at),
        port(names, &best.port),
        view_phrase(best.view)
    )
}

/// A place in the order: `at 21:10 GMT through the eyepiece instead of stop 4, Mars; the evening would lose 2.1%`.
pub fn way_phrase(names: &Names<'_>, way: &WayIn) -> String {
    let instead =
        way.replaces.map_or_else(String::new, |stop| format!(" instead of {}", names.stop_phrase(stop)));
    format!(
        "at {} for {} through {}{instead}; {}",
        names.clock(way.interval.start()),
        numbers::minutes(way.interval.minutes()),
        port(names, &way.port),
        evening_words(way.change_share)
    )
}

/// What holding a stop costs.
pub fn held_price_sentence(names: &Names<'_>, price: &HeldPrice) -> String {
    let stop = names.stop_phrase(price.stop);
    if price.cost_share > 0.0 {
        let difference = difference_phrase(names, &price.difference);
        let without =
            if difference.is_empty() { String::new() } else { format!(" Without that, {difference}.") };
        format!("Holding {stop}, costs the evening {}.{without}", about_words(price.cost_share))
    } else {
        format!("Holding {stop}, costs the evening nothing that was found.")
    }
}

/// What would change with something else.
pub fn what_if_sentence(names: &Names<'_>, what_if: &WhatIf) -> String {
    let with = match &what_if.change {
        Change::PortBack(id) => format!("With {} back in service", port(names, id)),
        Change::WithoutPort(id) => format!("Without {}", port(names, id)),
        Change::DoorsLonger(minutes) => {
            format!("With doors open {} longer", numbers::minutes(f64::from(*minutes)))
        }
        Change::MoreVisitors(more) => format!("With {more} visitors more"),
    };
    let difference = difference_phrase(names, &what_if.difference);
    let changes =
        if difference.is_empty() { "the running order stays as it is".to_owned() } else { difference };
    let verb = if what_if.gain_share > 0.0 { "gain" } else { "lose" };
    format!("{with} the evening would {verb} {}; {changes}.", about_words(what_if.gain_share))
}

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

/// Two altitudes that differ, written so that it shows.
fn apart_degrees(one: Angle, other: Angle) -> (String, String) {
    let whole = (numbers::degrees(one), numbers::degrees(other));
    if whole.0 != whole.1 {
        return whole;
    }
    let finer = |angle: Angle, up: bool| {
        let tenths = angle.degrees() * 10.0;
        format!("{}°", numbers::decimal(if up { tenths.ceil() } else { tenths.floor() } / 10.0, 1))
    };
    (finer(one, false), finer(other, true))
}

/// A phrase that begins a sentence.
fn upper_first(phrase: &str) -> String {
    let mut letters = phrase.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `a, b, and c`.
fn listed(phrases: &[String]) -> String {
    match phrases {
        [] => String::new(),
        [only] => only.clone(),
        [first, second] => format!("{first}, and {second}"),
        [all @ .., last] => format!("{}, and {last}", all.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::{
        held_price_sentence, not_shown_sentence, people_sentence, share_words, stop_sentences,
        understudy_sentence, what_if_sentence,
    };
    use crate::catalogue::TargetId;
    use crate::plan::{
        Change, Evening, HeldPrice, NotShownWhy, OrderDifference, People, RunningOrder, WayIn, WhatIf,
        explain_order,
    };
    use crate::rig::PortId;
    use crate::sheet::Names;
    use crate::sheet::demo::Demo;
    use crate::units::Angle;

    #[test]
    fn a_share_is_written_as_finely_as_it_matters() {
        let told = [0.583, 0.0996, 0.0994, 0.021, -0.18, 0.0004, -0.0004, 0.0].map(share_words);
        assert_eq!(
            told,
            ["58%", "10%", "9.9%", "2.1%", "18%", "less than 0.1%", "less than 0.1%", "nothing"]
        );
    }

    #[test]
    fn people_are_counted_at_the_eyepiece_and_before_the_screen() {
        let people =
            |looking, of, minutes, together| people_sentence(&People { looking, of, minutes, together });
        assert_eq!(people(48, 48, 33.0, false), "33 min are enough for all who take part, 48 visitors.");
        assert_eq!(people(30, 48, 20.0, false), "20 min give 30 of 48 visitors a look.");
        assert_eq!(people(60, 60, 8.0, true), "60 visitors see it together for 8 min.");
        assert_eq!(people(1, 1, 8.0, true), "1 visitor sees it together for 8 min.");
    }

    #[test]
    fn what_is_beaten_names_by_what_when_and_by_how_much() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        demo.with_names(&prepared, |names| {
            let mars = names.evening.order.stops().iter().find(|stop| {
                stop.show().is_some_and(|show| show.target.0 == "mars")
            });
            let mars = mars.expect("the demo shows Mars");
            let way = WayIn {
                replaces: Some(mars.id),
                port: PortId("wide".into()),
                interval: mars.interval,
                change: -21,
                change_share: -0.021,
            };
            let at = names.clock(mars.start());
            let told = |more| not_shown_sentence(names, &NotShownWhy::Beaten { by: mars.id, more, way: way.clone() });
            let want = format!("Beaten by Mars at {at}: that stop is worth 18% more; in its place the evening would lose 2.1%.");
            assert_eq!(told(0.18), want);
            assert!(told(f64::INFINITY).contains("in its place this would add nothing, and the evening would lose 2.1%"));
            let low = NotShownWhy::TooLow {
                highest: Angle::from_degrees(14.96),
                at: mars.start(),
                needed: Angle::from_degrees(15.0),
                else_limit: None,
            };
            let want = format!("Too low: 14.9° up at most, at {at}, and 15.0° is needed there.");
            assert_eq!(not_shown_sentence(names, &low), want);
        });
    }

    #[test]
    fn what_would_change_names_what_comes_and_goes_and_counts_what_moves() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let ids = |ids: &[&str]| ids.iter().map(|id| TargetId((*id).into())).collect::<Vec<_>>();
        demo.with_names(&prepared, |names| {
            let told = |change, gain_share, difference| {
                let order = RunningOrder::default();
                what_if_sentence(names, &WhatIf { change, before: 1000, after: 1000, gain_share, difference, order })
            };
            let difference = OrderDifference {
                came: ids(&["mars"]),
                went: ids(&["moon", "jupiter"]),
                moved: ids(&["market-lamps", "spilt-churn", "dewpond", "sampler"]),
            };
            assert_eq!(
                told(Change::WithoutPort(PortId("eyepiece".into())), -0.31, difference),
                "Without the eyepiece the evening would lose about 31%; in: Mars; out: The Moon, Jupiter; at another time or \
                 port: 4 targets."
            );
            let nothing = OrderDifference::default();
            assert_eq!(
                told(Change::MoreVisitors(20), 0.0, nothing),
                "With 20 visitors more the evening would lose nothing; the running order stays as it is."
            );
        });
    }

    #[test]
    fn a_hold_has_its_price() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        demo.with_names(&prepared, |names| {
            let stop = names.evening.order.stops()[1].id;
            let price = |cost_share| HeldPrice {
                stop,
                held: 1000,
                free: 1000,
                cost_share,
                difference: OrderDifference::default(),
                order: RunningOrder::default(),
            };
            let phrase = names.stop_phrase(stop);
            assert_eq!(
                held_price_sentence(names, &price(0.034)),
                format!("Holding {phrase}, costs the evening about 3%.")
            );
            assert!(
                held_price_sentence(names, &price(0.0))
                    .ends_with("costs the evening nothing that was found.")
            );
        });
    }

    #[test]
    fn every_sentence_about_a_stop_is_whole() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let materials = demo.materials();
        let explained = explain_order(&demo.evening, &prepared, &materials);
        let alone = Evening { order: demo.evening.order.clone(), ..demo.evening.clone() };
        let names = Names::new(&alone, &prepared, &materials);
        for reason in &explained.stops {
            let mut told = stop_sentences(&names, reason);
            told.push(understudy_sentence(&names, reason.understudy.as_ref()));
            assert!(told.len() >= 5, "{told:?}");
            for sentence in told {
                assert!(
                    sentence.ends_with('.') && !sentence.contains("  ") && !sentence.contains("NaN"),
                    "{sentence}"
                );
            }
        }
    }
}
