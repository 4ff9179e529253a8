//! The cautions page: the site's own first, then the usual ones, to be read and signed.
//!
//! Gathered from published rules and from common practice; where a rule is cited, it stands beside its line. None replaces
//! local codes, park rules, the makers' instructions or licensed practice.

use super::crew::{CREW, Role};
use super::{Page, STAFF_PT, blank, heading, texts};
use crate::sheet::{Block, Leaf, LeafKind, LeafTable, Notice, usual_cautions};

pub(super) fn cautions(page: &Page<'_>) -> Leaf {
    page.leaf(LeafKind::Cautions, "Cautions", STAFF_PT, blocks(page))
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    let own = &page.names.materials.site.cautions;
    let mut blocks = Vec::new();
    if !own.is_empty() {
        blocks.extend([heading("This site"), Block::List(own.clone())]);
    }
    blocks.extend([heading("Close the dome or call it off at"), Block::Facts(page.sheet.limits.clone())]);
    let every_night = usual_cautions().iter().chain(&MORE);
    let every_night = every_night.map(|(topic, advice)| Notice::new(*topic, *advice));
    blocks.extend([
        heading("Every public night"),
        Block::Notes(every_night.collect()),
        heading("Filled in before doors open"),
        Block::FillIn(texts(&[
            "Emergency stop is at; tested at",
            "Emergency telephone is at; address to give",
            "First aid is at; first aider",
            "Meeting point for lost children",
            "Laser: the one named person (none if empty)",
            "White light in an emergency: who switches it, where",
            "Most people allowed inside",
        ])),
        heading("Read and signed"),
        Block::Table(LeafTable {
            summary: "One row for each of the crew: boxes for name, signature and time.".to_owned(),
            heads: texts(&["As", "Name", "Signature", "Time"]),
            rows: signers(page).map(|signer| [signer].into_iter().chain(blank(3)).collect()).collect(),
            shares: vec![2.0, 3.0, 3.0, 1.0],
            may_stand_below: None,
            filled_in: &[(1, "box for the name"), (2, "box for the signature"), (3, "box for the time")],
        }),
    ]);
    blocks
}

/// Rows for helpers beside the named roles.
const MORE_HELPERS: usize = 3;

/// Who signs: every role, as often as it is shared, and more helpers.
fn signers(page: &Page<'_>) -> impl Iterator<Item = String> {
    let of_role = |role: &'static Role| -> Vec<String> {
        match role.people(page) {
            1 => vec![role.name.to_owned()],
            people => (1..=people).map(|person| format!("{} {person}", role.name)).collect(),
        }
    };
    CREW.iter().flat_map(of_role).chain((1..=MORE_HELPERS).map(|helper| format!("Helper {helper}")))
}

/// What the run sheet has no room for.
const MORE: [(&str, &str); 14] = [
    // ISO 12312-2:2015 covers filters without magnification only.
    (
        "Sun by day",
        "Never look at the Sun without a filter made for it (ISO 12312-2). That standard is for the naked eye: on a telescope only a \
         checked, fastened full-aperture filter on the front, never one at the eyepiece.",
    ),
    (
        "Dawn",
        "Dome closed, mirror covered, telescope parked away from where the Sun rises: focused sunlight starts fires.",
    ),
    // IEC 60825-1 (classes); 21 CFR 1040.10 and 1040.11: 5 mW at most in the United States; 14 CFR 91.11, 18 U.S.C. 39A.
    (
        "Laser, law",
        "Check the local law: many countries allow 1 mW (class 2) only, some forbid carrying one. Aiming at an aircraft is a crime. \
         A spotter watches for aircraft; none is used within sight of an airport.",
    ),
    // Instructions of university and public observatories.
    ("Dome rim and ring", "No hands on dome, ring or shutter: motors start without warning."),
    // ISO 12100 and 29 CFR 1910.212 (guards).
    ("Power cut", "Know how the dome is closed by hand, and who does it."),
    ("Wind and cold", "Look at wind chill now and at closing, not only at the temperature."),
    (
        "Heat, insects, animals",
        "Water at hand; repellent away from optics; closed shoes; no pets near the instruments.",
    ),
    ("Smoke", "Where smoke hangs in the air, follow the local air quality advice."),
    (
        "Cars",
        "Park nose-out, away from the dome; walking pace; the emergency lane stays clear. Nobody drives without lights on a public road.",
    ),
    ("Food, drink, fire", "Not near the optics; as the park's rules say. Smoke coats mirrors."),
    // W3C, Web Content Accessibility Guidelines 2.2, 2.3.1.
    ("Screens", "Nothing flashes more than three times a second; dim, turned away from the line."),
    ("Late arrivals", "They hear the safety talk too. A written and a large-print copy lies at the door."),
    (
        "Batteries, lamps, heaters",
        "Charging packs are watched; hot lamps and what starts by itself bear a sign.",
    ),
    // Occupancy is set by the local fire authority.
    ("People inside", "The number allowed inside is set locally; it is counted at the door."),
];
