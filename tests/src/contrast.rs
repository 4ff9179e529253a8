//! The contrast of two colours.

use egui::Color32;

/// Relative luminance, from 0 to 1. Source: WCAG 2.2, definition of "relative luminance".
pub fn relative_luminance(colour: Color32) -> f64 {
    let linear = |channel: u8| {
        let value = f64::from(channel) / 255.0;
        if value <= 0.040_45 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(colour.r()) + 0.7152 * linear(colour.g()) + 0.0722 * linear(colour.b())
}

/// Contrast ratio, from 1 to 21. Source: WCAG 2.2, definition of "contrast ratio".
pub fn contrast(one: Color32, other: Color32) -> f64 {
    let (one, other) = (relative_luminance(one), relative_luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[cfg(test)]
mod tests {
    use egui::Color32;

    use super::contrast;

    #[test]
    fn known_ratios() {
        // WCAG 2.2: black on white is 21:1. W3C technique G18: #767676 on white is 4.54:1.
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        assert!((contrast(Color32::from_gray(0x76), Color32::WHITE) - 4.54).abs() < 0.005);
    }
}
