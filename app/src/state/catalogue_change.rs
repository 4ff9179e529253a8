//! Targets of the catalogue that change: text and targets made anew on the worker, the step noted once the sky is there.

use std::sync::Arc;

use evenfall_core::catalogue::{CatalogueChange, amended_catalogue, read_catalogue};
use evenfall_core::plan::{Evening, Prepared};
use evenfall_core::reading::Fault;

use super::app_state::AfterLayOut;
use super::{AppState, Doing, Job, Part, Pending, StepName, Stock};
use crate::shell::files::MOST_TEXT;

/// What an evening stands on with targets changed: of the text of the catalogue only what differs, and the targets as they are read
/// from it.
///
/// # Errors
/// A message for people: what of the change the catalogue does not take.
pub(super) fn changed_stock(stock: &Stock, change: &CatalogueChange) -> Result<Stock, String> {
    let file = stock.file(Part::Catalogue);
    let text = amended_catalogue(&file.text, &stock.catalogue, change).ok_or(
        "the catalogue's file can't be changed here: its text is not what was read. Open the evening again",
    )?;
    if text.len() as u64 > MOST_TEXT {
        let most = MOST_TEXT >> 20;
        return Err(format!(
            "the catalogue would be longer than the {most} MB that can be opened. Take fewer targets"
        ));
    }
    let (catalogue, faults) = read_catalogue("the catalogue", &text);
    if !faults.is_empty() {
        let (_, before) = read_catalogue("the catalogue", &file.text);
        if faults.len() > before.len() {
            let is_new = |fault: &&Fault| {
                before.iter().all(|other| (&other.key, &other.message) != (&fault.key, &fault.message))
            };
            let told: Vec<String> = faults
                .iter()
                .filter(is_new)
                .take(3)
                .map(|fault| format!("{}. {}", fault.message, fault.remedy))
                .collect();
            return Err(format!("The catalogue does not take this: {}", told.join("; ")));
        }
    }
    let mut files = stock.files.clone();
    files[Part::Catalogue as usize].text = text;
    Ok(Stock {
        site: stock.site.clone(),
        rig: stock.rig.clone(),
        catalogue: Arc::new(catalogue),
        ephemeris: Arc::clone(&stock.ephemeris),
        files,
    })
}

impl AppState {
    /// Changes the catalogue as one step, with the evening as it is to become; `sky` where that stays as it is. Nothing is drafted:
    /// an order made by hand stays.
    pub(super) fn change_catalogue(
        &mut self,
        name: StepName,
        change: CatalogueChange,
        evening: Evening,
        sky: Option<Arc<Prepared>>,
    ) {
        let Some(open) = &self.open else { return };
        let stock = Arc::clone(&open.document.stock);
        let then = AfterLayOut::Step(name, open.picked_up.clone());
        let ticket = self.new_ticket();
        self.under_way = None;
        let kept = Some(Arc::clone(&stock));
        self.pending = Some(Pending { ticket, then: Some(then), stock: kept, date: Some(evening.date) });
        let (evening, doing) = (Box::new(evening), Doing::Change(Box::new(change)));
        self.ask(Job::LayOut { ticket, evening, stock, prepared: sky, doing });
    }
}
