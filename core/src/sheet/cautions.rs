//! The usual cautions of a public observing night, in short form, and the footer that defers.

/// The footer of every page.
pub const FOOTER: &str = "Advice only. Defer to local codes, park rules, the equipment makers' instructions and \
                          licensed practice. The person named as night lead decides.";

/// The usual cautions.
pub const fn usual_cautions() -> [&'static str; 0] {
    []
}
