//! Rules of the planner and of the code base itself.

mod capabilities;
mod house_rows;
mod layering;
mod tidy;
