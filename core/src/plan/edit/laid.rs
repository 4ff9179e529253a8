//! Stops laid one after another: what one more would do is worked out from where it comes in to where nothing differs.

use crate::plan::timing::Walk;
use crate::plan::{Materials, Prepared, Stop, StopId, in_each_others_way};
use crate::time::{Instant, Interval};

/// An order that grows stop by stop. How far the evening has come before each stop is kept, so that only those moves are
/// judged that one more stop changes.
pub(super) struct Laid<'o, 'm> {
    prepared: &'m Prepared,
    materials: &'m Materials<'o>,
    /// In order of their start, then of their identity.
    placed: Vec<Placed<'o>>,
    /// Before each of them, and after the last.
    walks: Vec<Walk<'o>>,
}

/// A stop where it lies.
struct Placed<'o> {
    stop: &'o Stop,
    interval: Interval,
    /// Whether the move to it can be made.
    fits: bool,
}

impl Placed<'_> {
    const fn key(&self) -> (Instant, StopId) {
        (self.interval.start(), self.stop.id)
    }

    fn moved(&self) -> Stop {
        Stop { interval: self.interval, ..self.stop.clone() }
    }
}

impl<'o, 'm> Laid<'o, 'm> {
    /// Nothing yet.
    pub(super) fn new(prepared: &'m Prepared, materials: &'m Materials<'o>) -> Self {
        Self { prepared, materials, placed: Vec::new(), walks: vec![Walk::new(prepared)] }
    }

    /// All stops, where they lie.
    pub(super) fn into_stops(self) -> Vec<Stop> {
        self.placed.iter().map(Placed::moved).collect()
    }

    /// Whether a stop has room over an interval: nothing is in its way, the move to it can be made, and all other moves that
    /// can be made without it still can.
    pub(super) fn takes(&self, stop: &'o Stop, interval: Interval) -> bool {
        let there = Stop { interval, ..stop.clone() };
        let mut sharing = self.placed.iter().filter(|own| own.interval.overlaps(interval));
        if sharing.any(|own| in_each_others_way(&own.moved(), &there, self.materials.rig)) {
            return false;
        }
        let position = self.position(stop, interval);
        let mut walk = self.walks[position];
        if !self.fits(&mut walk, stop, interval) {
            return false;
        }
        for (own, before) in self.placed.iter().zip(&self.walks).skip(position) {
            if walk == *before {
                break;
            }
            if !self.fits(&mut walk, own.stop, own.interval) && own.fits {
                return false;
            }
        }
        true
    }

    /// Lays a stop over an interval.
    pub(super) fn put(&mut self, stop: &'o Stop, interval: Interval) {
        let position = self.position(stop, interval);
        let mut walk = self.walks[position];
        let fits = self.fits(&mut walk, stop, interval);
        self.placed.insert(position, Placed { stop, interval, fits });
        self.walks.insert(position + 1, walk);
        for later in position + 1..self.placed.len() {
            let own = &self.placed[later];
            self.placed[later].fits = self.fits(&mut walk, own.stop, own.interval);
            if self.walks[later + 1] == walk {
                break;
            }
            self.walks[later + 1] = walk;
        }
    }

    /// Where a stop would come in.
    fn position(&self, stop: &Stop, interval: Interval) -> usize {
        self.placed.partition_point(|own| own.key() < (interval.start(), stop.id))
    }

    /// Goes on through a stop, and tells whether the move to it can be made.
    fn fits(&self, walk: &mut Walk<'o>, stop: &'o Stop, interval: Interval) -> bool {
        let leg = walk.leg(stop, interval, self.prepared, self.materials);
        leg.can_be_made(self.prepared, self.materials)
    }
}

#[cfg(test)]
mod tests {
    use super::Laid;
    use crate::plan::invented::{Invented, Seed};
    use crate::plan::timing::misfits;
    use crate::plan::{Materials, Prepared, RunningOrder, Stop, in_each_others_way, prepare};
    use crate::time::Interval;

    /// The rule in full: nothing in its way, and no misfit in the whole order but those there are without it.
    fn has_room(placed: &[Stop], there: &Stop, prepared: &Prepared, materials: &Materials<'_>) -> bool {
        let known = misfits(&RunningOrder::new(placed.to_vec()), prepared, materials);
        let with_it = RunningOrder::new(placed.iter().chain([there]).cloned().collect());
        placed.iter().all(|other| !in_each_others_way(other, there, materials.rig))
            && misfits(&with_it, prepared, materials).iter().all(|stop| known.contains(stop))
    }

    #[test]
    fn what_has_room_in_part_has_room_in_the_whole_order() {
        let mut seed = Seed(29);
        let mut invented = Invented::new(1);
        let (mut with_room, mut without) = (0, 0);
        for round in 0..300 {
            invented.shuffle(&mut seed);
            let evening = invented.absurd_evening(&mut seed);
            let materials = invented.materials();
            let Ok(prepared) = prepare(&evening, &materials) else { continue };
            let order = invented.absurd_order_with_entries(&prepared, &mut seed);
            let mut laid = Laid::new(&prepared, &materials);
            let mut placed: Vec<Stop> = Vec::new();
            // Every third stop first, as what is held lies there before what moves.
            let (first, then): (Vec<_>, Vec<_>) =
                order.stops().iter().enumerate().partition(|(position, _)| position % 3 == 0);
            for (_, stop) in first.into_iter().chain(then) {
                for minutes in [0.0, 1.0, 3.0, 8.0, 21.0, 55.0] {
                    let start = stop.start().plus_minutes(minutes);
                    let interval = Interval::new(start, start.plus_seconds(stop.interval.seconds()));
                    let interval = interval.expect("in order");
                    let there = Stop { interval, ..stop.clone() };
                    let want = has_room(&placed, &there, &prepared, &materials);
                    assert_eq!(laid.takes(stop, interval), want, "round {round}: {there:?}");
                    if want { with_room += 1 } else { without += 1 }
                }
                laid.put(stop, stop.interval);
                placed.push(stop.clone());
            }
            assert_eq!(laid.into_stops(), order.stops(), "round {round}");
        }
        assert!(with_room > 300 && without > 300, "{with_room} with room, {without} without");
    }
}
