//! What the last draft could not keep, above the findings: wishes given up, and what an evening picked up late has lost.

use egui::{Label, RichText, Ui};
use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::Wish;
use evenfall_core::sheet::{Names, given_up_sentences};

use super::words;
use crate::state::{Account, Command, OpenEvening};
use crate::ui::parts::{heading, quiet};
use crate::ui::text;
use crate::ui::theme::{BODY, SPACE, TIGHT, Tokens, semibold};

/// Draws it, if there is something to tell.
pub(super) fn show(ui: &mut Ui, open: &OpenEvening, tokens: &Tokens, commands: &mut Vec<Command>) {
    let Some(account) = &open.account else { return };
    let materials = open.document.stock.materials();
    let names = Names::new(&open.document.evening, &open.derived.prepared, &materials);
    picked_up(ui, open, account, &names);
    if !account.given_up.is_empty() {
        heading(ui, words::GIVEN_UP);
        for given_up in &account.given_up {
            let (what, why) = given_up_sentences(given_up, &names);
            ui.add(Label::new(RichText::new(what).font(semibold(BODY))).wrap());
            ui.add(Label::new(why).wrap());
            ui.add_space(TIGHT);
        }
    }
    ui.add(Label::new(quiet(tokens, words::UNDO_BRINGS_BACK)).wrap());
    if ui.button(text::CLOSE).clicked() {
        commands.push(Command::CloseAccount);
    }
    ui.add_space(SPACE);
}

fn picked_up(ui: &mut Ui, open: &OpenEvening, account: &Account, names: &Names<'_>) {
    let Some(picked_up) = &account.picked_up else { return };
    let clock = |at| text::clock(&open.derived.prepared.night.local, at);
    heading(ui, &words::picked_up(&clock(picked_up.at)));
    let lost: Vec<String> = account.lost.iter().map(|target| names.target_name(target)).collect();
    ui.add(Label::new(words::lost(&lost)).wrap());
    let order = &open.document.evening.order;
    let kept = account.kept.iter().filter_map(|id| order.get(*id));
    let kept: Vec<String> =
        kept.map(|stop| format!("{} at {}", names.stop_title(stop), clock(stop.start()))).collect();
    if !kept.is_empty() {
        ui.add(Label::new(words::kept(&kept)).wrap());
    }
    ui.add_space(TIGHT);
}

/// Why a target that is wished for is not shown, if the best draft gave it up.
pub(super) fn why_given_up(open: &OpenEvening, target: &TargetId, names: &Names<'_>) -> Option<String> {
    let found = open.appraisal().map_or(&[][..], |appraisal| appraisal.given_up.as_slice());
    let told = open.account.as_ref().map_or(&[][..], |account| account.given_up.as_slice());
    let own = found.iter().chain(told).find(|given_up| match &given_up.wish {
        Wish::Show(id) => id == target,
        wish => wish.target() == Some(target),
    })?;
    let (what, why) = given_up_sentences(own, names);
    Some(words::given_up(&what, &why))
}
