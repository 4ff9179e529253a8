//! What is looked at: selection, search, palette, a drag under way, an open dialog. Never saved.

use std::collections::BTreeSet;
use std::path::PathBuf;

use chrono::NaiveTime;
use evenfall_core::catalogue::{Kind, Public, TargetId};
use evenfall_core::plan::{ClosedSky, OrderRules, StopId};
use evenfall_core::rig::PortId;
use evenfall_core::time::{Instant, LocalNight};
use evenfall_core::units::Angle;
use serde::{Deserialize, Serialize};

use super::{
    CallForm, Drag, EarlierSave, HouseForm, InsertForm, ListForm, OwnForm, PagesView, Part, PathUse,
    PickUpForm, PlaceForm, Source, TargetForm, Trial, WishesForm,
};

/// The one thing the Card tells about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Selected {
    /// A stop of the running order.
    Stop(StopId),
    /// A target of the Shelf.
    Target(TargetId),
}

/// A set of colours.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Palette {
    /// For a lit room.
    #[default]
    Day,
    /// For dark-adapted eyes: red light only.
    RedLamp,
}

/// What the Board's time axis spans.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum BoardSpan {
    /// Doors open to doors closed, with a little on both sides.
    #[default]
    Doors,
    /// All that was computed, from before sunset.
    Night,
}

/// What stands beside the Board where the window has room for one part only, or alone where it has room for no more.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// The Shelf.
    Shelf,
    /// The Board alone; beside it the Card, where there is room.
    Board,
    /// The Card.
    #[default]
    Card,
}

/// A part of the Card that can be folded away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum CardSection {
    /// The path and the chain through the evening.
    Evening,
    /// The field of each port.
    Fields,
    /// Why the stop stands where it does.
    Place,
    /// Why this port, and when.
    Why,
    /// What the rig does while the stop lasts.
    Rig,
    /// Where it stands at start, middle and end.
    Numbers,
    /// The formula and the source behind each number.
    Sources,
    /// What to say.
    Words,
}

/// How the Card is looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardView {
    /// The parts that are folded away.
    pub folded: BTreeSet<CardSection>,
    /// The minute that is read; `None` for the middle of the stop, or the best time.
    pub minute: Option<Instant>,
}

impl Default for CardView {
    fn default() -> Self {
        Self { folded: BTreeSet::from([CardSection::Sources]), minute: None }
    }
}

/// A part of the sky, clockwise from one azimuth to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyPart {
    /// Where it begins, in degrees.
    pub from_deg: f64,
    /// Where it ends, in degrees.
    pub to_deg: f64,
}

impl SkyPart {
    /// Where it begins and ends.
    pub const fn ends(self) -> (Angle, Angle) {
        (Angle::from_degrees(self.from_deg), Angle::from_degrees(self.to_deg))
    }
}

impl Default for SkyPart {
    /// The south-east.
    fn default() -> Self {
        Self { from_deg: 90.0, to_deg: 180.0 }
    }
}

/// What the Shelf is sorted by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ShelfSort {
    /// What the best stop tonight is worth, the most first.
    #[default]
    Worth,
    /// What a look at the minute that is read is worth, the most first.
    WorthNow,
    /// When it is best, the earliest first.
    BestTime,
    /// Its name.
    Name,
    /// How high it stands at the minute that is read, the highest first.
    AltitudeNow,
    /// Its kind, and then its worth.
    Kind,
}

impl ShelfSort {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Worth, Self::WorthNow, Self::BestTime, Self::Name, Self::AltitudeNow, Self::Kind];
}

/// How the Shelf is looked at, beside what is searched for and the part of the sky.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShelfView {
    /// Whether the choices of what is listed are laid open.
    pub open: bool,
    /// Only what shows at the minute that is read.
    pub now: bool,
    /// Only what this port shows; everything about it is then told for that port.
    pub port: Option<PortId>,
    /// Only targets of this kind.
    pub kind: Option<Kind>,
    /// Only what pleases these most.
    pub public: Option<Public>,
    /// What it is sorted by.
    pub sort: ShelfSort,
    /// Whether the other way round.
    pub reversed: bool,
}

/// The part of the sky to which the Shelf keeps.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ClearPart {
    /// Whether it keeps to it.
    pub on: bool,
    /// The part.
    pub part: SkyPart,
}

/// A part of the sky that is about to be closed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Closing {
    /// The part.
    pub part: SkyPart,
    /// Since when; `None` from the beginning of the night.
    pub since: Option<NaiveTime>,
    /// Until when; `None` to the end of the night.
    pub until: Option<NaiveTime>,
    /// Whether the second of two is meant, where the clock shows since when twice.
    pub since_again: bool,
    /// The same of until when.
    pub until_again: bool,
}

impl Closing {
    /// As the core has it, on a night.
    pub fn closed_sky(self, night: &LocalNight) -> ClosedSky {
        let (from, to) = self.part.ends();
        let Self { since, until, since_again, until_again, .. } = self;
        ClosedSky { from, to, since, until, since_again, until_again }.on(night)
    }
}

/// The order rules as they are looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RulesView {
    /// Whether they stand in the Card's place.
    pub open: bool,
    /// The weights that rules had before they were switched off.
    pub former: OrderRules,
    /// The part of the sky that is about to be closed.
    pub closing: Closing,
}

/// What happens once unsaved changes are dealt with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Then {
    /// The window closes.
    Close,
    /// Another file is chosen.
    ChooseFile,
    /// An evening is opened.
    Open(Source),
}

/// What can be given the keyboard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Focus {
    /// A stop on the Board.
    Stop(StopId),
    /// The field of the date.
    Date,
    /// A target's row on the Shelf, by its position in the catalogue.
    Row(usize),
    /// The field over the Shelf.
    Search,
    /// The first of the order rules.
    Rules,
    /// The field of the folder for the pages.
    Folder,
    /// The corner of the horizon that is looked at.
    Corner,
}

/// What went wrong with files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Report {
    /// An evening was opened without some of its entries.
    LeftOut,
    /// An evening was not opened.
    NotOpened,
    /// The evening was not saved.
    NotSaved,
    /// Pages, or the evening as numbers, were not written.
    NotExported,
    /// The files of an evening of one's own were not written.
    NotMade,
}

/// A question or a page over the window.
#[derive(Clone, Debug, PartialEq)]
pub enum Dialog {
    /// The list of keys.
    Keys,
    /// First steps.
    Welcome,
    /// An evening of one's own is being described.
    Own(Box<OwnForm>),
    /// Evenings opened or saved lately.
    Recent,
    /// Earlier saves of the open evening; `None` while they are looked for.
    Earlier(Option<Vec<EarlierSave>>),
    /// What killed windows had not saved; which of it is about to be thrown away, by where it is noted.
    LeftUnsaved(Option<PathBuf>),
    /// A command is looked for, by what is typed.
    Finder(String),
    /// A path is asked for, inside the window.
    Path {
        /// What for.
        purpose: PathUse,
        /// What is typed.
        text: String,
    },
    /// A file of that name is there already.
    Replace {
        /// What the path is for.
        purpose: PathUse,
        /// The file.
        path: PathBuf,
    },
    /// The evening is about to be picked up from a minute.
    PickUp(PickUpForm),
    /// Something without the telescope is about to be inserted.
    Insert(InsertForm),
    /// What the evening is printed and sent as.
    Pages,
    /// Go or no-go.
    Call(CallForm),
    /// House and doors.
    House(HouseForm),
    /// Tonight's wishes.
    Wishes(WishesForm),
    /// The site or the rig, as it stands in [`View::place`].
    Place,
    /// A target of the catalogue, or a new one.
    Target(Box<TargetForm>),
    /// A list of targets on its way into the catalogue.
    List(Box<ListForm>),
    /// The running orders that are kept, and the name for another as it is being typed.
    KeptOrders(String),
    /// Unsaved changes stand in the way.
    Unsaved(Then),
    /// The description of an evening of one's own stands in the way.
    LosesOwn {
        /// It, to go back to.
        form: Box<OwnForm>,
        /// What was asked for.
        then: Then,
    },
    /// Something went wrong with files.
    Report {
        /// What did.
        about: Report,
        /// One fault a line.
        lines: Vec<String>,
    },
}

/// A message in the status bar.
#[derive(Clone, Debug, PartialEq)]
pub enum Notice {
    /// The evening was saved here.
    Saved(PathBuf),
    /// The evening was saved here, and these with it.
    SavedWith(PathBuf, Vec<Part>),
    /// A file was written here.
    Exported(PathBuf),
    /// So many files were written into this folder.
    PagesWritten(usize, PathBuf),
    /// The evening was saved here, but what the file held before could not be kept: why.
    SavedOnly(PathBuf, String),
    /// This file is open in another window too.
    OpenElsewhere(PathBuf),
    /// Changes can't be kept safe until they are saved: why.
    NotNoted(String),
    /// The evening that was open last is gone, so this is the demonstration.
    Gone(PathBuf),
    /// The settings could not be read; the damaged file was kept here.
    SettingsDamaged(Option<PathBuf>),
    /// These settings, by their names in the file, could not be read; the usual ones hold in their place.
    SettingsLeftOut(Vec<&'static str>),
    /// Several files were dropped at once.
    DropOne,
    /// A target is rated anew.
    Rated {
        /// Its name.
        title: String,
        /// The pleasure it gives, in percent.
        percent: f64,
    },
    /// So many targets of a list came in.
    BroughtIn {
        /// How many are new.
        count: usize,
        /// The list's name.
        file: String,
    },
    /// No draft is better than the order that stands.
    NothingBetter,
    /// No port shows this target tonight.
    NothingToShow(String),
    /// Something went wrong: what, and what to do.
    Trouble(String),
}

/// All of it.
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own in the window")]
#[derive(Clone, Debug, Default)]
pub struct View {
    /// What the Card tells about.
    pub selected: Option<Selected>,
    /// Words typed over the Shelf.
    pub search: String,
    /// Whether targets that can't be shown stay on the Shelf.
    pub show_all: bool,
    /// What else is listed on the Shelf, and in which order.
    pub shelf: ShelfView,
    /// Colours.
    pub palette: Palette,
    /// Time axis of the Board.
    pub span: BoardSpan,
    /// Whether the Board shows the hours of UTC too.
    pub utc: bool,
    /// Whether the unrolled sky is shown in the Board's place.
    pub sky: bool,
    /// What stands beside the Board of a narrow window.
    pub side: Side,
    /// How the Card is looked at.
    pub card: CardView,
    /// How the order rules are looked at.
    pub rules: RulesView,
    /// The part of the sky to which the Shelf keeps.
    pub clear_part: ClearPart,
    /// The minute of the clear part before something on the Shelf was selected: walking along it does not change it.
    pub kept_minute: Option<Instant>,
    /// What is under the pointer.
    pub drag: Option<Drag>,
    /// What would come of letting go of it now.
    pub trial: Option<Trial>,
    /// Whether later stops move along when one is moved, resized, inserted or removed.
    pub ripple: bool,
    /// How the pages are looked at.
    pub pages: PagesView,
    /// What stands over the window.
    pub dialog: Option<Dialog>,
    /// The site or the rig as it is being changed; kept while a file is chosen for it and while the sky is computed for it.
    pub place: Option<Box<PlaceForm>>,
    /// The target as it was answered, until the evening stands on it.
    pub target: Option<Box<TargetForm>>,
    /// A new target that is to come on the Card.
    pub shown_next: Option<TargetId>,
    /// The date as it is being typed; `None` when it is not.
    pub date_text: Option<String>,
    /// The last message.
    pub notice: Option<Notice>,
    /// What shall get the keyboard in the next frame.
    pub focus: Option<Focus>,
    /// A path the window has to ask for, by the desktop's dialog or its own.
    pub wants_path: Option<PathUse>,
    /// Where a file was to be written, until it is there: offered again after a failure.
    pub chosen: Option<(PathUse, PathBuf)>,
    /// Whether the window may close.
    pub may_close: bool,
    /// What follows once everything is written.
    pub after_save: Option<Then>,
}
