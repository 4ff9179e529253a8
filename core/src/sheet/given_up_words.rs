//! What a draft could not keep, in words: which wish and why.

use super::findings::finding_sentence;
use super::names::Names;
use super::numbers;
use super::phrases::listed;
use super::wording::limit_phrase;
use crate::plan::{Finding, GivenUp, GivenUpWhy, Severity, Stop, Wish};

/// A wish that was given up, and why: `Lantern Drift, held at 21:10` and a sentence.
pub fn given_up_sentences(given_up: &GivenUp, names: &Names<'_>) -> (String, String) {
    let why = match &given_up.why {
        GivenUpWhy::Rule(rule) => {
            let finding = Finding { severity: Severity::Stopper, stop: None, rule: rule.clone() };
            finding_sentence(&finding, names).0
        }
        GivenUpWhy::Never => never(&given_up.wish, names),
        GivenUpWhy::Past => "Its time has passed; it comes later if there is room.".to_owned(),
        GivenUpWhy::Moves => "No room was found for it with the moves that it takes.".to_owned(),
        GivenUpWhy::Against(wishes) => {
            let others: Vec<String> = wishes.iter().map(|wish| wish_phrase(wish, names)).collect();
            let (kept, any) = if others.len() == 1 { ("is", "that") } else { ("are", "one of them") };
            format!(
                "No room was found for it beside {}, which {kept} kept. Let go of {any} to show it.",
                listed(&others, ';')
            )
        }
    };
    (wish_phrase(&given_up.wish, names), why)
}

/// Why a wish can be met at no time of the evening.
fn never(wish: &Wish, names: &Names<'_>) -> String {
    let known = wish.target().and_then(|target| names.target(target));
    let own = known.and_then(|(index, _)| names.prepared.availability.get(index));
    let limit = own.filter(|own| own.best.is_none()).and_then(|own| own.limits.first());
    match (limit, wish) {
        (Some(limit), _) => format!("At no time this evening can it be shown: {}.", limit_phrase(*limit)),
        (None, Wish::Port(stop)) => match stop.show() {
            Some(show) => {
                format!("At no time this evening can {} show it long enough.", names.port_name(&show.port))
            }
            None => "At no time this evening is there room for it.".to_owned(),
        },
        (None, _) => "At no time this evening can it be shown well and long enough.".to_owned(),
    }
}

/// A wish in few words.
fn wish_phrase(wish: &Wish, names: &Names<'_>) -> String {
    let when = |stop: &Stop| numbers::clock(names.prepared.night.local.local(stop.start()));
    match wish {
        Wish::Stop(stop) if stop.show().is_some() => {
            format!("{}, held at {}", names.stop_title(stop), when(stop))
        }
        Wish::Stop(stop) => format!("{} at {}", names.stop_title(stop), when(stop)),
        Wish::Port(stop) => {
            let port = stop.show().map_or_else(String::new, |show| names.port_name(&show.port));
            format!("{}, held on {port}", names.stop_title(stop))
        }
        Wish::Show(target) => format!("{}, which must be shown", names.target_name(target)),
    }
}

#[cfg(test)]
mod tests {
    use super::given_up_sentences;
    use crate::catalogue::TargetId;
    use crate::plan::{Drafting, GivenUp, GivenUpWhy, Rule, Wish};
    use crate::sheet::demo::Demo;

    #[test]
    fn a_wish_given_up_has_its_name_and_a_reason() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let wish = Wish::Show(TargetId("jupiter".to_owned()));
        let stop = demo.evening.order.stops().iter().find(|stop| stop.show().is_some()).expect("a stop");
        demo.with_names(&prepared, |names| {
            let kept = names.stop_title(stop);
            let told = |why| given_up_sentences(&GivenUp { wish: wish.clone(), why }, names);
            let (what, why) = told(GivenUpWhy::Against(vec![Wish::Stop(stop.clone())]));
            assert_eq!(what, "Jupiter, which must be shown");
            assert!(why.contains(&format!("beside {kept}, held at")), "{why}");
            assert_eq!(told(GivenUpWhy::Rule(Rule::Daylight)).1, "The Sun is still up.");
            assert!(told(GivenUpWhy::Never).1.starts_with("At no time this evening"));
        });
    }

    #[test]
    fn a_target_that_never_rises_is_told_so_by_the_draft() {
        let mut demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let down = prepared.availability.iter().position(|own| own.best.is_none()).expect("one is down");
        let id = demo.materials().catalogue.targets[down].id.clone();
        demo.evening.wishes.must_show = vec![id];
        let materials = demo.materials();
        let mut drafting = Drafting::new(&demo.evening, &prepared, &materials, None);
        drafting.advance(0);
        let given_up = drafting.drafted().given_up;
        assert_eq!(given_up.len(), 1, "{given_up:?}");
        demo.with_names(&prepared, |names| {
            let (_, why) = given_up_sentences(&given_up[0], names);
            assert!(why.starts_with("At no time this evening can it be shown: "), "{why}");
        });
    }
}
