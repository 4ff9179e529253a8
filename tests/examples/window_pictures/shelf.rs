//! The Shelf as it is, narrowed and sorted, with a slip in what is searched for.

use std::error::Error;
use std::path::Path;

use evenfall_app::state::{Command, ShelfSort, ShelfView, Side, apply};
use evenfall_tests::harness::TestWindow;

/// The Shelf: as it is, narrowed and sorted, with a slip in what is searched for, and what can't be shown.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (size, scale, name) in [
        ([1280.0, 800.0], 1.0, "1280x800"),
        ([1366.0, 768.0], 1.0, "1366x768"),
        ([1024.0, 700.0], 1.0, "1024x700"),
        ([1280.0, 800.0], 1.5, "1280x800-at-1.5"),
        ([683.0, 384.0], 2.0, "683x384-at-2"),
    ] {
        let mut window = TestWindow::open(size, scale, None);
        apply(window.harness.state_mut(), Command::ShowSide(Side::Shelf));
        let show = |window: &mut TestWindow, commands: Vec<Command>, what: &str| {
            for command in commands {
                apply(window.harness.state_mut(), command);
                window.settle();
            }
            window.picture().save(folder.join(format!("shelf-{what}-{name}.png")))
        };
        let port = window.harness.state().open().map(|open| open.document.stock.rig.ports[0].id.clone());
        let filtered =
            ShelfView { open: true, now: true, port, sort: ShelfSort::AltitudeNow, ..ShelfView::default() };
        let folded = ShelfView { open: false, ..filtered.clone() };
        let last = ShelfView { sort: ShelfSort::BestTime, ..ShelfView::default() };
        show(&mut window, vec![Command::WalkTo(4)], "plain")?;
        let walked = |window: &TestWindow, position: usize| {
            window.harness.state().shelf_list().rows.get(position).map_or(0, |row| row.target_index)
        };
        let row = walked(&window, 40);
        show(&mut window, vec![Command::WalkTo(row)], "walked")?;
        show(&mut window, vec![Command::LookAtShelf(filtered)], "filtered")?;
        show(&mut window, vec![Command::LookAtShelf(folded)], "folded")?;
        show(&mut window, vec![Command::WholeShelf, Command::Search("lanturn".to_owned())], "slip")?;
        show(&mut window, vec![Command::WholeShelf, Command::LookAtShelf(last)], "best-time")?;
        let row = walked(&window, 133);
        show(&mut window, vec![Command::WalkTo(row)], "last")?;
        show(&mut window, vec![Command::TogglePalette, Command::WalkTo(4)], "red")?;
    }
    Ok(())
}
