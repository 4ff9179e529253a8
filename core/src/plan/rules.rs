//! The trade's rules for a running order, as switches with weights that the user sees and sets.

use chrono::NaiveTime;

/// The heaviest weight, in percent.
pub const HEAVIEST_RULE_PERCENT: u8 = 100;

/// One of the trade's rules for a running order. All are common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum OrderRule {
    /// Bright and easy targets come early: a stop that shows one early counts up to its weight more.
    BrightFirst,
    /// What sets first goes first: the less time the sky leaves a target after its stop, the more the stop counts, up
    /// to its weight.
    SetsFirst,
    /// What children like best comes before bedtime: such a stop before it counts up to its weight more.
    ChildrenFirst,
    /// Never two faint smudges in a row: one directly after another loses its weight of its worth.
    FaintApart,
    /// Eyepiece and screen in turn, so that one line forms while the other is served: a stop directly after another of
    /// its sort loses its weight of its worth.
    InTurn,
    /// One crescendo at 60 to 70 percent of the evening: the stop that stands there counts up to its weight more, by
    /// its appeal.
    Crescendo,
    /// A long-lived favourite last: such a stop at the end counts up to its weight more.
    FavouriteLast,
}

impl OrderRule {
    /// All, in the order in which they are shown and saved.
    pub const ALL: [Self; 7] = [
        Self::BrightFirst,
        Self::SetsFirst,
        Self::ChildrenFirst,
        Self::FaintApart,
        Self::InTurn,
        Self::Crescendo,
        Self::FavouriteLast,
    ];
}

/// How much each of the trade's rules counts, each in whole percent from 0, off, to [`HEAVIEST_RULE_PERCENT`].
///
/// The minutes kept free belong to them too and stand in [`Programme::slack_percent`](super::Programme).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OrderRules {
    /// Weight of [`OrderRule::BrightFirst`], in percent.
    pub bright_first: u8,
    /// Weight of [`OrderRule::SetsFirst`], in percent.
    pub sets_first: u8,
    /// Weight of [`OrderRule::ChildrenFirst`], in percent.
    pub children_first: u8,
    /// Weight of [`OrderRule::FaintApart`], in percent.
    pub faint_apart: u8,
    /// Weight of [`OrderRule::InTurn`], in percent.
    pub in_turn: u8,
    /// Weight of [`OrderRule::Crescendo`], in percent.
    pub crescendo: u8,
    /// Weight of [`OrderRule::FavouriteLast`], in percent.
    pub favourite_last: u8,
    /// When children go to bed, on the local clock; before noon means after midnight.
    pub bedtime: NaiveTime,
}

impl Default for OrderRules {
    /// Moderate weights, and bedtime at 21:00: common practice, no source.
    fn default() -> Self {
        Self {
            bright_first: 40,
            sets_first: 15,
            children_first: 20,
            faint_apart: 30,
            in_turn: 20,
            crescendo: 25,
            favourite_last: 20,
            bedtime: NaiveTime::from_hms_opt(21, 0, 0).expect("21:00 is a time"),
        }
    }
}

impl OrderRules {
    /// Every rule off, with the bedtime of the default.
    pub fn off() -> Self {
        let mut rules = Self::default();
        for rule in OrderRule::ALL {
            rules.set(rule, 0);
        }
        rules
    }

    /// The weight of a rule, in percent.
    pub fn get(&self, rule: OrderRule) -> u8 {
        match rule {
            OrderRule::BrightFirst => self.bright_first,
            OrderRule::SetsFirst => self.sets_first,
            OrderRule::ChildrenFirst => self.children_first,
            OrderRule::FaintApart => self.faint_apart,
            OrderRule::InTurn => self.in_turn,
            OrderRule::Crescendo => self.crescendo,
            OrderRule::FavouriteLast => self.favourite_last,
        }
    }

    /// Sets the weight of a rule, in percent; more than [`HEAVIEST_RULE_PERCENT`] becomes that.
    pub fn set(&mut self, rule: OrderRule, percent: u8) {
        let weight = match rule {
            OrderRule::BrightFirst => &mut self.bright_first,
            OrderRule::SetsFirst => &mut self.sets_first,
            OrderRule::ChildrenFirst => &mut self.children_first,
            OrderRule::FaintApart => &mut self.faint_apart,
            OrderRule::InTurn => &mut self.in_turn,
            OrderRule::Crescendo => &mut self.crescendo,
            OrderRule::FavouriteLast => &mut self.favourite_last,
        };
        *weight = percent.min(HEAVIEST_RULE_PERCENT);
    }
}

#[cfg(test)]
mod tests {
    use super::{HEAVIEST_RULE_PERCENT, OrderRule, OrderRules};

    #[test]
    fn each_rule_has_a_weight_of_its_own() {
        let mut rules = OrderRules::off();
        for (rule, percent) in OrderRule::ALL.into_iter().zip(1..) {
            rules.set(rule, percent);
        }
        let weights = OrderRule::ALL.map(|rule| rules.get(rule));
        assert_eq!(weights, [1, 2, 3, 4, 5, 6, 7]);
        rules.set(OrderRule::InTurn, u8::MAX);
        assert_eq!(rules.get(OrderRule::InTurn), HEAVIEST_RULE_PERCENT);
    }
}
