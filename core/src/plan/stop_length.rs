//! How long a stop takes: heads through an eyepiece, or a group before a screen.

use super::House;
use crate::catalogue::Kind;
use crate::rig::Port;

/// Minutes of people's time a target needs on a port.
pub fn stop_minutes(house: &House, port: &Port, kind: Kind) -> f64 {
    todo!()
}

/// Seconds of framing or exposing before the first visitor sees anything.
pub fn lead_s(port: &Port, kind: Kind) -> f64 {
    todo!()
}
