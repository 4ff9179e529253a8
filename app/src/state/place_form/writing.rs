//! What is typed and chosen is written into the text of a site or a rig: value by value, entry by entry.

use evenfall_core::reading::edit::{quoted, value_at, with_entry, with_value, without, words_at};

use super::field::{Kind, field_of, order_around};
use super::{PlaceForm, WAY};
use crate::state::own_evening::number::{degrees, number, two_ways};

/// A group of visitors' lines where a file has none.
const NO_VISITORS: &str = "(\n    contact: \"\",\n    lines: [],\n  )";

impl PlaceForm {
    /// Puts what is typed in a field.
    pub(super) fn put(&mut self, name: &str, typed: String) {
        self.trouble = None;
        if let Ok(value) = self.value_of(name, &typed) {
            self.write(name, value);
        }
        self.typed.insert(name.to_owned(), typed);
        self.follow();
    }

    /// What is typed as the file holds it; `None` leaves the key out.
    pub(super) fn value_of(&self, name: &str, typed: &str) -> Result<Option<String>, String> {
        let typed = typed.trim();
        let a_number = || {
            let wrong = || two_ways(typed).unwrap_or_else(|| "Give a number.".to_owned());
            number(typed).map(|number| Some(format!("{number:?}"))).ok_or_else(wrong)
        };
        let Some(field) = field_of(self.part, name) else { return Err(String::new()) };
        match field.kind {
            Kind::MaybeNumber | Kind::MaybeWords | Kind::MaybeClock if typed.is_empty() => Ok(None),
            Kind::Number | Kind::MaybeNumber => a_number(),
            Kind::Degrees(positive, negative) => {
                let wrong = || format!("Give degrees, such as 12.5 or 12.5 {negative}.");
                let wrong = || two_ways(typed).unwrap_or_else(wrong);
                degrees(typed, positive, negative).map(|number| Some(format!("{number:?}"))).ok_or_else(wrong)
            }
            Kind::Words | Kind::MaybeWords | Kind::Zone | Kind::MaybeClock | Kind::Port => {
                Ok(Some(quoted(typed)))
            }
            Kind::Choice(known) | Kind::Way(known) => {
                let is_known = known.iter().any(|(word, _)| *word == typed);
                if is_known { Ok(Some(typed.to_owned())) } else { Err("Choose one.".to_owned()) }
            }
        }
    }

    /// Writes a value into the text; `None` takes its key away.
    fn write(&mut self, name: &str, value: Option<String>) {
        if let (true, Some(word)) = (name.ends_with(WAY), &value) {
            self.take_way(name, word);
            self.find_ranges();
            return;
        }
        let (name, value) = match (name.split_once('/'), value) {
            (Some((pair, of_pair)), Some(value)) => {
                let Some((one, other)) = pair_at(&self.text, pair) else { return };
                let (one, other) = (format!("{one:?}"), format!("{other:?}"));
                let both =
                    if of_pair == "0" { format!("({value}, {other})") } else { format!("({one}, {value})") };
                (pair, Some(both))
            }
            (_, value) => (name, value),
        };
        let changed = match value {
            Some(value) => {
                if name.starts_with("visitors.") && !self.has("visitors") {
                    self.take(with_value(&self.text, "visitors", NO_VISITORS, order_around("visitors")));
                }
                with_value(&self.text, name, &value, order_around(name))
            }
            None => without(&self.text, name),
        };
        self.take(changed);
        self.follow_rotator(name);
    }

    /// One more entry in a list, before a position.
    pub(super) fn add(&mut self, list: &str, position: usize) {
        let entry = self.entry_of(list);
        if !self.has(list) {
            if list.starts_with("visitors.") && !self.has("visitors") {
                self.take(with_value(&self.text, "visitors", NO_VISITORS, order_around("visitors")));
            }
            if !self.has(list) {
                self.take(with_value(&self.text, list, "[]", order_around(list)));
            }
        }
        self.change_list(list, with_entry(&self.text, list, position, &entry));
    }

    /// What a new entry of a list begins with.
    fn entry_of(&self, list: &str) -> String {
        let at = |name: &str| value_at(&self.text, name).unwrap_or("0.0");
        match list {
            "light_domes" => "(azimuth_deg: 0.0, half_width_deg: 20.0, brightening_mag: 0.5)".to_owned(),
            "plan" => {
                let (latitude, longitude) = (at("latitude_deg"), at("longitude_deg"));
                format!("(name: \"\", latitude_deg: {latitude}, longitude_deg: {longitude})")
            }
            "selector.pairs" => {
                let ids = self.port_ids();
                let id = |position: usize| quoted(ids.get(position).map_or("", String::as_str));
                let (from, to) = (id(0), id(1));
                let (change_s, refocus_s) = (at("selector.change_s"), at("selector.refocus_s"));
                format!("(from: {from}, to: {to}, change_s: {change_s}, refocus_s: {refocus_s})")
            }
            _ => "\"\"".to_owned(),
        }
    }

    /// An entry of a list goes. A port takes the times with it that name it.
    pub(super) fn remove(&mut self, name: &str) {
        let list = name.rfind('[').map_or(name, |bracket| &name[..bracket]);
        let id = (list == "ports").then(|| words_at(&self.text, &format!("{name}.id"))).flatten();
        if let Some(id) = id {
            for pair in (0..self.entries("selector.pairs")).rev() {
                let pair = format!("selector.pairs[{pair}]");
                let of_pair = ["from", "to"].map(|end| words_at(&self.text, &format!("{pair}.{end}")));
                if of_pair.contains(&Some(id.clone())) {
                    self.change_list("selector.pairs", without(&self.text, &pair));
                }
            }
        }
        self.change_list(list, without(&self.text, name));
    }

    /// Takes a text in which a list has other entries: what was typed in them is known by its position no longer.
    pub(super) fn change_list(&mut self, list: &str, changed: Option<String>) {
        let within = format!("{list}[");
        self.typed.retain(|name, _| !name.starts_with(&within));
        self.put_aside.retain(|name, _| !name.starts_with(&within));
        self.trouble = None;
        self.take(changed);
        self.follow();
        self.find_ranges();
    }

    pub(super) fn take(&mut self, changed: Option<String>) {
        if let Some(changed) = changed {
            self.text = changed;
        }
    }

    /// Puts a file to begin with in the place of what stands there.
    pub(super) fn begin_with(&mut self, text: &str) {
        // What was here at first, however many are tried.
        let former = self.former.take().unwrap_or_else(|| self.text.clone());
        self.put_text(text.to_owned());
        self.former = Some(former);
    }

    /// Puts back what stood there before.
    pub(super) fn bring_former_back(&mut self) {
        if let Some(former) = self.former.take() {
            self.put_text(former);
        }
    }

    fn put_text(&mut self, text: String) {
        self.typed.clear();
        self.put_aside.clear();
        self.told.clear();
        (self.former_horizon, self.trouble, self.corner) = (None, None, 0);
        self.text = text;
        self.follow();
        self.find_ranges();
    }
}

/// Two numbers between brackets.
pub(super) fn pair_at(text: &str, name: &str) -> Option<(f64, f64)> {
    let value = value_at(text, name)?;
    let (one, other) = value.strip_prefix('(')?.strip_suffix(')')?.split_once(',')?;
    let number = |text: &str| text.trim().trim_end_matches(',').trim().parse().ok();
    Some((number(one)?, number(other)?))
}
