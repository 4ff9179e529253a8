//! The brightest of many targets, as they stand in a catalogue: what is kept of a list that is longer than a catalogue may be.

use std::collections::BinaryHeap;

use evenfall_core::catalogue::{Target, write_target};

/// So many parts of a magnitude are told apart.
const PARTS: f64 = 1e6;

/// How bright a target is beside others, the greater the fainter: whether its magnitude is unknown, for unknown is not bright; the
/// magnitude in millionths; which of the targets it was, so that no two are alike.
type Rank = (bool, i64, usize);

/// Keeps so many of the targets that it is given, in any order, and no more of the others than their number.
pub(super) struct Brightest {
    most: usize,
    /// Each with its text, the faintest on top.
    kept: BinaryHeap<(Rank, String)>,
    seen: usize,
}

impl Brightest {
    pub(super) fn new(most: usize) -> Self {
        Self { most, kept: BinaryHeap::new(), seen: 0 }
    }

    /// Takes a target, and lets the faintest go where there are too many.
    pub(super) fn take(&mut self, target: &Target) {
        let millionths = target.magnitude.map(|magnitude| (magnitude.0 * PARTS).round() as i64);
        let rank = (millionths.is_none(), millionths.unwrap_or_default(), self.seen);
        self.seen += 1;
        if self.kept.len() == self.most {
            if self.kept.peek().is_none_or(|(faintest, _)| *faintest < rank) {
                return;
            }
            self.kept.pop();
        }
        let mut text = String::new();
        write_target(&mut text, target);
        self.kept.push((rank, text));
    }

    /// How many are kept.
    pub(super) fn count(&self) -> usize {
        self.kept.len()
    }

    /// What is said of those that were let go, if any were.
    pub(super) fn account(&self) -> Option<String> {
        let gone = self.seen - self.kept.len();
        let ((is_unknown, millionths, _), _) = self.kept.peek().filter(|_| gone > 0)?;
        let bound = if *is_unknown {
            "all that have a magnitude are among them".to_owned()
        } else {
            format!("they reach down to magnitude {:.2}", *millionths as f64 / PARTS)
        };
        let count = self.kept.len();
        Some(format!(
            "The brightest {count} are kept, {bound}; {gone} left out, fainter or without a magnitude"
        ))
    }

    /// Those that are kept, as they followed one another.
    pub(super) fn into_texts(self) -> impl Iterator<Item = String> {
        let mut kept = self.kept.into_vec();
        kept.sort_unstable_by_key(|((_, _, order), _)| *order);
        kept.into_iter().map(|(_, text)| text)
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
