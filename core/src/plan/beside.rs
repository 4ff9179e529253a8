//! Two streams: a talk at the screen beside the line at the eyepiece.
//!
//! The telescope has one beam, and the selector sends it to one port. What can run beside a line at the eyepiece is
//! therefore no second target, but a talk over the last picture on the screen, which needs no telescope. Those in line
//! sit there, keep their places, and are called back to the eyepiece a few at a time.

use super::{EntryKind, RunningOrder, Stop, What};
use crate::rig::{Port, Rig};
use crate::time::Interval;

/// How many can look at one screen together. Common practice, no source.
pub(super) const LARGEST_SCREEN_GROUP: u32 = 120;
/// How many are called from the screen to stand at the eyepiece: about ten at a time, as the guide to the public nights
/// of the Lick Observatory's 36-inch refractor has it (start-up checklist).
pub(super) const CALLED_TOGETHER: u32 = 10;

impl Stop {
    /// Whether it is a talk at the screen, which can run beside a line at the eyepiece.
    pub const fn is_screen_talk(&self) -> bool {
        matches!(self.what, What::Entry { kind: EntryKind::ScreenTalk, .. })
    }
}

/// Whether two stops share time that they can't share. Only a talk at the screen may run beside something, and only
/// beside a target at an eyepiece.
pub fn in_each_others_way(one: &Stop, other: &Stop, rig: &Rig) -> bool {
    let at_eyepiece = |stop: &Stop| {
        let port = stop.show().and_then(|show| rig.port(&show.port));
        port.is_some_and(Port::is_eyepiece)
    };
    let beside =
        || (one.is_screen_talk() && at_eyepiece(other)) || (other.is_screen_talk() && at_eyepiece(one));
    one.interval.overlaps(other.interval) && !beside()
}

/// Whether a stop is in the way of a target that would be shown on a port over an interval.
pub(super) fn is_in_the_way(stop: &Stop, interval: Interval, port: &Port) -> bool {
    stop.interval.overlaps(interval) && !(stop.is_screen_talk() && port.is_eyepiece())
}

/// The port whose screen a talk is held at, by its position on the rig: the one that gave the last picture before it,
/// else the first with a screen. `None` for any other stop, and on a rig without screens.
pub fn screen_of_talk(order: &RunningOrder, talk: &Stop, rig: &Rig) -> Option<usize> {
    if !talk.is_screen_talk() {
        return None;
    }
    last_picture(order, talk, rig).or_else(|| rig.ports.iter().position(|port| !port.is_eyepiece()))
}

/// The port that gave the last picture before a talk.
pub(super) fn last_picture(order: &RunningOrder, talk: &Stop, rig: &Rig) -> Option<usize> {
    let before = order.stops().iter().rev().filter(|stop| stop.start() < talk.start());
    let mut ports = before.filter_map(|stop| {
        let show = stop.show()?;
        rig.ports.iter().position(|port| port.id == show.port && !port.is_eyepiece())
    });
    ports.next()
}

#[cfg(test)]
mod tests {
    use super::{in_each_others_way, screen_of_talk};
    use crate::catalogue::TargetId;
    use crate::plan::invented::Invented;
    use crate::plan::{EntryKind, Held, RunningOrder, Show, Stop, StopId, What};
    use crate::rig::{Port, PortId};
    use crate::time::{Instant, Interval};

    fn stop(id: u32, what: What, from: f64, to: f64) -> Stop {
        let at = |minutes| Instant::J2000.plus_minutes(minutes);
        let interval = Interval::new(at(from), at(to)).expect("in order");
        Stop { id: StopId(id), what, interval, held: Held::default() }
    }

    fn on(port: &str) -> What {
        What::Show(Show {
            target: TargetId("jupiter".to_owned()),
            port: PortId(port.to_owned()),
            eyepiece: None,
            understudy: None,
        })
    }

    fn entry(kind: EntryKind) -> What {
        What::Entry { kind, title: "Entry".to_owned(), cue: String::new() }
    }

    #[test]
    fn row_38_only_a_talk_at_the_screen_and_a_line_at_the_eyepiece_share_time() {
        let invented = Invented::new(1);
        let rig = invented.materials().rig;
        let conflict = |one: What, other: What| {
            let (one, other) = (stop(1, one, 0.0, 30.0), stop(2, other, 10.0, 40.0));
            let told = in_each_others_way(&one, &other, rig);
            assert_eq!(told, in_each_others_way(&other, &one, rig));
            told
        };
        assert!(!conflict(on("eyepiece"), entry(EntryKind::ScreenTalk)));
        for other in [on("wide"), on("spectrograph"), on("nowhere"), entry(EntryKind::Interval)] {
            assert!(conflict(other, entry(EntryKind::ScreenTalk)));
        }
        assert!(conflict(entry(EntryKind::ScreenTalk), entry(EntryKind::ScreenTalk)));
        assert!(conflict(on("eyepiece"), entry(EntryKind::Talk)) && conflict(on("eyepiece"), on("wide")));
        // One after the other shares nothing.
        let (first, second) = (stop(1, on("wide"), 0.0, 10.0), stop(2, entry(EntryKind::Talk), 10.0, 20.0));
        assert!(!in_each_others_way(&first, &second, rig));
    }

    #[test]
    fn a_talk_is_held_where_the_last_picture_is() {
        let invented = Invented::new(1);
        let rig = invented.materials().rig;
        let talk = stop(3, entry(EntryKind::ScreenTalk), 50.0, 60.0);
        let place = |ports: &[&str]| {
            let shown = ports.iter().enumerate().map(|(index, port)| {
                let from = 10.0 * index as f64;
                stop(10 + index as u32, on(port), from, from + 10.0)
            });
            let order = RunningOrder::new(shown.chain([talk.clone()]).collect());
            screen_of_talk(&order, &talk, rig).map(|index| rig.ports[index].id.0.as_str())
        };
        assert_eq!(place(&["wide", "planetary", "eyepiece"]), Some("planetary"));
        assert_eq!(place(&["eyepiece"]), Some("wide"));
        let line = stop(4, on("eyepiece"), 0.0, 60.0);
        assert_eq!(screen_of_talk(&RunningOrder::default(), &line, rig), None);
        let mut by_eye_only = rig.clone();
        by_eye_only.ports.retain(Port::is_eyepiece);
        assert_eq!(screen_of_talk(&RunningOrder::default(), &talk, &by_eye_only), None);
    }
}
