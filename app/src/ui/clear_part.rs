//! The Shelf's filter for a hole in the cloud: what can be shown in one part of the sky at the minute that is read.

use std::sync::Arc;

use egui::{Id, Ui};
use evenfall_core::plan::{InSector, best_in_sector};
use evenfall_core::time::Instant;

use super::fields::sky_part_field;
use super::text;
use crate::state::{AppState, Command, OpenEvening, SkyPart};

/// What can be shown in the clear part.
pub struct Clear {
    /// The minute.
    pub at: Instant,
    /// The best first.
    pub targets: Arc<Vec<InSector>>,
}

/// What was found for one minute of one part of the sky, so that it is not looked for in every frame.
#[derive(Clone)]
struct Found {
    /// The evening, by its number among those opened, and its revision; the minute and the part.
    about: ((u64, u64), usize, SkyPart),
    targets: Arc<Vec<InSector>>,
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
    let at = state.clear_minute()?;
    Some(Clear { at, targets: found(ui, open, at, before.part) })
}

/// What can be shown there, as it was found before where nothing has changed since.
fn found(ui: &Ui, open: &OpenEvening, at: Instant, part: SkyPart) -> Arc<Vec<InSector>> {
    let prepared = &open.derived.prepared;
    let about = ((open.number, open.derived.revision), prepared.moment_index(at), part);
    let id = Id::unique("found in the clear part");
    if let Some(found) = ui.data(|data| data.get_temp::<Found>(id)).filter(|found| found.about == about) {
        return found.targets;
    }
    let (from, to) = part.ends();
    let targets = Arc::new(best_in_sector(prepared, &open.document.stock.materials(), at, from, to));
    ui.data_mut(|data| data.insert_temp(id, Found { about, targets: Arc::clone(&targets) }));
    targets
}
