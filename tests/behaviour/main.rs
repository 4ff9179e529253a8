//! Rules of the planner and of the code base itself.

mod capabilities;
mod layering;
mod light_practice;
mod light_rows;
mod tidy;
