//! Where it stands at start, middle and end: altitude, direction, airmass, Moon, sky; and what the optics allow.

use egui::{Grid, Label, RichText, Ui};
use evenfall_core::catalogue::Kind;
use evenfall_core::plan::Sample;
use evenfall_core::sheet::{numbers, optics_numbers};
use evenfall_core::time::Instant;

use super::Subject;
use crate::ui::parts::quiet;
use crate::ui::text;
use crate::ui::theme::{BODY, SMALL, SPACE, Tokens, regular, semibold};

/// Width of the names of rows.
const NAME_WIDTH: f32 = 66.0;
/// Width of the widest value, such as `WNW 289°`, in type for reading.
const WIDEST_VALUE: f32 = 64.0;

/// Draws the table; for a target that is not laid out, its best time only.
pub(super) fn show(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    let Some((index, target)) = subject.target else { return };
    let prepared = &subject.open.derived.prepared;
    let night = &prepared.night.local;
    let instants: Vec<(&str, Instant)> = match subject.stop {
        Some(stop) => vec![
            (text::START, stop.start()),
            (text::MIDDLE, stop.start().plus_seconds(stop.interval.seconds() / 2.0)),
            (text::END, stop.end()),
        ],
        None => match prepared.availability.get(index).and_then(|known| known.best) {
            Some((best, _)) => vec![(text::BEST, best)],
            None => {
                vec![(text::DOORS_OPEN, prepared.doors.start()), (text::DOORS_CLOSE, prepared.doors.end())]
            }
        },
    };
    let columns: Vec<(&str, Instant, Sample)> =
        instants.into_iter().filter_map(|(name, at)| Some((name, at, prepared.sample(index, at)?))).collect();
    let column = ((ui.available_width() - NAME_WIDTH) / 3.0 - SPACE).min(72.0);
    let value_font = regular(if column < WIDEST_VALUE { SMALL } else { BODY });
    let row = |ui: &mut Ui, name: &str, value: &dyn Fn(Instant, Sample) -> String| {
        ui.label(quiet(tokens, name));
        for (_, at, sample) in &columns {
            ui.label(RichText::new(value(*at, *sample)).font(value_font.clone()));
        }
        ui.end_row();
    };
    let grid = Grid::new("numbers of the Card").num_columns(4).spacing([SPACE, 1.0]).min_row_height(19.0);
    grid.min_col_width(column).show(ui, |ui| {
        ui.spacing_mut().interact_size.y = 19.0;
        // In a night in which the clocks change each column names its own zone.
        let changes = night.clock_change().is_some();
        let zone = if changes { String::new() } else { night.zone_label(prepared.doors.start()) };
        ui.label(quiet(tokens, zone));
        for (name, _, _) in &columns {
            ui.label(RichText::new(*name).font(semibold(SMALL)));
        }
        ui.end_row();
        row(ui, text::TIME, &|at, _| numbers::clock(night.local(at)));
        if changes {
            row(ui, text::CLOCK, &|at, _| night.zone_label(at));
        }
        row(ui, text::ALTITUDE, &|_, sample| numbers::degrees(sample.altitude));
        row(ui, text::DIRECTION, &|_, sample| {
            let azimuth = sample.azimuth;
            format!("{} {}", numbers::compass_letters(azimuth), numbers::azimuth_degrees(azimuth))
        });
        row(ui, text::AIRMASS, &|_, sample| sample.airmass.map_or_else(dash, numbers::airmass));
        if target.kind != Kind::Moon {
            row(ui, text::FROM_MOON, &|_, sample| numbers::degrees(sample.moon_separation));
        }
        row(ui, text::SKY_THERE, &|at, _| {
            subject.sky(at).map_or_else(dash, |sky| numbers::decimal(sky.0, 1))
        });
    });
    ui.label(quiet(tokens, text::SKY_UNIT));
    if let Some(transit) = prepared.tracks.get(index).and_then(|track| track.transit) {
        let words = format!("{} {}", text::TRANSIT, numbers::clock_with_zone(night, transit));
        ui.label(quiet(tokens, words));
    }
    let Some((_, port)) = subject.shown_port() else { return };
    for number in optics_numbers(&subject.names(), index, &port.id, subject.at) {
        ui.add(Label::new(format!("{}: {}", number.what, number.value)).wrap());
    }
}

fn dash() -> String {
    "–".to_owned()
}
