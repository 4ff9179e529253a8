//! What is asked about the house and its doors: the title, when doors open and close, who is expected, how long a look takes.

use std::sync::Arc;

use chrono::{NaiveTime, Timelike};
use evenfall_core::plan::{Evening, House, Programme};
use evenfall_core::reading::LONGEST_NAME;

use super::app_state::AfterLayOut;
use super::{AppState, Dialog, StepName};

/// Seconds for one look, least and most.
pub const LOOK_SECONDS: (u32, u32) = (1, 600);
/// Minutes at a screen, least and most.
pub const SCREEN_MINUTES: (u32, u32) = (1, 120);
/// The shortest time that doors may be open, in minutes: a shorter one is refused when the evening is prepared.
const SHORTEST_DOORS_MINUTES: u32 = 10;

/// The answers so far.
#[derive(Clone, Debug, PartialEq)]
pub struct HouseForm {
    /// What the evening is called.
    pub title: String,
    /// Doors open, on the local clock.
    pub doors_open: NaiveTime,
    /// Doors close, on the local clock; before noon means after midnight.
    pub doors_close: NaiveTime,
    /// Visitors that are expected.
    pub visitors: u32,
    /// How many of them are children.
    pub children: u32,
    /// How many of them look seated.
    pub seated: u32,
    /// Seconds for one look through an eyepiece.
    pub look_seconds: u32,
    /// Share that skips any given stop, in percent.
    pub skip_percent: f64,
    /// Minutes at a screen.
    pub screen_minutes: u32,
}

/// What keeps the answers from being taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HouseFault {
    /// The evening has no title.
    NoTitle,
    /// The title is too long.
    LongTitle,
    /// Doors close before or soon after they open.
    Doors,
    /// More children than visitors.
    Children,
    /// More who look seated than visitors.
    Seated,
}

impl HouseForm {
    /// What stands in an evening.
    pub(super) fn new(evening: &Evening) -> Self {
        let (house, programme) = (&evening.house, &evening.programme);
        Self {
            title: evening.title.clone(),
            doors_open: programme.doors_open,
            doors_close: programme.doors_close,
            visitors: house.visitors,
            children: house.children,
            seated: house.seated,
            look_seconds: whole(house.seconds_a_look, LOOK_SECONDS),
            skip_percent: house.skip_percent,
            screen_minutes: whole(house.screen_minutes, SCREEN_MINUTES),
        }
    }

    /// What speaks against the answers, in the order of the questions.
    pub fn faults(&self) -> Vec<HouseFault> {
        let title = self.plain_title();
        let past_noon = |time: NaiveTime| (time.num_seconds_from_midnight() / 60 + 720) % 1440;
        let (open, close) = (past_noon(self.doors_open), past_noon(self.doors_close));
        [
            (title.is_empty(), HouseFault::NoTitle),
            (title.chars().count() > LONGEST_NAME, HouseFault::LongTitle),
            (close < open + SHORTEST_DOORS_MINUTES, HouseFault::Doors),
            (self.children > self.visitors, HouseFault::Children),
            (self.seated > self.visitors, HouseFault::Seated),
        ]
        .into_iter()
        .filter_map(|(holds, fault)| holds.then_some(fault))
        .collect()
    }

    /// The title as it is kept: on one line, without space round it.
    fn plain_title(&self) -> String {
        let letters: String = self.title.chars().filter(|letter| !letter.is_control()).collect();
        letters.trim().to_owned()
    }

    /// The evening with these answers; what was not touched stays to the last digit.
    pub(super) fn answered(&self, evening: &Evening) -> Evening {
        let before = Self::new(evening);
        let number =
            |typed: u32, shown: u32, stands: f64| if typed == shown { stands } else { f64::from(typed) };
        let house = House {
            visitors: self.visitors,
            children: self.children,
            seated: self.seated,
            seconds_a_look: number(self.look_seconds, before.look_seconds, evening.house.seconds_a_look),
            skip_percent: self.skip_percent,
            screen_minutes: number(self.screen_minutes, before.screen_minutes, evening.house.screen_minutes),
            ..evening.house.clone()
        };
        let programme = Programme {
            doors_open: self.doors_open,
            doors_close: self.doors_close,
            ..evening.programme.clone()
        };
        let title = self.plain_title();
        Evening { title, house, programme, ..evening.clone() }
    }

    /// What the step from one evening to the other is called; `None` where nothing changed.
    fn step_name(before: &Evening, after: &Evening) -> Option<StepName> {
        let changed =
            (before.title != after.title, before.programme != after.programme, before.house != after.house);
        Some(match changed {
            (false, false, false) => return None,
            (true, false, false) => StepName::TitleSet(after.title.clone()),
            (false, true, false) => {
                StepName::DoorsSet(after.programme.doors_open, after.programme.doors_close)
            }
            (false, false, true) => StepName::HouseSet,
            _ => StepName::HouseAndDoorsSet,
        })
    }
}

fn whole(value: f64, (least, most): (u32, u32)) -> u32 {
    (value.round() as u32).clamp(least, most)
}

/// Asks about the house.
pub(super) fn ask(state: &mut AppState) {
    let Some(open) = &state.open else { return };
    state.view.dialog = Some(Dialog::House(HouseForm::new(&open.document.evening)));
}

/// Takes the answers as one step, once the evening is computed for them. The running order stays as it is.
pub(super) fn set(state: &mut AppState, form: &HouseForm) {
    state.view.dialog = None;
    let Some(open) = &state.open else { return };
    let before = &open.document.evening;
    let after = form.answered(before);
    let Some(name) = HouseForm::step_name(before, &after) else { return };
    let stock = Arc::clone(&open.document.stock);
    let step = AfterLayOut::Step(name, open.picked_up.clone());
    state.lay_out(after, stock, None, step);
}

#[cfg(test)]
mod tests {
    use evenfall_core::plan::Evening;

    use super::{HouseFault, HouseForm};
    use crate::shell::Machine;
    use crate::state::{Outside, StepName};

    fn demo() -> (Evening, HouseForm) {
        let evening = Machine.demo().unwrap().evening;
        let form = HouseForm::new(&evening);
        (evening, form)
    }

    #[test]
    fn unchanged_answers_leave_the_evening_as_it_is() {
        let (mut evening, form) = demo();
        assert_eq!(form.answered(&evening), evening);
        evening.house.seconds_a_look += 0.25;
        assert_eq!(form.answered(&evening), evening, "a quarter of a second is nobody's edit");
        assert_eq!(HouseForm::step_name(&evening, &evening), None);
    }

    #[test]
    fn a_step_is_named_after_what_changed() {
        let (evening, form) = demo();
        let name = |form: HouseForm| HouseForm::step_name(&evening, &form.answered(&evening));
        let close = "22:45:00".parse().unwrap();
        assert_eq!(
            name(HouseForm { title: " Stars ".into(), ..form.clone() }),
            Some(StepName::TitleSet("Stars".into()))
        );
        let doors = HouseForm { doors_close: close, ..form.clone() };
        assert_eq!(name(doors.clone()), Some(StepName::DoorsSet(form.doors_open, close)));
        assert_eq!(name(HouseForm { visitors: 90, ..form }), Some(StepName::HouseSet));
        assert_eq!(name(HouseForm { visitors: 90, ..doors }), Some(StepName::HouseAndDoorsSet));
    }

    #[test]
    fn what_cannot_be_is_told() {
        let (_, form) = demo();
        assert_eq!(form.faults(), []);
        let crowd = HouseForm { visitors: 5, children: 6, seated: 7, ..form.clone() };
        assert_eq!(crowd.faults(), [HouseFault::Children, HouseFault::Seated]);
        let shut = HouseForm { doors_close: form.doors_open, title: "  ".into(), ..form.clone() };
        assert_eq!(shut.faults(), [HouseFault::NoTitle, HouseFault::Doors]);
        // Past midnight is later.
        assert_eq!(HouseForm { doors_close: "00:30:00".parse().unwrap(), ..form.clone() }.faults(), []);
        assert_eq!(HouseForm { title: "x".repeat(61), ..form }.faults(), [HouseFault::LongTitle]);
    }
}
