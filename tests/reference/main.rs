//! Numbers against the outside world; the core alone.

mod air;
mod appearances;
mod bad_input;
mod books;
mod bulk;
mod eclipses;
mod elements;
mod ephemeris;
mod evenings;
mod events;
mod globes;
mod jupiter_moons;
mod keyhole;
mod moon;
mod none_missed;
mod place;
mod polar;
mod time;
