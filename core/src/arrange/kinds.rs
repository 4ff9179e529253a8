//! What one more of a kind adds to an order, when the more of a kind are shown the less each counts.

use super::prepared::{Prepared, Stop};
use super::problem::RankBy;

/// What is shown in an order, kind by kind.
#[derive(Debug)]
pub(super) struct Kinds {
    /// Whether each target is shown.
    pub shown: Vec<bool>,
    /// Values in the order of their ranks.
    values: Vec<Vec<u32>>,
    adds: Vec<Vec<Addition>>,
}

impl Clone for Kinds {
    fn clone(&self) -> Self {
        Self { shown: self.shown.clone(), values: self.values.clone(), adds: self.adds.clone() }
    }

    fn clone_from(&mut self, other: &Self) {
        self.shown.clone_from(&other.shown);
        self.values.clone_from(&other.values);
        self.adds.clone_from(&other.adds);
    }
}

/// What a value up to `most` adds: its factor in thousandths, less what those that it pushes down a rank lose.
#[derive(Clone, Copy, Debug)]
struct Addition {
    most: u32,
    factor: i32,
    loss: i32,
}

impl Addition {
    /// What such a value adds.
    #[inline]
    fn of(self, value: u32) -> i32 {
        (value.cast_signed() * self.factor).saturating_sub(self.loss) / 1000
    }
}

impl Kinds {
    pub fn new(prepared: &Prepared) -> Self {
        let kinds = prepared.factors.len();
        let mut new = Self {
            shown: vec![false; prepared.targets as usize],
            values: vec![Vec::new(); kinds],
            adds: vec![Vec::new(); kinds],
        };
        (0..kinds).for_each(|kind| new.weigh(prepared, kind));
        new
    }

    /// Takes in an order. Ranked by time, one more counts as the last of its kind.
    pub fn set(&mut self, prepared: &Prepared, stops: &[Stop]) {
        self.values.iter_mut().for_each(Vec::clear);
        self.shown.fill(false);
        for stop in stops {
            let choice = &prepared.choices[stop.choice as usize];
            self.shown[choice.target as usize] = true;
            self.values[choice.kind as usize].push(prepared.value(stop.choice as usize, stop.start));
        }
        if prepared.rank_by == RankBy::Value {
            self.values.iter_mut().for_each(|values| values.sort_unstable_by(|a, b| b.cmp(a)));
        }
        (0..self.values.len()).for_each(|kind| self.weigh(prepared, kind));
    }

    /// Puts in one more stop; its factor, in thousandths.
    pub fn put(&mut self, prepared: &Prepared, stop: Stop) -> i32 {
        let choice = &prepared.choices[stop.choice as usize];
        let kind = choice.kind as usize;
        let value = prepared.value(stop.choice as usize, stop.start);
        self.shown[choice.target as usize] = true;
        let values = &mut self.values[kind];
        let by_value = prepared.rank_by == RankBy::Value;
        let rank = if by_value { values.iter().filter(|v| **v >= value).count() } else { values.len() };
        values.insert(rank, value);
        self.weigh(prepared, kind);
        let factors = &prepared.factors[kind];
        factors[rank.min(factors.len() - 1)].cast_signed()
    }

    /// Takes out a stop.
    pub fn take(&mut self, prepared: &Prepared, stop: Stop) {
        let choice = &prepared.choices[stop.choice as usize];
        let kind = choice.kind as usize;
        let value = prepared.value(stop.choice as usize, stop.start);
        self.shown[choice.target as usize] = false;
        if let Some(rank) = self.values[kind].iter().position(|v| *v == value) {
            self.values[kind].remove(rank);
        }
        self.weigh(prepared, kind);
    }

    fn weigh(&mut self, prepared: &Prepared, kind: usize) {
        let by_value = prepared.rank_by == RankBy::Value;
        let (values, adds, factors) = (&self.values[kind], &mut self.adds[kind], &prepared.factors[kind]);
        let factor = |rank: usize| factors[rank.min(factors.len() - 1)].cast_signed();
        adds.clear();
        let mut loss = 0_i32;
        for rank in (0..=values.len()).rev() {
            if rank < values.len() {
                let less = values[rank].cast_signed() * (factor(rank) - factor(rank + 1));
                loss = less.saturating_add(loss);
            }
            let most = if rank == 0 || !by_value { u32::MAX } else { values[rank - 1] };
            adds.push(Addition { most, factor: factor(rank), loss });
            if !by_value {
                break;
            }
        }
    }

    /// What one more of a kind with a value adds to the score.
    #[inline]
    pub fn adds(&self, kind: u32, value: u32) -> i32 {
        for addition in &self.adds[kind as usize] {
            if value <= addition.most {
                return addition.of(value);
            }
        }
        0
    }

    /// What one more of a kind adds, asked for values none of which is greater than the one before.
    #[inline]
    pub fn falling_adds(&self, kind: usize) -> impl FnMut(u32) -> i32 {
        let mut additions = &self.adds[kind][..];
        move |value| {
            while let [.., lower, _] = additions
                && value <= lower.most
            {
                additions = &additions[..additions.len() - 1];
            }
            additions.last().map_or(0, |addition| addition.of(value))
        }
    }

    /// How many of a kind are shown.
    pub fn count(&self, kind: u32) -> usize {
        self.values[kind as usize].len()
    }
}

/// The factor of each stop's rank in an order.
#[derive(Clone, Debug, Default)]
pub(super) struct Ranks {
    /// Kind and value of each stop.
    seen: Vec<(u32, u32)>,
}

impl Ranks {
    /// Takes in an order and sets its factors, in thousandths; whether any changed.
    pub fn set(&mut self, prepared: &Prepared, stops: &[Stop], factors: &mut Vec<i32>) -> bool {
        let mut changed = factors.len() != stops.len();
        factors.resize(stops.len(), 0);
        self.seen.clear();
        self.seen.extend(stops.iter().map(|stop| {
            let c = stop.choice as usize;
            (prepared.choices[c].kind, prepared.value(c, stop.start))
        }));
        let by_value = prepared.rank_by == RankBy::Value;
        for (i, (kind, value)) in self.seen.iter().enumerate() {
            let (before, after) = self.seen.split_at(i);
            let mut rank = before.iter().filter(|(k, v)| k == kind && (!by_value || v >= value)).count();
            if by_value {
                rank += after.iter().filter(|(k, v)| k == kind && v > value).count();
            }
            let of_kind = &prepared.factors[*kind as usize];
            let factor = of_kind[rank.min(of_kind.len() - 1)].cast_signed();
            changed |= factors[i] != factor;
            factors[i] = factor;
        }
        changed
    }
}

#[cfg(test)]
mod tests {
    use super::Kinds;
    use crate::arrange::prepared::{Prepared, Stop};
    use crate::arrange::problem::RankBy;
    use crate::arrange::sample;

    #[test]
    fn asked_from_the_greatest_value_down_it_adds_as_much() {
        for rank_by in [RankBy::Value, RankBy::Time] {
            let mut problem = sample::problem();
            problem.rank_by = rank_by;
            problem.kinds[0].factors = vec![1000, 700, 490, 343];
            problem.targets.iter_mut().for_each(|target| target.kind = 0);
            let prepared = Prepared::new(&problem);
            let mut kinds = Kinds::new(&prepared);
            let mut shown = Vec::new();
            for (c, choice) in prepared.choices.iter().enumerate() {
                if shown.contains(&choice.target) {
                    continue;
                }
                shown.push(choice.target);
                kinds.put(&prepared, Stop { choice: c as u32, start: choice.first });
                let mut adds = kinds.falling_adds(0);
                let differs = (0..=1000).rev().find(|value| adds(*value) != kinds.adds(0, *value));
                assert_eq!(differs, None, "{} shown", shown.len());
            }
            assert!(shown.len() > 2);
        }
    }
}
