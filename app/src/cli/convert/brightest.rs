//! The brightest of many targets, as they stand in a catalogue: what is kept of a list that is longer than a catalogue may be.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use evenfall_core::catalogue::{Target, write_target};
use evenfall_core::units::Magnitude;

/// Keeps so many of the targets that it is given, in any order, and no more of the others than their number.
pub(super) struct Brightest {
    most: usize,
    /// The faintest on top.
    kept: BinaryHeap<Kept>,
    seen: usize,
}

struct Kept {
    brightness: Brightness,
    text: String,
}

/// How bright a target is beside others: the greater the fainter. One without a magnitude comes last, for unknown is not
/// bright; of like ones the later.
#[derive(Clone, Copy)]
struct Brightness {
    magnitude: Option<f64>,
    order: usize,
}

impl Ord for Brightness {
    fn cmp(&self, other: &Self) -> Ordering {
        let magnitude = match (self.magnitude, other.magnitude) {
            (Some(one), Some(other)) => one.total_cmp(&other),
            (one, other) => one.is_none().cmp(&other.is_none()),
        };
        magnitude.then(self.order.cmp(&other.order))
    }
}

impl PartialOrd for Brightness {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Brightness {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Brightness {}

impl Ord for Kept {
    fn cmp(&self, other: &Self) -> Ordering {
        self.brightness.cmp(&other.brightness)
    }
}

impl PartialOrd for Kept {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Kept {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Kept {}

impl Brightest {
    pub(super) fn new(most: usize) -> Self {
        Self { most, kept: BinaryHeap::new(), seen: 0 }
    }

    /// Takes a target, and lets the faintest go where there are too many.
    pub(super) fn take(&mut self, target: &Target) {
        let brightness =
            Brightness { magnitude: target.magnitude.map(|Magnitude(own)| own), order: self.seen };
        self.seen += 1;
        if self.kept.len() == self.most {
            if self.kept.peek().is_none_or(|faintest| faintest.brightness < brightness) {
                return;
            }
            self.kept.pop();
        }
        let mut text = String::new();
        write_target(&mut text, target);
        self.kept.push(Kept { brightness, text });
    }

    /// How many are kept.
    pub(super) fn count(&self) -> usize {
        self.kept.len()
    }

    /// What is said of those that were let go, if any were.
    pub(super) fn account(&self) -> Option<String> {
        let gone = self.seen - self.kept.len();
        let faintest = self.kept.peek().filter(|_| gone > 0)?;
        let bound = faintest.brightness.magnitude.map_or_else(
            || "all that have a magnitude are among them".to_owned(),
            |magnitude| format!("they reach down to magnitude {magnitude:.2}"),
        );
        let count = self.kept.len();
        Some(format!(
            "The brightest {count} are kept, {bound}; {gone} left out, fainter or without a magnitude"
        ))
    }

    /// Those that are kept, as they followed one another.
    pub(super) fn into_texts(self) -> impl Iterator<Item = String> {
        let mut kept = self.kept.into_vec();
        kept.sort_unstable_by_key(|kept| kept.brightness.order);
        kept.into_iter().map(|kept| kept.text)
    }
}

#[cfg(test)]
mod tests {
    use evenfall_core::catalogue::read_catalogue;
    use evenfall_core::units::Magnitude;

    use super::Brightest;

    /// What is kept of targets with these magnitudes, each named by its place among them; and what is said.
    fn kept(most: usize, magnitudes: &[Option<f64>]) -> (Vec<usize>, Option<String>) {
        let demo = include_str!("../../../../catalog-demo/heron-fell.catalogue.ron");
        let (catalogue, _) = read_catalogue("demo", demo);
        let mut target = catalogue.targets.last().expect("the demo has targets").clone();
        let mut brightest = Brightest::new(most);
        for (i, magnitude) in magnitudes.iter().enumerate() {
            target.id.0 = format!("own-{i}");
            target.magnitude = magnitude.map(Magnitude);
            brightest.take(&target);
        }
        let account = brightest.account();
        let number = |text: String| {
            let (_, rest) = text.split_once("own-").expect("its identifier");
            rest.split('"').next().and_then(|number| number.parse().ok()).expect("its number")
        };
        (brightest.into_texts().map(number).collect(), account)
    }

    #[test]
    fn the_faintest_go_and_the_rest_keep_their_order() {
        let magnitudes = [Some(9.0), None, Some(-1.5), Some(4.0), Some(4.0), Some(12.0)];
        let (numbers, account) = kept(3, &magnitudes);
        assert_eq!(numbers, [2, 3, 4]);
        let account = account.expect("some were let go");
        assert!(account.contains("down to magnitude 4.00; 3 left out"), "{account}");
    }

    #[test]
    fn what_is_unknown_comes_last_and_nothing_is_said_where_all_are_kept() {
        let (numbers, account) = kept(2, &[None, Some(14.0), None]);
        assert_eq!(numbers, [0, 1]);
        assert!(account.is_some_and(|account| account.contains("all that have a magnitude")));
        assert_eq!(kept(3, &[None, Some(14.0), None]), (vec![0, 1, 2], None));
    }
}
