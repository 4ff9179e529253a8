//! The Shelf's filter for a hole in the cloud: what can be shown in one part of the sky at the minute that is read.

use egui::Ui;
use evenfall_core::plan::{InSector, best_in_sector};
use evenfall_core::time::Instant;

use super::fields::sky_part_field;
use super::text;
use crate::state::{AppState, Command};

/// What can be shown in the clear part.
pub struct Clear {
    /// The minute.
    pub at: Instant,
    /// The best first.
    pub targets: Vec<InSector>,
}

/// Draws the filter; what it leaves, if it is on.
pub fn show(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) -> Option<Clear> {
    let before = state.view.clear_part;
    let mut after = before;
    ui.checkbox(&mut after.on, text::ONLY_PART).on_hover_text(text::ONLY_PART_HINT);
    if before.on
        && let Some(part) = sky_part_field(ui, text::CLEAR_PART, before.part)
    {
        after.part = part;
    }
    if after != before {
        commands.push(Command::KeepTo(after));
    }
    if !before.on {
        return None;
    }
    let open = state.open()?;
    let prepared = &open.derived.prepared;
    let at = state.clear_minute()?;
    let (from, to) = before.part.ends();
    let targets = best_in_sector(prepared, &open.document.stock.materials(), at, from, to);
    Some(Clear { at, targets })
}
