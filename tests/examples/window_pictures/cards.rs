//! The Card of one target of each sort, at the top and as a whole.

use std::error::Error;
use std::path::Path;

use evenfall_app::state::{CardSection, Command, Selected, apply};
use evenfall_core::catalogue::TargetId;
use evenfall_tests::harness::{TestWindow, late_demo};

/// The Card of one target of each sort on the demonstration evening, at the top and as a whole.
pub fn pictures(folder: &Path) -> Result<(), Box<dyn Error>> {
    const TARGETS: [(&str, &str); 6] = [
        ("planet", "jupiter"),
        ("large-nebula", "smithy-door"),
        ("small-nebula", "millers-lantern"),
        ("galaxy", "winnowing-fan"),
        ("double-star", "marigold-and-speedwell"),
        ("moon", "moon"),
    ];
    let files = tempfile::TempDir::new()?;
    let evening = late_demo(files.path(), "2027-10-30");
    let mut autumn = TestWindow::open([1280.0, 2300.0], 1.0, Some(evening));
    show_card(&mut autumn, "saturn");
    autumn.picture().save(folder.join("card-ringed-planet-whole.png"))?;
    let mut window = TestWindow::demo();
    let mut whole = TestWindow::open([1280.0, 3000.0], 1.0, None);
    apply(whole.harness.state_mut(), Command::Fold(CardSection::Sources));
    for (name, id) in TARGETS {
        for (window, size) in [(&mut window, "1280x800"), (&mut whole, "whole")] {
            show_card(window, id);
            window.picture().save(folder.join(format!("card-{name}-{size}.png")))?;
        }
    }
    overrule(&mut window);
    window.picture().save(folder.join("card-overruled-1280x800.png"))?;
    apply(whole.harness.state_mut(), Command::TogglePalette);
    show_card(&mut whole, "millers-lantern");
    whole.picture().save(folder.join("card-red-lamp-whole.png"))?;
    for (size, scale, name) in [([1024.0, 700.0], 1.0, "1024x700"), ([1280.0, 800.0], 1.5, "1280x800-at-1.5")]
    {
        let mut window = TestWindow::open(size, scale, None);
        show_card(&mut window, "jupiter");
        window.picture().save(folder.join(format!("card-planet-{name}.png")))?;
    }
    Ok(())
}

fn show_card(window: &mut TestWindow, id: &str) {
    let target = Some(Selected::Target(TargetId(id.to_owned())));
    apply(window.harness.state_mut(), Command::Select(target));
    window.settle();
}

/// Puts the first stop that shows something, the Moon's, on the wide camera.
fn overrule(window: &mut TestWindow) {
    let open = window.harness.state().open();
    let stop =
        open.and_then(|open| open.document.evening.order.stops().iter().find(|stop| stop.show().is_some()));
    let Some((stop, port)) = stop.map(|stop| stop.id).zip(open.map(|open| &open.document.stock.rig.ports[0]))
    else {
        return;
    };
    let put = Command::SetPort(stop, port.id.clone());
    apply(window.harness.state_mut(), Command::Select(Some(Selected::Stop(stop))));
    apply(window.harness.state_mut(), put);
    window.settle();
}
