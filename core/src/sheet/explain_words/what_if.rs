//! What a hold costs and what would change the evening.

use super::shares::{about_words, port};
use crate::plan::{Change, HeldPrice, WhatIf};
use crate::sheet::why::difference_phrase;
use crate::sheet::{Names, numbers};

/// What holding a stop costs.
pub fn held_price_sentence(names: &Names<'_>, price: &HeldPrice) -> String {
    let stop = names.stop_phrase(price.stop);
    if price.cost_share > 0.0 {
        let difference = difference_phrase(names, &price.difference);
        let without = if difference.is_empty() {
            String::new()
        } else {
            format!(" Drafted anew without that, {difference}.")
        };
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
        Change::MoreVisitors(more) => {
            format!("With {} more", numbers::count(*more as usize, "visitor", "visitors"))
        }
    };
    let difference = difference_phrase(names, &what_if.difference);
    let changes =
        if difference.is_empty() { "the running order stays as it is".to_owned() } else { difference };
    if what_if.before.max(what_if.redraft) <= 0 && what_if.after > 0 {
        return format!("{with} something could be shown; {changes}.");
    }
    let redraft = redraft_sentence(what_if);
    format!("{with} the evening would {}; {changes}.{redraft}", gain_words(what_if.gain_share))
}

/// What a new draft would do without any change, where the order as it stands is not the best.
fn redraft_sentence(what_if: &WhatIf) -> String {
    match what_if.redraft_share {
        share if share > 0.0 => format!(" A new draft as things are would {}.", gain_words(share)),
        share if share < 0.0 => format!(" A new draft without Stoppers would {}.", gain_words(share)),
        _ => String::new(),
    }
}

fn gain_words(share: f64) -> String {
    let verb = if share > 0.0 { "gain" } else { "lose" };
    format!("{verb} {}", about_words(share))
}

#[cfg(test)]
mod tests {
    use super::{held_price_sentence, what_if_sentence};
    use crate::catalogue::TargetId;
    use crate::plan::{Change, HeldPrice, OrderDifference, RunningOrder, WhatIf};
    use crate::rig::PortId;
    use crate::sheet::demo::Demo;

    #[test]
    fn what_would_change_names_what_comes_and_goes_and_counts_what_moves() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let ids = |ids: &[&str]| ids.iter().map(|id| TargetId((*id).into())).collect::<Vec<_>>();
        demo.with_names(&prepared, |names| {
            let told = |change, gain_share, difference| {
                let order = RunningOrder::default();
                let (redraft, redraft_share) = (1000, 0.0);
                let what_if = WhatIf {
                    change, before: 1000, redraft, after: 1000, gain_share, redraft_share, difference, order,
                };
                what_if_sentence(names, &what_if)
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
    fn what_a_new_draft_alone_would_do_is_told_beside_a_change() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        demo.with_names(&prepared, |names| {
            let told = |before: i64, redraft: i64, after: i64| {
                let share = |points: i64| (points - before) as f64 / redraft.max(1) as f64;
                let what_if = WhatIf {
                    change: Change::MoreVisitors(1),
                    before,
                    redraft,
                    after,
                    gain_share: share(after),
                    redraft_share: share(redraft),
                    difference: OrderDifference::default(),
                    order: RunningOrder::default(),
                };
                what_if_sentence(names, &what_if)
            };
            let stays = "the running order stays as it is";
            assert_eq!(
                told(800, 1000, 900),
                format!("With 1 visitor more the evening would gain about 10%; {stays}. A new draft as things are would gain about 20%.")
            );
            assert_eq!(
                told(1100, 1000, 900),
                format!("With 1 visitor more the evening would lose about 20%; {stays}. A new draft without Stoppers would lose about 10%.")
            );
            assert_eq!(told(0, 0, 900), format!("With 1 visitor more something could be shown; {stays}."));
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
}
