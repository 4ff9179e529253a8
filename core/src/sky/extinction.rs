//! Light lost in the air.
/// Magnitudes lost at an airmass.
pub fn extinction_mag(extinction_per_airmass: f64, airmass: f64) -> f64 {
    extinction_per_airmass * airmass
}
