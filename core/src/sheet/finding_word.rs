//! A Stopper or Caution in a word or three, where a drawing has no room for its sentence.

use crate::plan::Rule;

/// What is wrong, in lower case: `too low`, `long wait`.
pub const fn finding_word(rule: &Rule) -> &'static str {
    match rule {
        Rule::Overlap { .. } => "overlaps",
        Rule::MoveDoesNotFit { .. } => "move too long",
        Rule::OutsideDoors => "outside doors",
        Rule::UnknownTarget(_) => "no such target",
        Rule::UnknownPort(_) => "no such port",
        Rule::PortOutOfService(_) => "out of service",
        Rule::TooLow { .. } => "too low",
        Rule::InKeyhole { .. } => "keyhole",
        Rule::InClosedSky { .. } => "closed sky",
        Rule::NearSun { .. } => "near the Sun",
        Rule::Daylight => "daylight",
        Rule::SlewNearSun { .. } => "slew near Sun",
        Rule::FirstSlewInDaylight => "slew by day",
        Rule::SlewTooEarly { .. } => "slew not early",
        Rule::CablesEnd { .. } => "cables end",
        Rule::FlipInside { .. } => "flip",
        Rule::NotSeated { .. } => "not seated",
        Rule::StepInUse { .. } => "step in use",
        Rule::NoView => "no view",
        Rule::PoorView => "poor view",
        Rule::TooShort { .. } => "too short",
        Rule::LongWait { .. } => "long wait",
        Rule::NoPictureYet => "no picture yet",
        Rule::ShownTwice { .. } => "shown twice",
        Rule::MustShowMissing(_) => "not shown",
        Rule::LeftOutShown => "to be left out",
        Rule::UnknownUnderstudy(_) | Rule::LeftOutUnderstudy(_) | Rule::UnderstudyLimited { .. } => {
            "understudy"
        }
        Rule::MoonNear { .. } => "Moon near",
        Rule::OldElements { .. } => "old elements",
        Rule::Incomplete { .. } => "incomplete",
        Rule::FixedEntryMissing { .. } => "entry missing",
        Rule::LittleSlack { .. } => "little slack",
        Rule::NothingYet { .. } => "nothing yet",
        Rule::NothingToShow { .. } => "nothing to show",
        Rule::TooManyPortChanges { .. } => "many changes",
        Rule::TooFewOnPort { .. } => "few on port",
        Rule::TooManyForScreen { .. } => "screen too small",
        Rule::ParkCloses => "park closes",
        Rule::ClockTimeTwice { .. } | Rule::ClockTimeSkipped { .. } => "clock change",
        Rule::DoubtfulClock => "doubtful clock",
    }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveTime;

    use super::finding_word;
    use crate::catalogue::{Missing, TargetId};
    use crate::plan::{ClockTime, Limit, Rule, StopId};
    use crate::rig::PortId;
    use crate::time::Instant;
    use crate::units::{Angle, Fraction};

    /// The longest word that a block or the name of a path has room for, in letters.
    const LONGEST: usize = 16;

    /// Every rule, in the order of their declaration, with its word.
    fn table() -> Vec<(Rule, &'static str)> {
        let (at, angle, minutes, other) = (Instant::J2000, Angle::ZERO, 2.0, StopId(2));
        let target = || TargetId("some-target".to_owned());
        let port = || PortId("some-port".to_owned());
        vec![
            (Rule::Overlap { with: other }, "overlaps"),
            (Rule::MoveDoesNotFit { short_by_minutes: minutes }, "move too long"),
            (Rule::OutsideDoors, "outside doors"),
            (Rule::UnknownTarget(target()), "no such target"),
            (Rule::UnknownPort(port()), "no such port"),
            (Rule::PortOutOfService(port()), "out of service"),
            (Rule::TooLow { at, altitude: angle, needed: angle }, "too low"),
            (Rule::InKeyhole { at, throughout: true }, "keyhole"),
            (Rule::InClosedSky { at }, "closed sky"),
            (Rule::NearSun { separation: angle, limit: angle }, "near the Sun"),
            (Rule::Daylight, "daylight"),
            (Rule::SlewNearSun { separation: angle }, "slew near Sun"),
            (Rule::FirstSlewInDaylight, "slew by day"),
            (Rule::SlewTooEarly { separation: angle, from: at }, "slew not early"),
            (Rule::CablesEnd { at }, "cables end"),
            (Rule::FlipInside { at }, "flip"),
            (Rule::NotSeated { heights_mm: (1400.0, 1500.0), later_stops: 0 }, "not seated"),
            (Rule::StepInUse { port: port(), step_mm: 300.0 }, "step in use"),
            (Rule::NoView, "no view"),
            (Rule::PoorView, "poor view"),
            (Rule::TooShort { has_minutes: minutes, needed_minutes: minutes }, "too short"),
            (Rule::LongWait { at, wait_minutes: minutes }, "long wait"),
            (Rule::NoPictureYet, "no picture yet"),
            (Rule::ShownTwice { with: other }, "shown twice"),
            (Rule::MustShowMissing(target()), "not shown"),
            (Rule::LeftOutShown, "to be left out"),
            (Rule::UnknownUnderstudy(target()), "understudy"),
            (Rule::LeftOutUnderstudy(target()), "understudy"),
            (Rule::UnderstudyLimited { understudy: target(), at, limit: Limit::Sun }, "understudy"),
            (Rule::OldElements { age_days: 132.4 }, "old elements"),
            (Rule::Incomplete { missing: vec![Missing::Size] }, "incomplete"),
            (Rule::MoonNear { lit: Fraction::ONE, separation: angle }, "Moon near"),
            (Rule::FixedEntryMissing { title: "Talk".to_owned() }, "entry missing"),
            (Rule::LittleSlack { free_percent: 4.0, wished_percent: 12.0 }, "little slack"),
            (Rule::NothingYet { until: at }, "nothing yet"),
            (Rule::NothingToShow { limit: None }, "nothing to show"),
            (Rule::TooManyPortChanges { changes: 9, most: 4 }, "many changes"),
            (Rule::TooFewOnPort { port: port(), stops: 1, least: 3 }, "few on port"),
            (Rule::TooManyForScreen { visitors: 200, at_most: 120 }, "screen too small"),
            (Rule::ParkCloses, "park closes"),
            (Rule::ClockTimeTwice { what: ClockTime::DoorsOpen, taken: at }, "clock change"),
            (Rule::ClockTimeSkipped { what: ClockTime::DoorsOpen, time: NaiveTime::MIN }, "clock change"),
            (Rule::DoubtfulClock, "doubtful clock"),
        ]
    }

    #[test]
    fn every_rule_has_its_word_and_the_word_fits() {
        let table = table();
        for (rule, word) in &table {
            assert_eq!(finding_word(rule), *word, "{rule:?}");
            assert!((1..=LONGEST).contains(&word.len()), "{word} is too long for a block");
        }
        let mut rules: Vec<_> = table.iter().map(|(rule, _)| std::mem::discriminant(rule)).collect();
        rules.dedup();
        assert_eq!(rules.len(), table.len(), "a rule stands there twice");
        // One word for what is wrong with understudies, one for the clock: all others are told apart.
        let mut words: Vec<_> = table.iter().map(|(_, word)| *word).collect();
        words.dedup();
        let count = words.len();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), count, "two rules share a word");
    }
}
