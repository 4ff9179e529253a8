//! The Shelf: what is found on it, in which order, and that it is as quick with thousands of targets.

use egui::accesskit::Role;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use evenfall_app::state::{Command, Selected, ShelfSort, ShelfView, Side, apply};
use evenfall_core::catalogue::{Kind, Public, TargetId};
use evenfall_core::plan::{needed_minutes, view_then};
use evenfall_tests::harness::{TestWindow, crowded_demo};

/// The names of the rows that are drawn, from the top.
fn rows(window: &TestWindow) -> Vec<String> {
    let options = window.harness.get_all_by_role(Role::ListBoxOption);
    let mut rows: Vec<(f32, String)> =
        options.filter_map(|node| Some((node.rect().top(), node.accesskit_node().label()?))).collect();
    rows.sort_by(|one, other| one.0.total_cmp(&other.0));
    rows.into_iter().map(|(_, label)| label).collect()
}

/// The targets that are listed, drawn or not.
fn listed(window: &TestWindow) -> Vec<TargetId> {
    let state = window.harness.state();
    let targets = &state.open().expect("open").document.stock.catalogue.targets;
    state.shelf_list().rows.iter().map(|row| targets[row.target_index].id.clone()).collect()
}

fn look(window: &mut TestWindow, shelf: ShelfView) {
    apply(window.harness.state_mut(), Command::LookAtShelf(shelf));
    window.settle();
}

fn search(window: &mut TestWindow, words: &str) {
    apply(window.harness.state_mut(), Command::Search(words.to_owned()));
    window.settle();
}

fn click(window: &mut TestWindow, label: &str) {
    window.harness.get_by_label(label).click();
    window.settle();
}

#[test]
fn words_in_any_order_and_slips_find_a_target() {
    let mut window = TestWindow::demo();
    for words in ["market lamps", "LAMPS market", "marketlamps", "lamps: market, cluster"] {
        search(&mut window, words);
        assert_eq!(listed(&window), [TargetId("market-lamps".to_owned())], "{words}");
    }
    search(&mut window, "markat lamps");
    assert_eq!(listed(&window), [TargetId("market-lamps".to_owned())]);
    window.harness.get_by_label("Nothing has these words. Nearest: market lamps");
    window.harness.get_by_label("1 of 142, best first");
    click(&mut window, "Clear all");
    assert_eq!(listed(&window).len(), 142);
    assert!(window.harness.query_by_label("Clear all").is_none());
}

#[test]
fn filters_are_told_and_ended_at_once() {
    let mut window = TestWindow::demo();
    click(&mut window, "Filter");
    click(&mut window, "Kind");
    click(&mut window, "Galaxy");
    let all = {
        let open = window.harness.state().open().expect("open");
        let targets = &open.document.stock.catalogue.targets;
        targets.iter().filter(|target| target.kind == Kind::Galaxy).count()
    };
    assert_eq!(listed(&window).len(), all);
    click(&mut window, "Also what can't be shown");
    window.harness.get_by_label("Galaxy, only what can be shown");
    // Folded away, it is told all the same.
    click(&mut window, "Filter");
    window.harness.get_by_label("Galaxy, only what can be shown");
    assert!(window.harness.query_by_label("Kind").is_none());
    click(&mut window, "Clear all");
    assert_eq!(listed(&window).len(), 142);
    look(&mut window, ShelfView { public: Some(Public::Children), ..ShelfView::default() });
    let state = window.harness.state();
    let targets = &state.open().expect("open").document.stock.catalogue.targets;
    let rows = &state.shelf_list().rows;
    assert!(rows.iter().all(|row| targets[row.target_index].public() == Public::Children));
    assert!(rows.iter().any(|row| targets[row.target_index].kind == Kind::Moon));
}

#[test]
fn what_shows_now_follows_the_minute_that_is_read() {
    let mut window = TestWindow::demo();
    look(&mut window, ShelfView { now: true, ..ShelfView::default() });
    let mut before = Vec::new();
    for minutes in [30.0, 200.0] {
        let at = {
            let open = window.harness.state().open().expect("open");
            open.derived.prepared.doors.start().plus_minutes(minutes)
        };
        apply(window.harness.state_mut(), Command::ReadAt(Some(at)));
        window.settle();
        let now = listed(&window);
        let open = window.harness.state().open().expect("open");
        let targets = open.document.stock.catalogue.targets.iter().enumerate();
        let shows =
            |(position, _): &(usize, _)| view_then(&open.derived.prepared, *position, at, None).is_some();
        assert_eq!(now.len(), targets.filter(shows).count());
        assert!(!now.is_empty() && now.len() < 142 && now != before);
        before = now;
    }
    window.harness.get_by_label("shows at 21:50");
}

#[test]
fn a_port_alone_tells_its_own_best_start_with_room_for_the_stop() {
    let mut window = TestWindow::demo();
    let ports = window.harness.state().open().expect("open").document.stock.rig.ports.clone();
    let all = listed(&window).len();
    for (position, port) in ports.iter().enumerate() {
        look(&mut window, ShelfView { port: Some(port.id.clone()), ..ShelfView::default() });
        let state = window.harness.state();
        let open = state.open().expect("open");
        let (prepared, materials) = (&open.derived.prepared, open.document.stock.materials());
        let rows = &state.shelf_list().rows;
        assert!(!rows.is_empty() && rows.len() < all, "{}", port.name);
        for row in rows {
            let start = row.best_start.expect("the port shows it");
            assert_eq!(row.port, Some(position));
            assert!(view_then(prepared, row.target_index, start, Some(position)).is_some());
            let house = &open.document.evening.house;
            let needed = needed_minutes(house, prepared, &materials, row.target_index, port).ceil();
            let runs = prepared.availability[row.target_index].showable.as_slice();
            let end = start.plus_minutes(needed);
            let shows = |at| view_then(prepared, row.target_index, at, Some(position)).is_some();
            let has_room = runs.iter().any(|run| {
                let starts = (0..600).map(|minute| run.start().plus_minutes(f64::from(minute)));
                let mut starts = starts.take_while(|start| start.plus_minutes(needed) < run.end());
                starts.any(|start| {
                    (0..needed as u32).all(|minute| shows(start.plus_minutes(f64::from(minute))))
                })
            });
            assert!(end <= prepared.doors.end() || !has_room, "no room before doors close");
            assert!(start.plus_minutes(1.0) <= prepared.doors.end(), "it starts when doors close");
        }
    }
}

#[test]
fn each_order_is_kept_and_turned_round() {
    let mut window = TestWindow::demo();
    for sort in ShelfSort::ALL {
        look(&mut window, ShelfView { sort, ..ShelfView::default() });
        let state = window.harness.state();
        let open = state.open().expect("open");
        let targets = &open.document.stock.catalogue.targets;
        let at = state.clear_minute().expect("a minute");
        let rows = &state.shelf_list().rows;
        assert_eq!(rows.len(), 142);
        let ordered = |before: usize, after: usize| {
            let (one, other) = (&rows[before], &rows[after]);
            let target = |position: usize| &targets[rows[position].target_index];
            let worth = |position: usize| rows[position].view.value() * target(position).appeal.value();
            let now = |position: usize| {
                let own = view_then(&open.derived.prepared, rows[position].target_index, at, None);
                own.map_or(0.0, |(_, view)| view.value()) * target(position).appeal.value()
            };
            let high = |position: usize| {
                let sample = open.derived.prepared.sample(rows[position].target_index, at);
                sample.expect("a sample").altitude.degrees()
            };
            match sort {
                ShelfSort::Worth => worth(before) + 1e-9 >= worth(after),
                ShelfSort::WorthNow => now(before) + 1e-5 >= now(after) || other.limit.is_some(),
                ShelfSort::BestTime => other.best_start.is_none() || one.best_start <= other.best_start,
                ShelfSort::Name => target(before).name.to_lowercase() <= target(after).name.to_lowercase(),
                ShelfSort::AltitudeNow => high(before) + 1e-5 >= high(after),
                ShelfSort::Kind => target(before).kind <= target(after).kind,
            }
        };
        for position in 1..rows.len() {
            assert!(ordered(position - 1, position), "{sort:?} at {position}");
        }
    }
    look(&mut window, ShelfView { sort: ShelfSort::Name, ..ShelfView::default() });
    let mut forth = listed(&window);
    click(&mut window, "A to Z; press for Z to A");
    window.harness.get_by_label("142 targets, Z to A");
    forth.reverse();
    assert_eq!(listed(&window), forth);
}

#[test]
fn a_row_says_all_that_it_shows() {
    let mut window = TestWindow::demo();
    search(&mut window, "jupiter");
    let name = rows(&window).swap_remove(0);
    assert!(name.starts_with("Jupiter, planet, "), "{name}");
    assert!(name.contains("shows") && name.contains(", best "), "{name}");
    window.harness.get_by_label(&name).focus();
    window.settle();
    let node = window.harness.get_by_label(&name);
    let description = node.accesskit_node().data().description().map(str::to_owned).unwrap_or_default();
    assert!(description.contains("Between 18:30 and 22:30"), "{description}");
    assert_eq!(
        (node.accesskit_node().data().position_in_set(), node.accesskit_node().data().size_of_set()),
        (Some(0), Some(1))
    );
    let list = window.harness.get_by_role(Role::ListBox);
    assert_eq!(list.accesskit_node().label().as_deref(), Some("Targets on the Shelf"));
    // What can't be shown says why, in the same place.
    search(&mut window, "");
    look(&mut window, ShelfView { sort: ShelfSort::BestTime, ..ShelfView::default() });
    let last = window.harness.state().shelf_list().rows.last().expect("rows").target_index;
    apply(window.harness.state_mut(), Command::WalkTo(last));
    window.settle();
    let why = rows(&window).pop().expect("rows");
    assert!(!why.contains("best") && why.matches(", ").count() >= 2, "{why}");
}

#[test]
fn keys_walk_all_rows_and_letters_mean_what_they_mean_elsewhere() {
    let mut window = TestWindow::demo();
    let date = window.evening().date;
    let all = listed(&window);
    let first = rows(&window).swap_remove(0);
    let drawn = rows(&window).len();
    assert!(drawn < 30, "{drawn} of {} rows are drawn", all.len());
    window.harness.get_by_label(&first).focus();
    window.settle();
    let selected = |window: &TestWindow| match &window.harness.state().view.selected {
        Some(Selected::Target(id)) => all.iter().position(|own| own == id).expect("it is listed"),
        other => panic!("{other:?}"),
    };
    for (key, least, most) in [
        (Key::ArrowDown, 1, 1),
        (Key::PageDown, 5, 25),
        (Key::End, 141, 141),
        (Key::ArrowDown, 141, 141),
        (Key::PageUp, 113, 138),
        (Key::Home, 0, 0),
    ] {
        window.press(Modifiers::NONE, key);
        let at = selected(&window);
        assert!((least..=most).contains(&at), "{key:?} led to {at}");
        let name = {
            let open = window.harness.state().open().expect("open");
            let targets = &open.document.stock.catalogue.targets;
            targets.iter().find(|target| target.id == all[at]).expect("a target").name.clone()
        };
        let own = format!("{name}, ");
        let row = window.harness.get_by_label_contains(&own);
        assert!(row.is_focused());
        let list = window.harness.get_by_role(Role::ListBox).rect();
        assert!(list.expand(1.0).contains_rect(row.rect()), "{key:?} led out of sight");
        assert!(row.rect().height() >= 24.0);
    }
    // A wish for the target that was walked to, as from the Board or the Card; what is typed searches only after `/`.
    assert_eq!(window.evening().date, date, "a page of the list is no day");
    let target = all[0].clone();
    let is_wished = |window: &TestWindow| window.evening().wishes.must_show.contains(&target);
    let before = is_wished(&window);
    window.harness.key_press(Key::A);
    window.type_text("a");
    assert_ne!(is_wished(&window), before);
    // The first is on the Board: nothing waits for a wish that it follows.
    assert!(!rows(&window)[0].contains("must show"), "{:?}", rows(&window)[0]);
    window.harness.key_press(Key::X);
    window.settle();
    assert!(rows(&window)[0].contains(", left out, on the Board"), "{:?}", rows(&window)[0]);
    window.press(Modifiers::COMMAND, Key::Z);
    window.press(Modifiers::COMMAND, Key::Z);
    assert_eq!(is_wished(&window), before);
    assert_eq!(window.harness.state().view.search, "");
    window.type_text("/");
    window.type_text("lantern");
    assert_eq!(window.harness.state().view.search, "lantern");
    window.press(Modifiers::NONE, Key::ArrowDown);
    let stops = window.evening().order.stops().len();
    window.press(Modifiers::NONE, Key::Enter);
    assert_eq!(window.evening().order.stops().len(), stops + 1);
}

#[test]
fn thousands_of_targets_are_walked_like_a_hundred() {
    let folder = tempfile::TempDir::new().expect("a folder");
    let evening = crowded_demo(folder.path(), 2_000);
    let mut window = TestWindow::open([1280.0, 800.0], 1.0, Some(evening));
    assert_eq!(listed(&window).len(), 2_000);
    assert!(rows(&window).len() < 30);
    for words in ["ev1999", "EV 01999", "ev-1999"] {
        search(&mut window, words);
        assert_eq!(listed(&window), [TargetId("invented-1999".to_owned())], "{words}");
    }
    search(&mut window, "");
    let last = listed(&window).pop().expect("rows");
    let first = rows(&window).swap_remove(0);
    window.harness.get_by_label(&first).focus();
    window.settle();
    window.press(Modifiers::NONE, Key::End);
    assert_eq!(window.harness.state().view.selected, Some(Selected::Target(last)));
    // The list stays as it is while nothing that it depends on changes.
    let rows = window.harness.state().shelf_list().rows.as_ptr();
    window.harness.run_steps(3);
    assert_eq!(window.harness.state().shelf_list().rows.as_ptr(), rows);
}

#[test]
fn where_the_board_is_not_seen_nothing_is_dragged_to_it() {
    let mut window = TestWindow::open([640.0, 400.0], 1.0, None);
    apply(window.harness.state_mut(), Command::ShowSide(Side::Shelf));
    window.settle();
    let first = window.harness.get_all_by_role(Role::ListBoxOption).next().expect("a row").rect();
    window.lift(first.center(), first.center() + vec2(60.0, 40.0));
    assert_eq!(window.harness.state().view.drag, None);
    window.harness.drop_at(first.center());
    window.settle();
    assert_eq!(window.harness.state().view.drag, None);
}

#[test]
fn names_have_their_room_before_the_curve_and_are_told_whole() {
    for size in [[1366.0, 768.0], [1280.0, 800.0], [1024.0, 700.0]] {
        let mut window = TestWindow::open(size, 1.0, None);
        let seen = window.harness.get_by_role(Role::ListBox).rect();
        let names: Vec<String> = {
            let open = window.harness.state().open().expect("open");
            open.document.stock.catalogue.targets.iter().map(|target| target.name.clone()).collect()
        };
        let (mut whole, mut last) = (0, 0);
        // As many rows as are seen at once, and so on to the end.
        for _ in 0..20 {
            let texts = window.harness.output().shapes.iter().filter_map(|clipped| match &clipped.shape {
                egui::Shape::Text(text) if seen.contains(text.pos) => Some(&text.galley),
                _ => None,
            });
            for galley in texts.filter(|galley| names.iter().any(|name| name == galley.text())) {
                assert!(!galley.elided, "{size:?}: \"{}\" is cut", galley.text());
                whole += 1;
            }
            let rows = &window.harness.state().shelf_list().rows;
            last = (last + 8).min(rows.len() - 1);
            let target = rows[last].target_index;
            apply(window.harness.state_mut(), Command::WalkTo(target));
            window.settle();
        }
        assert!(whole > 100, "{size:?}: only {whole} names were seen");
    }
}
