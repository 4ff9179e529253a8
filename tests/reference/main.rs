//! Numbers against the outside world; the core alone.

mod ephemeris;
mod events;
mod moon;
mod place;
mod polar;
mod time;
