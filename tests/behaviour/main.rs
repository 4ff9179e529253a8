//! Rules of the planner and of the code base itself.

mod arrange;
mod closed_sky_rows;
mod elements_rows;
mod evening_draws;
mod explain_rows;
mod house_rows;
mod layering;
mod light_practice;
mod light_rows;
mod list_draws;
mod list_rows;
mod order_rows;
mod page_hand_over_rows;
mod page_nights;
mod page_queue_rows;
mod page_set_notes;
mod page_staff_rows;
mod page_visitor_rows;
mod pages;
mod place_edit_draws;
mod reader_draws;
mod rig_rows;
mod table_and_calendar;
mod tidy;
mod time_axis;
mod votable_rows;
