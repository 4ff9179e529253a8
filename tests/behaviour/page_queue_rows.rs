//! What the card of the line must say, on the demo's evening read from its files.

use evenfall_core::plan::{Decision, RunningOrder, Stop, queue};
use evenfall_core::sheet::LeafKind;

use super::pages::{clock, demo, stop, texts, whole};

#[test]
fn row_61_the_queue_card_has_the_lines_with_their_waits_and_when_to_close_them() {
    let (park, prepared, pages) = demo();
    let card = pages.page(LeafKind::QueueCard);
    assert_eq!(card.stamp, pages.sheet.stamp);
    let minutes = queue(&park.evening, &prepared, &park.materials());
    let lines = pages.table(LeafKind::QueueCard, "Close it at");
    let waits = pages.table(LeafKind::QueueCard, "Wait");
    let at_eyepiece: Vec<&Stop> = park
        .evening
        .order
        .stops()
        .iter()
        .filter(|stop| stop.show().is_some_and(|show| show.port.0 == "eyepiece"))
        .collect();
    assert_eq!(lines.rows.len(), at_eyepiece.len());
    for (row, stop) in lines.rows.iter().zip(at_eyepiece) {
        let own: Vec<_> = minutes.iter().filter(|minute| minute.stop == Some(stop.id)).collect();
        // Whoever joins at the minute when it is closed still looks before the stop ends; a minute later nobody is let in.
        let closed =
            own.iter().find(|minute| clock(&prepared, minute.instant) == row[5]).expect("a minute of it");
        assert!(closed.instant.plus_minutes(closed.wait_minutes) <= stop.end(), "{row:?}");
        let longest = own.iter().map(|minute| minute.wait_minutes).fold(0.0, f64::max);
        assert!(row[4].starts_with(&format!("{} min at ", longest.round())), "{row:?}: {longest}");
        assert!(row[3].starts_with(&format!("{} ", own[0].people.round())), "{row:?}");
        assert!(waits.rows.iter().any(|wait| wait[0] == clock(&prepared, stop.start())), "{row:?}");
        let show = stop.show().expect("it shows a target");
        let said = &park.catalogue.targets[park.target(&show.target.0)].words;
        assert!(texts(card).join(" ").contains(&said.line), "{}", said.line);
    }
    // Common practice, no source: numbers from half an hour on.
    assert!(texts(card).join(" ").contains("hand out numbers"));
    let host = texts(pages.page(LeafKind::HostCard)).join(" ");
    assert!(host.contains("Queue card") && !host.contains("hand out numbers"));
}

#[test]
fn no_eyepiece_and_no_go_have_no_line() {
    let (mut park, prepared, _) = demo();
    park.evening.order = RunningOrder::new(vec![stop(&prepared, 1, 60.0, "jupiter", "wide")]);
    let pages = whole(&park, &prepared);
    assert!(texts(pages.page(LeafKind::QueueCard)).join(" ").contains("there is no line"));
    park.evening.call.decision = Decision::NoGo;
    let pages = whole(&park, &prepared);
    let called_off = texts(pages.page(LeafKind::QueueCard)).join(" ");
    assert!(called_off.contains("No-go") && called_off.contains("Stand at the door"), "{called_off}");
}
