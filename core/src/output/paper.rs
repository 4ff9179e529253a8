//! The colours of paper: black on white, greys that carry no meaning by themselves.

use crate::chart::Ink;

/// The grey of an ink on paper, from 0 (black) to 255 (white).
///
/// All text is black. Lines are no lighter than a contrast of 3:1 (WCAG 2.2, 1.4.11) unless they only guide the eye:
/// the grid, and the thin paths beside the thick ones. A dark sky is a middle grey, to spare toner and the red lamp.
pub const fn paper_grey(ink: Ink) -> u8 {
    match ink {
        Ink::Ground | Ink::MoonLit => 255,
        Ink::Text | Ink::Held | Ink::Stopper | Ink::Caution | Ink::Accent => 0,
        Ink::Quiet => 110,
        Ink::Grid => 190,
        Ink::SkyLight(level) => 95 + (level as u16 * 160 / 255) as u8,
        Ink::Moon => 215,
        Ink::MoonDark => 90,
        Ink::Earth => 222,
        Ink::Port(_) => 204,
        Ink::Move => 80,
    }
}

#[cfg(test)]
mod tests {
    use super::paper_grey;
    use crate::chart::Ink;

    /// Contrast of a grey on white: relative luminance of sRGB, WCAG 2.2.
    fn contrast_on_white(grey: u8) -> f64 {
        let value = f64::from(grey) / 255.0;
        let luminance = if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) };
        1.05 / (luminance + 0.05)
    }

    #[test]
    fn text_and_marks_stand_out_on_paper() {
        // WCAG 2.2: black on white 21:1; the published limit for grey text at 4.5:1 is #767676.
        assert!((contrast_on_white(0) - 21.0).abs() < 1e-9);
        assert!((contrast_on_white(0x76) - 4.54).abs() < 0.01);
        for ink in [Ink::Text, Ink::Held, Ink::Stopper, Ink::Caution, Ink::Accent] {
            assert!(contrast_on_white(paper_grey(ink)) >= 7.0, "{ink:?}");
        }
        assert!(
            contrast_on_white(paper_grey(Ink::Move)) >= 3.0
                && contrast_on_white(paper_grey(Ink::Quiet)) >= 3.0
        );
        assert_eq!(paper_grey(Ink::SkyLight(255)), 255);
    }
}
