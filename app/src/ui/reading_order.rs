//! Text with right-to-left script in it, painted in the order in which it is read.
//!
//! The interface library sets a line from left to right as it stands in memory, and shapes all of it by its first script:
//! an Arabic name turns the whole sentence round. Here every such text that was painted is set again, run by run, in the
//! order of the Unicode Bidirectional Algorithm (UAX #9): the sentences of the window on a left-to-right page, what the user
//! has written by the first strong letter of it where it stands alone. What is told to screen readers, and text without such
//! script, stays as it is.

use std::ops::Range;
use std::sync::Arc;

use egui::epaint::TextShape;
use egui::layers::{PaintList, ShapeIdx};
use egui::text::{ByteIndex, ByteRange, LayoutJob, LayoutSection, TextFormat};
use egui::{Context, Galley, LayerId, Shape};
use evenfall_core::plan::What;
use unicode_bidi::{BidiClass, BidiInfo, Level, bidi_class};

use crate::state::OpenEvening;

/// The first letter of a right-to-left script; what stands before it never needs another order.
const FIRST: char = '\u{590}';

/// Sets again what was painted in this pass.
///
/// * `open`: the evening whose names are painted.
pub fn apply(context: &Context, open: Option<&OpenEvening>) {
    let mut layers: Vec<LayerId> = context.memory(|memory| memory.layer_ids().collect());
    layers.push(LayerId::background());
    layers.dedup();
    let mut found: Vec<(LayerId, ShapeIdx, TextShape)> = Vec::new();
    context.graphics(|graphics| {
        for layer in layers {
            for (position, clipped) in
                graphics.get(layer).into_iter().flat_map(PaintList::all_entries).enumerate()
            {
                if let Shape::Text(text) = &clipped.shape
                    && needs_order(text.galley.text())
                {
                    found.push((layer, ShapeIdx(position), text.clone()));
                }
            }
        }
    });
    for (layer, position, mut text) in found {
        let words = text.galley.text().replace('\n', " ");
        let is_own = open.is_some_and(|open| is_written_by_the_user(open, &words));
        let base = if is_own { first_strong(&words) } else { Level::ltr() };
        text.galley = set_again(context, &text.galley, base);
        context.graphics_mut(|graphics| {
            graphics.entry(layer).mutate_shape(position, |clipped| clipped.shape = Shape::Text(text));
        });
    }
}

fn needs_order(text: &str) -> bool {
    // All that comes so late takes a lead byte at least so large.
    text.bytes().any(|byte| byte >= 0xd6)
        && text.chars().any(|letter| letter >= FIRST && is_right_to_left(letter))
}

fn is_right_to_left(letter: char) -> bool {
    matches!(
        bidi_class(letter),
        BidiClass::AL | BidiClass::R | BidiClass::RLE | BidiClass::RLI | BidiClass::RLO
    )
}

/// Whether words are all of something that the user has written, and no sentence of the window: a title, a name, what is
/// said to visitors.
fn is_written_by_the_user(open: &OpenEvening, words: &str) -> bool {
    let (evening, stock) = (&open.document.evening, &open.document.stock);
    let names = [&evening.title, &stock.site.name, &stock.rig.name];
    let ports = stock.rig.ports.iter().map(|port| &port.name);
    let entries = evening.order.stops().iter().flat_map(|stop| match &stop.what {
        What::Entry { title, cue, .. } => [Some(title), Some(cue)],
        What::Show(_) => [None, None],
    });
    let targets = stock.catalogue.targets.iter().flat_map(|target| {
        let said = &target.words;
        [&target.name, &said.line, &said.cue, &said.comparison, &said.look_for]
    });
    let all = names.into_iter().chain(ports).chain(entries.flatten()).chain(targets);
    all.into_iter().any(|own| own == words)
}

/// The direction of a paragraph by its first strong letter, from left to right without one: rules P2 and P3 of UAX #9.
fn first_strong(words: &str) -> Level {
    BidiInfo::new(words, None).paragraphs.first().map_or(Level::ltr(), |paragraph| paragraph.level)
}

/// The runs of a line in the order in which they stand on the page from left to right, and whether each is read from
/// right to left: rules X1 to L2 of UAX #9 in a paragraph of this direction.
fn runs(line: &str, base: Level) -> Vec<(Range<usize>, bool)> {
    let info = BidiInfo::new(line, Some(base));
    let mut all = Vec::new();
    for paragraph in &info.paragraphs {
        let (levels, runs) = info.visual_runs(paragraph, paragraph.range.clone());
        all.extend(runs.into_iter().map(|run| {
            let rtl = levels.get(run.start).is_some_and(Level::is_rtl);
            (run, rtl)
        }));
    }
    all
}

/// The same text in its order on the page, its lines broken anew within the same room.
fn set_again(context: &Context, galley: &Galley, base: Level) -> Arc<Galley> {
    let job = &galley.job;
    let width = |words: &str, format: &TextFormat| {
        let own = ordered(words, base, |_| format.clone());
        context.fonts_mut(|fonts| fonts.layout_job(own)).size().x
    };
    let format_at = |at: usize| {
        let own = job
            .sections
            .iter()
            .find(|section| section.byte_range.start.0 <= at && at < section.byte_range.end.0);
        own.or(job.sections.last()).map(|section| section.format.clone()).unwrap_or_default()
    };
    let most = job.wrap.max_width;
    let mut lines: Vec<Range<usize>> = Vec::new();
    let mut start = 0;
    for paragraph in job.text.split_inclusive('\n') {
        let mut line = start..start;
        for word in paragraph.split_inclusive(' ') {
            let longer = line.start..line.end + word.len();
            let shown = job.text[longer.clone()].trim_end();
            if !line.is_empty() && width(shown, &format_at(longer.start)) > most {
                lines.push(line.clone());
                line = line.end..line.end + word.len();
            } else {
                line = longer;
            }
        }
        start += paragraph.len();
        lines.push(line);
    }
    let rows = galley.rows.len().max(1);
    let is_cut = lines.len() > rows;
    lines.truncate(rows);
    let mut set = LayoutJob { halign: job.halign, ..LayoutJob::default() };
    let last = lines.len().saturating_sub(1);
    for (position, line) in lines.into_iter().enumerate() {
        let mut words = job.text[line.clone()].trim_end_matches(['\n', ' ']).to_owned();
        let format = format_at(line.start);
        if position == last && (is_cut || width(&words, &format) > most) {
            words.push('…');
            while width(&words, &format) > most && words.chars().count() > 1 {
                words =
                    words.chars().rev().skip(2).collect::<Vec<_>>().into_iter().rev().chain(['…']).collect();
            }
        }
        if position > 0 {
            append(&mut set, "\n", format.clone());
        }
        let offset = line.start;
        let own = ordered(&words, base, |at| format_at(offset + at));
        for section in own.sections {
            append(&mut set, &own.text[section.byte_range.start.0..section.byte_range.end.0], section.format);
        }
    }
    context.fonts_mut(|fonts| fonts.layout_job(set))
}

/// A line in its order on the page. Each run is shaped for itself, and a right-to-left one turned round by its script.
fn ordered(line: &str, base: Level, format_at: impl Fn(usize) -> TextFormat) -> LayoutJob {
    let mut job = LayoutJob::default();
    for (run, is_rtl) in runs(line, base) {
        let words = &line[run.clone()];
        let turned_by_its_script = words.chars().any(is_right_to_left);
        let words =
            if is_rtl && !turned_by_its_script { words.chars().rev().collect() } else { words.to_owned() };
        append(&mut job, &words, format_at(run.start));
    }
    job
}

fn append(job: &mut LayoutJob, words: &str, format: TextFormat) {
    let start = job.text.len();
    job.text.push_str(words);
    let byte_range = ByteRange { start: ByteIndex(start), end: ByteIndex(job.text.len()) };
    job.sections.push(LayoutSection { leading_space: 0.0, byte_range, format });
}

#[cfg(test)]
mod tests {
    use unicode_bidi::{BidiInfo, Level};

    use super::{first_strong, needs_order, runs};

    /// A line in which capital letters stand for a right-to-left script, as in the examples of UAX #9.
    fn line(example: &str) -> String {
        let hebrew = |letter: char| match letter {
            'A'..='Z' => char::from_u32(0x5d0 + (letter as u32 - 'A' as u32)).expect("a letter"),
            other => other,
        };
        example.chars().map(hebrew).collect()
    }

    /// The order on the page, in the letters of the example.
    fn on_the_page(example: &str, base: Level) -> String {
        let line = line(example);
        let latin = |letter: char| match letter {
            '\u{5d0}'..='\u{5ea}' => char::from(b'A' + (letter as u32 - 0x5d0) as u8),
            other => other,
        };
        let mut page = String::new();
        for (run, is_rtl) in runs(&line, base) {
            let words: Vec<char> = line[run].chars().map(latin).collect();
            if is_rtl {
                page.extend(words.into_iter().rev());
            } else {
                page.extend(words);
            }
        }
        page
    }

    #[test]
    fn runs_stand_in_the_order_of_the_unicode_standard() {
        let on_the_page = |example| on_the_page(example, Level::ltr());
        // Unicode Standard Annex #9, section 3.4, the first example of rule L2 (from memory): the full stop belongs to the
        // left-to-right sentence.
        assert_eq!(on_the_page("car means CAR."), "car means RAC.");
        // Worked by rules W1 to W7, N1, N2, I1 and L2: digits keep their order within the right-to-left words, and what
        // stands between words of one direction goes with them.
        assert_eq!(on_the_page("at 19:40 ABC DEF, 33 min"), "at 19:40 33 ,FED CBA min");
        assert_eq!(on_the_page("ABC shows well"), "CBA shows well");
        assert_eq!(on_the_page("ABC 12 DEF"), "FED 12 CBA");
        assert_eq!(on_the_page("no such script"), "no such script");
    }

    #[test]
    fn a_paragraph_goes_by_its_first_strong_letter() {
        // Rules P2 and P3: digits and marks are not strong.
        for (words, rtl) in [("ABC 12 abc", true), ("12 - ABC abc", true), ("abc ABC", false), ("12", false)]
        {
            assert_eq!(first_strong(&line(words)).is_rtl(), rtl, "{words}");
        }
        let page = |example: &str| on_the_page(example, first_strong(&line(example)));
        // Worked by rules P2, P3, W1 to W7, N1, N2, I1, I2 and L2.
        assert_eq!(page("ABC DEFGHI 12 abc"), "abc 12 IHGFED CBA");
        assert_eq!(page("abc ABC 12"), "abc 12 CBA");
        // The same line as the library of the standard reorders it for itself.
        for example in ["ABC DEFGHI 12 abc", "12 ABC, abc def 7.", "abc (ABC) 12", "A", "a 1 B 2 c"] {
            let line = line(example);
            let info = BidiInfo::new(&line, None);
            let reordered = info.reorder_line(&info.paragraphs[0], info.paragraphs[0].range.clone());
            let own: String = runs(&line, first_strong(&line))
                .into_iter()
                .map(|(run, is_rtl)| {
                    let words = line[run].chars();
                    if is_rtl { words.rev().collect::<String>() } else { words.collect() }
                })
                .collect();
            assert_eq!(own, reordered, "{example}");
        }
    }

    #[test]
    fn only_right_to_left_script_is_set_again() {
        assert!(needs_order("The Lantern, السراج") && needs_order("\u{5d0}"));
        for text in ["", "plain", "Ångström · 3° – “quoted” …", "Ωμέγα", "星の夜"] {
            assert!(!needs_order(text), "{text}");
        }
    }
}
