//! What is asked about the house and its doors: the title, when doors open and close, who is expected and when they come and
//! go, how long a look takes.

use std::sync::Arc;

use chrono::{NaiveTime, Timelike};
use evenfall_core::catalogue::Kind;
use evenfall_core::plan::{
    Evening, House, LeavingFault, Prepared, Programme, VisitorPart, leaving_fault, usual_crowd,
};
use evenfall_core::reading::LONGEST_NAME;

use super::app_state::AfterLayOut;
use super::{AppState, Dialog, StepName};

/// Seconds for one look, least and most.
pub const LOOK_SECONDS: (u32, u32) = (1, 600);
/// Minutes at a screen, least and most.
pub const SCREEN_MINUTES: (u32, u32) = (1, 120);
/// Minutes from doors open to the first or last of those who come or go together, least and most.
pub const PART_MINUTES: (u32, u32) = (0, 900);
/// Share of a part of the visitors in percent, least and most.
pub const PART_PERCENT: (f64, f64) = (0.1, 100.0);
/// Most parts in which they come, or go.
pub const MOST_PARTS: usize = 12;
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
    /// Seconds for one look at kinds for which the usual proportion does not hold.
    pub seconds_by_kind: Vec<(Kind, u32)>,
    /// When they come; `None` for the usual way.
    pub arrivals: Option<Vec<VisitorPart>>,
    /// When they go; `None` for the usual way. Whoever is in no part stays until doors close.
    pub leaving: Option<Vec<VisitorPart>>,
    /// When they usually come and go.
    usual: [Vec<VisitorPart>; 2],
}

/// Coming or going.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CrowdWay {
    /// They come.
    Coming,
    /// They go.
    Going,
}

/// What keeps the answers from being taken.
#[derive(Clone, Copy, Debug, PartialEq)]
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
    /// The last of a part comes, or goes, before its first; parts count from 0.
    PartBackwards(CrowdWay, usize),
    /// More leave than have come.
    Leaving(LeavingFault),
}

impl HouseForm {
    /// What stands in an evening.
    pub(super) fn new(evening: &Evening, prepared: &Prepared) -> Self {
        let some = |part: &VisitorPart| part.percent >= PART_PERCENT.0;
        let usual = usual_crowd(evening, prepared);
        let usual = usual.map(|parts| parts.into_iter().map(rounded).filter(some).collect());
        Self { usual, ..Self::as_it_stands(evening) }
    }

    fn as_it_stands(evening: &Evening) -> Self {
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
            seconds_by_kind: by_kind(house),
            arrivals: Some(house.arrivals.clone()).filter(|arrivals| !arrivals.is_empty()),
            leaving: house.leaving.clone(),
            usual: <[Vec<VisitorPart>; 2]>::default(),
        }
    }

    /// When they come or go, where it is not the usual way.
    pub const fn parts(&self, way: CrowdWay) -> Option<&Vec<VisitorPart>> {
        match way {
            CrowdWay::Coming => self.arrivals.as_ref(),
            CrowdWay::Going => self.leaving.as_ref(),
        }
    }

    const fn parts_mut(&mut self, way: CrowdWay) -> &mut Option<Vec<VisitorPart>> {
        match way {
            CrowdWay::Coming => &mut self.arrivals,
            CrowdWay::Going => &mut self.leaving,
        }
    }

    /// Lets them come or go the usual way, or in parts of one's own, of which the usual ones are the first.
    pub fn set_usual(&mut self, way: CrowdWay, usual: bool) {
        let [coming, going] = &self.usual;
        let usual_parts = match way {
            CrowdWay::Coming => coming.clone(),
            CrowdWay::Going => going.clone(),
        };
        *self.parts_mut(way) = (!usual).then_some(usual_parts);
    }

    /// Changes a part of those who come or go.
    pub fn set_part(&mut self, way: CrowdWay, part: usize, to: VisitorPart) {
        if let Some(own) = self.parts_mut(way).as_mut().and_then(|parts| parts.get_mut(part)) {
            *own = to;
        }
    }

    /// Another part, after the last one.
    pub fn add_part(&mut self, way: CrowdWay) {
        let parts = self.parts_mut(way).get_or_insert_default();
        let from_minutes = parts.last().map_or(0.0, |last| last.until_minutes);
        let until_minutes = (from_minutes + 30.0).min(f64::from(PART_MINUTES.1));
        parts.push(VisitorPart { from_minutes, until_minutes, percent: 10.0 });
    }

    /// Without a part. Without any left they come the usual way, and stay until doors close.
    pub fn drop_part(&mut self, way: CrowdWay, part: usize) {
        let parts = self.parts_mut(way);
        if let Some(own) = parts.as_mut().filter(|own| part < own.len()) {
            own.remove(part);
        }
        if way == CrowdWay::Coming {
            parts.take_if(|own| own.is_empty());
        }
    }

    /// Seconds of its own for a kind; `None` for the usual proportion.
    pub fn set_kind(&mut self, kind: Kind, seconds: Option<u32>) {
        let all = &mut self.seconds_by_kind;
        match (all.iter().position(|(own, _)| *own == kind), seconds) {
            (Some(position), Some(seconds)) => all[position].1 = seconds,
            (Some(position), None) => drop(all.remove(position)),
            (None, Some(seconds)) => all.push((kind, seconds)),
            (None, None) => {}
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
        .chain(self.crowd_faults())
        .collect()
    }

    /// What speaks against how they come and go: first of each part, then of all together.
    fn crowd_faults(&self) -> Vec<HouseFault> {
        let backwards = [CrowdWay::Coming, CrowdWay::Going].into_iter().flat_map(|way| {
            let parts = self.parts(way).into_iter().flatten().enumerate();
            let backwards = parts.filter(|(_, part)| part.until_minutes < part.from_minutes);
            backwards.map(move |(position, _)| HouseFault::PartBackwards(way, position))
        });
        let mut faults: Vec<HouseFault> = backwards.collect();
        if faults.is_empty() {
            faults.extend(leaving_fault(&self.house()).map(HouseFault::Leaving));
        }
        faults
    }

    /// The house as it is answered.
    fn house(&self) -> House {
        House {
            visitors: self.visitors,
            children: self.children,
            seated: self.seated,
            seconds_a_look: f64::from(self.look_seconds),
            seconds_by_kind: self.seconds_by_kind.iter().map(|(kind, s)| (*kind, f64::from(*s))).collect(),
            skip_percent: self.skip_percent,
            screen_minutes: f64::from(self.screen_minutes),
            arrivals: self.arrivals.clone().unwrap_or_default(),
            leaving: self.leaving.clone(),
        }
    }

    /// The title as it is kept: on one line, without space round it.
    fn plain_title(&self) -> String {
        let letters: String = self.title.chars().filter(|letter| !letter.is_control()).collect();
        letters.trim().to_owned()
    }

    /// The evening with these answers; what was not touched stays to the last digit.
    pub(super) fn answered(&self, evening: &Evening) -> Evening {
        let before = Self::as_it_stands(evening);
        let stands = &evening.house;
        let mut house = self.house();
        if self.look_seconds == before.look_seconds {
            house.seconds_a_look = stands.seconds_a_look;
        }
        if self.screen_minutes == before.screen_minutes {
            house.screen_minutes = stands.screen_minutes;
        }
        for (kind, seconds) in &mut house.seconds_by_kind {
            let shown = before.seconds_by_kind.iter().zip(&stands.seconds_by_kind);
            let untouched =
                shown.into_iter().find(|((own, shown), _)| own == kind && f64::from(*shown) == *seconds);
            *seconds = untouched.map_or(*seconds, |(_, (_, stands))| *stands);
        }
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

/// Whole minutes, and a share in tenths of a percent.
fn rounded(part: VisitorPart) -> VisitorPart {
    VisitorPart {
        from_minutes: part.from_minutes.round(),
        until_minutes: part.until_minutes.round(),
        percent: (part.percent * 10.0).floor() / 10.0,
    }
}

fn by_kind(house: &House) -> Vec<(Kind, u32)> {
    let kinds = house.seconds_by_kind.iter();
    kinds.map(|(kind, seconds)| (*kind, whole(*seconds, LOOK_SECONDS))).collect()
}

fn whole(value: f64, (least, most): (u32, u32)) -> u32 {
    (value.round() as u32).clamp(least, most)
}

/// Asks about the house.
pub(super) fn ask(state: &mut AppState) {
    let Some(open) = &state.open else { return };
    state.view.dialog = Some(Dialog::House(HouseForm::new(&open.document.evening, &open.derived.prepared)));
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
        let form = HouseForm::as_it_stands(&evening);
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
