//! A small problem for the tests of this folder.

use serde_json::from_str;

use super::problem::Problem;

/// Three targets, two ports, 60 steps of 30 s.
pub fn problem() -> Problem {
    let value = |text: &str| from_str(text).expect("the sample is sound");
    value(
        r#"{"format": "evening-schedule/1", "name": "sample", "step_s": 30, "steps": 60, "pos_every": 60,
        "ports": [{"name": "eyepiece", "focus_s": 15}, {"name": "wide camera", "focus_s": 20}],
        "port_change_s": [[0, 40], [40, 0]],
        "slew": {"rate1": 300, "rate2": 300, "wrap1": 36000, "settle_s": 5},
        "start": {"step": 0, "port": -1, "axis1": 18000, "axis2": 4500},
        "kinds": [{"name": "any", "factors": [1000, 700, 500]}],
        "targets": [
            {"name": "planet", "kind": 0, "axis1": [9000], "axis2": [3000],
             "options": [{"port": 0, "dur": 10, "lead_s": 10, "t0": 0, "v": [500, 500, 500, 480, 450, 400]}]},
            {"name": "galaxy", "kind": 0, "axis1": [10000], "axis2": [4000],
             "options": [{"port": 1, "dur": 12, "lead_s": 10, "t0": 10, "v": [300, 300, 300, 300, 300, 300, 300, 320]}]},
            {"name": "cluster", "kind": 0, "axis1": [20000], "axis2": [5000],
             "options": [{"port": 0, "dur": 10, "lead_s": 10, "t0": 30, "v": [200, 210, 220, 230, 240, 250]},
                         {"port": 1, "dur": 12, "lead_s": 40, "t0": 30, "v": [400, 390, 380, 370, 360]}]}],
        "blocks": [{"name": "break", "from": 28, "to": 30}], "pins": [], "excluded": [],
        "rank_by": "value", "max_port_changes": 4, "min_stops": [0, 0]}"#,
    )
}
