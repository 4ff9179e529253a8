//! The evening: what is wished, what the sky allows, the running order, and what is wrong with it.
//!
//! Read [`Evening`] (what the user decides and saves), [`Materials`] (site, rig, catalogue, ephemeris), then
//! [`prepare`] (the sky over time, once per date), [`draft`] (a first running order), [`timings`] (the moves between
//! its stops), [`check`] (the one judge of any order) and [`edit`] (evening in, evening out). What no showing may break
//! stands in `limits`, for availability, draft and check alike, and in `closed_sky` what the user closes of the sky;
//! [`OrderRules`] are the trade's rules with their weights; [`Call`] is go or no-go. [`weakest_link`] says what holds a view back, `why` when it
//! would be better, [`best_in_sector`] what to show through a hole in the cloud, [`shelf`] when and where each target shows best, [`through_night`] shows the whole chain
//! for one target, [`SatelliteEvent`]s what passes over, [`overruled`] which ports were chosen against the ranking, `explain` why an order is as it
//! is and what would change it, `crowd` who is in the house, [`queue`] how long people wait, `beside` what can run beside
//! their line.

mod availability;
mod beside;
mod call;
mod check;
mod clear_hole;
mod closed_sky;
mod crowd;
mod difference;
mod draft;
mod dry_run;
pub mod edit;
mod evening;
mod explain;
mod finding;
#[cfg(test)]
mod invented;
mod limits;
mod merit;
mod order;
mod overrule;
mod prepare;
mod prepare_again;
mod prepared;
mod queue;
mod rules;
mod satellites;
mod shelf;
mod slack;
mod slew;
mod stop_length;
mod through_night;
mod timing;
mod track;
mod views;
mod weakest;
mod why;

pub use beside::{in_each_others_way, screen_of_talk};
pub use call::{Call, Decision, LONGEST_DATE, LONGEST_DECIDER, MOST_DATES, MOST_MINUTES_BEFORE_DOORS};
pub use check::{Judged, POOR_VIEW, Seen, check, judge, judge_again};
pub use clear_hole::{InSector, best_in_sector};
pub use closed_sky::{ClosedPart, ClosedSky, closed_stretches, in_sector};
pub use crowd::{LeavingFault, VisitorPart, leaving_fault, usual_crowd};
pub use difference::OrderDifference;
pub use draft::{Drafted, Drafting, GivenUp, GivenUpWhy, PickUp, Wish, draft};
pub use dry_run::{DryMove, DryRun, dry_run};
pub use evening::{Evening, FixedEntry, House, LONGEST_VERSION_NAME, Materials, Programme, Version, Wishes};
pub use explain::{
    BestHour, Change, Compared, Comparing, Explained, HeldPrice, NotShown, NotShownWhy, OtherPort, People,
    RequestAnswer, RequestWhen, Rival, StopReason, Understudy, WayIn, WhatIf, WhyNow, WhyPort, explain,
    explain_order, understudies, when_could_be_shown,
};
pub use finding::{ClockTime, Finding, Rule, Severity};
pub use limits::{SUN_EXCLUSION_ENDS, near_sun, sun_exclusion};
pub use merit::{Merit, merit, worst_view};
pub use order::{EntryKind, Held, RunningOrder, Show, Stop, StopId, What};
pub use overrule::{Overruled, against_ranking, overruled};
pub use prepare::prepare;
pub use prepared::{Availability, Limit, Moment, PrepareError, Prepared, RankedPort};
pub use queue::{QueueMinute, SteadyLine, Trickle, humane_wait_minutes, longest_wait, queue, trickle};
pub use rules::{HEAVIEST_RULE_PERCENT, OrderRule, OrderRules};
pub use satellites::{SatelliteEvent, SatelliteNews, told_passes};
pub use shelf::{ShelfEntry, shelf, view_curve, view_then};
pub use slack::{free_minutes, free_stretches};
pub use stop_length::{Batch, batch, everybody_looks, lead_s, needed_minutes, stop_minutes};
pub use through_night::{Link, Minute, PortMinute, port_minute, through_night};
pub use timing::{StopTiming, Turn, timings, turns};
pub use track::{Sample, Track};
pub use views::ViewGrid;
pub use weakest::{WeakestLink, weakest_link};
pub use why::{
    AppealChange, Better, WhyNot, moon_feature_to_frame, ports_at, sky_behind, when_better, why_not_now,
};
