//! The line of a steady trickle: how long somebody waits although more could be served than come.

/// A line that stays the same on average.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteadyLine {
    /// Minutes until a look begins.
    pub wait_minutes: f64,
    /// People who wait, the one who looks not counted.
    pub people: f64,
}

/// What becomes of a line when people come one by one, by chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Trickle {
    /// Fewer come than can be served.
    Steady {
        /// Share of the time that somebody looks, below 1.
        utilisation: f64,
        /// All looks take the same time (M/D/1).
        even: SteadyLine,
        /// Looks take now less, now more, as by chance (M/M/1): twice the wait.
        uneven: SteadyLine,
    },
    /// As many come as can be served, or more: no average holds, the line must be followed as a fluid.
    Grows {
        /// People by whom it grows in a minute.
        by_a_minute: f64,
    },
}

/// The line of a steady trickle of `arriving` people a minute of whom `served` can look in a minute. Nobody waits where
/// nobody comes.
///
/// Sources: Pollaczek 1930 and Khinchin 1932 for equal looks, Erlang 1917 for looks by chance; both in Kleinrock 1975,
/// *Queueing Systems*, volume 1 (from memory).
pub fn trickle(arriving: f64, served: f64) -> Trickle {
    // Not a number where both are 0: then nobody waits.
    let utilisation = if arriving > 0.0 { arriving / served } else { 0.0 };
    if utilisation >= 1.0 {
        return Trickle::Grows { by_a_minute: arriving - served };
    }
    let line = |wait_minutes| SteadyLine { wait_minutes, people: waiting(arriving, wait_minutes) };
    if utilisation <= 0.0 {
        return Trickle::Steady { utilisation: 0.0, even: line(0.0), uneven: line(0.0) };
    }
    // Wq = rho / (2 mu (1 - rho))
    let even = utilisation / (2.0 * served * (1.0 - utilisation));
    // Wq = rho / (mu (1 - rho))
    let uneven = utilisation / (served * (1.0 - utilisation));
    Trickle::Steady { utilisation, even: line(even), uneven: line(uneven) }
}

/// People who wait: `L = lambda W` (Little 1961, *Operations Research* 9, 383).
fn waiting(arriving: f64, wait_minutes: f64) -> f64 {
    arriving * wait_minutes
}

#[cfg(test)]
mod tests {
    use super::{Trickle, trickle};

    #[test]
    fn b21_steady_lines_of_looks_that_take_the_same_or_differ() {
        // Little's law and the waits of M/D/1 and M/M/1, worked from the formulas: seconds a look, people a minute; the
        // share of the time that somebody looks, wait and line with equal looks, wait and line with looks by chance.
        for (seconds, arriving, rho, even, uneven) in [
            (30.0, 1.6, 0.8, (1.000, 1.6), (2.0, 3.2)),
            (45.0, 1.0, 0.75, (1.125, 1.125), (2.25, 2.25)),
            (60.0, 0.8, 0.8, (2.0, 1.6), (4.0, 3.2)),
        ] {
            let Trickle::Steady { utilisation, even: got_even, uneven: got_uneven } =
                trickle(arriving, 60.0 / seconds)
            else {
                panic!("{arriving} a minute at {seconds} s a look stay steady");
            };
            assert!((utilisation - rho).abs() < 1e-12);
            for (got, wanted) in [(got_even, even), (got_uneven, uneven)] {
                assert!((got.wait_minutes - wanted.0).abs() < 1e-9, "{got:?} at {seconds} s a look");
                assert!((got.people - wanted.1).abs() < 1e-9, "{got:?} at {seconds} s a look");
            }
        }
    }

    #[test]
    fn a_line_that_can_not_be_steady_says_so() {
        assert_eq!(trickle(2.0, 2.0), Trickle::Grows { by_a_minute: 0.0 });
        assert_eq!(trickle(2.5, 2.0), Trickle::Grows { by_a_minute: 0.5 });
        assert_eq!(trickle(1.0, 0.0), Trickle::Grows { by_a_minute: 1.0 });
        for served in [0.0, 2.0] {
            let Trickle::Steady { utilisation, even, uneven } = trickle(0.0, served) else {
                panic!("nobody comes, nobody waits");
            };
            assert_eq!((utilisation, even.wait_minutes, uneven.people), (0.0, 0.0, 0.0));
        }
    }
}
