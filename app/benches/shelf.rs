//! How quick a Shelf of 14,000 targets is: a frame of it, a search at every key, another order.
//!
//! `cargo bench -p evenfall --bench shelf`. Ratios are against `frame_of_the_demo`, the same frame with the targets of the
//! demonstration: the list of either is as long as the window is high.

#[path = "../../tests/src/many_targets.rs"]
mod many_targets;

use std::fs;
use std::sync::{Arc, LazyLock};
use std::thread::sleep;
use std::time::Duration;

use divan::{Bencher, black_box};
use egui::{Context, RawInput, Rect, pos2, vec2};
use evenfall_app::shell::Machine;
use evenfall_app::state::{AppState, Command, Effort, ShelfSort, ShelfView, apply};
use evenfall_app::ui::theme::Tokens;
use evenfall_app::ui::{set_up, show_shelf};
use evenfall_core::catalogue::{Catalogue, NameIndex, read_catalogue};
use evenfall_core::sheet::wording::kind_word;
use many_targets::{MANY, many_targets};
use tempfile::TempDir;

fn main() {
    divan::main();
}

/// No draft is wanted here.
const NO_EFFORT: Effort = Effort { draft: 0, appraisal: 0, bound: 0 };

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| read_catalogue("many", &many_targets(7, MANY)).0);

static INDEX: LazyLock<NameIndex> = LazyLock::new(index);

fn index() -> NameIndex {
    NameIndex::new(&CATALOGUE, |target| kind_word(target.kind).to_owned())
}

/// The demonstration, laid out; with as many invented targets in its catalogue's place.
fn opened(targets: Option<usize>) -> AppState {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../catalog-demo");
    let folder = TempDir::new().expect("a folder");
    for file in ["catalogue", "evening", "rig", "site"] {
        let name = format!("heron-fell.{file}.ron");
        let text = fs::read_to_string(format!("{demo}/{name}")).expect("the demo is there");
        let text = targets.filter(|_| file == "catalogue").map_or(text, |count| many_targets(7, count));
        fs::write(folder.path().join(name), text).expect("the folder takes it");
    }
    let path = folder.path().join("heron-fell.evening.ron");
    let mut state = AppState::with_effort(Arc::new(Machine), Some(path), NO_EFFORT);
    while state.is_computing() {
        state.take_answers();
        sleep(Duration::from_millis(5));
    }
    state.list_shelf();
    state
}

/// A frame of the Shelf alone, with its shapes made into triangles.
fn frame(context: &Context, state: &AppState) {
    let screen = Rect::from_min_size(pos2(0.0, 0.0), vec2(262.0, 768.0));
    let input = RawInput { screen_rect: Some(screen), ..RawInput::default() };
    let mut commands = Vec::new();
    let mut output = context.run_ui(input, |ui| {
        show_shelf(ui, state, Tokens::of(state.view.palette), &mut commands);
    });
    // Nothing is put on a screen.
    output.textures_delta.clear();
    black_box(context.tessellate(output.shapes, output.pixels_per_point));
}

fn frames(bencher: Bencher<'_, '_>, state: &AppState) {
    let context = Context::default();
    set_up(&context);
    context.enable_accesskit();
    frame(&context, state);
    bencher.bench_local(|| frame(&context, state));
}

#[divan::bench(sample_count = 300)]
fn frame_of_the_demo(bencher: Bencher<'_, '_>) {
    frames(bencher, &opened(None));
}

#[divan::bench(sample_count = 300)]
fn frame_of_many(bencher: Bencher<'_, '_>) {
    let mut state = opened(Some(MANY));
    let shown = state.shelf_list().rows[MANY / 50].target_index;
    apply(&mut state, Command::WalkTo(shown));
    frames(bencher, &state);
}

#[divan::bench]
fn index_the_names(bencher: Bencher<'_, '_>) {
    bencher.bench(index);
}

#[divan::bench(args = ["l", "lantern", "mill 12", "ev 07321", "galaxy kettle", "kettel"])]
fn search(bencher: Bencher<'_, '_>, words: &str) {
    bencher.bench(|| INDEX.find(black_box(words)));
}

/// Another order, or another choice of what is listed, of 14,000.
#[divan::bench]
fn list_anew(bencher: Bencher<'_, '_>) {
    let mut state = opened(Some(MANY));
    let mut turn = 0;
    bencher.bench_local(|| {
        turn += 1;
        let sort = ShelfSort::ALL[turn % ShelfSort::ALL.len()];
        apply(&mut state, Command::LookAtShelf(ShelfView { sort, ..ShelfView::default() }));
        state.list_shelf();
    });
}
