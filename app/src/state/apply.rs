//! The one function that changes state.

use std::sync::Arc;

use chrono::{Days, NaiveDate};
use evenfall_core::plan::{Stop, StopId};

use super::app_state::AfterLayOut;
use super::paths::{ask_path, guard, make_own, open_this, save_in_place, use_path};
use super::{
    AppState, BoardSpan, CallForm, Command, Dialog, DraftWish, Focus, InsertForm, Job, OwnForm, Palette,
    PathUse, PickUpForm, Report, Selected, ShelfView, Side, Source, StepName, TargetPage, Then, Way, edits,
    house_form, keeping, kept_orders, list_form, pages, place_form, rules, target_form, wishes_form,
};

/// Does what the user wants, if it is allowed now.
pub fn apply(state: &mut AppState, command: Command) {
    if !command.allowed(state) {
        return;
    }
    if command.is_deed() {
        state.view.notice = None;
    }
    match command {
        Command::ShiftDate(days) => {
            let shifted = state.date().and_then(|date| {
                let by = Days::new(days.unsigned_abs());
                if days < 0 { date.checked_sub_days(by) } else { date.checked_add_days(by) }
            });
            if let Some(date) = shifted {
                set_date(state, date);
            }
        }
        Command::SetDate(date) => set_date(state, date),
        Command::DraftAnew => draft_anew(state),
        Command::AskPickUp => ask_pick_up(state),
        Command::PickUpForm(form) => {
            if let Some(Dialog::PickUp(shown)) = &mut state.view.dialog {
                *shown = form;
            }
        }
        Command::PickUp(form) => pick_up(state, &form),
        Command::ShowOrders => state.view.dialog = Some(Dialog::KeptOrders(String::new())),
        Command::OrderName(typed) => {
            if let Some(Dialog::KeptOrders(name)) = &mut state.view.dialog {
                *name = typed;
            }
        }
        Command::KeepOrder(_) | Command::SwitchOrder(_) | Command::DropOrder(_) => {
            kept_orders::edit(state, command);
        }
        Command::CloseAccount => {
            if let Some(open) = &mut state.open {
                open.account = None;
            }
        }
        Command::Undo => state.travel(Way::Back),
        Command::Redo => state.travel(Way::Forth),
        Command::Open => guard(state, Then::ChooseFile),
        Command::OpenThis(path) => open_this(state, path),
        Command::OpenDemo => {
            state.view.dialog = None;
            guard(state, Then::Open(Source::Demo));
        }
        Command::ShowRecent => {
            let recent = state.settings.recent.clone();
            state.ask(Job::LookFor(recent));
            state.view.dialog = Some(Dialog::Recent);
        }
        Command::ShowEarlier => keeping::show_earlier(state),
        Command::OpenEarlier(save) => keeping::open_earlier(state, save),
        Command::ShowLeft => state.view.dialog = Some(Dialog::LeftUnsaved(None)),
        Command::AskForget(left) => state.view.dialog = Some(Dialog::LeftUnsaved(Some(left.path))),
        Command::TakeUp(left) => {
            state.view.dialog = None;
            guard(state, Then::Open(Source::Left(left)));
        }
        Command::ForgetLeft(left) => state.forget_left(left),
        Command::Dropped(paths) => state.take_dropped(paths),
        Command::AskOwn => {
            let form = OwnForm::new(state.outside.now(), state.outside.documents());
            state.view.dialog = Some(Dialog::Own(Box::new(form)));
        }
        Command::OwnText(field, text) => {
            if let Some(Dialog::Own(form)) = &mut state.view.dialog {
                form.put(field, text);
            }
        }
        Command::OwnPort(port, has) => {
            if let Some(Dialog::Own(form)) = &mut state.view.dialog {
                form.set_port(port, has);
            }
        }
        Command::MakeOwn => make_own(state),
        Command::Save => save_in_place(state),
        Command::SaveAs => ask_path(state, PathUse::Save),
        Command::ShowPages => pages::show(state),
        Command::Pages(wanted) => pages::edit(state, wanted),
        Command::AskCall => ask_call(state),
        Command::CallForm(form) => {
            if let Some(Dialog::Call(shown)) = &mut state.view.dialog {
                *shown = form;
            }
        }
        Command::SetCall(form) => set_call(state, &form),
        Command::AskHouse => house_form::ask(state),
        Command::HouseForm(form) => {
            if let Some(Dialog::House(shown)) = &mut state.view.dialog {
                *shown = form;
            }
        }
        Command::SetHouse(form) => house_form::set(state, &form),
        Command::AskWishes => wishes_form::ask(state),
        Command::WishesForm(form) => {
            if let Some(Dialog::Wishes(shown)) = &mut state.view.dialog {
                *shown = form;
            }
        }
        Command::SetWishes(form) => wishes_form::set(state, &form),
        Command::ToggleWish(wish) => wishes_form::toggle(state, wish),
        Command::AskTarget => {
            if let Some(id) = state.target_on_card().cloned() {
                target_form::ask(state, TargetPage::Change(id));
            }
        }
        Command::AskNewTarget => target_form::ask(state, TargetPage::New),
        Command::DuplicateTarget => {
            if let Some(id) = state.target_on_card().cloned() {
                target_form::ask(state, TargetPage::Duplicate(id));
            }
        }
        Command::RemoveTarget => target_form::remove(state),
        Command::TargetForm(form) => target_form::follow(state, form),
        Command::SetTarget(form) => target_form::set(state, &form),
        Command::AskList => ask_path(state, PathUse::List),
        Command::EditList(edit) => list_form::flow::edit(state, edit),
        Command::BringList => list_form::flow::bring(state),
        Command::AskPlace(part) => place_form::ask(state, part),
        Command::EditPlace(edit) => place_form::edit(state, edit),
        Command::SetPlace => place_form::set(state),
        Command::AskPath(purpose) => ask_path(state, purpose),
        Command::ExportProblem => ask_path(state, PathUse::ExportProblem),
        Command::UsePath(purpose, path) => use_path(state, purpose, &path, false),
        Command::Replace(purpose, path) => use_path(state, purpose, &path, true),
        Command::ChooseNothing => {
            state.view.after_save = None;
            state.view.chosen = None;
        }
        Command::Select(selected) => {
            if state.view.selected != selected {
                state.view.kept_minute = state.clear_minute();
                state.view.card.minute = None;
            }
            state.view.selected = selected;
        }
        Command::AskInsert => ask_insert(state),
        Command::InsertForm(form) => {
            if let Some(Dialog::Insert(shown)) = &mut state.view.dialog {
                *shown = form;
            }
        }
        Command::ToggleRipple => {
            state.view.ripple = !state.view.ripple;
            state.try_drag();
        }
        Command::Place { .. }
        | Command::SetEdge(..)
        | Command::Insert(_)
        | Command::Split(..)
        | Command::SplitSelected
        | Command::Nudge(_)
        | Command::Lengthen(_)
        | Command::MoveStart(_)
        | Command::StepPort(_)
        | Command::SetPort(..)
        | Command::SetHeld(..)
        | Command::ToggleHold
        | Command::Remove
        | Command::BringOn { .. }
        | Command::SwapUnderstudy(_) => edits::edit(state, command),
        Command::Weigh(..)
        | Command::SetSlack(_)
        | Command::SetBedtime(_)
        | Command::CloseSky(_)
        | Command::OpenSky(_) => rules::edit(state, &command),
        Command::ToggleRules => {
            let open = !state.view.rules.open;
            state.view.rules.open = open;
            if open {
                state.view.side = Side::Card;
                state.view.focus = Some(Focus::Rules);
            }
        }
        Command::Closing(closing) => state.view.rules.closing = closing,
        Command::KeepTo(clear_part) => state.view.clear_part = clear_part,
        Command::SwapSelected => {
            if let Some(stop) = state.selected_stop().map(|stop| stop.id) {
                apply(state, Command::SwapUnderstudy(stop));
            }
        }
        Command::TogglePalette => {
            state.view.palette = match state.view.palette {
                Palette::Day => Palette::RedLamp,
                Palette::RedLamp => Palette::Day,
            };
        }
        Command::ToggleSpan => {
            state.view.span = match state.view.span {
                BoardSpan::Doors => BoardSpan::Night,
                BoardSpan::Night => BoardSpan::Doors,
            };
        }
        Command::ToggleUtc => state.view.utc = !state.view.utc,
        Command::ToggleSky => state.view.sky = !state.view.sky,
        Command::Fold(section) => {
            let folded = &mut state.view.card.folded;
            if !folded.remove(&section) {
                folded.insert(section);
            }
        }
        Command::ReadAt(minute) => state.view.card.minute = minute,
        Command::ShowKeys => state.view.dialog = Some(Dialog::Keys),
        Command::ShowWelcome => state.view.dialog = Some(Dialog::Welcome),
        Command::ShowFinder => state.view.dialog = Some(Dialog::Finder(String::new())),
        Command::FinderText(typed) => {
            if let Some(Dialog::Finder(text)) = &mut state.view.dialog {
                *text = typed;
            }
        }
        Command::Found(name) => state.settings.note_found(&name),
        Command::TextSize(step) => {
            if let Some(percent) = state.settings.stepped_text(step) {
                state.settings.text_percent = percent;
            }
        }
        Command::TypeDate => state.view.focus = Some(Focus::Date),
        Command::ShowSide(side) => {
            state.view.side = side;
            state.view.rules.open = false;
        }
        Command::ToBoard => {
            let first = state.open().and_then(|open| open.document.evening.order.stops().first());
            let stop = state.selected_stop().or(first).map(|stop| stop.id);
            select_stop(state, stop);
        }
        Command::TypeSearch => {
            state.view.side = Side::Shelf;
            state.view.focus = Some(Focus::Search);
        }
        Command::WalkTo(target_index) => state.view.focus = Some(Focus::Row(target_index)),
        Command::Search(words) => state.view.search = words,
        Command::ShowAll(all) => state.view.show_all = all,
        Command::LookAtShelf(shelf) => state.view.shelf = shelf,
        Command::WholeShelf => {
            state.view.search.clear();
            state.view.show_all = true;
            state.view.clear_part.on = false;
            let ShelfView { open, sort, reversed, .. } = state.view.shelf;
            state.view.shelf = ShelfView { open, sort, reversed, ..ShelfView::default() };
        }
        Command::Dragging(drag) => {
            // What is taken hold of on the Shelf is put down on the Board.
            state.view.sky &= drag.is_none();
            if drag.is_some() && state.is_improving() {
                // What is under the pointer must not move away by itself.
                state.stop_drafting(false);
            }
            state.view.drag = drag;
            state.drop_lost_stops();
        }
        Command::DateText(text) => state.view.date_text = text,
        Command::Tell(notice) => state.view.notice = Some(notice),
        Command::PathText(typed) => {
            if let Some(Dialog::Path { text, .. }) = &mut state.view.dialog {
                *text = typed;
            }
        }
        Command::Close => guard(state, Then::Close),
        Command::SaveThen(then) => {
            state.view.dialog = None;
            state.view.after_save = Some(then);
            // A file being written is waited for; its answer saves what has changed since.
            if !state.is_writing() {
                apply(state, Command::Save);
            }
        }
        Command::DiscardThen(then) => {
            let closed = state.view.dialog.take();
            state.view.after_save = None;
            // The evening behind a page that is given up may have changes of its own.
            if matches!(closed, Some(Dialog::LosesOwn { .. })) {
                guard(state, then);
            } else {
                state.go_on(then);
            }
        }
        Command::ToCorner => state.view.focus = Some(Focus::Corner),
        Command::CancelPlace => (state.view.place, state.view.dialog) = (None, None),
        Command::StopWaiting => state.pending = None,
        Command::Dismiss => dismiss(state),
    }
}

fn dismiss(state: &mut AppState) {
    let nothing_open = state.open.is_none();
    if place_form::is_in_the_way(state) {
        return;
    }
    let view = &mut state.view;
    if matches!(&view.dialog, Some(Dialog::Own(form)) if form.making) {
        // Its files are on the way; what comes of them is told on the page.
    } else if view.dialog == Some(Dialog::Pages) && pages::step_back(view) {
        // What is asked or written there comes first.
    } else if let Some(closed) = view.dialog.take() {
        view.after_save = None;
        match closed {
            Dialog::LosesOwn { form, .. } => view.dialog = Some(Dialog::Own(form)),
            Dialog::List(form) => list_form::flow::let_go(&form),
            Dialog::Place => view.place = None,
            Dialog::Path { purpose, .. } | Dialog::Replace { purpose, .. } if purpose.is_for_place() => {
                view.chosen = None;
                place_form::show_again(state);
            }
            // A path that did not do is asked for again.
            Dialog::Replace { .. } | Dialog::Report { about: Report::NotSaved | Report::NotExported, .. } => {
                view.wants_path = view.chosen.as_ref().map(|(purpose, _)| *purpose);
            }
            Dialog::Path { .. } => view.chosen = None,
            // A window with no evening would offer nothing.
            Dialog::Report { .. } if nothing_open => view.dialog = Some(Dialog::Welcome),
            _ => state.offer_left(),
        }
    } else if let Some(drag) = &mut view.drag {
        drag.cancelled = true;
        view.trial = None;
    } else if view.date_text.take().is_none() && view.notice.take().is_none() {
        if state.pending.is_some() && state.open.is_some() {
            state.pending = None;
        } else if view.rules.open {
            view.rules.open = false;
        } else if view.sky {
            view.sky = false;
        } else {
            if !state.is_improving() {
                state.view.card.minute = None;
            }
            state.stop_drafting(true);
        }
    }
}

/// The evening moves to another date: every stop keeps its local clock time, what is held stays, the rest is laid
/// out anew.
fn set_date(state: &mut AppState, date: NaiveDate) {
    state.view.date_text = None;
    let Some(open) = &state.open else { return };
    if state.date() == Some(date) {
        return;
    }
    let stock = Arc::clone(&open.document.stock);
    let evening = edits::on_date(&open.document.evening, date, stock.site.zone);
    let step = AfterLayOut::Step(StepName::Dated(date), None);
    state.lay_out(evening, stock, Some(DraftWish::default()), step);
}

fn draft_anew(state: &mut AppState) {
    let Some(open) = &state.open else { return };
    let stock = Arc::clone(&open.document.stock);
    let evening = open.document.evening.clone();
    let pick_up = open.picked_up.clone();
    let step = AfterLayOut::Step(StepName::Drafted, pick_up.clone());
    state.lay_out(evening, stock, Some(DraftWish { pick_up, only_better: true }), step);
}

/// Asks what there is to know first: from now on tonight, else from the minute that is read or the selected stop.
fn ask_pick_up(state: &mut AppState) {
    let Some(open) = &state.open else { return };
    let prepared = &open.derived.prepared;
    let selected = state.selected_stop().map(Stop::start);
    let before = open.picked_up.as_ref().map(|picked_up| picked_up.at);
    let read = state.view.card.minute.or(selected).or(before).unwrap_or(prepared.doors.start());
    let at = state.now_in_doors().unwrap_or(read);
    state.view.dialog = Some(Dialog::PickUp(PickUpForm::new(&open.document.evening, prepared, at)));
}

/// Asks what is to be inserted: at the minute that is read, else after the selected stop, else now or when doors open.
fn ask_insert(state: &mut AppState) {
    let after = state.selected_stop().map(Stop::end);
    let Some(open) = &state.open else { return };
    let prepared = &open.derived.prepared;
    let now = state.now_in_doors();
    let at = state.view.card.minute.or(after).or(now).unwrap_or(prepared.doors.start());
    state.view.dialog = Some(Dialog::Insert(InsertForm::new(prepared, at)));
}

/// Asks about the call.
fn ask_call(state: &mut AppState) {
    let now = state.outside.now();
    let Some(open) = &state.open else { return };
    let form = CallForm::new(&open.document.evening, &open.derived.prepared, now);
    state.view.dialog = Some(Dialog::Call(form));
}

/// Notes the call, its hours and the next dates as one step.
fn set_call(state: &mut AppState, form: &CallForm) {
    state.view.dialog = None;
    let Some(open) = &state.open else { return };
    let after = form.answered(&open.document.evening);
    let name = CallForm::step_name(&open.document.evening, &after);
    edits::step(state, name, None, |_, _, _| after);
}

fn pick_up(state: &mut AppState, form: &PickUpForm) {
    let Some(open) = &state.open else { return };
    let Some((evening, pick_up)) = form.answered(&open.document.evening, &open.derived.prepared) else {
        return;
    };
    let stock = Arc::clone(&open.document.stock);
    state.view.dialog = None;
    let step = AfterLayOut::Step(StepName::PickedUp(pick_up.at), Some(pick_up.clone()));
    state.lay_out(evening, stock, Some(DraftWish { pick_up: Some(pick_up), only_better: false }), step);
}

/// Shows a stop on the Card and gives it the keyboard.
pub(super) fn select_stop(state: &mut AppState, stop: Option<StopId>) {
    if let Some(stop) = stop {
        if state.view.selected != Some(Selected::Stop(stop)) {
            state.view.card.minute = None;
        }
        state.view.selected = Some(Selected::Stop(stop));
        state.view.focus = Some(Focus::Stop(stop));
    }
}
