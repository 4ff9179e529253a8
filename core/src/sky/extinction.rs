//! Light lost in the air.

/// Magnitudes lost at an airmass: `m = m0 + k X`.
///
/// Range: the airmass of Kasten & Young 1989, down to the horizon; the colour of the light is neglected.
pub fn extinction_mag(extinction_per_airmass: f64, airmass: f64) -> f64 {
    extinction_per_airmass * airmass
}

#[cfg(test)]
mod tests {
    use super::extinction_mag;

    #[test]
    fn light_lost_low_in_the_sky() {
        // Computed with the Kasten & Young 1989 airmasses of 45, 30, 20 and 10 degrees and k = 0.25.
        for (airmass, lost) in [(1.0, 0.25), (1.4126, 0.35), (1.9943, 0.50), (2.9031, 0.73), (5.5860, 1.40)] {
            assert!((extinction_mag(0.25, airmass) - lost).abs() < 0.005);
        }
    }
}
