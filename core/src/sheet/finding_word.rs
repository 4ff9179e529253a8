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
        Rule::FixedEntryMissing { .. } => "entry missing",
        Rule::LittleSlack { .. } => "little slack",
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
    use super::finding_word;
    use crate::plan::Rule;

    #[test]
    fn a_word_fits_beside_a_stop() {
        for rule in [Rule::Daylight, Rule::NoPictureYet, Rule::MoveDoesNotFit { short_by_minutes: 2.0 }] {
            assert!(finding_word(&rule).len() <= 16);
        }
        assert_eq!(finding_word(&Rule::PoorView), "poor view");
    }
}
