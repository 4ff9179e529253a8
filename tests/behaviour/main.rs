//! Rules of the planner and of the code base itself.

mod layering;
mod tidy;
