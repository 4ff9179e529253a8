//! The run sheet: head, findings, stops, drawing, cautions, and the box in which the decision is noted.

use krilla::tagging::{ListNumbering, Tag};

use super::foot::Foot;
use super::listed::{COLUMN_GAP, ITEM_GAP, Listed, columns, columns_height};
use super::page::{Mark, Pages, Paper, Role, Setting};
use super::parts::{choices, figure, fill_in, heading_tag};
use super::stops::stops;
use super::typeface::Typeface;
use crate::chart::{Scene, Weight};
use crate::sheet::RunSheet;
use crate::sheet::page_words::{
    CAUTIONS, CHOICES, CLOSE_AT, DECISION, DECISION_LINES, FINDINGS, NO_STOPS, RUN_SHEET, TICK_BOX, TIMELINE,
    TIMELINE_TABLE,
};

/// Space before a heading, and below a heading.
const SECTION_GAP: f32 = 9.0;
const HEADING_GAP: f32 = 2.0;
/// How large the drawing may be, as shares of its size: the first that takes the fewest sides. The least keeps its text
/// legible at arm's length.
const DRAWING_SIZES: [f32; 3] = [1.0, 0.9, 0.8];
/// From baseline to baseline where the usual leaves a stop to the next side: shares of the usual, the first that takes fewest
/// sides for the stops.
const LEADINGS: [f32; 3] = [1.0, 0.97, 0.94];
/// In how many columns the notices of the head may stand: the first that takes the least height.
const NOTICE_COLUMNS: [usize; 2] = [3, 4];

/// The title, or what stands for it: a document without one is no accessible document.
pub(super) fn title(sheet: &RunSheet) -> &str {
    if sheet.title.trim().is_empty() { RUN_SHEET } else { &sheet.title }
}

/// Every side with its marks: as few as the size of the drawing allows.
pub(super) fn laid_out<'s>(
    sheet: &'s RunSheet,
    timeline: &'s Scene,
    paper: Paper,
    typeface: &'s Typeface<'s>,
) -> Pages<'s> {
    let mut setting = Setting::run_sheet(paper);
    let foot = Foot::new(&setting, typeface, [&sheet.footer, &sheet.stamp, &sheet.zone]);
    setting.foot = foot.height(&setting);
    let line = setting.line;
    // The sides, and how many of them the stops take.
    let sides = |leading: f32, drawing_size: f32| {
        let mut pages = Pages::new(Setting { line: leading * line, ..setting }, typeface);
        head(&mut pages, sheet);
        findings(&mut pages, sheet);
        if sheet.rows.is_empty() {
            no_stops(&mut pages);
        } else {
            stops(&mut pages, sheet);
        }
        let for_stops = pages.sides.len();
        drawing(&mut pages, sheet, timeline, drawing_size);
        cautions(&mut pages, sheet);
        (pages, for_stops)
    };
    let (mut best, mut for_stops) = sides(LEADINGS[0], DRAWING_SIZES[0]);
    for leading in LEADINGS {
        for size in DRAWING_SIZES {
            if best.sides.len() == 1 || (for_stops == 1 && leading < LEADINGS[0]) {
                break;
            }
            let (other, its_stops) = sides(leading, size);
            if (its_stops, other.sides.len()) < (for_stops, best.sides.len()) {
                (best, for_stops) = (other, its_stops);
            }
        }
    }
    foot.draw(&mut best);
    best
}

/// A heading of the second level, never left alone at the foot of a side.
fn section_heading(pages: &mut Pages<'_>, text: &str, room_below: f32) {
    pages.need(SECTION_GAP + pages.setting.heading(2) + room_below);
    pages.gap(SECTION_GAP);
    pages.heading(heading_tag(2, text), 2, text);
    pages.y += HEADING_GAP;
}

/// Title, subtitle, and the notices in columns.
fn head(pages: &mut Pages<'_>, sheet: &RunSheet) {
    let (title, setting, typeface) = (title(sheet), pages.setting, pages.typeface);
    let size = setting.heading(1);
    pages.heading(heading_tag(1, title), 1, title);
    let paragraph = pages.tags.section(Tag::P);
    let subtitle = format!("{} · {}", sheet.subtitle, sheet.zone);
    let title_width = typeface.width(&typeface.writable(title), size, Weight::Semibold);
    let width = typeface.width(&typeface.writable(&subtitle), setting.body, Weight::Regular);
    if title_width + COLUMN_GAP + width <= setting.text_width() {
        // Beside the title, on its baseline.
        let at = (setting.right() - width, pages.y - 0.3 * size);
        pages.write(paragraph, at, setting.body, Weight::Regular, &subtitle);
    } else {
        let lines = typeface.lines(&subtitle, setting.body, Weight::Regular, setting.text_width());
        let plain = (setting.body, Weight::Regular, setting.line);
        pages.write_lines(paragraph, setting.margin, plain, &lines);
    }
    pages.y += 2.0;
    warning(pages, sheet);
    let items: Vec<Listed> = sheet.head.iter().map(Listed::from_notice).collect();
    let height = |columns: usize| columns_height(pages, &items, &vec![0.0; columns], setting.full_room());
    let least = NOTICE_COLUMNS.into_iter().map(height).fold(f32::INFINITY, f32::min);
    let count = NOTICE_COLUMNS.into_iter().find(|columns| height(*columns) <= least).unwrap_or(3);
    columns(pages, &items, &vec![0.0; count]);
    pages.y += 3.0;
}

/// That the evening can't be run, in a frame that is seen at once.
fn warning(pages: &mut Pages<'_>, sheet: &RunSheet) {
    if sheet.warning.is_empty() {
        return;
    }
    let (setting, size) = (pages.setting, pages.setting.heading(2));
    let lines =
        pages.typeface.lines(&sheet.warning, size, Weight::Semibold, setting.text_width() - 2.0 * PADDING);
    let height = lines.len() as f32 * WARNING_LEADING * size + PADDING;
    let at = (setting.margin, pages.y);
    pages.put(Mark::Frame { at, size: (setting.text_width(), height), role: Role::Decoration });
    pages.y += 0.5 * PADDING;
    let paragraph = pages.tags.section(Tag::P);
    let bold = (size, Weight::Semibold, WARNING_LEADING * size);
    pages.write_lines(paragraph, setting.margin + PADDING, bold, &lines);
    pages.y = at.1 + height + ITEM_GAP;
}

/// Stoppers and Cautions of the whole evening, if any.
fn findings(pages: &mut Pages<'_>, sheet: &RunSheet) {
    if sheet.findings.is_empty() {
        return;
    }
    section_heading(pages, FINDINGS, 2.0 * pages.setting.line);
    let items: Vec<Listed> = sheet.findings.iter().map(|finding| Listed::from_text(finding)).collect();
    columns(pages, &items, &[0.0]);
    pages.y += ITEM_GAP;
}

/// What stands for the table of an evening without stops.
fn no_stops(pages: &mut Pages<'_>) {
    let setting = pages.setting;
    let paragraph = pages.tags.section(Tag::P);
    pages.y += SECTION_GAP;
    pages.write(paragraph, (setting.margin, pages.y + setting.body), setting.body, Weight::Regular, NO_STOPS);
    pages.y += setting.line;
}

/// The drawing, as large as the width of the side and an empty side allow, or a share of that, in the middle.
fn drawing<'s>(pages: &mut Pages<'s>, sheet: &RunSheet, scene: &'s Scene, size: f32) {
    let setting = pages.setting;
    let room = setting.full_room() - setting.heading(2) * 1.3 - HEADING_GAP;
    let widest = setting.text_width() / scene.width.max(1.0);
    let scale = size * widest.min(room / scene.height.max(1.0));
    let height = scale * scene.height;
    section_heading(pages, TIMELINE, height + setting.heading(2) * 0.3 + HEADING_GAP);
    let mut alt = scene.alt.clone();
    if !sheet.rows.is_empty() {
        alt.push(' ');
        alt.push_str(TIMELINE_TABLE);
    }
    let left = setting.margin + (setting.text_width() - scale * scene.width) / 2.0;
    figure(pages, scene, &alt, (left, scale));
}

/// Cautions in three columns, the last of which begins below the decision box.
fn cautions(pages: &mut Pages<'_>, sheet: &RunSheet) {
    let setting = pages.setting;
    let width = (setting.text_width() - 2.0 * COLUMN_GAP) / 3.0;
    let items: Vec<Listed> = sheet.cautions.iter().map(Listed::from_notice).collect();
    let box_height = decision_height(pages, sheet, width) + SECTION_GAP;
    let heading = setting.heading(2) * 1.3 + HEADING_GAP;
    let starts = [0.0, 0.0, (box_height - heading).max(0.0)];
    let shortest = columns_height(pages, &items, &starts, setting.full_room() - heading);
    pages.need(SECTION_GAP + heading + shortest);
    pages.gap(SECTION_GAP);
    let top = pages.y;
    decision(pages, sheet, setting.margin + 2.0 * (width + COLUMN_GAP), width);
    pages.y = top;
    pages.heading(heading_tag(2, CAUTIONS), 2, CAUTIONS);
    pages.y += HEADING_GAP;
    columns(pages, &items, &starts);
}

/// Height of the lines to fill in.
const FILL_LINE: f32 = 20.0;
const PADDING: f32 = 7.0;
/// Leading of the words that the evening can't be run.
const WARNING_LEADING: f32 = 1.25;

fn decision_height(pages: &Pages<'_>, sheet: &RunSheet, width: f32) -> f32 {
    let inner = width - 2.0 * PADDING;
    let limits: f32 = sheet.limits.iter().map(|limit| Listed::from_notice(limit).height(pages, inner)).sum();
    let heading = pages.setting.heading(2) * 1.3;
    2.0 * PADDING + heading + pages.setting.line + limits + FILL_LINE * (1 + DECISION_LINES.len()) as f32
}

/// The weather limits, go or no-go, and who decided when.
fn decision(pages: &mut Pages<'_>, sheet: &RunSheet, left: f32, width: f32) {
    let height = decision_height(pages, sheet, width);
    let (top, body, heading) = (pages.y, pages.setting.body, pages.setting.heading(2));
    pages.put(Mark::Frame { at: (left, top), size: (width, height), role: Role::Decoration });
    let x = left + PADDING;
    let inner = width - 2.0 * PADDING;
    let mut y = top + PADDING;
    let title = pages.tags.section(heading_tag(2, DECISION));
    pages.note_heading(2, DECISION, top);
    pages.write(title, (x, y + heading - 1.0), heading, Weight::Semibold, DECISION);
    y += heading * 1.3;
    let lead = pages.tags.section(Tag::P);
    pages.write(lead, (x, y + body), body, Weight::Regular, CLOSE_AT);
    y += pages.setting.line;
    let list = pages.tags.section(Tag::L(ListNumbering::None));
    for limit in &sheet.limits {
        y = Listed::from_notice(limit).write(pages, list, (x, y), inner);
    }
    y += FILL_LINE;
    choices(pages, CHOICES, (x, y), inner / 2.0, (heading - 1.0, TICK_BOX));
    for label in DECISION_LINES {
        y += FILL_LINE;
        let paragraph = pages.tags.section(Tag::P);
        fill_in(pages, paragraph, label, (x, y), x + inner);
    }
    pages.y = top + height;
}
