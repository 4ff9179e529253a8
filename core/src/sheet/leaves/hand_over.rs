//! The hand-over card: everything that points the telescope and sets the port, for somebody who has this paper alone.

use super::in_the_sky::sky_of;
use super::{Page, clock_down, heading, texts};
use crate::assign::extent;
use crate::catalogue::Target;
use crate::place::{EveningSky, Observed, Source, StarPlace};
use crate::plan::{SUN_EXCLUSION_ENDS, Show, Stop, StopTiming, near_sun, sun_exclusion};
use crate::rig::{Drive, Field, FieldHold, Instrument, Port, best_field_angle, fields_of_port};
use crate::sheet::head::clock_change_notice;
use crate::sheet::rule_words::closed_sky_words;
use crate::sheet::set_notes::invented_note;
use crate::sheet::{Block, Leaf, LeafKind, LeafTable, Names, Notice, Row, numbers};
use crate::time::Instant;
use crate::units::Angle;

/// Points of its text: many columns on one side.
const CARD_PT: f32 = 10.0;
/// A motion that leads this far from the place of J2000.0 is told.
const MOVES_ARCSEC: f64 = 0.5;

pub(super) fn hand_over(page: &Page<'_>, timings: &[StopTiming]) -> Leaf {
    let mut leaf = page.leaf(LeafKind::HandOver, "Hand-over card", CARD_PT, blocks(page, timings));
    leaf.landscape = true;
    leaf
}

fn blocks(page: &Page<'_>, timings: &[StopTiming]) -> Vec<Block> {
    let names = page.names;
    let shows: Vec<(&Stop, &Show, &Row)> = names
        .evening
        .order
        .stops()
        .iter()
        .zip(&page.sheet.rows)
        .filter_map(|(stop, row)| Some((stop, stop.show()?, row)))
        .collect();
    let mut blocks: Vec<Block> =
        clock_change_notice(names).map(|notice| Block::Facts(vec![notice])).into_iter().collect();
    blocks.extend(invented_note(names).map(Block::Text));
    if shows.is_empty() {
        blocks.push(Block::Text("No stop shows a target yet.".to_owned()));
    } else {
        if let Some(sky) = sky_of(names) {
            blocks.extend([heading("Where to point"), Block::Table(pointing(names, &sky, &shows))]);
        }
        let notes = notes(names, &shows);
        blocks.extend((!notes.is_empty()).then_some(Block::Facts(notes)));
        blocks.extend([
            Block::Text(CONVENTIONS.to_owned()),
            heading("What to set, and its limits"),
            Block::Table(settings(names, &shows, timings)),
        ]);
    }
    blocks.extend([heading("Limits tonight"), Block::Facts(limits(page))]);
    blocks
}

const CONVENTIONS: &str = "Of date: apparent place seen from the site at the instant named, true equator and equinox of date, \
    refraction left out. ICRS: fixed targets at epoch J2000.0, from the catalogue; Moon, planets and comets as seen from the site at the \
    instant named, light time in, aberration left out. Fixed targets keep their place of date through a stop. Altitude: refraction in. Azimuth: from north (0°) through east (90°). A \
    place on the Moon is found from the Moon's middle.";

fn pointing(names: &Names<'_>, sky: &EveningSky<'_>, shows: &[(&Stop, &Show, &Row)]) -> LeafTable {
    let mut rows = Vec::new();
    for (stop, show, row) in shows {
        let Some((_, target)) = names.target(&show.target) else {
            let unknown = [format!("{} · {}", row.number, row.title), "not in the catalogue".to_owned()];
            rows.push(unknown.into_iter().chain(std::iter::repeat_n(String::new(), 7)).collect());
            continue;
        };
        let named = format!("{} · {}", row.number, row.title);
        match &target.source {
            Source::Star(star) => rows.push(fixed(names, sky, star, stop, named)),
            Source::Body(_) | Source::Comet(_) => {
                rows.push(moving(names, sky, &target.source, stop.start(), format!("{named}, start")));
                rows.push(moving(names, sky, &target.source, stop.end(), format!("{named}, end")));
            }
        }
    }
    LeafTable {
        summary: "One row a stop, two for Moon, planets and comets: on the local clock and in UTC, right ascension and declination of \
                  date and in ICRS, altitude and azimuth from start to end."
            .to_owned(),
        heads: texts(&[
            "Stop, target",
            "Local time",
            "UTC (h:m:s)",
            "RA of date (h\u{a0}m\u{a0}s)",
            "Dec of date (°\u{a0}′\u{a0}″)",
            "RA ICRS, J2000.0 (h\u{a0}m\u{a0}s)",
            "Dec ICRS, J2000.0 (°\u{a0}′\u{a0}″)",
            "Altitude (°)",
            "Azimuth (°)",
        ]),
        rows,
        shares: vec![2.5, 1.6, 1.9, 1.6, 1.5, 1.6, 1.5, 1.3, 1.5],
        may_stand_below: None,
        filled_in: &[],
    }
}

/// A fixed target from the start of a stop to its end; its place of date at the start stands for both.
fn fixed(
    names: &Names<'_>,
    sky: &EveningSky<'_>,
    star: &StarPlace,
    stop: &Stop,
    title: String,
) -> Vec<String> {
    let air = names.materials.site.air;
    let [start, end] = [stop.start(), stop.end()].map(|at| sky.at(at).observe(&Source::Star(*star)));
    let altitude = |seen: &Observed| numbers::tenths_of_degrees(seen.apparent_altitude(air));
    vec![
        title,
        numbers::clock_span(&names.prepared.night.local, stop.interval),
        format!("{} to {}", numbers::clock_utc(stop.start()), numbers::clock_utc(stop.end())),
        numbers::hours_minutes_seconds(start.right_ascension),
        numbers::degrees_minutes_seconds(start.declination),
        numbers::hours_minutes_seconds(star.right_ascension),
        numbers::degrees_minutes_seconds(star.declination),
        format!("{} → {}", altitude(&start), altitude(&end)),
        format!("{} → {}", numbers::azimuth_tenths(start.azimuth), numbers::azimuth_tenths(end.azimuth)),
    ]
}

/// A body of the Solar System at an instant.
fn moving(
    names: &Names<'_>,
    sky: &EveningSky<'_>,
    source: &Source,
    at: Instant,
    title: String,
) -> Vec<String> {
    let observer = sky.at(at);
    let (seen, icrs) = (observer.observe(source), observer.astrometric(source));
    vec![
        title,
        names.clock(at),
        numbers::clock_utc(at),
        numbers::hours_minutes_seconds(seen.right_ascension),
        numbers::degrees_minutes_seconds(seen.declination),
        numbers::hours_minutes_seconds(icrs.right_ascension),
        numbers::degrees_minutes_seconds(icrs.declination),
        numbers::tenths_of_degrees(seen.apparent_altitude(names.materials.site.air)),
        numbers::azimuth_tenths(seen.azimuth),
    ]
}

/// What a coordinate does not say: a place on the Moon, and the proper motion of what has left its place of J2000.0 by more
/// than can be neglected.
fn notes(names: &Names<'_>, shows: &[(&Stop, &Show, &Row)]) -> Vec<Notice> {
    let note = |(stop, show, row): &(&Stop, &Show, &Row)| {
        let (_, target) = names.target(&show.target)?;
        let label = format!("{} · {}", row.number, row.title);
        if let Some(place) = &target.feature {
            let deg = |angle: Angle| numbers::decimal(angle.degrees(), 1);
            let (longitude, latitude) = (deg(place.longitude), deg(place.latitude));
            let place =
                format!("on the Moon at longitude {longitude}° (east positive), latitude {latitude}°");
            return Some(Notice::new(label, place));
        }
        let Source::Star(star) = &target.source else { return None };
        let (east, north) = (star.pm_ra_cosdec_mas_per_yr / 1000.0, star.pm_dec_mas_per_yr / 1000.0);
        let years = stop.start().tt_centuries() * 100.0;
        (east.hypot(north) * years.abs() >= MOVES_ARCSEC).then(|| {
            let arcsec = |value| numbers::decimal(value, 2);
            Notice::new(
                label,
                format!("since J2000.0 it moves {}″ a year east, {}″ north", arcsec(east), arcsec(north)),
            )
        })
    };
    shows.iter().filter_map(note).collect()
}

fn settings(names: &Names<'_>, shows: &[(&Stop, &Show, &Row)], timings: &[StopTiming]) -> LeafTable {
    let row = |(stop, show, row): &(&Stop, &Show, &Row)| {
        let timing = timings.iter().find(|timing| timing.stop == stop.id);
        let moves = timing.map(|timing| {
            let begins = clock_down(names, timing.leave);
            [format!("{begins}, {}", row.move_time), row.move_turn.clone()].into_iter()
        });
        let moves =
            moves.into_iter().flatten().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ");
        let known = names.target(&show.target).zip(names.materials.rig.port(&show.port));
        let rotator = known.map(|((index, target), port)| rotator(names, stop, (index, target), port));
        let limits = known.map(|((index, _), _)| margins(names, stop, index));
        vec![
            format!("{} · {}", row.number, row.title),
            row.port.clone(),
            row.port_detail.clone(),
            row.focus.clone(),
            rotator.unwrap_or_default(),
            moves,
            limits.unwrap_or_default(),
        ]
    };
    LeafTable {
        summary: "One row a stop: port, eyepiece or exposure, focus, rotator, the move before it, and how near it comes to its limits."
            .to_owned(),
        heads: texts(&[
            "Stop, target",
            "Port",
            "Eyepiece, exposure",
            "Focus (steps)",
            "Rotator (°)",
            "Move: begins (local), takes, turns",
            "Nearest to its limits (°)",
        ]),
        rows: shows.iter().map(row).collect(),
        shares: vec![2.6, 1.9, 1.9, 1.4, 2.0, 2.0, 3.6],
        may_stand_below: None,
        filled_in: &[],
    }
}

/// The position angle at which the instrument's upper edge stands, and whether a rotator keeps it.
fn rotator(names: &Names<'_>, stop: &Stop, (index, target): (usize, &Target), port: &Port) -> String {
    let fields = fields_of_port(&names.materials.rig.telescope, port);
    match (port.field_hold(), fields.first()) {
        (FieldHold::Rotator, Some(Field { shape, .. })) => {
            let appearance = names.prepared.tracks.get(index).and_then(|track| track.appearance.as_ref());
            let long_way = extent(target, appearance).filter(|(long, short)| *long > *short);
            match target.position_angle.filter(|_| long_way.is_some()) {
                Some(angle) => {
                    format!("position angle {}", numbers::degrees(best_field_angle(angle, *shape)))
                }
                None => "any angle".to_owned(),
            }
        }
        (FieldHold::Equatorial, _) => "as fastened".to_owned(),
        _ => {
            let angle = |at| {
                let sample = names.prepared.sample(index, at)?;
                Some(port.field_angle(sample.parallactic_angle, sample.altitude).wrapped_signed())
            };
            match angle(stop.start()).zip(angle(stop.end())) {
                Some((start, end)) => {
                    format!("none: field at {} → {}", numbers::degrees(start), numbers::degrees(end))
                }
                None => "none".to_owned(),
            }
        }
    }
}

/// How near a stop comes to the lowest and the highest altitude, keyhole, closed sky and Sun.
fn margins(names: &Names<'_>, stop: &Stop, index: usize) -> String {
    let (prepared, materials) = (names.prepared, names.materials);
    let (first, last) = (prepared.moment_index(stop.start()), prepared.moment_index(stop.end()));
    let samples = prepared.samples(index, first..=last);
    let least = |values: &mut dyn Iterator<Item = Angle>| values.reduce(Angle::min);
    let above = least(&mut samples.iter().map(|sample| {
        sample.altitude
            - materials.site.horizon.altitude(sample.azimuth).max(materials.rig.mount.lowest_altitude)
    }));
    let mount = &materials.rig.mount;
    let below = least(&mut samples.iter().map(|sample| mount.highest_altitude - sample.altitude));
    let latitude = materials.site.place.latitude;
    let keyhole = least(
        &mut samples.iter().map(|sample| mount.beyond_keyhole(latitude, sample.azimuth, sample.altitude)),
    );
    let within = |label: &str, margin: Angle| {
        let beyond = if margin < Angle::ZERO { " BEYOND" } else { "" };
        format!("{label} {}{beyond}", numbers::degrees(margin.abs()))
    };
    let margins = [("lowest", above), ("highest", below), ("keyhole", keyhole)];
    let mut told: Vec<String> =
        margins.into_iter().filter_map(|(label, margin)| Some(within(label, margin?))).collect();
    let moments = prepared.moments.get(first..=last).unwrap_or_default();
    let closed = least(&mut moments.iter().zip(samples.iter()).flat_map(|(moment, sample)| {
        let parts = prepared.closed_sky.iter();
        parts.filter_map(|part| part.apart(sample.azimuth, moment.instant))
    }));
    told.extend(closed.map(|apart| {
        if apart > Angle::ZERO { within("closed sky, azimuth", apart) } else { "IN CLOSED SKY".to_owned() }
    }));
    let sun = moments
        .iter()
        .zip(samples.iter())
        .filter(|(moment, _)| near_sun(materials.site, moment.sun.altitude, Angle::ZERO));
    told.push(match least(&mut sun.map(|(_, sample)| sample.sun_separation)) {
        Some(separation) => within("Sun", separation),
        None => "Sun down".to_owned(),
    });
    told.join(", ")
}

fn limits(page: &Page<'_>) -> Vec<Notice> {
    let (names, materials) = (page.names, page.names.materials);
    let (site, mount) = (materials.site, &materials.rig.mount);
    let place = site.place;
    let hemisphere = |angle: Angle, positive: &str, negative: &str| {
        let word = if angle < Angle::ZERO { negative } else { positive };
        format!("{}° {word}", numbers::decimal(angle.abs().degrees(), 4))
    };
    let mut facts = vec![
        Notice::new(
            "Site",
            format!(
                "latitude {}, longitude {}, {} m above the ellipsoid; air {} hPa, {} °C",
                hemisphere(place.latitude, "north", "south"),
                hemisphere(place.longitude, "east", "west"),
                numbers::decimal(place.height_m, 0),
                numbers::decimal(site.air.pressure_hpa, 0),
                numbers::decimal(site.air.temperature_c, 0)
            ),
        ),
        Notice::new(
            "Sun",
            format!(
                "never nearer than {} while it is above {}",
                numbers::degrees(sun_exclusion(site)),
                numbers::degrees(SUN_EXCLUSION_ENDS)
            ),
        ),
        Notice::new(
            "Mount",
            format!(
                "altitude {} to {}",
                numbers::degrees(mount.lowest_altitude),
                numbers::degrees(mount.highest_altitude)
            ),
        ),
    ];
    match &mount.drive {
        Drive::AltAzimuth(drive) => {
            let (least, most) = drive.cable_wrap;
            facts.push(Notice::new(
                "Keyhole",
                format!("{} round the zenith", numbers::tenths_of_degrees(drive.keyhole_radius)),
            ));
            facts.push(Notice::new(
                "Cables",
                format!(
                    "azimuth {} to {}, counted without wrapping",
                    numbers::degrees(least),
                    numbers::degrees(most)
                ),
            ));
        }
        Drive::Equatorial(drive) => {
            facts.push(Notice::new(
                "Keyhole",
                format!("{} round the pole", numbers::tenths_of_degrees(drive.pole_keyhole_radius)),
            ));
            facts.extend(drive.flip.map(|flip| {
                Notice::new(
                    "Meridian flip",
                    format!("at {} past the meridian", numbers::degrees(flip.past_meridian)),
                )
            }));
        }
    }
    let corners: Vec<String> = site
        .horizon
        .corners()
        .iter()
        .map(|(azimuth, altitude)| {
            format!("{}: {}", numbers::azimuth_degrees(*azimuth), numbers::degrees(*altitude))
        })
        .collect();
    let horizon = if corners.is_empty() { "flat".to_owned() } else { corners.join(", ") };
    facts.push(Notice::new("Horizon, azimuth: altitude", horizon));
    let closed = names.evening.wishes.closed_sky.iter();
    facts.extend(closed.map(|closed| Notice::new("Closed sky", closed_sky_words(closed))));
    let spectrographs = materials.rig.ports.iter().filter_map(|port| match &port.instrument {
        Instrument::Spectrograph(slit) => Some(Notice::new(
            port.name.clone(),
            format!(
                "slit {} µm wide, {} µm long",
                numbers::decimal(slit.slit_um, 0),
                numbers::decimal(slit.slit_length_um, 0)
            ),
        )),
        Instrument::Camera(_) | Instrument::Eyepieces(_) => None,
    });
    facts.extend(spectrographs);
    facts
}
