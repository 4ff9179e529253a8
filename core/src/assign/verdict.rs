//! A view built up as a product, part by part, each part with its reason; nothing is allocated on the way.

use super::{Fit, Reason};
use crate::units::Fraction;

/// No verdict has more parts than this.
const MOST_PARTS: usize = 8;

/// A part of a view: the reason and the factor, from 0 to 1.
pub(super) type Part = (Reason, f64);

/// A view below this is none: nobody would call it one. Common practice, no source.
pub(super) const LEAST_VIEW: f64 = 0.05;

/// Whatever takes in the parts of a view one after the other: with their reasons, or as a bare product. So that a quick
/// view is the same number as the reasoned one.
pub(super) trait Chain: Sized {
    /// The view times a part.
    fn with(self, part: Part) -> Self;

    /// The view times `factor` (from 0 to 1), because of `reason`.
    fn because(self, reason: Reason, factor: f64) -> Self {
        self.with((reason, factor))
    }

    /// Whether it can't matter any more what follows, all of it together a factor of `at_most`. Where reasons are asked
    /// for, all that follows matters.
    fn is_settled(&self, _at_most: f64) -> bool {
        false
    }

    /// The view times a part, if there is one.
    fn with_any(self, part: Option<Part>) -> Self {
        match part {
            Some(part) => self.with(part),
            None => self,
        }
    }
}

/// The product of the parts alone, as far as it may come out above a rival's.
#[derive(Clone, Copy, Debug)]
pub(super) struct Product {
    product: f64,
    rival: f64,
}

impl Product {
    /// A full view, of interest if it stays above `rival`.
    pub const fn against(rival: f64) -> Self {
        Self { product: 1.0, rival }
    }

    /// The product, or nothing where that is next to nothing; something no higher than the rival's where it is beaten.
    pub fn view(self) -> f64 {
        if self.product < LEAST_VIEW { 0.0 } else { self.product }
    }
}

impl Chain for Product {
    #[inline]
    fn with(self, (_, factor): Part) -> Self {
        Self { product: self.product * factor, ..self }
    }

    #[inline]
    fn is_settled(&self, at_most: f64) -> bool {
        let best = self.product * at_most;
        best <= self.rival || best < LEAST_VIEW
    }
}

/// How a target's size sits in a field, and the parts that make the view.
#[derive(Clone, Copy, Debug)]
pub(super) struct Verdict {
    /// The fit.
    pub fit: Fit,
    parts: [Option<Part>; MOST_PARTS],
}

impl Verdict {
    /// A full view, with nothing said yet.
    pub fn new(fit: Fit) -> Self {
        Self { fit, parts: [None; MOST_PARTS] }
    }

    /// The product of the parts, or nothing where that is next to nothing.
    pub fn view(&self) -> Fraction {
        let product =
            self.parts.iter().flatten().fold(Product::against(0.0), |product, part| product.with(*part));
        Fraction::clamped(product.view())
    }

    /// The parts: what takes most from the view first; of equals, the one given first.
    pub fn chain(&self) -> Vec<(Reason, Fraction)> {
        // As many as there are: a large catalogue keeps thousands of chains.
        let mut parts = Vec::with_capacity(self.parts.iter().flatten().count());
        parts.extend(self.parts.iter().flatten().copied());
        parts.sort_by(|one: &Part, other: &Part| one.1.total_cmp(&other.1));
        parts.into_iter().map(|(reason, factor)| (reason, Fraction::clamped(factor))).collect()
    }
}

impl Chain for Verdict {
    fn with(mut self, part: Part) -> Self {
        let free = self.parts.iter_mut().find(|part| part.is_none());
        *free.expect("no chain of parts in this module is longer than MOST_PARTS") = Some(part);
        self
    }
}

/// 0 up to `nothing`, 1 from `full` on, a straight line between.
#[inline]
pub(super) fn rise(value: f64, nothing: f64, full: f64) -> f64 {
    ((value - nothing) / (full - nothing)).clamp(0.0, 1.0)
}

/// 0 up to `nothing`, 1 from `full` on, a straight line in the logarithm between; all above 0.
#[inline]
pub(super) fn rise_by_ratio(value: f64, nothing: f64, full: f64) -> f64 {
    if value <= nothing { 0.0 } else { ((value / nothing).ln() / (full / nothing).ln()).min(1.0) }
}

/// 0 up to 0, then `1 - exp(-value / scale)`: ever nearer to 1, so that of two good things the better one shows.
#[inline]
pub(super) fn approach(value: f64, scale: f64) -> f64 {
    if value <= 0.0 { 0.0 } else { 1.0 - (-value / scale).exp() }
}

#[cfg(test)]
mod tests {
    use super::{Chain, Verdict, approach, rise, rise_by_ratio};
    use crate::assign::{Fit, Reason};
    use crate::units::Fraction;

    #[test]
    fn product_and_order_of_parts() {
        let verdict = Verdict::new(Fit::Dot)
            .because(Reason::BrightnessUnknown, 0.8)
            .because(Reason::ColourByEye, 0.5)
            .because(Reason::SizeUnknown, 0.8);
        assert!((verdict.view().value() - 0.32).abs() < 1e-12);
        let chain = verdict.chain();
        assert_eq!(chain[0], (Reason::ColourByEye, Fraction::clamped(0.5)));
        assert_eq!([chain[1].0, chain[2].0], [Reason::BrightnessUnknown, Reason::SizeUnknown]);
        assert_eq!(verdict.because(Reason::OutOfService, 0.1).view(), Fraction::ZERO);
    }

    #[test]
    fn curves_stay_between_nothing_and_full() {
        assert_eq!([rise(-1.0, 0.0, 2.0), rise(1.0, 0.0, 2.0), rise(3.0, 0.0, 2.0)], [0.0, 0.5, 1.0]);
        assert_eq!([rise_by_ratio(0.0, 1.0, 100.0), rise_by_ratio(200.0, 1.0, 100.0)], [0.0, 1.0]);
        assert!((rise_by_ratio(10.0, 1.0, 100.0) - 0.5).abs() < 1e-12);
        assert_eq!(approach(-1.0, 2.0), 0.0);
        assert!(
            (approach(2.0_f64.ln(), 1.0) - 0.5).abs() < 1e-12 && approach(9.0, 1.0) < approach(10.0, 1.0)
        );
    }
}
