//! What the sentences share: parts of the evening in percent, and ports.

use crate::rig::PortId;
use crate::sheet::phrases::lower_first;
use crate::sheet::{Names, numbers};

/// A share of the evening for people: whole percent from ten on, tenths below: `18%`, `2.1%`, `less than 0.1%`.
pub fn share_words(share: f64) -> String {
    let percent = share.abs() * 100.0;
    match percent {
        _ if percent >= 9.95 => numbers::percent_of(percent),
        _ if percent >= 0.05 => format!("{}%", numbers::decimal(percent, 1)),
        _ if percent > 0.0 => "less than 0.1%".to_owned(),
        _ => "nothing".to_owned(),
    }
}

/// By what share something is more than another, for people: `18% more`, from twice as much on `3.7 times as much`.
pub(super) fn more_words(share: f64) -> String {
    if share >= 1.0 {
        format!("{} times as much", numbers::decimal(1.0 + share, 1))
    } else {
        format!("{} more", share_words(share))
    }
}

/// What the evening would gain or lose: `the evening would lose 2.1%`.
pub(super) fn evening_words(share: f64) -> String {
    if share > 0.0 {
        format!("the evening would gain {}", share_words(share))
    } else if share < 0.0 {
        format!("the evening would lose {}", share_words(share))
    } else {
        "the evening would lose nothing".to_owned()
    }
}

/// A share that orders drafted anew come to, which is not known to the tenth: `about 31%`.
pub(super) fn about_words(share: f64) -> String {
    match share.abs() * 100.0 {
        percent if percent >= 0.5 => format!("about {}", numbers::percent_of(percent)),
        percent if percent > 0.0 => "less than 1%".to_owned(),
        _ => "nothing".to_owned(),
    }
}

/// A port within a sentence: `the eyepiece`.
pub(super) fn port(names: &Names<'_>, id: &PortId) -> String {
    format!("the {}", lower_first(&names.port_name(id)))
}

#[cfg(test)]
mod tests {
    use super::{more_words, share_words};

    #[test]
    fn twice_as_much_and_more_is_told_in_times() {
        assert_eq!(
            [0.18, 0.996, 1.0, 2.68].map(more_words),
            ["18% more", "100% more", "2.0 times as much", "3.7 times as much"]
        );
    }

    #[test]
    fn a_share_is_written_as_finely_as_it_matters() {
        let told = [0.583, 0.0996, 0.0994, 0.021, -0.18, 0.0004, -0.0004, 0.0].map(share_words);
        assert_eq!(
            told,
            ["58%", "10%", "9.9%", "2.1%", "18%", "less than 0.1%", "less than 0.1%", "nothing"]
        );
    }
}
