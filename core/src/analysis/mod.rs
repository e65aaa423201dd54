//! Pure functions over measured values: no input or output, and no clock.

pub mod containment;
pub mod film;
pub mod loading;
pub mod pattern;
pub mod plan;
pub mod pull_plate;
pub mod restraint;
pub mod statistics;
pub mod tool_relation;
