//! The cloud card: what happens instead, in three depths: holes, thin cloud, shut.

use super::thin_cloud::survives;
use super::{LEAST_STAFF_PT, Page, STAFF_PT, clock, heading, texts};
use crate::rig::Port;
use crate::sheet::page_words::NOTHING;
use crate::sheet::{Block, Leaf, LeafKind, LeafTable, numbers, port_letter};
use crate::time::Instant;

/// The most targets named for holes.
const MOST_IN_HOLES: usize = 14;

/// What is shown and told indoors. Common practice, no source.
pub(super) const INDOORS: [&str; 5] = [
    "Talk: how a telescope works, with this one as the example",
    "Tour of dome and telescope, at rest, lamps red",
    "Pictures taken through this telescope, each labelled with its date",
    "Stories of the sky, and what would have been up tonight",
    "Questions and answers; the handbill and the next dates",
];

pub(super) fn cloud_card(page: &Page<'_>) -> Leaf {
    let leaf = page.leaf(LeafKind::CloudCard, "Cloud card: what happens instead", STAFF_PT, blocks(page));
    Leaf { least_pt: LEAST_STAFF_PT, ..leaf }
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    if page.called_off() {
        let mut indoors = vec![
            Block::Large("No-go: the dome stays closed".to_owned()),
            heading("Indoors"),
            Block::List(texts(&INDOORS)),
        ];
        let planned = planned(page);
        indoors.extend((!planned.is_empty()).then_some(Block::List(planned)));
        return indoors;
    }
    let holes = holes(page);
    vec![
        heading("Holes in the cloud"),
        Block::Text(
            "Bright targets only, by where the hole is. Turn the dome to the clear part and take what stands there; \
             shorten the line, tell people that it may close."
                .to_owned(),
        ),
        holes.map_or_else(|| Block::Text("No bright target is up during doors.".to_owned()), Block::Table),
        heading("Thin cloud"),
        Block::Text(
            "Stars, planets and other bright discs stay; a faint glow is lost in the cloud's own light (reckoned with two magnitudes \
             lost). In its place show the understudy beside it, or where none survives a target from above."
                .to_owned(),
        ),
        thin(page).map_or_else(|| Block::Text("No stops are laid out yet.".to_owned()), Block::Table),
        Block::Text(
            "Also, once the Sun is down: a far lamp or a hilltop through the telescope, only with the night lead's word that \
             no limit is reached."
                .to_owned(),
        ),
        heading("Shut"),
        Block::Text("The dome closes; at a limit of the Call card at once. Indoors:".to_owned()),
        Block::List(texts(&INDOORS)),
        Block::List(hours(page)),
    ]
}

/// What keeps its hour whatever the sky does.
fn planned(page: &Page<'_>) -> Vec<String> {
    let entries = page.names.evening.order.stops().iter().filter(|stop| stop.show().is_none());
    let told = |at, title: &str| format!("{}: {title}, as planned", clock(page.names, at));
    entries.map(|stop| told(stop.start(), &page.names.stop_title(stop))).collect()
}

/// The same, and when to look at the sky again.
fn hours(page: &Page<'_>) -> Vec<String> {
    let mut hours = planned(page);
    hours.push(
        "Look at the sky again every 15 minutes; after rain wait 30 minutes, after thunder 30 from the last."
            .to_owned(),
    );
    hours
}

/// Bright targets in the order of their azimuth, with where they stand as the evening goes: those of the most worth at their
/// best hour that thin cloud does not take.
fn holes(page: &Page<'_>) -> Option<LeafTable> {
    let (names, prepared) = (page.names, page.names.prepared);
    let doors = prepared.doors;
    let middle = doors.start().plus_minutes((doors.minutes() / 2.0).round());
    let mut worth: Vec<(f64, usize, Instant)> = prepared
        .availability
        .iter()
        .enumerate()
        .filter_map(|(index, own)| own.best.map(|(at, worth)| (worth.value(), index, at)))
        .collect();
    worth.sort_by(|one, other| other.0.total_cmp(&one.0));
    let bright = worth.into_iter().filter_map(|(_, index, at)| {
        let port = names.materials.rig.ports.get(prepared.ranked.get(index)?.first()?.port)?;
        survives(names, index, port, at).then_some((index, port))
    });
    let mut bright: Vec<(f64, usize, &Port)> = bright
        .take(MOST_IN_HOLES)
        .filter_map(|(index, port)| Some((prepared.sample(index, middle)?.azimuth.degrees(), index, port)))
        .collect();
    bright.sort_by(|one, other| one.0.total_cmp(&other.0));
    let hours = [doors.start(), middle, doors.end()];
    let rows: Vec<Vec<String>> = bright
        .iter()
        .filter_map(|(_, index, port)| {
            let target = names.materials.catalogue.targets.get(*index)?;
            let letter = names.port_index(&port.id).map(port_letter).unwrap_or_default();
            let port = format!("{letter} {}", port.name);
            let stands = hours.map(|at| {
                let sample = prepared.sample(*index, at);
                let up = sample
                    .filter(|sample| sample.altitude > names.materials.site.horizon.altitude(sample.azimuth));
                up.map_or_else(
                    || "down".to_owned(),
                    |sample| {
                        format!(
                            "{} {}, {} up",
                            numbers::compass_letters(sample.azimuth),
                            numbers::azimuth_degrees(sample.azimuth),
                            numbers::degrees(sample.altitude)
                        )
                    },
                )
            });
            Some([target.name.clone(), port].into_iter().chain(stands).collect())
        })
        .collect();
    let heads = ["Target".to_owned(), "Port".to_owned()]
        .into_iter()
        .chain(hours.map(|at| format!("Azimuth, altitude at {}", clock(names, at))));
    (!rows.is_empty()).then(|| LeafTable {
        summary: "Bright targets in the order of their azimuth in the middle of the evening, clockwise from north, with where they \
                  stand when doors open, in the middle and when doors close."
            .to_owned(),
        heads: heads.collect(),
        rows,
        shares: vec![2.6, 1.8, 1.8, 1.8, 1.8],
        may_stand_below: None,
        filled_in: &[],
    })
}

/// Tonight's stops and whether each survives thin cloud.
fn thin(page: &Page<'_>) -> Option<LeafTable> {
    let names = page.names;
    let rows: Vec<Vec<String>> = names
        .evening
        .order
        .stops()
        .iter()
        .filter_map(|stop| {
            let show = stop.show()?;
            let known = names.target(&show.target).zip(names.materials.rig.port(&show.port));
            let stays = known.is_some_and(|((index, _), port)| survives(names, index, port, stop.start()));
            let number = names.stop_number(stop.id).map(|number| number.to_string()).unwrap_or_default();
            let row = page.sheet.rows.iter().find(|row| row.number == number);
            // One that would be lost as well is no replacement.
            let understudy = row.map(|row| row.understudy.as_str()).filter(|understudy| {
                let targets = &names.materials.catalogue.targets;
                let index = targets.iter().position(|target| target.name == *understudy);
                let port = names.materials.rig.port(&show.port);
                index.zip(port).is_some_and(|(index, port)| survives(names, index, port, stop.start()))
            });
            Some(vec![
                number.clone(),
                clock(names, stop.start()),
                names.stop_title(stop),
                if stays { "yes" } else { "no" }.to_owned(),
                understudy.unwrap_or(NOTHING).to_owned(),
            ])
        })
        .collect();
    (!rows.is_empty()).then(|| LeafTable {
        summary: "Tonight's stops that show a target, and whether each survives thin cloud.".to_owned(),
        heads: texts(&["Stop", "Time", "Target", "Survives thin cloud", "Understudy"]),
        rows,
        shares: vec![0.7, 0.9, 3.0, 1.6, 2.6],
        may_stand_below: None,
        filled_in: &[],
    })
}
