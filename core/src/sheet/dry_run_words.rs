//! A dry run in words: every move and its parts, the longest, and what would stop the night.

use super::Names;
use super::findings::{finding_place, finding_sentence};
use super::numbers::{clock_down, count, duration};
use crate::plan::{DryMove, DryRun, Evening, Materials, Prepared, StopId};
use crate::rig::MoveParts;

/// The lines of a dry run's report, in order.
pub fn dry_run_lines(
    run: &DryRun,
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
) -> Vec<String> {
    let names = Names::new(evening, prepared, materials);
    let title = |id: StopId| evening.order.get(id).map_or_else(String::new, |stop| names.stop_title(stop));
    let mut lines: Vec<String> = run.moves.iter().map(|own| move_line(own, &names, &title)).collect();
    if let Some(longest) = run.longest() {
        let (time, to) = (duration(longest.seconds()), title(longest.timing.stop));
        lines.push(format!("Longest move: {time}, to {to}"));
    }
    for finding in &run.blocking {
        let (what, remedy) = finding_sentence(finding, &names);
        let place = finding_place(finding, &names).map_or_else(String::new, |place| format!("{place}: "));
        lines.push(format!("Blocking: {place}{what} {remedy}").trim_end().to_owned());
    }
    lines.push(format!("Blocking items: {}", run.blocking.len()));
    let shown = count(run.moves.len(), "target", "targets");
    lines.push(match (run.moves.is_empty(), run.blocking.is_empty()) {
        (true, true) => "Nothing is shown".to_owned(),
        (false, true) => format!("{shown}; every move and limit holds"),
        (_, false) => format!("{shown}; not to be run like this"),
    });
    lines
}

/// Such as "20:14 Moon to Mars: 1 min 12 s (slew 31 s, settling 4 s, framing 20 s)"; the minute is rounded down, as on the
/// run sheet.
fn move_line(own: &DryMove, names: &Names<'_>, title: &dyn Fn(StopId) -> String) -> String {
    let DryMove { timing, from } = own;
    let MoveParts { slew_s, dome_s, selector_s, rotator_s, settle_s, focus_s } = timing.parts;
    let parts = [
        ("slew", slew_s),
        ("dome", dome_s),
        ("port", selector_s),
        ("rotator", rotator_s),
        ("settling", settle_s),
        ("focus", focus_s),
        ("framing", timing.lead_s),
    ];
    let parts = parts.into_iter().filter(|(_, seconds)| *seconds >= 0.5);
    let parts: Vec<String> = parts.map(|(part, seconds)| format!("{part} {}", duration(seconds))).collect();
    let leave = clock_down(names.prepared.night.local.local(timing.leave));
    let (to, time, parts) = (title(timing.stop), duration(own.seconds()), parts.join(", "));
    match from {
        Some(from) => format!("{leave} {} to {to}: {time} ({parts})", title(*from)),
        // Its way is not known.
        None => format!("{leave} made ready for {to}, pointed there before: {time} ({parts})"),
    }
}

#[cfg(test)]
mod tests {
    use super::dry_run_lines;
    use crate::plan::dry_run;
    use crate::sheet::demo::Demo;

    #[test]
    fn every_move_and_the_longest_are_told() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let materials = demo.materials();
        let run = dry_run(&demo.evening, &prepared, &materials);
        let lines = dry_run_lines(&run, &demo.evening, &prepared, &materials);
        assert_eq!(lines.len(), run.moves.len() + 3);
        assert!(lines[0].contains(" made ready for "), "{}", lines[0]);
        assert!(lines.contains(&"Blocking items: 0".to_owned()), "{lines:?}");
        assert!(lines[run.moves.len()].starts_with("Longest move: "), "{lines:?}");
    }
}
