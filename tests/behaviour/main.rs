//! Rules of the planner and of the code base itself.

mod capabilities;
mod layering;
mod rig_rows;
mod tidy;
