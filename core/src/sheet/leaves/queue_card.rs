//! The queue card: what the person at the line needs. How long the lines are and when, what to tell those who stand in them,
//! when to close them.

use super::{Page, clock, clock_down, heading, shorten, texts};
use crate::plan::{QueueMinute, Stop, humane_wait_minutes, longest_wait, queue};
use crate::rig::Port;
use crate::sheet::head::{LONGEST_WAIT, VISITORS};
use crate::sheet::satellite_words::passes_in_place;
use crate::sheet::{Block, Leaf, LeafKind, LeafTable, Notice, numbers};
use crate::time::Instant;

/// Points of its text: read outdoors, in the dark.
const QUEUE_PT: f32 = 12.0;
/// Minutes between two rows of the table of waits.
const EVERY_MINUTES: usize = 10;
/// A line is closed at least so many minutes before its stop ends. Common practice, no source.
const LAST_IN_LINE_MINUTES: f64 = 3.0;
/// What whoever keeps the line does on an evening that was called off. Common practice, no source.
const AT_THE_DOOR: &str = "Stand at the door: tell everyone who comes that the sky is called off, what happens indoors and when, and \
                           count them. The Cloud card has the words.";
/// What stands for a wait of less than a minute.
const NO_WAIT: &str = "none";
/// Minutes of waiting from which on a line takes numbers. Common practice, no source.
const NUMBERS_MINUTES: f64 = 30.0;

pub(super) fn queue_card(page: &Page<'_>) -> Leaf {
    page.leaf(LeafKind::QueueCard, "Queue card: the line", QUEUE_PT, blocks(page))
}

fn blocks(page: &Page<'_>) -> Vec<Block> {
    if page.called_off() {
        return vec![Block::Large("No-go: no line tonight".to_owned()), Block::Text(AT_THE_DOOR.to_owned())];
    }
    let names = page.names;
    let minutes = queue(names.evening, names.prepared, names.materials);
    let lines: Vec<Line<'_>> =
        names.evening.order.stops().iter().filter_map(|stop| Line::of(page, stop, &minutes)).collect();
    if lines.is_empty() {
        return vec![Block::Text(
            "No stop is at an eyepiece, so there is no line: a screen serves a group at once.".to_owned(),
        )];
    }
    let mut blocks = vec![
        Block::Facts(page.of_head(&[VISITORS, LONGEST_WAIT])),
        heading("The lines tonight"),
        Block::Table(lines_table(page, &lines)),
    ];
    // Of short lines the first table says all.
    if lines.iter().any(|line| line.told().count() > 1) {
        blocks.extend([heading("Who joins now waits"), Block::Table(waits_table(page, &lines))]);
    }
    blocks.extend([
        heading("Tell those in line"),
        Block::Facts(lines.iter().map(|line| line.story(page)).collect()),
        Block::List(rules(page, &minutes)),
    ]);
    blocks
}

/// When the line of a stop is closed; `None` where it has none, or one that is too long from the first.
pub(super) fn line_closes(page: &Page<'_>, stop: &Stop, minutes: &[QueueMinute]) -> Option<Instant> {
    Line::of(page, stop, minutes)?.closes().map(|last| last.instant)
}

/// The line of an eyepiece stop.
struct Line<'l> {
    stop: &'l Stop,
    minutes: Vec<&'l QueueMinute>,
}

impl<'l> Line<'l> {
    /// `None` where a stop has none.
    fn of(page: &Page<'_>, stop: &'l Stop, minutes: &'l [QueueMinute]) -> Option<Self> {
        let rig = page.names.materials.rig;
        let at_eyepiece = stop.show().and_then(|show| rig.port(&show.port)).is_some_and(Port::is_eyepiece);
        let own = minutes.iter().filter(|minute| minute.stop == Some(stop.id)).collect::<Vec<_>>();
        (at_eyepiece && !own.is_empty()).then_some(Self { stop, minutes: own })
    }

    /// The last minute at which somebody who joins still looks before the stop ends; `None` where the line that forms at first
    /// is too long already.
    fn closes(&self) -> Option<&QueueMinute> {
        self.minutes.iter().rev().copied().find(|minute| {
            let needed = minute.wait_minutes.max(LAST_IN_LINE_MINUTES);
            minute.instant.plus_minutes(needed) <= self.stop.end()
        })
    }

    /// The minutes that are told: one in so many, until the line is closed.
    fn told(&self) -> impl Iterator<Item = &'l QueueMinute> {
        let closes = self.closes().map(|last| last.instant);
        let minutes = self.minutes.iter().copied().step_by(EVERY_MINUTES);
        minutes.take_while(move |minute| closes.is_none_or(|closes| minute.instant < closes))
    }

    fn longest(&self) -> Option<&QueueMinute> {
        let longer = |one: &'l QueueMinute, other: &'l QueueMinute| {
            if other.wait_minutes > one.wait_minutes { other } else { one }
        };
        self.minutes.iter().copied().reduce(longer)
    }

    /// What the wait is for.
    fn story(&self, page: &Page<'_>) -> Notice {
        let title = page.names.stop_title(self.stop);
        let target = self.stop.show().and_then(|show| page.names.target(&show.target));
        let told = target.map_or_else(String::new, |(_, target)| {
            let look = match target.words.look_for.trim() {
                "" => String::new(),
                look => shorten::as_sentence(&format!("Look for {look}")),
            };
            format!("{} {look}", shorten::as_sentence(&target.words.line)).trim().to_owned()
        });
        Notice::new(title.clone(), if told.is_empty() { title } else { told })
    }
}

fn lines_table(page: &Page<'_>, lines: &[Line<'_>]) -> LeafTable {
    let names = page.names;
    let row = |line: &Line<'_>| {
        let number = names.stop_number(line.stop.id).map(|number| number.to_string()).unwrap_or_default();
        let row = page.sheet.rows.iter().find(|row| row.number == number);
        let forms = row.map(|row| row.line_side.clone()).unwrap_or_default();
        let longest = line.longest().map(|longest| {
            format!("{} at {}", numbers::minutes(longest.wait_minutes), clock(names, longest.instant))
        });
        let closes = line.closes().map_or_else(
            || "at once: count the people and hand out numbers".to_owned(),
            |last| clock_down(names, last.instant),
        );
        vec![
            page.numbered(line.stop),
            page.span(line.stop),
            forms,
            line.minutes.first().map(|first| people(first)).unwrap_or_default(),
            longest.unwrap_or_default(),
            closes,
        ]
    };
    LeafTable {
        summary: "The line of each stop at an eyepiece: when it runs, where it forms, how many stand in it at first, its longest wait, \
                  and when to close it."
            .to_owned(),
        heads: texts(&["Stop", "Runs", "Forms in the", "In line at first", "Longest wait", "Close it at"]),
        rows: lines.iter().map(row).collect(),
        shares: vec![3.0, 1.8, 1.6, 1.4, 2.0, 1.5],
        may_stand_below: None,
        filled_in: &[],
    }
}

fn waits_table(page: &Page<'_>, lines: &[Line<'_>]) -> LeafTable {
    let names = page.names;
    let row = |line: &Line<'_>, minute: &QueueMinute| {
        vec![
            clock(names, minute.instant),
            names.stop_title(line.stop),
            people(minute),
            if minute.wait_minutes < 0.5 {
                NO_WAIT.to_owned()
            } else {
                numbers::minutes(minute.wait_minutes)
            },
        ]
    };
    let rows = lines.iter().flat_map(|line| line.told().map(move |minute| row(line, minute)));
    LeafTable {
        summary: "Every ten minutes of each line: how many stand in it, and how long somebody who joins then waits."
            .to_owned(),
        heads: texts(&["At", "For", "In line", "Wait"]),
        rows: rows.collect(),
        shares: vec![1.0, 4.0, 1.5, 1.5],
        may_stand_below: None,
        filled_in: &[],
    }
}

/// People in line, those at a screen beside it among them.
fn people(minute: &QueueMinute) -> String {
    let people = numbers::count(minute.people.round() as usize, "person", "people");
    match minute.at_screen.round() as usize {
        0 => people,
        seated => format!("{people}, {seated} of them at the screen"),
    }
}

/// What whoever keeps the line does and says.
fn rules(page: &Page<'_>, minutes: &[QueueMinute]) -> Vec<String> {
    let humane = humane_wait_minutes(&page.names.evening.house);
    let mut rules = vec![
        "Say the wait to everyone who joins, and what they will see; count heads every ten minutes."
            .to_owned(),
        format!(
            "Longer than {}: offer a second thing to see, such as the screen or the sky with the naked eye.",
            numbers::minutes(humane)
        ),
    ];
    if humane < NUMBERS_MINUTES {
        rules.push("Longer than 30 min: hand out numbers, or mark who is the last to look.".to_owned());
    }
    if let Some(longest) = longest_wait(minutes).filter(|longest| longest.wait_minutes > humane) {
        let wait = numbers::minutes(longest.wait_minutes);
        let numbers = if longest.wait_minutes > NUMBERS_MINUTES { "numbers and " } else { "" };
        rules.push(format!("Tonight the wait grows to {wait}: have {numbers}the second thing ready."));
    }
    let doors = page.names.prepared.doors;
    let passes = passes_in_place(page.names).into_iter().filter(|(at, _)| doors.contains(*at));
    rules.extend(passes.map(|(_, pass)| format!("{pass}: point it out.")));
    rules.extend(texts(&[
        "When you close the line, stand at its end yourself. Who comes later is told when the next line opens.",
        "Families with small children first; seated visitors when they are ready.",
    ]));
    rules
}
