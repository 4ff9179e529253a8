//! Every intent, and when it is allowed. Words and keys for them stand in the window's `text` and `keys`.

use std::path::PathBuf;

use chrono::{NaiveDate, NaiveTime};
use evenfall_core::catalogue::TargetId;
use evenfall_core::plan::{ClosedSky, Held, OrderRule, StopId};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;

use super::{
    AppState, CallForm, CardSection, ClearPart, Closing, Dialog, Drag, EarlierSave, Edge, HouseForm,
    InsertForm, LeftUnsaved, ListEdit, Notice, OwnField, PagesEdit, Part, PickUpForm, PlaceEdit,
    PortTemplate, Selected, ShelfView, Side, TargetForm, TextStep, Then, Wish, WishesForm,
};

/// What a path is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PathUse {
    /// To open an evening.
    Open,
    /// To save the evening.
    Save,
    /// The folder into which the pages are written.
    Folder,
    /// To write the evening as numbers for a solver.
    ExportProblem,
    /// To put the evening on another site or rig.
    OpenPart(Part),
    /// To save the site or the rig as a new file.
    NewPart(Part),
    /// To read a horizon from a text.
    HorizonText,
    /// To bring in a list of targets.
    List,
}

impl PathUse {
    /// Whether the form of a site or a rig asked for it.
    pub(super) const fn is_for_place(self) -> bool {
        matches!(self, Self::OpenPart(_) | Self::NewPart(_) | Self::HorizonText)
    }
}

/// Something the user wants.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Another date, this many days on.
    ShiftDate(i64),
    /// This date.
    SetDate(NaiveDate),
    /// Lay the running order out anew around what is held.
    DraftAnew,
    /// Ask what there is to know before the evening is picked up.
    AskPickUp,
    /// The answers as they are being given.
    PickUpForm(PickUpForm),
    /// Lay the rest of the evening anew, from a minute on.
    PickUp(PickUpForm),
    /// Show the running orders that are kept.
    ShowOrders,
    /// The name for the order on the Board as it is being typed.
    OrderName(String),
    /// Keep the order on the Board under this name.
    KeepOrder(String),
    /// Put the order of this name on the Board.
    SwitchOrder(String),
    /// Forget the order of this name.
    DropOrder(String),
    /// What the last draft could not keep has been read.
    CloseAccount,
    /// Take the last step back.
    Undo,
    /// Bring the last undone step back.
    Redo,
    /// Choose an evening to open.
    Open,
    /// Open this file.
    OpenThis(PathBuf),
    /// Open the demonstration.
    OpenDemo,
    /// Show the evenings opened or saved lately.
    ShowRecent,
    /// Show the earlier saves of the open evening.
    ShowEarlier,
    /// Open one of them, to be saved over what the file holds now, or elsewhere.
    OpenEarlier(EarlierSave),
    /// Show what killed windows had not saved.
    ShowLeft,
    /// Go on with it.
    TakeUp(LeftUnsaved),
    /// Ask once more before it is let go of.
    AskForget(LeftUnsaved),
    /// Let go of it.
    ForgetLeft(LeftUnsaved),
    /// Files were dropped on the window.
    Dropped(Vec<PathBuf>),
    /// Describe an evening of one's own.
    AskOwn,
    /// A field of that description as it is being typed.
    OwnText(OwnField, String),
    /// Whether the telescope of that description has this port.
    OwnPort(PortTemplate, bool),
    /// Write the files of that description and open its evening.
    MakeOwn,
    /// Save where the evening is, or choose where.
    Save,
    /// Choose where to save.
    SaveAs,
    /// Choose, look at and write what the evening is printed and sent as.
    ShowPages,
    /// Something done there.
    Pages(PagesEdit),
    /// Ask about the call.
    AskCall,
    /// The answers as they are being given.
    CallForm(CallForm),
    /// Go, no-go or still open, with the hours and the next dates.
    SetCall(CallForm),
    /// Ask about the house and its doors.
    AskHouse,
    /// The answers as they are being given.
    HouseForm(HouseForm),
    /// Title, doors and visitors as they were answered.
    SetHouse(HouseForm),
    /// Ask about tonight's wishes.
    AskWishes,
    /// The answers as they are being given.
    WishesForm(WishesForm),
    /// The wishes as they were answered.
    SetWishes(WishesForm),
    /// Wish something of the target on the Card, or take that wish back.
    ToggleWish(Wish),
    /// Ask about the target on the Card.
    AskTarget,
    /// Ask what a new target is.
    AskNewTarget,
    /// Ask what a new target like the one on the Card is.
    DuplicateTarget,
    /// Take the target on the Card out of the catalogue.
    RemoveTarget,
    /// The answers as they are being given.
    TargetForm(Box<TargetForm>),
    /// The target as it was answered.
    SetTarget(Box<TargetForm>),
    /// Choose a list of targets to bring in.
    AskList,
    /// Something done on its page.
    EditList(ListEdit),
    /// Bring its targets in.
    BringList,
    /// Ask about the site or the rig.
    AskPlace(Part),
    /// The answers as they are being given.
    EditPlace(PlaceEdit),
    /// Put the evening on what was answered.
    SetPlace,
    /// The keyboard goes to the corner of the horizon that is looked at.
    ToCorner,
    /// Leave the site or the rig as it was.
    CancelPlace,
    /// Choose where to write the evening as numbers for a solver.
    ExportProblem,
    /// A path was chosen; a file that is there already is asked about first.
    UsePath(PathUse, PathBuf),
    /// A path was chosen, and whoever chose it agreed to lose the file that is there.
    Replace(PathUse, PathBuf),
    /// No path was chosen.
    ChooseNothing,
    /// Show something on the Card.
    Select(Option<Selected>),
    /// Put a stop down at a time, and on a port.
    Place {
        /// The stop.
        stop: StopId,
        /// Its start.
        start: Instant,
        /// Its port; `None` leaves it.
        port: Option<PortId>,
    },
    /// Put an edge of a stop somewhere else.
    SetEdge(StopId, Edge, Instant),
    /// Push the selected stop by minutes.
    Nudge(i32),
    /// Make the selected stop longer by minutes.
    Lengthen(i32),
    /// Start the selected stop later by minutes; it ends as before.
    MoveStart(i32),
    /// Put the selected stop on the port so many lanes down.
    StepPort(i32),
    /// Put a stop on a port.
    SetPort(StopId, PortId),
    /// Hold a stop, in time, port or both; or let it go.
    SetHeld(StopId, Held),
    /// Hold the selected stop, or let it go.
    ToggleHold,
    /// Remove the selected stop.
    Remove,
    /// Bring a target on.
    BringOn {
        /// The target.
        target: TargetId,
        /// When; `None` for the best gap.
        start: Option<Instant>,
        /// Where; `None` for its best port.
        port: Option<PortId>,
    },
    /// Ask what is to be inserted.
    AskInsert,
    /// The answers as they are being given.
    InsertForm(InsertForm),
    /// Insert an entry without the telescope.
    Insert(InsertForm),
    /// Split a stop in two at a minute.
    Split(StopId, Instant),
    /// Split the selected stop in two, at the minute that is read or in its middle.
    SplitSelected,
    /// Whether later stops move along when one is moved, resized, inserted or removed.
    ToggleRipple,
    /// Change a stop's target with its understudy.
    SwapUnderstudy(StopId),
    /// Give a rule another weight, in percent; 0 switches it off.
    Weigh(OrderRule, u8),
    /// Keep another part of the evening free, in percent.
    SetSlack(f64),
    /// Another bedtime.
    SetBedtime(NaiveTime),
    /// Close a part of the sky.
    CloseSky(ClosedSky),
    /// Open a closed part of the sky again, by its position.
    OpenSky(usize),
    /// Show the order rules in the Card's place, or the Card again.
    ToggleRules,
    /// What is about to be closed of the sky.
    Closing(Closing),
    /// The part of the sky to which the Shelf keeps.
    KeepTo(ClearPart),
    /// Change the selected stop's target with its understudy.
    SwapSelected,
    /// The other set of colours.
    TogglePalette,
    /// The other span of the Board.
    ToggleSpan,
    /// The hours of UTC on the Board too, or no longer.
    ToggleUtc,
    /// The unrolled sky in the Board's place, or the Board again.
    ToggleSky,
    /// Shelf or Card, in a narrow window.
    ShowSide(Side),
    /// Fold a part of the Card away, or open it.
    Fold(CardSection),
    /// Read the Card at this minute; `None` for the usual one.
    ReadAt(Option<Instant>),
    /// The list of keys.
    ShowKeys,
    /// First steps.
    ShowWelcome,
    /// Look for a command by its name.
    ShowFinder,
    /// Letters of its name.
    FinderText(String),
    /// A command was found by this name.
    Found(String),
    /// Larger or smaller text.
    TextSize(TextStep),
    /// The keyboard goes to the date.
    TypeDate,
    /// The keyboard goes to the selected stop on the Board, else to the first.
    ToBoard,
    /// The keyboard goes to the search field.
    TypeSearch,
    /// The keyboard goes to a row of the Shelf, by the target's position in the catalogue.
    WalkTo(usize),
    /// Words over the Shelf.
    Search(String),
    /// Whether targets that can't be shown stay on the Shelf.
    ShowAll(bool),
    /// What else is listed on the Shelf, and in which order.
    LookAtShelf(ShelfView),
    /// The whole Shelf again: nothing searched for, nothing left out.
    WholeShelf,
    /// A stop, its edge or a target of the Shelf is under the pointer, here; or let go.
    Dragging(Option<Drag>),
    /// The date as it is being typed.
    DateText(Option<String>),
    /// A message for the status bar.
    Tell(Notice),
    /// The path as it is being typed.
    PathText(String),
    /// The window closes.
    Close,
    /// Save, and go on with what the question stood before.
    SaveThen(Then),
    /// Go on without saving.
    DiscardThen(Then),
    /// Choose a file for something.
    AskPath(PathUse),
    /// Give up what is being computed; the evening stays as it was.
    StopWaiting,
    /// Close the dialog, end the drag, clear the message, drop what is being computed, read the usual minute again:
    /// whichever comes first.
    Dismiss,
}

impl Command {
    /// Whether it does something to the evening or its files, so that what was said before is out of date.
    pub const fn is_deed(&self) -> bool {
        matches!(
            self,
            Self::ShiftDate(_)
                | Self::SetDate(_)
                | Self::DraftAnew
                | Self::PickUp(_)
                | Self::Undo
                | Self::Redo
                | Self::Open
                | Self::OpenThis(_)
                | Self::OpenDemo
                | Self::OpenEarlier(_)
                | Self::TakeUp(_)
                | Self::UsePath(..)
                | Self::Replace(..)
                | Self::Place { .. }
                | Self::SetEdge(..)
                | Self::Insert(_)
                | Self::Split(..)
                | Self::SplitSelected
                | Self::Nudge(_)
                | Self::Lengthen(_)
                | Self::MoveStart(_)
                | Self::StepPort(_)
                | Self::SetPort(..)
                | Self::SetHeld(..)
                | Self::ToggleHold
                | Self::Remove
                | Self::BringOn { .. }
                | Self::SwapUnderstudy(_)
                | Self::SwapSelected
                | Self::Weigh(..)
                | Self::SetSlack(_)
                | Self::SetBedtime(_)
                | Self::CloseSky(_)
                | Self::OpenSky(_)
                | Self::KeepOrder(_)
                | Self::SwitchOrder(_)
                | Self::DropOrder(_)
                | Self::SetCall(_)
                | Self::SetHouse(_)
                | Self::SetWishes(_)
                | Self::ToggleWish(_)
                | Self::SetTarget(_)
                | Self::RemoveTarget
                | Self::BringList
                | Self::SetPlace
                | Self::Pages(PagesEdit::Write | PagesEdit::Replace)
        )
    }

    /// Whether it can be done now.
    pub fn allowed(&self, state: &AppState) -> bool {
        if let Self::TextSize(step) = self {
            return state.settings().stepped_text(*step).is_some();
        }
        if matches!(self, Self::ShowLeft) {
            return !state.left_unsaved().is_empty();
        }
        let Some(open) = state.open() else {
            return matches!(
                self,
                Self::Open
                    | Self::OpenThis(_)
                    | Self::OpenDemo
                    | Self::ShowRecent
                    | Self::TakeUp(_)
                    | Self::AskForget(_)
                    | Self::ForgetLeft(_)
                    | Self::Dropped(_)
                    | Self::AskOwn
                    | Self::OwnText(..)
                    | Self::OwnPort(..)
                    | Self::MakeOwn
                    | Self::ShowWelcome
                    | Self::ShowFinder
                    | Self::FinderText(_)
                    | Self::Found(_)
                    | Self::ShowSide(_)
                    | Self::UsePath(PathUse::Open, _)
                    | Self::Replace(PathUse::Open, _)
                    | Self::TogglePalette
                    | Self::ShowKeys
                    | Self::ChooseNothing
                    | Self::PathText(_)
                    | Self::Close
                    | Self::DiscardThen(_)
                    | Self::Dismiss
            );
        };
        let settled = !state.is_computing();
        match self {
            Self::Undo => settled && open.history.undo_name().is_some(),
            Self::Redo => settled && open.history.redo_name().is_some(),
            // A date is pressed on from the one being computed; of an evening being opened there is none yet.
            Self::ShiftDate(_) | Self::SetDate(_) => !state.is_opening(),
            Self::DraftAnew
            | Self::AskPickUp
            | Self::PickUp(_)
            | Self::Place { .. }
            | Self::SetEdge(..)
            | Self::Split(..)
            | Self::AskInsert
            | Self::SetPort(..)
            | Self::SetHeld(..)
            | Self::BringOn { .. }
            | Self::Weigh(..)
            | Self::SetSlack(_)
            | Self::SetBedtime(_)
            | Self::OpenSky(_)
            | Self::SwitchOrder(_)
            | Self::DropOrder(_)
            | Self::AskCall
            | Self::AskHouse
            | Self::AskWishes
            | Self::SetWishes(_)
            | Self::AskPlace(_)
            | Self::AskNewTarget
            | Self::AskList
            | Self::SetCall(_) => settled,
            Self::AskTarget | Self::DuplicateTarget | Self::RemoveTarget => {
                settled && state.target_on_card().is_some()
            }
            Self::SetTarget(form) => settled && form.is_changed() && form.can_be_set(),
            Self::BringList => {
                settled && matches!(&state.view.dialog, Some(Dialog::List(form)) if form.can_be_brought())
            }
            Self::ToggleWish(_) => settled && state.target_on_card().is_some(),
            Self::SetPlace => settled && state.view.place.as_ref().is_some_and(|form| form.can_be_set()),
            Self::SetHouse(form) => settled && form.faults().is_empty(),
            Self::Pages(PagesEdit::Write | PagesEdit::Replace) => {
                settled && !state.is_writing() && state.has_pages_to_write()
            }
            Self::Insert(form) => settled && form.instant(&open.derived.prepared).is_some(),
            Self::SplitSelected => settled && state.where_to_split().is_some(),
            Self::KeepOrder(name) => settled && !name.trim().is_empty(),
            Self::CloseSky(closed) => settled && closed.fits(&open.derived.prepared.night.local),
            Self::SwapUnderstudy(stop) => {
                settled
                    && open
                        .document
                        .evening
                        .order
                        .get(*stop)
                        .and_then(|stop| stop.show())
                        .is_some_and(|show| show.understudy.is_some())
            }
            Self::SwapSelected => {
                state.selected_stop().is_some_and(|stop| Self::SwapUnderstudy(stop.id).allowed(state))
            }
            Self::Nudge(_) | Self::Lengthen(_) | Self::MoveStart(_) | Self::ToggleHold | Self::Remove => {
                settled && state.selected_stop().is_some()
            }
            Self::StepPort(_) => settled && state.selected_stop().is_some_and(|stop| stop.show().is_some()),
            Self::Save | Self::SaveAs | Self::ExportProblem => !state.is_writing(),
            Self::ShowEarlier => open.document.path.is_some(),
            _ => true,
        }
    }
}
