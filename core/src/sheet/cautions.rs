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
            "Never point or sweep near the Sun. Cap finders until it has set; close up and park before it rises.",
        ),
        // 21 CFR 1040.11 and IEC 60825-1 (classes); 14 CFR 91.11 and 18 U.S.C. 39A (aircraft).
        (
            "Laser",
            "Only the named person, only where the law allows. Never near aircraft, people, animals or vehicles. \
             Off if in doubt.",
        ),
        // Moves announced before they begin: published safety and start-up checklists of public telescopes.
        (
            "Moving parts",
            "The operator calls 'moving' and waits for 'clear'. Stay behind the line; no hands on dome or mount.",
        ),
        // ISO 13850 (emergency stop).
        ("Emergency stop", "Show every helper where it is. Test it before doors open."),
        (
            "Emergency",
            "White light is allowed at once. Say who calls, from where, and which address to give. Keep the way \
             for vehicles clear.",
        ),
        // 29 CFR 1910.23 (ladders).
        (
            "Ladder and steps",
            "One person at a time, hand on the rail, lit red at floor level. Never step back from the eyepiece.",
        ),
        // Thirty seconds, thirty minutes: advice of national weather services.
        (
            "Lightning",
            "Thunder within 30 s of the flash: close and take shelter. Wait 30 minutes after the last thunder. Keep \
             off metal.",
        ),
        (
            "Wind and rain",
            "At the site's limits close the dome at once. Opening again is the night lead's word.",
        ),
        ("Cold", "Hats, layers, a warm room. Children and older visitors go first."),
        (
            "Light",
            "Dim red light only, pointed down. Say 'white light' before you switch one on. Dim all screens.",
        ),
        ("Children", "Each stays with their own adult. No lifting. Name a meeting point for a lost child."),
        ("Trip hazards", "Cables under ramps; legs and steps marked in dim red. Walk the path in daylight."),
        (
            "Electricity",
            "Outdoor-rated leads with residual-current protection. Keep plugs off the wet ground.",
        ),
        ("Numbers", "No more people inside than the posted number. Count in at the gate and out again."),
    ]
}

#[cfg(test)]
mod tests {
    use super::{FOOTER, usual_cautions};

    #[test]
    fn every_hazard_of_the_night_has_its_caution() {
        for topic in
            ["Sun", "Laser", "Moving parts", "Emergency", "Ladder", "Lightning", "Cold", "Light", "Children"]
        {
            assert!(
                usual_cautions().iter().any(|caution| caution.0.starts_with(topic)),
                "no caution on {topic}"
            );
        }
        assert!(FOOTER.starts_with("Advice only.") && FOOTER.ends_with("night lead decides."));
    }
}
