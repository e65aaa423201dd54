//! Pure functions over measured values: no input or output, and no clock.

pub mod containment;
pub mod film;
pub mod statistics;
