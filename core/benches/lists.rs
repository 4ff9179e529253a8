//! How dear a list of targets is, and the catalogue that comes of it: the waits between a file and an evening.
//!
//! `cargo bench -p evenfall-core --bench lists`. The baseline is `plain_rows`: the csv crate alone cuts the same bytes into
//! cells. Behind the samples each is run beside it, turn by turn, and the ratio printed, so that both meet the same machine.

#![expect(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "a bench reads its arguments and the clock, and prints"
)]

use std::fmt::Write as _;
use std::hint::black_box;
use std::ops::ControlFlow;
use std::sync::LazyLock;
use std::time::{Duration, Instant};

use csv::{ReaderBuilder, StringRecord};
use divan::Bencher;
use evenfall_core::catalogue::{Catalogue, Target, read_catalogue, write_catalogue, write_target};
use evenfall_core::document::{check_names, read_evening};
use evenfall_core::lists::{ListProgress, Remark, TakesList, read_list, read_list_into};
use evenfall_core::rig::read_rig;
use evenfall_core::site::read_site;

fn main() {
    divan::main();
    // Not when it only lists or tests its benches.
    if std::env::args().any(|argument| argument == "--bench") {
        print_ratios();
    }
}

const COUNTS: [usize; 2] = [14_000, 100_000];

static LISTS: LazyLock<[String; 2]> = LazyLock::new(|| COUNTS.map(list));

fn text(count: usize) -> &'static str {
    &LISTS[COUNTS.iter().position(|known| *known == count).expect("a list of each count")]
}

static CATALOGUE: LazyLock<String> = LazyLock::new(|| {
    let targets = read_list(text(COUNTS[0]).as_bytes(), None).targets;
    write_catalogue(&Catalogue { name: "Many".to_owned(), targets, ..Catalogue::default() })
});

/// An invented list: places strewn over the sky by a golden turn, so that hardly two stand together.
fn list(count: usize) -> String {
    const KINDS: [&str; 5] = ["galaxy", "open cluster", "planetary nebula", "globular cluster", "nebula"];
    let mut text = "name;other names;kind;ra;dec;mag;size;pa\n".to_owned();
    for number in 1..=count {
        let part = number as f64 / count as f64;
        let turn = (number as f64 * 0.618_033_988_749_895).fract();
        let (ra_s, dec_s) =
            ((turn * 864_000.0) as u32, ((2.0 * part - 1.0).asin().to_degrees() * 3600.0) as i32);
        let (tenths, seconds, sign) = (ra_s % 10, ra_s / 10, if dec_s < 0 { '-' } else { '+' });
        let (hours, minutes, dec_s) = (seconds / 3600, seconds / 60 % 60, dec_s.unsigned_abs());
        // Writing to a text can't fail.
        let _ = writeln!(
            text,
            "HF {number};Lamp {number};{};{hours:02} {minutes:02} {:02}.{tenths};{sign}{:02} {:02} {:02};{:.2};{:.2};{}",
            KINDS[number % KINDS.len()],
            seconds % 60,
            dec_s / 3600,
            dec_s / 60 % 60,
            dec_s % 60,
            4.0 + 12.0 * turn,
            0.5 + 20.0 * turn,
            number % 180,
        );
    }
    text
}

/// Writes each target, as `convert` does, and keeps none.
#[derive(Default)]
struct Writes {
    text: String,
    count: usize,
}

impl TakesList for Writes {
    fn target(&mut self, target: Target) {
        self.text.clear();
        write_target(&mut self.text, &target);
        self.count += 1;
    }

    fn remark(&mut self, _remark: Remark) {}

    fn goes_on(&mut self, _progress: ListProgress) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }
}

fn plain_cells(text: &str) -> usize {
    let mut reader = ReaderBuilder::new().flexible(true).delimiter(b';').from_reader(text.as_bytes());
    let (mut cells, mut count) = (StringRecord::new(), 0);
    while reader.read_record(&mut cells).expect("the list is sound") {
        count += black_box(&cells).len();
    }
    count
}

fn converted(text: &str) -> usize {
    let mut writes = Writes::default();
    read_list_into(text.as_bytes(), None, &mut writes);
    writes.count
}

/// All that opening a saved evening reads: the evening, its site and rig, and a catalogue of 14,000 targets.
fn opened() -> usize {
    macro_rules! demo {
        ($file:literal) => {
            include_str!(concat!("../../catalog-demo/heron-fell.", $file, ".ron"))
        };
    }
    let evening = demo!("evening");
    let rig = read_rig("rig", demo!("rig")).expect("the demo is sound");
    let (catalogue, faults) = read_catalogue("catalogue", &CATALOGUE);
    assert!(faults.is_empty());
    black_box(read_evening("evening", evening).expect("the demo is sound"));
    let site = black_box(read_site("site", demo!("site")).expect("the demo is sound"));
    black_box(check_names("evening", evening, site.zone, &rig, &catalogue));
    catalogue.targets.len()
}

#[divan::bench(args = COUNTS, sample_count = 10)]
fn plain_rows(bencher: Bencher<'_, '_>, count: usize) {
    bencher.bench(|| plain_cells(text(count)));
}

#[divan::bench(args = COUNTS, sample_count = 10)]
fn convert(bencher: Bencher<'_, '_>, count: usize) {
    bencher.bench(|| converted(text(count)));
}

#[divan::bench(sample_count = 10)]
fn open_evening_of_14000(bencher: Bencher<'_, '_>) {
    LazyLock::force(&CATALOGUE);
    bencher.bench(opened);
}

/// A name, what is timed, and the same bytes cut into cells.
type Pair = (&'static str, fn() -> usize, fn() -> usize);

/// Each beside its baseline: their samples take turns.
fn print_ratios() {
    const TURNS: usize = 15;
    let pairs: [Pair; 3] = [
        ("convert 14000", || converted(text(COUNTS[0])), || plain_cells(text(COUNTS[0]))),
        ("convert 100000", || converted(text(COUNTS[1])), || plain_cells(text(COUNTS[1]))),
        ("open_evening_of_14000", opened, || plain_cells(&CATALOGUE)),
    ];
    println!(
        "\n{:<24} {:>9} {:>9} {:>9} {:>9} {:>7}",
        "milliseconds", "fastest", "median", "plain", "its median", "ratio"
    );
    for (name, ours, plain) in pairs {
        let (mut times, mut plain_times) = (Vec::new(), Vec::new());
        for _ in 0..TURNS {
            times.push(timed(ours));
            plain_times.push(timed(plain));
        }
        times.sort_unstable();
        plain_times.sort_unstable();
        let ms = |time: Duration| time.as_secs_f64() * 1000.0;
        println!(
            "{name:<24} {:>9.1} {:>9.1} {:>9.1} {:>10.1} {:>7.1}",
            ms(times[0]),
            ms(times[TURNS / 2]),
            ms(plain_times[0]),
            ms(plain_times[TURNS / 2]),
            ms(times[0]) / ms(plain_times[0])
        );
    }
}

fn timed(run: fn() -> usize) -> Duration {
    let start = Instant::now();
    black_box(run());
    start.elapsed()
}
