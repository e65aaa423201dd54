//! Pure functions over measured values: no input or output, and no clock.

pub mod balance;
pub mod comparison;
pub mod containment;
pub mod diagnosis;
pub mod film;
pub mod loading;
pub mod pattern;
pub mod plan;
pub mod pull_plate;
pub mod restraint;
pub mod savings;
pub mod sizes;
pub mod statistics;
pub mod stretch;
pub mod tool_relation;

/// A count of readings as a number.
fn whole(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}
