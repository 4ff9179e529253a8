//! Fields used in more than one part of the window: a share, a clock time, a part of the sky.

use std::ops::RangeInclusive;

use chrono::{NaiveTime, Timelike};
use egui::{ComboBox, DragValue, Ui, vec2};
use evenfall_core::sheet::numbers::{clock_with_zone, compass_letters, compass_word};
use evenfall_core::sheet::upper_first;
use evenfall_core::time::LocalNight;
use evenfall_core::units::Angle;

use super::leading_on::leads_on;
use super::text;
use super::theme::{ROW, TIGHT};
use crate::state::SkyPart;

/// Width of a number with its unit.
const WIDTH: f32 = 52.0;
/// The unit of a time on the clock.
const CLOCK: &str = "clock";
/// Before the two hours of a time that the clock shows twice.
const TWICE: &str = "The clocks go back, so this time comes twice:";
/// Minutes of a day.
const DAY_MINUTES: u32 = 1440;
/// Minutes from midnight to noon.
const NOON_MINUTES: u32 = 720;
/// How far a part named after a wind reaches to either side of it, in degrees.
const HALF_PART_DEG: f64 = 45.0;

/// A number in a range that is dragged, typed, or stepped by the arrow keys; what it was changed to.
fn number(
    ui: &mut Ui,
    (name, hint, unit): (&str, &str, &str),
    value: f64,
    range: RangeInclusive<f64>,
    look: impl FnOnce(DragValue<'_>) -> DragValue<'_>,
) -> Option<f64> {
    let mut changed = value;
    let help = help(hint, unit, &range);
    // What is being typed counts once it is complete.
    let field = DragValue::new(&mut changed).range(range).max_decimals(1).update_while_editing(false);
    let field = look(field).min_size(vec2(WIDTH, ROW));
    let response = ui.scope(|ui| {
        // What takes typing looks as it does in a field of text, not like a button.
        let ground = ui.visuals().text_edit_bg_color();
        let widgets = &mut ui.visuals_mut().widgets;
        for state in [&mut widgets.inactive, &mut widgets.hovered] {
            state.weak_bg_fill = ground;
        }
        ui.add(field)
    });
    let response = response.inner;
    leads_on(&response);
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(name);
        node.set_description(help.as_str());
    });
    response.on_hover_text(help);
    (changed != value).then_some(changed)
}

/// What a field takes, with unit and range, after what it is for.
fn help(hint: &str, unit: &str, range: &RangeInclusive<f64>) -> String {
    let takes = match unit {
        CLOCK => "A time on the local clock, such as 21:30.".to_owned(),
        unit => {
            format!("From {} to {} {unit}. Drag, type, or use the arrow keys.", range.start(), range.end())
        }
    };
    if hint.is_empty() { takes } else { format!("{}. {takes}", hint.trim_end_matches('.')) }
}

/// A whole share in percent; what it was changed to.
pub fn percent_field(ui: &mut Ui, name: &str, hint: &str, percent: f64, most: f64) -> Option<f64> {
    number(ui, (name, hint, "percent"), percent, 0.0..=most, |field| field.suffix("%"))
}

/// A share in percent, to a tenth; what it was changed to.
pub fn share_field(
    ui: &mut Ui,
    (name, hint): (&str, &str),
    percent: f64,
    (least, most): (f64, f64),
) -> Option<f64> {
    number(ui, (name, hint, "percent"), percent, least..=most, |field| field.suffix("%"))
}

/// A whole number of people; what it was changed to.
pub fn people_field(ui: &mut Ui, name: &str, people: u32, most: u32) -> Option<u32> {
    let changed = number(ui, (name, "", "people"), f64::from(people), 0.0..=f64::from(most), |field| {
        field.max_decimals(0)
    });
    changed.map(|people| people.round() as u32)
}

/// A whole number of something; what it was changed to.
pub fn count_field(
    ui: &mut Ui,
    (name, unit): (&str, &str),
    count: u32,
    (least, most): (u32, u32),
) -> Option<u32> {
    let range = f64::from(least)..=f64::from(most);
    let changed = number(ui, (name, "", unit), f64::from(count), range, |field| field.max_decimals(0));
    changed.map(|count| count.round() as u32)
}

/// A whole number of copies; what it was changed to.
pub fn copies_field(ui: &mut Ui, name: &str, copies: u32, most: u32) -> Option<u32> {
    let changed = number(ui, (name, "", "copies"), f64::from(copies), 0.0..=f64::from(most), |field| {
        field.max_decimals(0)
    });
    changed.map(|copies| copies.round() as u32)
}

/// A whole number of seconds; what it was changed to.
pub fn seconds_field(
    ui: &mut Ui,
    (name, hint): (&str, &str),
    seconds: u32,
    (least, most): (u32, u32),
) -> Option<u32> {
    let range = f64::from(least)..=f64::from(most);
    let changed = number(ui, (name, hint, "seconds"), f64::from(seconds), range, |field| {
        field.max_decimals(0).suffix(" s")
    });
    changed.map(|seconds| seconds.round() as u32)
}

/// A whole number of minutes; what it was changed to.
pub fn minutes_field(ui: &mut Ui, name: &str, minutes: u32, (least, most): (u32, u32)) -> Option<u32> {
    let range = f64::from(least)..=f64::from(most);
    let changed = number(ui, (name, "", "minutes"), f64::from(minutes), range, |field| {
        field.max_decimals(0).suffix(" min")
    });
    changed.map(|minutes| minutes.round() as u32)
}

/// A time on the local clock, from noon to noon; what it was changed to.
pub fn clock_field(ui: &mut Ui, name: &str, hint: &str, time: NaiveTime) -> Option<NaiveTime> {
    let range = 0.0..=f64::from(DAY_MINUTES - 1);
    let changed = number(ui, (name, hint, CLOCK), minutes_past_noon(time), range, |field| {
        field
            .custom_formatter(|minutes, _| clock_at(minutes).format("%H:%M").to_string())
            .custom_parser(|typed| parse_clock(typed).map(minutes_past_noon))
    });
    changed.map(clock_at)
}

/// Where the clock shows a time twice: which of the two is meant, each with its zone; `name` tells several such times apart.
pub fn which_of_two(ui: &mut Ui, night: &LocalNight, (name, time): (&str, NaiveTime), again: &mut bool) {
    let (Ok(first), Some(second)) = (night.at(time), night.again_at(time)) else { return };
    ui.label(TWICE);
    ui.horizontal_wrapped(|ui| {
        for (is_second, at) in [(false, first), (true, second)] {
            let words = format!("{name} {}", clock_with_zone(night, at));
            ui.radio_value(again, is_second, words.trim_start());
        }
    });
}

/// A clock time as it is typed: `21:30`, `21.30` or `2130`.
fn parse_clock(typed: &str) -> Option<NaiveTime> {
    let typed = typed.trim();
    ["%H:%M", "%H.%M", "%H%M"].iter().find_map(|form| NaiveTime::parse_from_str(typed, form).ok())
}

fn minutes_past_noon(time: NaiveTime) -> f64 {
    f64::from((time.num_seconds_from_midnight() / 60 + NOON_MINUTES) % DAY_MINUTES)
}

fn clock_at(minutes_past_noon: f64) -> NaiveTime {
    let minutes = (minutes_past_noon.round().max(0.0) as u32 + NOON_MINUTES) % DAY_MINUTES;
    NaiveTime::from_hms_opt(minutes / 60, minutes % 60, 0).unwrap_or_default()
}

/// A part of the sky, by a wind or by two azimuths; what it was changed to.
pub fn sky_part_field(ui: &mut Ui, name: &str, part: SkyPart) -> Option<SkyPart> {
    let mut chosen = None;
    let word = wind_of(part).map_or_else(|| text::OWN_PART.to_owned(), wind_word);
    let list = ComboBox::from_id_salt(name).selected_text(word).width(ui.available_width() - 12.0);
    let response = list.show_ui(ui, |ui| {
        for wind in 0..8 {
            let around = part_around(f64::from(wind) * HALF_PART_DEG);
            if ui.selectable_label(around == part, wind_word(f64::from(wind) * HALF_PART_DEG)).clicked() {
                chosen = Some(around);
            }
        }
    });
    ui.ctx().accesskit_node_builder(response.response.id, |node| node.set_label(name));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = TIGHT;
        let end = |ui: &mut Ui, name: String, degrees: f64| {
            let changed = number(ui, (&name, text::AZIMUTH_HINT, "degrees"), degrees, 0.0..=360.0, |field| {
                field.suffix("°")
            });
            ui.label(compass_letters(Angle::from_degrees(degrees)));
            changed
        };
        if let Some(from_deg) = end(ui, text::part_from(name), part.from_deg) {
            chosen = Some(SkyPart { from_deg, ..part });
        }
        ui.label(text::TO);
        if let Some(to_deg) = end(ui, text::part_to(name), part.to_deg) {
            chosen = Some(SkyPart { to_deg, ..part });
        }
    });
    chosen
}

/// A part of the sky in few words: its wind, or its two azimuths.
pub fn sky_part_words(part: SkyPart) -> String {
    wind_of(part).map_or_else(|| format!("{:.0}° {} {:.0}°", part.from_deg, text::TO, part.to_deg), wind_word)
}

/// The quarter of the sky around an azimuth.
fn part_around(azimuth_deg: f64) -> SkyPart {
    let end = |degrees: f64| degrees.rem_euclid(360.0);
    SkyPart { from_deg: end(azimuth_deg - HALF_PART_DEG), to_deg: end(azimuth_deg + HALF_PART_DEG) }
}

/// The wind in the middle of a quarter of the sky, in degrees.
fn wind_of(part: SkyPart) -> Option<f64> {
    (0..8).map(|wind| f64::from(wind) * HALF_PART_DEG).find(|azimuth| part_around(*azimuth) == part)
}

fn wind_word(azimuth_deg: f64) -> String {
    upper_first(compass_word(Angle::from_degrees(azimuth_deg)))
}

#[cfg(test)]
mod tests {
    use chrono::NaiveTime;

    use super::{clock_at, minutes_past_noon, parse_clock, part_around, wind_of};
    use crate::state::SkyPart;

    #[test]
    fn a_part_around_a_wind_is_a_quarter_of_the_sky() {
        assert_eq!(part_around(135.0), SkyPart { from_deg: 90.0, to_deg: 180.0 });
        assert_eq!(part_around(0.0), SkyPart { from_deg: 315.0, to_deg: 45.0 });
        assert_eq!(wind_of(SkyPart { from_deg: 270.0, to_deg: 0.0 }), Some(315.0));
        assert_eq!(wind_of(SkyPart { from_deg: 90.0, to_deg: 170.0 }), None);
    }

    #[test]
    fn clock_times_go_from_noon_to_noon() {
        let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0).unwrap();
        for (time, minutes) in
            [(clock(12, 0), 0.0), (clock(21, 30), 570.0), (clock(0, 5), 725.0), (clock(11, 59), 1439.0)]
        {
            assert_eq!((minutes_past_noon(time), clock_at(minutes)), (minutes, time));
        }
        for typed in ["21:30", " 21.30 ", "2130"] {
            assert_eq!(parse_clock(typed), Some(clock(21, 30)), "{typed}");
        }
        assert_eq!([parse_clock("25:00"), parse_clock("late")], [None, None]);
    }
}
