//! What is wished of an evening: targets in and out, ports, parts of the sky that stay closed.

use crate::catalogue::TargetId;
use crate::plan::{ClosedSky, Wishes};
use crate::reading::Fields;
use crate::rig::PortId;
use crate::units::Angle;

pub(super) fn read_wishes(wishes: &Fields<'_>) -> Wishes {
    let targets = |key| wishes.identifiers(key).into_iter().map(TargetId).collect();
    let wishes_read = Wishes {
        must_show: targets("must_show"),
        leave_out: targets("leave_out"),
        ports_out_of_service: wishes.identifiers("ports_out_of_service").into_iter().map(PortId).collect(),
        closed_sky: if wishes.has("closed_sky") { closed_sky(wishes) } else { Vec::new() },
        most_port_changes: wishes
            .has("most_port_changes")
            .then(|| wishes.count("most_port_changes", 0..=200)),
        least_stops: if wishes.has("least_stops") { least_stops(wishes) } else { Vec::new() },
    };
    if let Some(both) = wishes_read.must_show.iter().find(|target| wishes_read.leave_out.contains(target)) {
        wishes.fault(
            "leave_out",
            format!("\"{both}\" must be shown and is left out"),
            "Keep it in one of the lists",
        );
    }
    wishes_read
}

/// The least stops on a port, each port once.
fn least_stops(wishes: &Fields<'_>) -> Vec<(PortId, u32)> {
    let mut ports: Vec<PortId> = Vec::new();
    let entries = wishes.entries("least_stops", |entry| {
        let port = PortId(entry.identifier("port"));
        let stops = entry.count("stops", 0..=60);
        if ports.contains(&port) {
            entry.fault("port", format!("\"{port}\" has its stops already"), "Give each port once");
        }
        ports.push(port.clone());
        Some((port, stops))
    });
    entries.into_iter().map(|(_, entry)| entry).collect()
}

fn closed_sky(wishes: &Fields<'_>) -> Vec<ClosedSky> {
    let parts = wishes.entries("closed_sky", |part| {
        let azimuth = |key| Angle::from_degrees(part.number(key, 0.0..=360.0));
        let again = |key| part.read_optional(key, "true or false").unwrap_or(false);
        let closed = ClosedSky {
            from: azimuth("from_deg"),
            to: azimuth("to_deg"),
            since: part.optional_clock_time("since"),
            until: part.optional_clock_time("until"),
            since_again: again("since_again"),
            until_again: again("until_again"),
        };
        if closed.is_backwards() {
            part.fault(
                "until",
                "that part of the sky opens again before it closes",
                "Give a time after `since`; before noon means after midnight",
            );
        }
        Some(closed)
    });
    parts.into_iter().map(|(_, part)| part).collect()
}
