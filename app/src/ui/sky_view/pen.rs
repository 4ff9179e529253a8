//! Paints a drawing of the unrolled sky in the window's colours.

use egui::{Color32, Painter, Pos2};
use evenfall_core::chart::{Ink, Scene};

use crate::ui::scene_pen::{Pen, mixed};
use crate::ui::theme::Tokens;

/// Paints all of it, its upper left corner at `origin`.
pub fn paint(painter: &Painter, tokens: &Tokens, scene: &Scene, origin: Pos2) {
    Pen { origin, scale: 1.0, colour: &|ink| colour(tokens, ink) }.paint(painter, scene);
}

/// The colour of an ink in the unrolled sky, which is drawn in shades of paper.
fn colour(tokens: &Tokens, ink: Ink) -> Color32 {
    match ink {
        Ink::Ground => tokens.raised,
        Ink::Text | Ink::Held => tokens.ink,
        Ink::Quiet => tokens.quiet,
        Ink::Grid => tokens.hair,
        Ink::SkyLight(level) => mixed(tokens.dome.1, tokens.dome.0, f32::from(level) / 255.0),
        Ink::Moon => tokens.moon,
        Ink::MoonLit => tokens.moon_disc.0,
        Ink::MoonDark => tokens.moon_disc.1,
        Ink::Earth => tokens.earth,
        Ink::Port(index) => tokens.port(usize::from(index)),
        Ink::Move => tokens.travel,
        Ink::Stopper => tokens.stopper,
        Ink::Caution => tokens.caution,
        Ink::Accent => tokens.accent,
    }
}
