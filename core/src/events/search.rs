//! Step, bracket, refine: the rule by which no crossing is missed.
