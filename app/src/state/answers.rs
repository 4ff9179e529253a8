//! What the worker has answered, taken into the state.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use evenfall_core::plan::{Evening, Prepared, RunningOrder};

use super::app_state::{AfterLayOut, Arrival};
use super::drafting::Improving;
use super::part_file::name_beside;
use super::{
    Account, Answer, AppState, Command, Derived, Dialog, Document, DraftWish, Job, LaidOut, Notice,
    OpenEvening, Opened, PagesView, Part, PathUse, Pending, Question, Report, Source, Stock, Version, Way,
    apply, place_form, target_form,
};

impl AppState {
    /// Takes in what the worker has answered.
    pub fn take_answers(&mut self) {
        loop {
            match self.worker.poll() {
                Ok(Some(answer)) => self.take(answer),
                Ok(None) => break,
                Err(_) => {
                    if self.is_busy() {
                        self.pending = None;
                        self.asked = None;
                        self.under_way = None;
                        self.comparing = None;
                        self.writing = 0;
                        self.view.after_save = None;
                        self.view.pages = PagesView::default();
                        if let Some(Dialog::Own(form)) = &mut self.view.dialog {
                            form.making = false;
                        }
                        self.view.notice = Some(Notice::Trouble(
                            "Evenfall can neither compute nor save any longer: a fault in Evenfall. Note what is \
                             not saved and start it again."
                                .to_owned(),
                        ));
                    }
                    return;
                }
            }
        }
        self.ask_to_tell();
        self.ask_to_appraise();
        self.ask_to_explain();
        self.ask_for_sides();
        self.ask_to_compare();
        self.follow_settings();
        self.follow_unsaved();
    }

    /// Asks for the night of the target on the Card, unless it is known or asked for.
    fn ask_to_tell(&mut self) {
        let Some(mut question) = self.question() else { return };
        let is_this = |other: &Question| other.is_same(&question);
        if self.told.as_ref().is_some_and(|told| is_this(&told.question))
            || self.asked.as_ref().is_some_and(is_this)
        {
            return;
        }
        let known = self.told.as_ref().filter(|told| told.question.is_about_same(&question));
        question.known = known.map(|told| Arc::clone(&told.minutes)).filter(|minutes| !minutes.is_empty());
        self.asked = Some(question.clone());
        self.ask(Job::Tell(question));
    }

    fn take(&mut self, answer: Answer) {
        match answer {
            Answer::Opened { ticket, result } => {
                if self.pending.as_ref().is_some_and(|pending| pending.ticket == ticket) {
                    self.take_opened(result);
                }
            }
            Answer::LaidOut { ticket, result } => {
                if self.pending.as_ref().is_none_or(|pending| pending.ticket != ticket) {
                    return;
                }
                let Some(pending) = self.pending.take() else { return };
                // A site or a rig that no evening can be laid out on is not lost: its form comes back and says so.
                let place = self.view.place.take_if(|_| self.view.dialog.is_none());
                let target = self.view.target.take_if(|_| self.view.dialog.is_none());
                match (result, place) {
                    (Ok(laid_out), _) => self.take_laid_out(*laid_out, pending),
                    (Err(error), None) if target.is_some() => target_form::comes_back(self, target, error),
                    (Err(error), Some(mut form)) => {
                        form.trouble = Some(error);
                        (self.view.place, self.view.dialog) = (Some(form), Some(Dialog::Place));
                    }
                    (Err(error), None) => self.view.notice = Some(Notice::Trouble(error)),
                }
            }
            Answer::Drafted { ticket, order, appraisal } => self.take_drafted(ticket, order, appraisal),
            Answer::Compared { ticket, orders } => self.take_compared(ticket, orders),
            Answer::Explained { ticket, explained } => self.take_explained(ticket, explained),
            Answer::Told(told) => {
                if self.asked.as_ref().is_some_and(|asked| asked.is_same(&told.question)) {
                    self.asked = None;
                    self.told = Some(told);
                }
            }
            Answer::InTheWay { number, purpose, path } => {
                self.writing = self.writing.saturating_sub(1);
                if self.numbered(number).is_some() {
                    self.view.dialog = Some(Dialog::Replace { purpose, path });
                } else {
                    // Agreeing now would write the evening that has been opened since.
                    let failed = match purpose {
                        PathUse::Folder | PathUse::ExportProblem => Report::NotExported,
                        PathUse::Save
                        | PathUse::Open
                        | PathUse::OpenPart(_)
                        | PathUse::NewPart(_)
                        | PathUse::HorizonText
                        | PathUse::List => Report::NotSaved,
                    };
                    let path = path.display();
                    let message =
                        format!("{path} is there already, and another evening has been opened since");
                    self.after_writing(Err(message), failed);
                }
            }
            Answer::Saved { number, path, stock, result } => {
                self.writing = self.writing.saturating_sub(1);
                self.was_written(&path, result.is_ok());
                let saved = result.map(|mut written| {
                    let not_kept = written.not_kept.take();
                    let mut with = Vec::new();
                    if let Some(open) = self.numbered(number) {
                        with = open.document.written_with(&stock);
                        open.document.mark_saved(path.clone(), *written, &stock);
                    }
                    match not_kept {
                        Some(why) => Notice::SavedOnly(path, why),
                        None if with.is_empty() => Notice::Saved(path),
                        None => Notice::SavedWith(path, with),
                    }
                });
                self.after_writing(saved, Report::NotSaved);
            }
            Answer::LookedFor(gone) => self.gone = gone,
            Answer::PhotosLookedFor(missing) => target_form::photos_looked_for(self, missing),
            Answer::ListGoesOn { ticket, progress } => self.list_goes_on(ticket, progress),
            Answer::ListRead { ticket, result } => self.take_list(ticket, result),
            Answer::MappingKept(result) => {
                if let Err(message) = result {
                    self.view.notice = Some(Notice::Trouble(message));
                }
            }
            Answer::Noted(result) => self.take_noted(result),
            Answer::OpenElsewhere(file) => self.take_elsewhere(file),
            Answer::LeftFound(left) => self.take_left(left),
            Answer::EarlierFound(path, saves) => {
                let is_open = self.open.as_ref().is_some_and(|open| open.document.path == Some(path));
                if let Some(Dialog::Earlier(shown)) = &mut self.view.dialog
                    && is_open
                {
                    *shown = Some(saves);
                }
            }
            Answer::Made(result) => self.take_made(result),
            Answer::TextRead { purpose, path, result } => {
                self.writing = self.writing.saturating_sub(1);
                place_form::text_read(self, purpose, path, result);
            }
            Answer::PartWritten { part, path, result } => {
                self.writing = self.writing.saturating_sub(1);
                self.was_written(&path, result.is_ok());
                place_form::part_written(self, part, path, result);
            }
            Answer::SidesLaidOut { set, output, sides, told } => {
                self.take_sides((set, output), sides, told);
            }
            Answer::Pages { ticket, news } => self.take_pages(ticket, news),
            Answer::Exported { path, result } => {
                self.writing = self.writing.saturating_sub(1);
                self.was_written(&path, result.is_ok());
                self.after_writing(result.map(|()| Notice::Exported(path)), Report::NotExported);
            }
        }
    }

    /// Tells what came of writing a file and, once none is being written, goes on with what waited for that: after
    /// another save, if there have been changes since. A file that could not be written stops it.
    pub(super) fn after_writing(&mut self, result: Result<Notice, String>, failed: Report) {
        match result {
            Ok(notice) => self.view.notice = Some(notice),
            Err(message) => {
                self.view.after_save = None;
                self.report(failed, &message);
            }
        }
        if self.is_writing() {
            return;
        }
        let Some(then) = self.view.after_save.take() else { return };
        if self.open.as_ref().is_some_and(|open| open.document.is_dirty()) {
            apply(self, Command::SaveThen(then));
        } else {
            self.go_on(then);
        }
    }

    /// A path is offered again only after it could not be written to.
    fn was_written(&mut self, path: &Path, done: bool) {
        self.view.chosen.take_if(|(_, chosen)| done || chosen != path);
    }

    fn report(&mut self, about: Report, message: &str) {
        let lines = message.lines().map(str::to_owned).collect();
        self.view.dialog = Some(Dialog::Report { about, lines });
    }

    /// The open evening, if it is the one of this number.
    fn numbered(&mut self, number: u64) -> Option<&mut OpenEvening> {
        self.open.as_mut().filter(|open| open.number == number)
    }

    fn take_opened(&mut self, result: Result<Box<Opened>, String>) {
        match result {
            Ok(opened) => {
                self.reopening = None;
                let Opened { evening, stock, path, text, is_unsaved, left_out } = *opened;
                if !left_out.is_empty() {
                    self.view.dialog = Some(Dialog::Report { about: Report::LeftOut, lines: left_out });
                }
                let draft = evening.order.stops().is_empty().then(DraftWish::default);
                let arrival = Arrival { stock: Arc::clone(&stock), path, text, is_unsaved };
                let then = AfterLayOut::Show(arrival);
                self.lay_out(evening, stock, draft, then);
            }
            Err(message) => {
                self.pending = None;
                let Some(path) = self.reopening.take() else {
                    return self.report(Report::NotOpened, &message);
                };
                if self.outside.is_there(&path) {
                    self.report(Report::NotOpened, &message);
                } else {
                    self.greeting = Some(Notice::Gone(path));
                }
                self.ask_to_open(Source::Demo);
            }
        }
    }

    fn take_laid_out(&mut self, laid_out: LaidOut, pending: Pending) {
        let LaidOut { evening, stock: changed, prepared, appraisal } = laid_out;
        let Some(then) = pending.then else { return };
        let given_up = appraisal.as_ref().map_or(Vec::new(), |found| found.given_up.clone());
        let improving = match then {
            AfterLayOut::Show(Arrival { stock, path, text, is_unsaved }) => {
                self.view.notice = self.greeting.take();
                self.forget_skies();
                self.keep_sky(&evening, &stock, &prepared);
                let derived = Derived::new(&evening, prepared, &stock.materials());
                let document = if is_unsaved {
                    Document::unsaved(evening, stock, path, text)
                } else {
                    Document::new(evening, stock, path, text)
                };
                self.left_is_open();
                // Another evening's stops bear the same numbers.
                self.view.drag = None;
                self.view.trial = None;
                // And its ports are others.
                self.view.shelf.port = None;
                let mut open = OpenEvening::new(pending.ticket, document, derived);
                open.account =
                    Account::new(&RunningOrder::default(), &open.document.evening, None, &given_up);
                self.view.selected = open.first_show();
                let before = open.version();
                self.open = Some(open);
                Improving { before, not_noted: None, unasked: true }
            }
            AfterLayOut::Step(name, picked_up) => {
                let Some(open) = &mut self.open else { return };
                let before = open.version();
                let stock = changed.or(pending.stock).unwrap_or_else(|| Arc::clone(&before.stock));
                let evening = same_files(evening, &stock, &open.document);
                if evening == before.evening
                    && picked_up == before.picked_up
                    && Arc::ptr_eq(&stock, &before.stock)
                {
                    // The draft is no better so far.
                    Improving { before, not_noted: Some((name, picked_up)), unasked: false }
                } else {
                    let account = if appraisal.is_some() {
                        Account::new(&before.evening.order, &evening, picked_up.as_ref(), &given_up)
                    } else {
                        before.account.clone()
                    };
                    open.history.record(name, before.clone(), None);
                    self.show_version(Version { evening, stock, picked_up, account }, &prepared);
                    if appraisal.is_some() {
                        self.tell_account();
                    }
                    target_form::show_new(self);
                    Improving { before, not_noted: None, unasked: false }
                }
            }
            AfterLayOut::Travel(way) => return self.arrive(way, &prepared),
        };
        if appraisal.is_some() {
            self.follow_draft(pending.ticket, improving);
            if let Some(open) = &mut self.open {
                open.set_appraisal(appraisal);
            }
        }
    }

    /// The files of an evening of one's own were written, or not.
    fn take_made(&mut self, result: Result<PathBuf, String>) {
        self.writing = self.writing.saturating_sub(1);
        let is_closing = self.view.after_save.is_some();
        match &mut self.view.dialog {
            Some(Dialog::Own(form)) if form.making => match result {
                Err(message) => {
                    form.making = false;
                    form.trouble = Some(message);
                    self.view.after_save = None;
                }
                Ok(path) => {
                    self.view.dialog = None;
                    if is_closing {
                        self.after_writing(Ok(Notice::Exported(path)), Report::NotMade);
                    } else {
                        apply(self, Command::OpenThis(path));
                    }
                }
            },
            // Something else has taken the page's place since.
            _ => self.after_writing(result.map(Notice::Exported), Report::NotMade),
        }
    }

    /// A step back or forth, now that the sky there is known.
    pub(super) fn arrive(&mut self, way: Way, prepared: &Arc<Prepared>) {
        let Some(open) = &mut self.open else { return };
        let now = open.version();
        if let Some(there) = open.history.travel(way, &now) {
            self.show_version(there, prepared);
        }
    }

    fn show_version(&mut self, version: Version, prepared: &Arc<Prepared>) {
        let Some(open) = &mut self.open else { return };
        let Version { evening, stock, picked_up, account } = version;
        let evening = same_files(evening, &stock, &open.document);
        let revision = open.derived.revision;
        open.derived = Derived::new(&evening, Arc::clone(prepared), &stock.materials());
        open.derived.revision += revision;
        open.document.stand_on(Arc::clone(&stock));
        open.document.replace(evening.clone());
        (open.picked_up, open.account) = (picked_up, account);
        if self.view.shelf.port.as_ref().is_some_and(|port| stock.rig.port(port).is_none()) {
            self.view.shelf.port = None;
        }
        self.drop_lost_stops();
        self.keep_sky(&evening, &stock, prepared);
    }
}

/// The evening with the names of its files as the open one gives them: saving elsewhere may have renamed them since; that is
/// no step to take back. A site or rig that the open evening does not stand on is named by where it is.
fn same_files(evening: Evening, stock: &Stock, now: &Document) -> Evening {
    let Evening { site_file, rig_file, catalogue_file, .. } = now.evening.clone();
    let name = |part: Part, as_now: String| {
        let file = stock.file(part);
        match &file.path {
            Some(path) if file.path != now.stock.file(part).path => name_beside(now.path.as_deref(), path),
            _ => as_now,
        }
    };
    let (site_file, rig_file) = (name(Part::Site, site_file), name(Part::Rig, rig_file));
    let catalogue_file = name(Part::Catalogue, catalogue_file);
    Evening { site_file, rig_file, catalogue_file, ..evening }
}
