//! Why a stop is as it is: why this, why now, why through this port, for how many, and what could stand in.

use super::shares::{evening_words, more_words, port, share_words};
use crate::plan::{OrderRule, People, StopReason, Understudy, WhyNow, WhyPort};
use crate::sheet::phrases::listed;
use crate::sheet::why::why_this_why_now;
use crate::sheet::wording::{limit_phrase, view_percent, view_phrase};
use crate::sheet::{Names, numbers};

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
        format!("Now because {}.", listed(&now, ','))
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
        more if more > 0.0 => format!("{adds}; {best} {would}: this is worth {}.", more_words(more)),
        more if more < 0.0 => format!("{adds}; {best} {would}, which is more."),
        _ => format!("{adds}; {best} as much."),
    }
}

/// What speaks for a time; `None` for what speaks against it.
fn now_phrase(names: &Names<'_>, now: &WhyNow) -> Option<String> {
    Some(match now {
        WhyNow::Held => "you hold it there".to_owned(),
        WhyNow::OnlyTime { window } => {
            let span = numbers::clock_span(&names.prepared.night.local, *window);
            format!("while doors are open it shows only from {span}")
        }
        WhyNow::BeforeItGoes { last, limit } => {
            format!("after {} it is {}", names.clock(*last), limit_phrase(*limit))
        }
        WhyNow::NearBest => "it shows about as well as at any time while doors are open".to_owned(),
        WhyNow::Rule(rule) => rule_phrase(names, *rule),
        WhyNow::BestTaken { .. } => return None,
    })
}

/// What a rule of the trade says for a stop.
fn rule_phrase(names: &Names<'_>, rule: OrderRule) -> String {
    match rule {
        OrderRule::BrightFirst => "what is bright and easy comes early".to_owned(),
        OrderRule::SetsFirst => "it leaves the sky before all that is shown after it".to_owned(),
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
        "At {} it would be worth {}, but that is taken by {}.",
        names.clock(*at),
        more_words(*more),
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
    let one = minutes == numbers::minutes(1.0);
    let all = numbers::count(people.of as usize, "visitor", "visitors");
    if people.together {
        format!("{all} {} it together for {minutes}.", if people.of == 1 { "sees" } else { "see" })
    } else if people.looking == people.of {
        format!("{minutes} {} enough for all who take part, {all}.", if one { "is" } else { "are" })
    } else {
        let give = if one { "gives" } else { "give" };
        format!("{minutes} {give} {} of {all} a look.", people.looking)
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

#[cfg(test)]
mod tests {
    use super::{people_sentence, stop_sentences, understudy_sentence};
    use crate::plan::{Evening, People, explain_order};
    use crate::sheet::Names;
    use crate::sheet::demo::Demo;

    #[test]
    fn people_are_counted_at_the_eyepiece_and_before_the_screen() {
        let people =
            |looking, of, minutes, together| people_sentence(&People { looking, of, minutes, together });
        assert_eq!(people(48, 48, 33.0, false), "33 min are enough for all who take part, 48 visitors.");
        assert_eq!(people(30, 48, 20.0, false), "20 min give 30 of 48 visitors a look.");
        assert_eq!(people(1, 1, 1.0, false), "1 min is enough for all who take part, 1 visitor.");
        assert_eq!(people(1, 48, 1.2, false), "1 min gives 1 of 48 visitors a look.");
        assert_eq!(people(60, 60, 8.0, true), "60 visitors see it together for 8 min.");
        assert_eq!(people(1, 1, 8.0, true), "1 visitor sees it together for 8 min.");
    }

    #[test]
    fn every_sentence_about_a_stop_is_whole() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let materials = demo.materials();
        let explained = explain_order(&demo.evening, &prepared, &materials, None);
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
