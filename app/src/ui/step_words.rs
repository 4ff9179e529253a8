//! The steps of the history in words, as undo and redo tell them.

use evenfall_core::plan::{Decision, Held};
use evenfall_core::rig::{PortId, Rig};
use evenfall_core::sheet::{numbers, rule_words, sector_words};
use evenfall_core::time::LocalNight;

use super::text::{clock, date};
use crate::state::StepName;

/// A step of the history in a few words: `move Lantern Drift to 21:10`.
pub fn step_words(name: &StepName, night: &LocalNight, rig: &Rig) -> String {
    match name {
        StepName::Moved { title, to } => format!("move {title} to {}", clock(night, *to)),
        StepName::Lengthened { title, minutes } => {
            format!("make {title} {} long", numbers::minutes(*minutes))
        }
        StepName::MovedToPort { title, to, port } => {
            format!("move {title} to {} on {}", clock(night, *to), port_name(rig, port))
        }
        StepName::StartSet { title, at } => format!("start {title} at {}", clock(night, *at)),
        StepName::OnPort { title, port } => format!("put {title} on {}", port_name(rig, port)),
        StepName::Held { title, held: Held { time: true, port: true } } => format!("hold {title}"),
        StepName::Held { title, held: Held { time: true, .. } } => format!("hold the time of {title}"),
        StepName::Held { title, .. } => format!("hold the port of {title}"),
        StepName::LetGo { title } => format!("let go of {title}"),
        StepName::Removed { title, from } => format!("remove {title} from {}", clock(night, *from)),
        StepName::BroughtOn { title, at: Some(at) } => format!("bring on {title} at {}", clock(night, *at)),
        StepName::BroughtOn { title, at: None } => format!("bring on {title}"),
        StepName::Inserted { title, at } => format!("insert {title} at {}", clock(night, *at)),
        StepName::Split { title, at } => format!("split {title} at {}", clock(night, *at)),
        StepName::Swapped { title, with } => format!("swap {title} for {with}"),
        StepName::WithOthers(own, others) => {
            let others = numbers::count(*others, "other stop", "other stops");
            format!("{} and move {others} along", step_words(own, night, rig))
        }
        StepName::Dated(day) => format!("change the date to {}", date(*day)),
        StepName::Drafted => "draft anew".to_owned(),
        StepName::PickedUp(at) => format!("pick up from {}", clock(night, *at)),
        StepName::Weighed { rule, percent: 0 } => format!("switch off \"{}\"", rule_words(*rule)),
        StepName::Weighed { rule, percent } => {
            format!("set weight of \"{}\" to {percent}%", rule_words(*rule))
        }
        StepName::SlackSet(percent) => format!("set slack to {}", numbers::percent_of(*percent)),
        StepName::BedtimeSet(bedtime) => format!("set bedtime to {}", bedtime.format("%H:%M")),
        StepName::SkyClosed(closed) => format!("close the sky, {}", sector_words(closed)),
        StepName::SkyOpened(closed) => format!("open the sky, {}", sector_words(closed)),
        StepName::OrderKept(name) => format!("keep this order as {name}"),
        StepName::OrderSwitched(name) => format!("switch to the order {name}"),
        StepName::OrderDropped(name) => format!("forget the order {name}"),
        StepName::Called(Decision::Go) => "call it go".to_owned(),
        StepName::Called(Decision::NoGo) => "call it no-go".to_owned(),
        StepName::Called(Decision::Open) => "leave the call open".to_owned(),
        StepName::CallHoursSet => "change the hours of call and crew".to_owned(),
        StepName::NextDatesSet => "change the next dates".to_owned(),
        StepName::TitleSet(title) => format!("call the evening {title}"),
        StepName::DoorsSet(open, close) => {
            format!("set doors to {} to {}", open.format("%H:%M"), close.format("%H:%M"))
        }
        StepName::HouseSet => "change the house".to_owned(),
        StepName::SiteSet(name) => format!("set the site {name}"),
        StepName::RigSet(name) => format!("set the rig {name}"),
        StepName::HouseAndDoorsSet => "change house and doors".to_owned(),
        StepName::MustShow { title } => format!("wish that {title} is shown"),
        StepName::LeftOut { title } => format!("leave out {title}"),
        StepName::WishTakenBack { title } => format!("take {title} off the wishes"),
        StepName::TargetChanged { title } => format!("change {title}"),
        StepName::TargetRated { title, percent } => {
            format!("rate {title} {}", numbers::percent_of(*percent))
        }
        StepName::TargetAdded { title } => format!("add {title} to the catalogue"),
        StepName::TargetRemoved { title } => format!("take {title} out of the catalogue"),
        StepName::ListBroughtIn { count: 0, file } => format!("take what the catalogue lacked from {file}"),
        StepName::ListBroughtIn { count, file } => {
            format!("bring in {} of {file}", numbers::count(*count, "target", "targets"))
        }
        StepName::WishesSet => "change the wishes".to_owned(),
    }
}

fn port_name<'r>(rig: &'r Rig, port: &'r PortId) -> &'r str {
    rig.port(port).map_or(port.0.as_str(), |port| port.name.as_str())
}
