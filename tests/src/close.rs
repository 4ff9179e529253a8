//! One comparison for all numbers: every row is looked at, and the worst is told with got, want and allowed.

/// Rows of one quantity, compared in one unit.
#[derive(Debug)]
pub struct Comparison {
    quantity: &'static str,
    unit: &'static str,
    allowed: f64,
    rows: usize,
    failures: usize,
    worst: Option<Row>,
}

#[derive(Debug)]
struct Row {
    name: String,
    got: f64,
    want: f64,
    error: f64,
}

impl Comparison {
    /// Of a quantity whose values may differ by `allowed`, in the unit in which that is given.
    pub fn new(quantity: &'static str, unit: &'static str, allowed: f64) -> Self {
        Self { quantity, unit, allowed, rows: 0, failures: 0, worst: None }
    }

    /// Compares two values of this quantity, both in its unit.
    pub fn row(&mut self, name: impl Into<String>, got: f64, want: f64) {
        self.scaled_row(name, got, want, 1.0);
    }

    /// Compares two values whose difference times `scale` is in the unit: degrees with 3600 for arcseconds.
    pub fn scaled_row(&mut self, name: impl Into<String>, got: f64, want: f64, scale: f64) {
        let error = ((got - want) * scale).abs();
        self.rows += 1;
        if error.is_nan() || error > self.allowed {
            self.failures += 1;
        }
        let is_worse = self.worst.as_ref().is_none_or(|worst| error.is_nan() || error > worst.error);
        if is_worse {
            self.worst = Some(Row { name: name.into(), got, want, error });
        }
    }

    /// Compares two directions in degrees, whose difference is taken around the circle and times `scale`.
    pub fn circle_row(&mut self, name: impl Into<String>, got: f64, want: f64, scale: f64) {
        let difference = (got - want + 180.0).rem_euclid(360.0) - 180.0;
        self.scaled_row(name, want + difference, want, scale);
    }

    /// The largest difference so far, in the unit.
    pub fn worst_error(&self) -> f64 {
        self.worst.as_ref().map_or(0.0, |worst| worst.error)
    }

    /// Ends the comparison; tells the worst difference where output is not captured (`-- --nocapture`).
    ///
    /// # Panics
    /// When a row was off by more than is allowed, or there was no row at all.
    pub fn assert_close(self) {
        let Self { quantity, unit, allowed, rows, failures, worst } = self;
        let worst = worst.unwrap_or_else(|| panic!("{quantity}: not a single row was compared"));
        let Row { name, got, want, error } = worst;
        println!("worst difference of {rows} in {quantity}: {error:.2e} {unit} (allowed {allowed:e})");
        assert!(
            failures == 0,
            "{quantity}: {failures} of {rows} rows are off by more than {allowed} {unit}; \
             worst {name}: got {got}, want {want}, off by {error:.3e} {unit}"
        );
    }
}

/// Compares one pair.
///
/// # Panics
/// When they differ by more than `allowed`.
pub fn assert_close(quantity: &'static str, unit: &'static str, got: f64, want: f64, allowed: f64) {
    let mut comparison = Comparison::new(quantity, unit, allowed);
    comparison.row("the only row", got, want);
    comparison.assert_close();
}

#[cfg(test)]
mod tests {
    use super::Comparison;

    #[test]
    #[should_panic(expected = "1 of 2 rows are off by more than 0.5 s; worst late: got 3, want 1")]
    fn tells_the_worst_row() {
        let mut comparison = Comparison::new("sunset", "s", 0.5);
        comparison.row("early", 1.2, 1.0);
        comparison.row("late", 3.0, 1.0);
        comparison.assert_close();
    }

    #[test]
    #[should_panic(expected = "1 of 1 rows")]
    fn no_number_is_no_agreement() {
        let mut comparison = Comparison::new("sunset", "s", 0.5);
        comparison.row("lost", f64::NAN, 1.0);
        comparison.assert_close();
    }

    #[test]
    fn goes_around_the_circle() {
        let mut comparison = Comparison::new("azimuth", "arcsec", 0.5);
        comparison.circle_row("north", 359.9999, 0.0, 3600.0);
        assert!((comparison.worst_error() - 0.36).abs() < 1e-9);
        comparison.assert_close();
    }
}
