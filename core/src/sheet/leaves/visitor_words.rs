//! Phrases for the public, in plain words; beside each what it rests on.

use crate::catalogue::Kind;

/// Headings, the same on all three handbills.
pub(super) const TIMES: &str = "Tonight’s times";
pub(super) const WHAT_WE_SHOW: &str = "What we show you";
pub(super) const SKY_TONIGHT: &str = "The sky tonight";
pub(super) const HOW_TO_LOOK: &str = "How to look through the eyepiece";
pub(super) const PLEASE: &str = "Please";
pub(super) const GOOD_TO_KNOW: &str = "Good to know";
pub(super) const INDOORS_TONIGHT: &str = "What we do indoors tonight";
pub(super) const AT_HOME: &str = "What you can see at home";
pub(super) const NEXT_DATES: &str = "Come again (by the clock of that day)";

/// How heights are told. One fist at arm's length is about ten degrees: common practice, no source.
pub(super) const FISTS: &str =
    "Where things stand is told in fists: stretch out your arm and stack your fists from the horizon up.";

/// Where an evening has no stop yet.
pub(super) const NOTHING_SHOWN_YET: &str = "What we show is decided on the night. Ask us at the door.";
pub(super) const NOT_UP: &str = "Not to be found with the naked eye while we are open";
pub(super) const NOTHING_AT_HOME: &str = "Nothing easy is up then. Ask us when to look.";
pub(super) const EARLY_TOMORROW: &str = "Early tomorrow:";
pub(super) const LATER: &str = "Later:";
pub(super) const NO_DATES_YET: &str = "The next dates are not fixed yet. Ask us.";
pub(super) const CALLED_OFF: &str =
    "We cannot show you the sky tonight. Come in all the same: there is a programme indoors.";

/// Twenty minutes: rods gain most of their sensitivity in 20 to 30 minutes; Hecht, Haig & Chase 1937, J. Gen. Physiol. 20,
/// 831.
pub(super) const RULES: [&str; 4] = [
    "Red light only, pointed down. Phones away, no flash.",
    "Eyes need twenty minutes to get used to the dark; one white light undoes it.",
    "Dress warmly, for you will stand still outdoors: hat, gloves, thick socks.",
    "Stay behind the line while the dome or the telescope moves.",
];

/// How to use an eyepiece: common practice, no source.
pub(super) const EYEPIECE: [&str; 4] = [
    "Do not touch the telescope or the eyepiece, not even to hold on.",
    "Bring one eye close until you see a bright circle; cover the other.",
    "Wait: the longer you look, the more you see.",
    "See faint things from the corner of your eye: look to one side.",
];

pub(super) const SEATED: &str = "You can look through the eyepiece while seated. Just tell us.";
pub(super) const SEATED_AT_SCREEN: &str =
    "Seated visitors see what the telescope sees on a screen, without a climb. Just tell us.";

pub(super) const SEATED_ASK: &str = "If you look while seated, tell us beforehand: we find a way.";

/// Labels of the easy words, where a heading would take a line.
pub(super) const EASY_FISTS_LABEL: &str = "Fists";
pub(super) const EASY_LOOK_LABEL: &str = "At the eyepiece";
pub(super) const EASY_HERE_LABEL: &str = "Here";
pub(super) const EASY_HOME_LABEL: &str = "At home";
pub(super) const EASY_NOT_UP: &str = "Not to see while we are open";

/// The same in easy words, each sentence at most twelve words.
pub(super) const EASY_RULES: &str = "Use a red lamp only, pointed at the ground. White light spoils our eyes for 20 minutes. Put your phone away. \
     Wear very warm clothes, a hat and gloves. The dome moves: stay behind the line.";
pub(super) const EASY_EYEPIECE: &str = "Do not touch the telescope. Bring one eye close. Look for a bright circle. Keep the other eye open, or cover it. \
     You see more if you wait. For faint things, look a little to one side.";
pub(super) const EASY_FISTS: &str = "Stretch out your arm. Stack your fists from the horizon up.";
pub(super) const EASY_SEATED: &str = "You can look while seated. Just tell us.";
pub(super) const EASY_SEATED_AT_SCREEN: &str = "If you sit, you can look at a screen. Just tell us.";
pub(super) const EASY_SEATED_ASK: &str = "If you sit, tell us beforehand. We find a way.";
pub(super) const EASY_CALLED_OFF: [&str; 2] =
    ["We cannot show you the sky tonight.", "Come in: there is a programme indoors."];

/// Of what the eye sees as a faint glow.
pub(super) const FAINT: &str = "It is faint: take your time.";

/// What a kind of target is, in easy words; the Moon is told by its own line.
pub(super) const fn easy_kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Moon => "",
        Kind::Planet => "A planet.",
        Kind::Star => "A star.",
        Kind::DoubleStar => "Two stars.",
        Kind::OpenCluster => "A group of young stars.",
        Kind::GlobularCluster => "A ball of old stars.",
        Kind::PlanetaryNebula => "Gas from an old star.",
        Kind::Nebula => "A cloud of gas.",
        Kind::SupernovaRemnant => "What is left of a star.",
        Kind::Galaxy => "A galaxy, very many stars.",
        Kind::DarkNebula => "A dark cloud.",
        Kind::Comet => "A comet: ice and dust near the Sun.",
    }
}
