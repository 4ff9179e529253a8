//! Undo and redo with names: whole versions of the evening, newest last.

use std::sync::Arc;

use chrono::{NaiveDate, NaiveTime};
use evenfall_core::catalogue::Catalogue;
use evenfall_core::plan::{ClosedSky, Decision, Evening, Held, OrderRule, PickUp, StopId};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;

use super::{Account, Stock};

/// Steps kept; an evening is a few kilobytes.
const STEPS_KEPT: usize = 500;
/// The most targets in all catalogues of the steps kept: with its text each takes about 1.5 kB.
const TARGETS_KEPT: usize = 400_000;

/// What a step did, as data; worded by the window.
#[derive(Clone, Debug, PartialEq)]
pub enum StepName {
    /// A stop moved in time.
    Moved {
        /// Its title.
        title: String,
        /// Its new start.
        to: Instant,
    },
    /// A stop moved in time, and to another port.
    MovedToPort {
        /// Its title.
        title: String,
        /// Its new start.
        to: Instant,
        /// The port.
        port: PortId,
    },
    /// A stop starts at another time and ends as before.
    StartSet {
        /// Its title.
        title: String,
        /// Its new start.
        at: Instant,
    },
    /// A stop got another length.
    Lengthened {
        /// Its title.
        title: String,
        /// Its new length.
        minutes: f64,
    },
    /// A stop went to another port.
    OnPort {
        /// Its title.
        title: String,
        /// The port.
        port: PortId,
    },
    /// A stop was held.
    Held {
        /// Its title.
        title: String,
        /// What of it is held now.
        held: Held,
    },
    /// A stop was let go.
    LetGo {
        /// Its title.
        title: String,
    },
    /// A stop was removed.
    Removed {
        /// Its title.
        title: String,
        /// When it started.
        from: Instant,
    },
    /// A target was brought on.
    BroughtOn {
        /// Its title.
        title: String,
        /// When, where that was asked for.
        at: Option<Instant>,
    },
    /// An entry was inserted.
    Inserted {
        /// Its title.
        title: String,
        /// Its start.
        at: Instant,
    },
    /// A stop was split in two.
    Split {
        /// Its title.
        title: String,
        /// Where.
        at: Instant,
    },
    /// A stop and its understudy changed places.
    Swapped {
        /// The title of what was shown before.
        title: String,
        /// The title of what is shown now.
        with: String,
    },
    /// A step that moved so many other stops along.
    WithOthers(Box<Self>, usize),
    /// The date changed.
    Dated(NaiveDate),
    /// The running order was drafted anew.
    Drafted,
    /// The evening was picked up from a minute.
    PickedUp(Instant),
    /// A rule got another weight.
    Weighed {
        /// The rule.
        rule: OrderRule,
        /// Its new weight; 0 switched it off.
        percent: u8,
    },
    /// Another part of the evening is to be kept free, in percent.
    SlackSet(f64),
    /// Bedtime changed.
    BedtimeSet(NaiveTime),
    /// A part of the sky was closed.
    SkyClosed(ClosedSky),
    /// A closed part of the sky was opened again.
    SkyOpened(ClosedSky),
    /// The order on the Board was kept under this name.
    OrderKept(String),
    /// The order of this name was put on the Board.
    OrderSwitched(String),
    /// The order of this name was forgotten.
    OrderDropped(String),
    /// Go or no-go was decided, or is open again.
    Called(Decision),
    /// The hours of call or crew changed.
    CallHoursSet,
    /// The next dates changed.
    NextDatesSet,
    /// The evening got another title.
    TitleSet(String),
    /// Doors open and close at other times.
    DoorsSet(NaiveTime, NaiveTime),
    /// Others are expected, or looks take another time.
    HouseSet,
    /// More than one of title, doors and house.
    HouseAndDoorsSet,
    /// A target must be shown.
    MustShow {
        /// Its name.
        title: String,
    },
    /// A target is not to be shown.
    LeftOut {
        /// Its name.
        title: String,
    },
    /// Nothing is wished of a target any longer.
    WishTakenBack {
        /// Its name.
        title: String,
    },
    /// The wishes were answered anew.
    WishesSet,
    /// A target was changed.
    TargetChanged {
        /// Its name.
        title: String,
    },
    /// A target was rated anew.
    TargetRated {
        /// Its name.
        title: String,
        /// The pleasure it gives, in percent.
        percent: f64,
    },
    /// A target came into the catalogue.
    TargetAdded {
        /// Its name.
        title: String,
    },
    /// A target went out of the catalogue.
    TargetRemoved {
        /// Its name.
        title: String,
    },
    /// The targets of a list came into the catalogue.
    ListBroughtIn {
        /// How many are new.
        count: usize,
        /// The list's name.
        file: String,
    },
    /// The site of this name was changed, or put in another's place.
    SiteSet(String),
    /// The rig of this name was changed, or put in another's place.
    RigSet(String),
}

/// What steps that follow one another must change alike to be one step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Merge {
    /// The place of a stop.
    Stop(StopId),
    /// The end of a stop.
    End(StopId),
    /// The start of a stop that ends as before.
    Start(StopId),
    /// The weight of a rule.
    Rule(OrderRule),
    /// Slack.
    Slack,
    /// Bedtime.
    Bedtime,
}

/// An evening with what goes back and forth with it, though it is not saved.
#[derive(Clone, Debug)]
pub struct Version {
    /// The evening.
    pub evening: Evening,
    /// What it stands on.
    pub stock: Arc<Stock>,
    /// Where it was picked up, if it was.
    pub picked_up: Option<PickUp>,
    /// What its last draft could not keep.
    pub account: Option<Account>,
}

impl PartialEq for Version {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.stock, &other.stock)
            && (&self.evening, &self.picked_up, &self.account)
                == (&other.evening, &other.picked_up, &other.account)
    }
}

#[derive(Clone, Debug)]
struct Step {
    name: StepName,
    version: Version,
    merges: Option<Merge>,
}

/// Which way through the steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Undo.
    Back,
    /// Redo.
    Forth,
}

/// What was, and what was taken back.
#[derive(Clone, Debug, Default)]
pub struct History {
    past: Vec<Step>,
    future: Vec<Step>,
}

impl History {
    /// Notes a step, with the version before it. Steps that follow one another with the same `merges` (key
    /// presses that push one stop about, a weight under the pointer) are one step under the newest name.
    pub fn record(&mut self, name: StepName, before: Version, merges: Option<Merge>) {
        self.future.clear();
        if let Some(last) = self.past.last_mut()
            && merges.is_some()
            && last.merges == merges
        {
            last.name = name;
            return;
        }
        self.past.push(Step { name, version: before, merges });
        self.forget_oldest();
    }

    /// Forgets the oldest steps: those beyond the number kept, and those whose catalogues take too much memory.
    fn forget_oldest(&mut self) {
        if self.past.len() > STEPS_KEPT {
            self.past.remove(0);
        }
        let mut targets = 0;
        let mut last: Option<&Arc<Catalogue>> = None;
        let oldest = self.past.iter().rposition(|step| {
            let catalogue = &step.version.stock.catalogue;
            if last.is_none_or(|last| !Arc::ptr_eq(last, catalogue)) {
                targets += catalogue.targets.len();
                last = Some(catalogue);
            }
            targets > TARGETS_KEPT
        });
        // The last step can always be taken back.
        let oldest = oldest.map_or(0, |oldest| (oldest + 1).min(self.past.len() - 1));
        self.past.drain(..oldest);
    }

    /// The version before the step that one with this `merges` would be one with.
    pub fn merged_from(&self, merges: Option<Merge>) -> Option<&Version> {
        let last = self.past.last()?;
        (merges.is_some() && last.merges == merges).then_some(&last.version)
    }

    /// The step that undo would take back.
    pub fn undo_name(&self) -> Option<&StepName> {
        self.past.last().map(|step| &step.name)
    }

    /// The step that redo would bring back.
    pub fn redo_name(&self) -> Option<&StepName> {
        self.future.last().map(|step| &step.name)
    }

    /// The version that undo would bring back, or redo.
    pub fn next(&self, way: Way) -> Option<&Version> {
        let steps = match way {
            Way::Back => &self.past,
            Way::Forth => &self.future,
        };
        steps.last().map(|step| &step.version)
    }

    /// Takes the last step back or brings the last undone one back: gives the version there.
    pub fn travel(&mut self, way: Way, now: &Version) -> Option<Version> {
        match way {
            Way::Back => self.undo(now),
            Way::Forth => self.redo(now),
        }
    }

    /// Takes the last step back: gives the version before it.
    fn undo(&mut self, now: &Version) -> Option<Version> {
        let step = self.past.pop()?;
        self.future.push(Step { name: step.name, version: now.clone(), merges: None });
        Some(step.version)
    }

    /// Brings the last undone step back.
    fn redo(&mut self, now: &Version) -> Option<Version> {
        let step = self.future.pop()?;
        self.past.push(Step { name: step.name, version: now.clone(), merges: None });
        Some(step.version)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::{Arc, OnceLock};

    use chrono::{NaiveDate, NaiveTime};
    use evenfall_core::earth::EarthOrientation;
    use evenfall_core::plan::{Call, Evening, House, OrderRules, Programme, RunningOrder, StopId, Wishes};
    use evenfall_core::time::Instant;

    use super::{History, Merge, StepName, Version};
    use crate::shell::Machine;
    use crate::state::{Outside, Stock};

    fn version(title: &str) -> Version {
        static STOCK: OnceLock<Arc<Stock>> = OnceLock::new();

        let evening = Evening {
            title: title.to_owned(),
            date: NaiveDate::default(),
            site_file: String::new(),
            rig_file: String::new(),
            catalogue_file: String::new(),
            house: House {
                visitors: 1,
                children: 0,
                seated: 0,
                seconds_a_look: 30.0,
                skip_percent: 0.0,
                screen_minutes: 8.0,
                seconds_by_kind: Vec::new(),
                arrivals: Vec::new(),
                leaving: None,
            },
            programme: Programme {
                doors_open: NaiveTime::default(),
                doors_close: NaiveTime::default(),
                fixed: Vec::new(),
                slack_percent: 0.0,
            },
            wishes: Wishes::default(),
            rules: OrderRules::default(),
            call: Call::default(),
            next_dates: Vec::new(),
            orientation: EarthOrientation::default(),
            order: RunningOrder::default(),
            version: String::new(),
            versions: Vec::new(),
            shown: Vec::new(),
        };
        let stock = STOCK.get_or_init(|| Machine.demo().unwrap().stock);
        Version { evening, stock: Arc::clone(stock), picked_up: None, account: None }
    }

    fn removed(title: &str) -> StepName {
        StepName::Removed { title: title.to_owned(), from: Instant::J2000 }
    }

    #[test]
    fn back_and_forth_with_names() {
        let mut history = History::default();
        history.record(removed("first"), version("a"), None);
        history.record(removed("second"), version("b"), None);
        assert_eq!(history.undo_name(), Some(&removed("second")));
        assert_eq!(history.undo(&version("c")), Some(version("b")));
        assert_eq!(history.redo_name(), Some(&removed("second")));
        assert_eq!(history.redo(&version("b")), Some(version("c")));
        history.undo(&version("c"));
        history.record(removed("other"), version("b"), None);
        assert_eq!(history.redo_name(), None);
    }

    #[test]
    fn pushes_of_one_stop_are_one_step() {
        let mut history = History::default();
        for (before, stop) in [("a", 1), ("b", 1), ("c", 2)] {
            history.record(removed(before), version(before), Some(Merge::Stop(StopId(stop))));
        }
        assert_eq!(history.undo(&version("d")), Some(version("c")));
        assert_eq!(history.undo(&version("c")), Some(version("a")));
        assert_eq!(history.undo(&version("a")), None);
    }
}
