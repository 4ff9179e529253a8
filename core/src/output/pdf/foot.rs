//! The footer of every side: who decides in the end, version stamp, zone, and the number of the side.

use krilla::tagging::Tag;

use super::page::{Mark, Pages, Role, Setting};
use super::typeface::Typeface;
use crate::chart::Weight;
use crate::sheet::page_words::page_of;

/// Leading of the footer's text, and the white above it, in sizes of its text.
const LEADING: f32 = 1.2;
const ABOVE: f32 = 0.5;
/// Between two things on one line.
const BESIDE: f32 = 1.5;

/// What every footer says, in lines that fit.
pub(super) struct Foot {
    advice: Vec<String>,
    zone: Vec<String>,
    stamp: Vec<String>,
    /// Whether zone and stamp share a line with the number of the side.
    one_line: bool,
}

impl Foot {
    /// For sides that are set like this.
    pub fn new(setting: &Setting, typeface: &Typeface<'_>, [advice, stamp, zone]: [&str; 3]) -> Self {
        let (size, width) = (setting.foot_text, setting.text_width());
        let wide = |text: &str| typeface.width(&typeface.writable(text), size, Weight::Regular);
        let number = wide(&page_of(88, 88)) + BESIDE * size;
        let broken = |text: &str, weight: Weight, width: f32| {
            if text.trim().is_empty() { Vec::new() } else { typeface.lines(text, size, weight, width) }
        };
        Self {
            advice: broken(advice, Weight::Semibold, width),
            zone: broken(zone, Weight::Regular, width),
            stamp: broken(stamp, Weight::Regular, width - number),
            one_line: wide(stamp) + BESIDE * size + wide(zone) + number <= width,
        }
    }

    /// The height that it takes.
    pub fn height(&self, setting: &Setting) -> f32 {
        let below = if self.one_line { 1 } else { self.zone.len() + self.stamp.len().max(1) };
        ((self.advice.len() + below) as f32 * LEADING + ABOVE) * setting.foot_text
    }

    /// Draws it on every side; on the last one its advice is part of the text, so that it is read aloud once.
    pub fn draw(&self, pages: &mut Pages<'_>) {
        let setting = pages.setting;
        let (count, size) = (pages.sides.len(), setting.foot_text);
        let (left, right) = (setting.margin, setting.right());
        let mut advice_roles = Vec::new();
        if !self.advice.is_empty() {
            let paragraph = pages.tags.section(Tag::P);
            advice_roles.extend(self.advice.iter().map(|_| Role::Content(pages.tags.slot(paragraph))));
        }
        let typeface = pages.typeface;
        let width = |text: &str| typeface.width(text, size, Weight::Regular);
        for (index, side) in pages.sides.iter_mut().enumerate() {
            let mut write = |x: f32, y: f32, weight: Weight, text: &str, role: Role| {
                side.push(Mark::Text { x, y, size, weight, text: text.to_owned(), role });
            };
            let mut y = setting.bottom() + (ABOVE + 0.95) * size;
            for (line, role) in self.advice.iter().zip(&advice_roles) {
                let role = if index + 1 == count { *role } else { Role::Footer };
                write(left, y, Weight::Semibold, line, role);
                y += LEADING * size;
            }
            let number = page_of(index + 1, count);
            if self.one_line {
                let begin = left + self.stamp.iter().map(|stamp| width(stamp)).fold(0.0, f32::max);
                for zone in &self.zone {
                    let x = f32::midpoint(begin, right - width(&number)) - width(zone) / 2.0;
                    write(x, y, Weight::Regular, zone, Role::Footer);
                }
            } else {
                for zone in &self.zone {
                    write(left, y, Weight::Regular, zone, Role::Footer);
                    y += LEADING * size;
                }
            }
            for (line, stamp) in self.stamp.iter().enumerate() {
                y += if line == 0 { 0.0 } else { LEADING * size };
                write(left, y, Weight::Regular, stamp, Role::Footer);
            }
            write(right - width(&number), y, Weight::Regular, &number, Role::Footer);
            let y = setting.bottom() + 0.5 * ABOVE * size;
            let (from, to) = ((left, y), (right, y));
            side.push(Mark::Rule { from, to, width: 0.5, role: Role::Decoration });
        }
    }
}
