//! The usual cautions of a public observing night, in short form, and the footer that defers.
//!
//! Gathered from published rules and from common practice; where a rule is cited, it stands beside its line.
//! None replaces local codes, park rules, the makers' instructions or licensed practice.

/// The footer of every page.
pub const FOOTER: &str = "Advice only. Defer to local codes, park rules, the equipment makers' instructions and \
                          licensed practice. The person named as night lead decides.";

/// The usual cautions, the gravest first; each is a topic and what to do.
pub const fn usual_cautions() -> &'static [(&'static str, &'static str)] {
    &[
        // ISO 12312-2:2015 covers filters for the naked eye only, never a telescope or binoculars.
        (
            "Sun",
            "Never point or sweep near it. Cap finders until it has set; close and park before it rises.",
        ),
        // 21 CFR 1040.11 and IEC 60825-1 (classes); 14 CFR 91.11 and 18 U.S.C. 39A (aircraft).
        (
            "Laser",
            "Only the named person, only where the law allows. Never near aircraft, people or animals. Off if in doubt.",
        ),
        // Moves announced before they begin: published safety and start-up checklists of public telescopes.
        (
            "Moving parts",
            "'Moving' is called, 'clear' awaited. Stay behind the line; no hands on dome or mount.",
        ),
        // ISO 13850 (emergency stop).
        ("Emergency stop", "Show every helper where it is; test it before doors."),
        (
            "Emergency",
            "White light at once. Know who calls, from where, with which address. Keep the way clear.",
        ),
        // 29 CFR 1910.23 (ladders).
        ("Ladder", "One person at a time, hand on the rail. Never step back from the eyepiece."),
        // Thirty seconds, thirty minutes: advice of national weather services.
        ("Lightning", "Thunder within 30 s of the flash: close, take shelter, wait 30 min after the last."),
        ("Wind and rain", "At the limits close at once. Opening again is the night lead's word."),
        ("Cold", "Hats, layers, a warm room. Children and older visitors go first."),
        ("Red light only", "Dim, pointed down. Say 'white light' before you switch one on."),
        ("Children", "Each stays with their own adult. No lifting. Name a meeting point."),
        ("Trip hazards", "Cables under ramps, steps marked in dim red. Walk the path by day."),
        ("Electricity", "Outdoor leads with residual-current protection, plugs off wet ground."),
        ("Numbers", "No more inside than the posted number. Count in and out."),
    ]
}

#[cfg(test)]
mod tests {
    use super::{FOOTER, usual_cautions};

    #[test]
    fn every_hazard_of_the_night_has_its_caution() {
        for topic in [
            "Sun",
            "Laser",
            "Moving parts",
            "Emergency",
            "Ladder",
            "Lightning",
            "Cold",
            "Red light",
            "Children",
        ] {
            assert!(
                usual_cautions().iter().any(|caution| caution.0.starts_with(topic)),
                "no caution on {topic}"
            );
        }
        assert!(FOOTER.starts_with("Advice only.") && FOOTER.ends_with("night lead decides."));
    }
}
