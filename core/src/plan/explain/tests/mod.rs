//! Nothing is claimed that is not so: each statement about random evenings recomputed another way.

mod case;
mod not_shown;
mod picked_up;
mod request;
mod stops;
mod what_if;
