//! Document, what follows from it, view, and the questions under way, in one place.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use chrono::NaiveDate;
use chrono_tz::Tz;
use evenfall_core::catalogue::{Target, TargetId};
use evenfall_core::plan::{Evening, Explained, PickUp, Prepared, Stop, What};
use evenfall_core::time::{Instant, Interval};

use super::drafting::UnderWay;
use super::keeping::Keeping;
use super::own_evening::slug;
use super::shaping::trial;
use super::skies::SkyKey;
use super::{
    Account, Appraisal, BoardSpan, Derived, Document, Doing, DraftWish, Effort, History, Job, Notice,
    OrderFacts, Outside, Part, PathUse, Question, Selected, Settings, ShelfList, Showing, Source, StepName,
    Stock, Then, Told, View, Way, Worker,
};

/// Minutes shown before doors open and after they close.
const AROUND_DOORS_MINUTES: f64 = 8.0;
/// An evening that is open: the document, what follows from it, and the way back.
#[derive(Debug)]
pub struct OpenEvening {
    /// Tells it from those opened before and after it.
    pub number: u64,
    /// What is saved.
    pub document: Document,
    /// What follows from it.
    pub derived: Derived,
    /// The way back.
    pub history: History,
    /// Where the evening was picked up, if it was; gone with the window.
    pub picked_up: Option<PickUp>,
    /// What its last draft could not keep.
    pub account: Option<Account>,
    /// The answer for a revision; without an appraisal after a fault in Evenfall.
    pub(super) appraised: Option<(u64, Option<Appraisal>)>,
    /// The answer for a revision; without reasons after a fault in Evenfall.
    pub(super) explained: Option<(u64, Option<Box<Explained>>)>,
}

/// A question the worker has not answered.
#[derive(Clone, Debug)]
pub struct Pending {
    pub(super) ticket: u64,
    /// What the laid-out evening is for; `None` while a file is read.
    pub(super) then: Option<AfterLayOut>,
    /// What the laid-out evening stands on; `None` while a file is read.
    pub(super) stock: Option<Arc<Stock>>,
    /// The date it is about; `None` while a file is read.
    pub date: Option<NaiveDate>,
}

/// An evening that was just opened, beside its own decisions.
#[derive(Clone, Debug)]
pub(super) struct Arrival {
    pub(super) stock: Arc<Stock>,
    pub(super) path: Option<PathBuf>,
    pub(super) text: Option<String>,
    pub(super) is_unsaved: bool,
}

/// What a laid-out evening is for.
#[derive(Clone, Debug)]
pub(super) enum AfterLayOut {
    /// It was just opened.
    Show(Arrival),
    /// It is a step to be noted, of an evening picked up here.
    Step(StepName, Option<PickUp>),
    /// It is a step back or forth.
    Travel(Way),
}

/// All that the window shows and does.
pub struct AppState {
    pub(super) open: Option<OpenEvening>,
    pub(super) worker: Worker,
    pub(super) pending: Option<Pending>,
    pub(super) writing: usize,
    pub(super) asked: Option<Question>,
    pub(super) told: Option<Told>,
    pub(super) under_way: Option<UnderWay>,
    pub(super) explaining: Option<(u64, (u64, u64))>,
    /// The running orders being compared: which question, and of which evening and revision.
    pub(super) comparing: Option<(u64, (u64, u64))>,
    /// How they compared, and when.
    pub(super) compared: Option<((u64, u64), Vec<OrderFacts>)>,
    pub(super) outside: Arc<dyn Outside>,
    pub(super) settings: Settings,
    /// What was written last; `None` where nothing can be kept.
    pub(super) settings_kept: Option<Settings>,
    /// Of which evening, by its number, the settings have noted which path.
    pub(super) noted_path: Option<(u64, Option<PathBuf>)>,
    /// What is noted of what is not saved.
    pub(super) keeping: Keeping,
    /// Recent evenings that are gone.
    pub(super) gone: BTreeSet<PathBuf>,
    /// The evening of the last time, while it is being opened.
    pub(super) reopening: Option<PathBuf>,
    /// What is said once an evening is open.
    pub(super) greeting: Option<Notice>,
    tickets: u64,
    pub(super) skies: Vec<(SkyKey, Arc<Prepared>)>,
    pub(super) shelf_list: ShelfList,
    /// What is looked at.
    pub view: View,
}

impl AppState {
    /// Starts the worker and asks for an evening: the one at `path`, the one that was open last, or the demonstration.
    pub fn new(outside: Arc<dyn Outside>, path: Option<PathBuf>) -> Self {
        Self::with_effort(outside, path, Effort::default())
    }

    /// The same with so much work for a draft.
    pub fn with_effort(outside: Arc<dyn Outside>, path: Option<PathBuf>, effort: Effort) -> Self {
        let kept = outside.settings();
        let mut state = Self {
            open: None,
            worker: Worker::start(Arc::clone(&outside), effort),
            pending: None,
            writing: 0,
            asked: None,
            told: None,
            under_way: None,
            explaining: None,
            comparing: None,
            compared: None,
            outside,
            settings: Settings::default(),
            settings_kept: None,
            noted_path: None,
            keeping: Keeping::default(),
            gone: BTreeSet::new(),
            reopening: None,
            greeting: None,
            tickets: 0,
            skies: Vec::new(),
            shelf_list: ShelfList::default(),
            view: View { show_all: true, ..View::default() },
        };
        state.remember(kept, path.is_some());
        state.open_first(path);
        state.ask(Job::LookForLeft);
        state
    }

    /// Sets what to call when the worker has an answer.
    pub fn wake_with(&self, wake: impl Fn() + Send + 'static) {
        self.worker.wake_with(wake);
    }

    /// The open evening.
    pub const fn open(&self) -> Option<&OpenEvening> {
        self.open.as_ref()
    }

    /// What is being computed or read.
    pub const fn pending(&self) -> Option<&Pending> {
        self.pending.as_ref()
    }

    /// Whether something is being computed or read.
    pub const fn is_computing(&self) -> bool {
        self.pending.is_some()
    }

    /// Whether an evening is being read, or laid out for the first time.
    pub const fn is_opening(&self) -> bool {
        matches!(self.pending, Some(Pending { then: None | Some(AfterLayOut::Show(_)), .. }))
    }

    /// Whether a file is being written.
    pub const fn is_writing(&self) -> bool {
        self.writing > 0
    }

    /// Whether the night of the target on the Card is being followed.
    pub const fn is_telling(&self) -> bool {
        self.asked.is_some()
    }

    /// Whether anything is under way that changes what is shown; how good the order is may still be found out.
    pub fn is_busy(&self) -> bool {
        self.is_computing()
            || self.is_writing()
            || self.is_telling()
            || self.is_improving()
            || self.is_comparing()
            || self.is_reading_list()
            || self.view.pages.asked.is_some()
    }

    /// The night of the target on the Card, once it is known. While its stop is being pushed about, what the rig does to
    /// the stop is that of a moment ago.
    pub fn told(&self) -> Option<&Told> {
        let question = self.question()?;
        self.told.as_ref().filter(|told| told.question.is_about_same(&question))
    }

    /// What the Card asks: the target looked at, under the sky that is shown.
    pub(super) fn question(&self) -> Option<Question> {
        let open = self.open.as_ref()?;
        let order = &open.document.evening.order;
        let targets = &open.document.stock.catalogue.targets;
        let (stop, target_index) = match self.view.selected.as_ref()? {
            Selected::Stop(id) => {
                let stop = order.get(*id)?;
                (Some(stop), open.target(stop)?.0)
            }
            Selected::Target(id) => {
                let shows = |stop: &&Stop| stop.show().is_some_and(|show| show.target == *id);
                (order.stops().iter().find(shows), targets.iter().position(|target| target.id == *id)?)
            }
        };
        let showing = stop.and_then(|stop| {
            let show = stop.show()?;
            Some(Showing { port: show.port.clone(), eyepiece: show.eyepiece, interval: stop.interval })
        });
        Some(Question {
            stock: Arc::clone(&open.document.stock),
            prepared: Arc::clone(&open.derived.prepared),
            target_index,
            showing,
            known: None,
        })
    }

    /// What the clock says, while the doors of the open evening are open.
    pub fn now_in_doors(&self) -> Option<Instant> {
        let doors = self.open.as_ref()?.derived.prepared.doors;
        let now = self.outside.now();
        (doors.start() <= now && now < doors.end()).then_some(now)
    }

    /// The date shown, or the one being computed.
    pub fn date(&self) -> Option<NaiveDate> {
        let shown = self.open.as_ref().map(|open| open.document.evening.date);
        self.pending.as_ref().and_then(|pending| pending.date).or(shown)
    }

    /// The selected stop, if it still stands.
    pub fn selected_stop(&self) -> Option<&Stop> {
        match self.view.selected.as_ref()? {
            Selected::Stop(id) => self.open.as_ref()?.document.evening.order.get(*id),
            Selected::Target(_) => None,
        }
    }

    /// Finds out what would come of letting go of what is dragged.
    pub(super) fn try_drag(&mut self) {
        let (open, drag) = (self.open.as_ref(), self.view.drag.as_ref());
        self.view.trial = open.zip(drag).and_then(|(open, drag)| trial(open, drag, self.view.ripple));
    }

    /// Lets go of a stop that is there no longer: it is neither selected nor under the pointer.
    pub(super) fn drop_lost_stops(&mut self) {
        let is_there =
            |stop| self.open.as_ref().is_some_and(|open| open.document.evening.order.get(stop).is_some());
        if self.view.drag.as_ref().is_some_and(|drag| drag.stop().is_some_and(|stop| !is_there(stop))) {
            self.view.drag = None;
        }
        self.try_drag();
        let is_lost = match &self.view.selected {
            Some(Selected::Stop(_)) => self.selected_stop().is_none(),
            Some(Selected::Target(id)) => {
                self.open.as_ref().is_some_and(|open| open.document.stock.catalogue.get(id).is_none())
            }
            None => false,
        };
        if is_lost {
            self.view.selected = None;
        }
    }

    pub(super) fn ask_to_open(&mut self, source: Source) {
        let ticket = self.new_ticket();
        self.pending = Some(Pending { ticket, then: None, stock: None, date: None });
        self.keeping.opening = match &source {
            Source::Left(left) => Some(left.clone()),
            Source::Demo | Source::File(_) | Source::Earlier(..) => None,
        };
        self.ask(Job::Open { ticket, source });
    }

    pub(super) const fn new_ticket(&mut self) -> u64 {
        self.tickets += 1;
        self.tickets
    }

    pub(super) fn lay_out(
        &mut self,
        evening: Evening,
        stock: Arc<Stock>,
        draft: Option<DraftWish>,
        then: AfterLayOut,
    ) {
        let ticket = self.new_ticket();
        self.under_way = None;
        let kept = Some(Arc::clone(&stock));
        self.pending = Some(Pending { ticket, then: Some(then), stock: kept, date: Some(evening.date) });
        let prepared = self.known_sky(&evening, &stock);
        let (evening, doing) = (Box::new(evening), draft.map_or(Doing::Sky, Doing::Draft));
        self.ask(Job::LayOut { ticket, evening, stock, prepared, doing });
    }

    /// Goes a step back or forth: at once where the sky there is known.
    pub(super) fn travel(&mut self, way: Way) {
        let Some(open) = &self.open else { return };
        let Some(there) = open.history.next(way).cloned() else { return };
        let stock = Arc::clone(&there.stock);
        match self.known_sky(&there.evening, &stock) {
            Some(prepared) => self.arrive(way, &prepared),
            None => self.lay_out(there.evening, stock, None, AfterLayOut::Travel(way)),
        }
    }

    pub(super) fn ask_to_write(&mut self, job: Job) {
        self.writing += 1;
        self.ask(job);
    }

    pub(super) fn ask(&mut self, job: Job) {
        // A worker that is gone shows itself when its answers are taken.
        let _ = self.worker.ask(job);
    }

    /// A path to start from when one is asked for: the one that could not be written to, else beside the evening's file,
    /// named after it or its date.
    pub fn suggested_path(&self, purpose: PathUse) -> PathBuf {
        let Some(open) = &self.open else { return PathBuf::new() };
        if let Some((_, path)) = self.view.chosen.as_ref().filter(|(used, _)| *used == purpose) {
            return path.clone();
        }
        let document = &open.document;
        match (purpose, &document.path) {
            (PathUse::Open, Some(path)) => path.parent().map_or_else(PathBuf::new, |parent| parent.join("")),
            (PathUse::Open, None) => PathBuf::new(),
            (PathUse::Save, Some(path)) => path.clone(),
            (PathUse::Save, None) => {
                let name = format!("{}.evening.ron", document.evening.date);
                self.outside.documents().unwrap_or_default().join(name)
            }
            (PathUse::OpenPart(part), _) => {
                document.part_path(part).and_then(|path| Some(path.parent()?.join(""))).unwrap_or_default()
            }
            (PathUse::List, _) => {
                let catalogue = document.part_path(Part::Catalogue);
                catalogue.and_then(|path| Some(path.parent()?.join(""))).unwrap_or_default()
            }
            (PathUse::HorizonText, _) => {
                let site = document.part_path(Part::Site);
                site.and_then(|path| Some(path.parent()?.join(""))).unwrap_or_default()
            }
            (PathUse::NewPart(part), path) => {
                let named =
                    self.view.place.as_ref().map(|form| slug(&form.shown("name"))).unwrap_or_default();
                let name = format!("{}{}", if named.is_empty() { "my-park" } else { &named }, part.ending());
                let beside = document.part_path(part).or_else(|| path.clone());
                match beside {
                    Some(beside) => beside.with_file_name(name),
                    None => self.outside.documents().unwrap_or_default().join(name),
                }
            }
            (PathUse::Folder, _) => PathBuf::from(self.view.pages.folder.trim()),
            (PathUse::ExportProblem, path) => {
                let name = format!("{}.problem.json", document.evening.date);
                path.as_ref().map_or_else(|| PathBuf::from(&name), |path| path.with_file_name(&name))
            }
        }
    }

    /// What to do once unsaved changes are out of the way.
    pub(super) fn go_on(&mut self, then: Then) {
        match then {
            Then::Close => self.view.may_close = true,
            Then::ChooseFile => {
                if let Some(open) = &mut self.open {
                    open.document.give_up();
                }
                self.view.wants_path = Some(PathUse::Open);
            }
            Then::Open(source) => self.ask_to_open(source),
        }
    }
}

impl OpenEvening {
    /// The zone of the site.
    pub fn zone(&self) -> Tz {
        self.document.stock.site.zone
    }

    /// What a stop is called: its target's name, or the entry's title.
    pub fn title(&self, stop: &Stop) -> String {
        match &stop.what {
            What::Show(show) => self.target_name(&show.target),
            What::Entry { title, .. } => title.clone(),
        }
    }

    /// What a target is called.
    pub fn target_name(&self, id: &TargetId) -> String {
        let target = self.document.stock.catalogue.get(id);
        target.map_or_else(|| id.to_string(), |target| target.name.clone())
    }

    /// The time that Board and Card span.
    pub fn shown_span(&self, wanted: BoardSpan) -> Interval {
        let prepared = &self.derived.prepared;
        let doors = Interval::new(
            prepared.doors.start().plus_minutes(-AROUND_DOORS_MINUTES),
            prepared.doors.end().plus_minutes(AROUND_DOORS_MINUTES),
        );
        match wanted {
            BoardSpan::Doors => doors.unwrap_or(prepared.span),
            BoardSpan::Night => prepared.span,
        }
    }

    /// A stop's target and its position in the catalogue.
    pub fn target(&self, stop: &Stop) -> Option<(usize, &Target)> {
        let id = &stop.show()?.target;
        self.document.stock.catalogue.targets.iter().enumerate().find(|(_, target)| &target.id == id)
    }
}
